"""Window, interval and frames of a shot, in whole milliseconds.  Twin: app/core/timing.js."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import partial
from math import ceil, floor
from typing import Any

from .anchors import Night, following, is_doubled, opening
from .keyed import settable_ms
from .pace import Pace, Phase, Segment, paced
from .problem import PlanProblem, each

MINUTE_MS = 60_000
MOST_FRAMES = 100_000
MOST_MS = 24 * 3_600_000


@dataclass(frozen=True)
class Timing(Pace):
    """A shot's frames by its segments; end_ms is an interval after the last one's start.

    anchor_start_ms is the start before any change of it: keyframes and phases are looked up after that one.
    anchored: (ms UTC, name) of the events that start, end and phases hang on; doubled: those of start and end
    whose clock time comes twice.  asked_ms: the duration that was asked for; the rig's steps may make another
    of it.  phases: the opening interval, then the changes of it that were asked for, as they are keyed in:
    the segments have how the rig runs.  ready_ms: the start that all is got ready for, where that is another.
    """

    frames: int
    anchor_start_ms: int
    anchored: tuple[tuple[int, str], ...]
    doubled: tuple[str, ...]
    asked_ms: int
    phases: tuple[Phase, ...]
    ready_ms: int | None = None

    @property
    def prepared_ms(self) -> int:
        """The start [ms UTC] from which leaving and setting up count back."""
        return self.start_ms if self.ready_ms is None else self.ready_ms

    @property
    def keyed_ms(self) -> int:
        """The interval that the rig is told to begin with."""
        return self.told_ms(self.segments[0])

    def told_ms(self, segment: Segment) -> int:
        """The interval that the rig is told for a segment."""
        return self.phases[segment.phase].interval_ms

    @property
    def end_ms(self) -> int:
        """End of the window [ms UTC]: the last frame starts one interval before it."""
        return self.ms_of(self.frames + 1)

    @property
    def last_ms(self) -> int:
        """When the last frame starts [ms UTC]."""
        return self.ms_of(self.frames)

    @property
    def opening(self) -> tuple[int, int]:
        """(frames at the interval that the shot begins with, instant [ms UTC] at which that is over)."""
        if len(self.segments) > 1:
            return self.segments[1].first_frame - 1, self.segments[1].start_ms
        return self.frames, self.end_ms


def solve(
    brief: dict[str, Any], night: Night, start_change_ms: int | None, interval_ms: int | None = None
) -> Timing:
    """What the brief leaves open among start, end, duration, interval and frames; exactly three are given.

    Then with another opening interval, then with another start, where these are asked for.
    """
    planned = _from_brief(brief, night)
    if interval_ms is not None:
        planned = _at_interval(brief, planned, interval_ms)
    if start_change_ms is None:
        return planned
    return _started_at(brief, planned, start_change_ms)


@dataclass(frozen=True)
class _Edge:
    """Start or end of the window as its anchor gives it: an instant [ms UTC], and what Timing keeps of it."""

    ms: int
    anchored: tuple[tuple[int, str], ...]
    doubled: tuple[str, ...]


def _edge(brief: dict[str, Any], night: Night, key: str, start_ms: int | None) -> _Edge | None:
    """The edge that the brief gives under `key`, of the night or after a start; None if it gives none."""
    anchor = brief[key]
    if anchor is None:
        return None
    at_s = opening(night, anchor, key) if start_ms is None else following(night, anchor, start_ms / 1000, key)
    if "event" in anchor:
        return _Edge(at_s * 1000, (((at_s - anchor["offset_s"]) * 1000, anchor["event"]),), ())
    return _Edge(at_s * 1000, (), (key,) if is_doubled(night, at_s) else ())


def _from_brief(brief: dict[str, Any], night: Night) -> Timing:
    start = _edge(brief, night, "start", None)
    start_ms = to_minute(start.ms) if start else None
    end = _edge(brief, night, "end", start_ms)
    duration_ms = _duration(brief, start_ms, end.ms if end else None)
    if start_ms is None:
        assert end is not None, "a brief gives a start or an end"
        start_ms = to_minute(end.ms - duration_ms)
    opening, frames = _divided(brief, duration_ms)
    phases, met = _phases(brief, night, start_ms, opening)
    end_ms = start_ms + duration_ms
    segments, frames = paced(start_ms, phases, frames, end_ms)
    edges = [edge for edge in (start, end) if edge]
    anchored = (*(event for edge in edges for event in edge.anchored), *met)
    doubled = tuple(key for edge in edges for key in edge.doubled)
    timing = counted(Timing(segments, frames, start_ms, anchored, doubled, duration_ms, phases))
    # Where frames are given, those of later phases make the duration.
    by_frames = brief["frames"] is not None and brief["interval_ms"] is not None
    return replace(timing, asked_ms=timing.elapsed_ms(frames)) if by_frames else timing


def _phases(
    brief: dict[str, Any], night: Night, start_ms: int, opening_ms: int
) -> tuple[tuple[Phase, ...], list[tuple[int, str]]]:
    """The opening interval and what follows it; and (ms UTC, name) of the events that these hang on."""
    phases, met = [Phase(opening_ms, None, 1)], []
    for index, phase in enumerate(brief["phases"]):
        at, interval_ms = phase["from"], phase["interval_ms"]
        if "frame" in at:
            phases.append(Phase(interval_ms, None, at["frame"]))
            continue
        try:
            at_s = following(night, at, start_ms / 1000, f"phase.{index}.from")
        except PlanProblem:
            phases.append(Phase(interval_ms, None, None))
            continue
        phases.append(Phase(interval_ms, at_s * 1000, None))
        if "event" in at:
            met.append(((at_s - at["offset_s"]) * 1000, at["event"]))
    return tuple(phases), met


def _started_at(brief: dict[str, Any], planned: Timing, start_ms: int) -> Timing:
    """Another start: a given end stays and costs frames; else all frames are kept and the end moves."""
    doubled = tuple(key for key in planned.doubled if key != "start")
    if brief["end"] is None:
        late = restarted(planned, start_ms, planned.frames)
        moved_ms = late.end_ms - late.start_ms - planned.end_ms + planned.start_ms
        return counted(replace(late, doubled=doubled, asked_ms=planned.asked_ms + moved_ms))
    if start_ms >= planned.end_ms:
        raise PlanProblem("problem.start-after-end", {"start": start_ms, "end": planned.end_ms}, "start")
    asked_ms = planned.asked_ms + planned.start_ms - start_ms
    return counted(replace(restarted(planned, start_ms, None), doubled=doubled, asked_ms=asked_ms))


def _at_interval(brief: dict[str, Any], planned: Timing, interval_ms: int) -> Timing:
    """Another opening interval: a given window stays and frames follow; else all are kept and the end moves.

    The later phases keep to their moments.
    """
    must_be_settable(brief, interval_ms)
    frames = planned.frames if brief["end"] is None and brief["duration_ms"] is None else None
    paced_anew = restarted(
        planned, planned.start_ms, frames, interval_ms, planned.start_ms + planned.asked_ms
    )
    if frames is None:
        return counted(paced_anew)
    return counted(replace(paced_anew, asked_ms=paced_anew.elapsed_ms(frames)))


def must_be_settable(brief: dict[str, Any], interval_ms: Any) -> None:
    """Raises PlanProblem for an interval that cannot be keyed into the rig; it names those around it."""
    least_ms = settable_ms(brief, 0)
    is_number = isinstance(interval_ms, int) and not isinstance(interval_ms, bool)
    if is_number and least_ms <= interval_ms <= MOST_MS and settable_ms(brief, interval_ms) == interval_ms:
        return
    if not is_number or not least_ms < interval_ms < MOST_MS:
        raise PlanProblem("problem.interval-range", {"least": least_ms, "most": MOST_MS}, "interval_s")
    above_ms = settable_ms(brief, interval_ms)
    args = {"interval": interval_ms, "below": above_ms - brief["rig"]["interval_step_ms"], "above": above_ms}
    raise PlanProblem("problem.interval-step", args, "interval_s")


def restarted(
    timing: Timing,
    start_ms: int,
    frames: int | None,
    opening_ms: int | None = None,
    end_ms: int | None = None,
) -> Timing:
    """Another start [ms UTC], so many frames or all until the end, and perhaps another opening interval.

    The later phases keep to their moments, also those that are asked for by a frame.  end_ms: another end
    [ms UTC] than that of the last frame.
    """
    opening, *later = timing.phases
    at_ms = [phase.at_ms if phase.frame is None else timing.ms_of(phase.frame) for phase in later]
    moved = (replace(phase, at_ms=ms, frame=None) for phase, ms in zip(later, at_ms, strict=True))
    end_ms = timing.end_ms if end_ms is None else end_ms
    begun = _repaced(timing, start_ms, (opening, *moved), frames, end_ms)
    if opening_ms is None:
        return begun
    return _repaced(timing, start_ms, _told_first(begun, opening_ms), frames, end_ms)


def _repaced(
    timing: Timing, start_ms: int, phases: tuple[Phase, ...], frames: int | None, end_ms: int
) -> Timing:
    segments, counted = paced(start_ms, phases, frames, end_ms)
    return replace(timing, segments=segments, frames=counted, phases=phases)


def rephased(brief: dict[str, Any], timing: Timing, phases: tuple[Phase, ...]) -> Timing:
    """The same start with other phases: the frames that are given, or as many as the window takes."""
    end_ms = timing.start_ms + timing.asked_ms
    frames = None if brief["frames"] is None else timing.frames
    return _repaced(timing, timing.start_ms, phases, frames, end_ms)


def lacking_phases(timing: Timing) -> list[tuple[int, bool]]:
    """(number, whether one written after it begins before it) of the phases that have no frame in the shot.

    Not those that are past before frame 1: one of them is then in force.
    """
    run = {segment.phase for segment in timing.segments}
    lacking = []
    for number, phase in enumerate(timing.phases[1:], start=1):
        if number in run or (phase.at_ms is not None and phase.at_ms <= timing.start_ms):
            continue
        comes = timing.frames >= phase.frame if phase.frame is not None else _is_before(phase, timing.end_ms)
        lacking.append((number, comes and number < timing.segments[-1].phase))
    return lacking


def _is_before(phase: Phase, end_ms: int) -> bool:
    return phase.at_ms is not None and phase.at_ms < end_ms


def quickened(timing: Timing, start_ms: int, interval_ms: int) -> Timing:
    """The same frames in every segment from another start on, the opening ones at another interval."""
    segments = [replace(timing.segments[0], start_ms=start_ms, interval_ms=interval_ms)]
    for before, after in zip(timing.segments, timing.segments[1:], strict=False):
        last = segments[-1]
        start_ms = last.start_ms + (after.first_frame - before.first_frame) * last.interval_ms
        segments.append(replace(after, start_ms=start_ms))
    return replace(timing, segments=tuple(segments), phases=_told_first(timing, interval_ms))


def _told_first(timing: Timing, interval_ms: int) -> tuple[Phase, ...]:
    """The phases with another interval to begin with: that of the phase which is in force at frame 1."""
    first = timing.segments[0].phase
    return tuple(
        replace(phase, interval_ms=interval_ms) if number == first else phase
        for number, phase in enumerate(timing.phases)
    )


def as_it_runs(timing: Timing, start_ms: int, ratio: float) -> Timing:
    """The same frames as the rig has been seen to run: frame 1 at start_ms, each interval so many times.

    To whole milliseconds a frame.  What the rig is told stays as it was.
    """
    segments: list[Segment] = []
    for index, segment in enumerate(timing.segments):
        if index:
            count = segment.first_frame - segments[-1].first_frame
            start_ms = segments[-1].start_ms + count * segments[-1].interval_ms
        interval_ms = floor(segment.interval_ms * ratio + 0.5)
        segments.append(replace(segment, start_ms=start_ms, interval_ms=interval_ms))
    ran = replace(timing, segments=tuple(segments), ready_ms=timing.prepared_ms)
    return replace(ran, asked_ms=ran.elapsed_ms(ran.frames))


def _duration(brief: dict[str, Any], start_ms: int | None, end_ms: int | None) -> int:
    if brief["duration_ms"] is not None:
        return int(brief["duration_ms"])
    if start_ms is not None and end_ms is not None:
        return end_ms - start_ms
    return int(brief["interval_ms"] * brief["frames"])


def _divided(brief: dict[str, Any], duration_ms: int) -> tuple[int, int | None]:
    """(interval in ms, frames): an interval left open follows from the duration, frames may stay open."""
    interval_ms, frames = brief["interval_ms"], brief["frames"]
    if interval_ms is None:
        interval_ms = settable_ms(brief, -(-duration_ms // frames))
    return interval_ms, frames


def counted(timing: Timing) -> Timing:
    """The same timing, or PlanProblem where it has too few frames or too many, or runs for over a day."""
    if not 2 <= timing.frames <= MOST_FRAMES:
        args = {"frames": timing.frames, "most": MOST_FRAMES, "interval": timing.interval_ms}
        raise PlanProblem("problem.frames", args, "interval_s")
    if timing.elapsed_ms(timing.frames) > MOST_MS:
        args = {"frames": timing.frames, "interval": timing.interval_ms}
        raise PlanProblem("problem.too-long", args, "frames")
    return timing


def keyframe_frames(brief: dict[str, Any], night: Night, timing: Timing) -> list[float]:
    """Real frame position of each keyframe, ascending inside 1..frames, each at a frame of its own.

    Raises PlanProblem where that is not so.
    """
    ats = [(keyframe["at"], f"keyframe.{index}.at") for index, keyframe in enumerate(brief["keyframes"])]
    frames = each(partial(frame_of, at, night, timing, key) for at, key in ats)
    each(partial(_must_lie_inside, frames, index, timing) for index in range(len(frames)))
    each(partial(_must_stand_apart, frames, index) for index in range(1, len(frames)))
    return frames


def _must_lie_inside(frames: list[float], index: int, timing: Timing) -> None:
    """Raises PlanProblem where a keyframe's frame position is not after the one before or not in it."""
    # One that lies beyond the shot says nothing about those after it.
    earliest = max((before for before in frames[:index] if before <= timing.frames), default=0.0)
    frame = frames[index]
    if not earliest < frame <= timing.frames or frame < 1:
        whole = floor(frame) if frame <= earliest else ceil(frame)
        args = {"number": index + 1, "clock": timing.ms_of(frame), "frame": whole}
        limits = {"after": max(earliest, 1.0), "frames": timing.frames}
        raise PlanProblem("problem.keyframe-outside", {**args, **limits}, f"keyframe.{index}.at")


def _must_stand_apart(frames: list[float], index: int) -> None:
    """Raises PlanProblem where a keyframe is keyed in at the same whole frame as the one before."""
    frame = floor(frames[index] + 0.5)
    if frame == floor(frames[index - 1] + 0.5):
        args = {"before": index, "number": index + 1, "frame": frame}
        raise PlanProblem("problem.keyframes-meet", args, f"keyframe.{index}.at")


def anchor_events(brief: dict[str, Any], timing: Timing, frames: list[float]) -> list[tuple[int, str]]:
    """(ms UTC, name) of the events that start, end and keyframes hang on, inside the window or not."""
    ats = ((keyframe["at"], frame) for keyframe, frame in zip(brief["keyframes"], frames, strict=True))
    met = [(timing.ms_of(frame) - at["offset_s"] * 1000, at["event"]) for at, frame in ats if "event" in at]
    return [*timing.anchored, *met]


def frame_of(at: dict[str, Any], night: Night, timing: Timing, key: str) -> float:
    """Real frame position that a place on the shot means, in 1..frames or not; PlanProblem if no event."""
    if "frame" in at:
        return float(at["frame"])
    if "fraction" in at:
        return float(1 + at["fraction"] * (timing.frames - 1))
    return timing.frame_at(following(night, at, timing.anchor_start_ms / 1000, key) * 1000)


def clip_ms(brief: dict[str, Any], frames: int) -> int:
    """How long a clip of so many frames plays."""
    rate, scale = brief["fps"]
    return int(frames * 1000 * scale / rate + 0.5)


def to_minute(ms: int) -> int:
    """To the nearest whole minute."""
    return (ms + MINUTE_MS // 2) // MINUTE_MS * MINUTE_MS
