"""Window, interval and frames of a shot, in whole milliseconds.  Twin: app/core/timing.js."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import partial
from typing import Any

from .anchors import Night, following, is_doubled, opening
from .keyed import settable_ms
from .problem import PlanProblem, each

MINUTE_MS = 60_000
MOST_FRAMES = 100_000
MOST_MS = 24 * 3_600_000


@dataclass(frozen=True)
class Timing:
    """Frame n starts at start_ms + (n - 1) x interval_ms; end_ms is an interval after the last one's start.

    anchor_start_ms is the start before any change of it: keyframe anchors are looked up after that one.
    anchored: (ms UTC, name) of the events that start and end hang on; doubled: those of the two whose clock
    time comes twice.  asked_ms: the duration that was asked for; the rig's steps may make another of it.
    """

    start_ms: int
    interval_ms: int
    frames: int
    anchor_start_ms: int
    anchored: tuple[tuple[int, str], ...]
    doubled: tuple[str, ...]
    asked_ms: int

    @property
    def end_ms(self) -> int:
        """End of the window [ms UTC]: the last frame starts one interval before it."""
        return self.start_ms + self.frames * self.interval_ms

    def frame_at(self, utc_ms: float) -> float:
        """Real frame position at an instant: 1 at the start."""
        return 1 + (utc_ms - self.start_ms) / self.interval_ms

    def ms_of(self, frame: float) -> int:
        """Instant [ms UTC] of a real frame position."""
        return self.start_ms + int((frame - 1) * self.interval_ms + 0.5)


def solve(brief: dict[str, Any], night: Night, start_change_ms: int | None) -> Timing:
    """What the brief leaves open among start, end, duration, interval and frames; exactly three are given."""
    planned = _from_brief(brief, night)
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
    start_ms = _to_minute(start.ms) if start else None
    end = _edge(brief, night, "end", start_ms)
    duration_ms = _duration(brief, start_ms, end.ms if end else None)
    if start_ms is None:
        assert end is not None, "a brief gives a start or an end"
        start_ms = _to_minute(end.ms - duration_ms)
    interval_ms, frames = _divided(brief, duration_ms)
    edges = [edge for edge in (start, end) if edge]
    anchored = tuple(event for edge in edges for event in edge.anchored)
    doubled = tuple(key for edge in edges for key in edge.doubled)
    return _counted(Timing(start_ms, interval_ms, frames, start_ms, anchored, doubled, duration_ms))


def _started_at(brief: dict[str, Any], planned: Timing, start_ms: int) -> Timing:
    """Another start: a given end stays and costs frames; else all frames are kept and the end moves."""
    frames, doubled = planned.frames, tuple(key for key in planned.doubled if key != "start")
    if brief["end"] is not None:
        if start_ms >= planned.end_ms:
            raise PlanProblem("problem.start-after-end", {"start": start_ms, "end": planned.end_ms}, "start")
        frames = (planned.end_ms - start_ms) // planned.interval_ms
    asked_ms = planned.asked_ms + (planned.start_ms - start_ms if brief["end"] is not None else 0)
    return _counted(replace(planned, start_ms=start_ms, frames=frames, doubled=doubled, asked_ms=asked_ms))


def _duration(brief: dict[str, Any], start_ms: int | None, end_ms: int | None) -> int:
    if brief["duration_ms"] is not None:
        return int(brief["duration_ms"])
    if start_ms is not None and end_ms is not None:
        return end_ms - start_ms
    return int(brief["interval_ms"] * brief["frames"])


def _divided(brief: dict[str, Any], duration_ms: int) -> tuple[int, int]:
    """(interval in ms, frames): the one that the brief leaves open follows from the duration."""
    interval_ms, frames = brief["interval_ms"], brief["frames"]
    if interval_ms is None:
        interval_ms = settable_ms(brief, -(-duration_ms // frames))
    if frames is None:
        frames = duration_ms // interval_ms
    return interval_ms, frames


def _counted(timing: Timing) -> Timing:
    """The same timing, or PlanProblem where it has too few frames or too many, or runs for over a day."""
    if not 2 <= timing.frames <= MOST_FRAMES:
        args = {"frames": timing.frames, "most": MOST_FRAMES, "interval": timing.interval_ms}
        raise PlanProblem("problem.frames", args, "interval_s")
    if timing.frames * timing.interval_ms > MOST_MS:
        args = {"frames": timing.frames, "interval": timing.interval_ms}
        raise PlanProblem("problem.too-long", args, "frames")
    return timing


def keyframe_frames(brief: dict[str, Any], night: Night, timing: Timing) -> list[float]:
    """Real frame position of each keyframe, ascending inside 1..frames; else PlanProblem."""
    ats = [(keyframe["at"], f"keyframe.{index}.at") for index, keyframe in enumerate(brief["keyframes"])]
    frames = each(partial(frame_of, at, night, timing, key) for at, key in ats)
    each(partial(_must_lie_inside, frames, index, timing) for index in range(len(frames)))
    return frames


def _must_lie_inside(frames: list[float], index: int, timing: Timing) -> None:
    """Raises PlanProblem where a keyframe's frame position is not after the one before or not in it."""
    # One that lies beyond the shot says nothing about those after it.
    earliest = max((before for before in frames[:index] if before <= timing.frames), default=0.0)
    frame = frames[index]
    if not earliest < frame <= timing.frames or frame < 1:
        args = {"number": index + 1, "clock": timing.ms_of(frame), "frame": frame}
        limits = {"after": max(earliest, 1.0), "frames": timing.frames}
        raise PlanProblem("problem.keyframe-outside", {**args, **limits}, f"keyframe.{index}.at")


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


def _to_minute(ms: int) -> int:
    return (ms + MINUTE_MS // 2) // MINUTE_MS * MINUTE_MS
