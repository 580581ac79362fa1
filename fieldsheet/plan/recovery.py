"""A shot that stopped: what to do, and the ways to go on from there.  Twin: app/core/recovery.js.

What is left of the move is keyed in as a new one: from where the rig stands, or where it would be by now,
through the keyframes that are left, with the same ease-out and end hold, so that a rig which joins its
keyframes straight runs on as planned.  Reprogramming takes 5 to 15 minutes (common practice, no source).
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import ceil, floor
from typing import Any

from .civil import stamp
from .keyframes import Setting, to_step
from .move import Path, path_through
from .options import Shot, Way, option, tried, without
from .problem import PlanProblem
from .timing import MINUTE_MS, MOST_MS, Timing, clip_ms, restarted
from .trails import SIDEREAL_DAY_S

MINUTES = (5, 15)
# A frame and a time are the same frame to within what rounding leaves of them.
SAME = 1e-6
# Where the rig stands, or would: a keyframe that aims at nothing.
OWN = {"at": {"frame": 1}, "aim": None, "turn": None, "sighting": None, "scene_ev": 0.0}


def recovery_of(shot: Shot, path: Path, stopped: dict[str, Any]) -> dict[str, Any]:
    """What to do after frame n, the last that was fired, and ways to go on; stopped: {frame, rolling_ms}.

    {frame, frames, shot_ms, stands, rolls, gap_ms, missed, keying, steps, options}.  stands: axis values
    there; missed: how many frames were due before it rolls again, keying: while it is keyed in.  The options
    stand in the order in which they are best thought of: a second clip; the move going on where it stood,
    with all frames or up to the planned end; the sky going on.
    Raises PlanProblem for a frame that leaves nothing, and for rolling before it or a day after frame 1.
    """
    brief, night, timing = shot.brief, shot.night, shot.timing
    frame, rolls_ms = _checked(timing, stopped)
    now = max(frame + 1, ceil(timing.frame_at(rolls_ms) - SAME))
    stop = _Stop(shot, path, frame, rolls_ms, now)
    makers = {
        "second": stop.second,
        "move": stop.move,
        "move-kept": stop.move_kept,
        "sky": stop.sky,
    }
    return {
        "frame": frame,
        "frames": timing.frames,
        "shot_ms": clip_ms(brief, frame),
        "stands": path.at(frame),
        "rolls": stamp(night.spans, rolls_ms),
        "gap_ms": rolls_ms - timing.ms_of(frame + 1),
        "missed": now - frame - 1,
        "keying": [ceil(minutes * MINUTE_MS / timing.interval_at(frame)) for minutes in MINUTES],
        "steps": _steps(brief),
        "options": [tried(id, make) for id, make in makers.items()],
    }


def _checked(timing: Timing, stopped: dict[str, Any]) -> tuple[int, int]:
    """The frame and when it rolls again [ms UTC], not before the next one was due."""
    frame, rolling_ms, last = stopped["frame"], stopped["rolling_ms"], timing.frames - 1
    if not 1 <= frame <= last or frame != floor(frame):
        raise PlanProblem("problem.stopped-frame", {"frame": frame, "last": last}, "frames")
    stood_ms = timing.ms_of(frame)
    latest_ms = timing.start_ms + MOST_MS - (timing.end_ms - timing.ms_of(frame + 1))
    if not stood_ms <= rolling_ms <= latest_ms:
        args = {"rolling": rolling_ms, "frame": frame, "stood": stood_ms, "latest": latest_ms}
        raise PlanProblem("problem.stopped-rolling", args, "start")
    return frame, max(rolling_ms, timing.ms_of(frame + 1))


def _steps(brief: dict[str, Any]) -> list[str]:
    """Messages of what to do first, in order; truth comes before anything is moved."""
    rig = brief["rig"]
    if not rig["axes"]:
        return ["step.cause", "step.fire"]
    truth = {"lost": "step.lost", "kept": "step.kept"}.get(rig["position_after_power_loss"], "step.unknown")
    return ["step.cause", truth, "step.level", "step.key", "step.fire"]


@dataclass(frozen=True)
class Rest:
    """What is left of a move, keyed in as a new one: its brief and frames, and its exact positions.

    first: the frame of the old move at which it begins, per_frame: how many of the old a new one makes.
    """

    brief: dict[str, Any]
    frames: int
    settings: list[Setting]
    first: int
    per_frame: float

    def after(self, frame: float) -> float:
        """The new frame of a frame of the old move."""
        return 1 + (frame - self.first) / self.per_frame

    def before(self, frame: float) -> float:
        """The frame of the old move that a new one stands for."""
        return self.first + (frame - 1) * self.per_frame


def rest_of(
    brief: dict[str, Any], path: Path, all_frames: int, first: int, frames: int, whole: bool = False
) -> Rest:
    """The old move's frames from `first` on as a new move of so many frames.

    It goes off at once, but where the old one still held: then it holds, and eases in, as that would have.
    whole: a clip of its own, with the holds and eases of the old one where these fit in.
    """
    per_frame = (all_frames - first) / (frames - 1) if frames > 1 else 1.0
    rest = Rest(brief, frames, [], first, per_frame)
    if path.warp is None or frames < 2 or first >= path.warp.last:
        return _still(rest, path)
    through = _through(rest, path)
    clip = replace(through, brief={**through.brief, "hold": brief["hold"], "ease": brief["ease"]})
    return clip if whole and _runs(clip) else through


def _still(rest: Rest, path: Path) -> Rest:
    """Nothing is left to move: the last keyframe, if the shot has any, is where it stands."""
    keyframes = [{**keyframe, "axes": path.at(rest.first)} for keyframe in rest.brief["keyframes"][-1:]]
    return replace(
        rest,
        brief={**rest.brief, "hold": [0, 0], "ease": [0, 0], "keyframes": keyframes},
        settings=[
            replace(setting, frame=min(max(rest.after(setting.frame), 1.0), float(rest.frames)))
            for setting in path.settings[-1:]
        ],
    )


def _through(rest: Rest, path: Path) -> Rest:
    """From where it stands through the keyframes that are left, or that the rig would have of itself."""
    brief, halfway = rest.brief, 1 + (rest.frames - 1) / 2
    left = [
        (keyframe, setting.axes, rest.after(setting.frame))
        for keyframe, setting in zip(brief["keyframes"], path.settings, strict=True)
        if setting.frame > rest.first + SAME
    ]
    limits = brief["rig"]["keyframes"]
    if len(left) == 2 and limits and limits["middle"] == "halfway":
        left[0] = (left[0][0], path.at(rest.before(halfway)), halfway)
    points = [(OWN, path.at(rest.first), 1.0), *left]
    keyframes = [{**keyframe, "axes": axes} for keyframe, axes, _ in points]
    return replace(
        rest,
        brief={**brief, **_edges(rest, path), "keyframes": keyframes},
        settings=[Setting(frame, axes, None, None, None, None) for _, axes, frame in points],
    )


def _edges(rest: Rest, path: Path) -> dict[str, Any]:
    """Hold and ease of what is left, as they are keyed in: no more of an ease-out than there are frames."""
    warp, hold, ease = path.warp, rest.brief["hold"], rest.brief["ease"]
    assert warp is not None, "what is left moves"
    moves = rest.frames - max(1, hold[1])
    if rest.first < warp.first:
        return {"hold": [int(warp.first) - rest.first + 1, hold[1]], "ease": ease}
    ease_in = ease[0] if rest.first == warp.first else 0
    return {"hold": [1, hold[1]], "ease": [ease_in, max(min(ease[1], moves - ease_in), 0)]}


def _runs(rest: Rest) -> bool:
    try:
        path_through(rest.brief, rest.settings, rest.frames)
    except PlanProblem:
        return False
    return True


def differs(rest: Rest, path: Path) -> dict[str, dict[str, float]]:
    """For each axis how far, at worst, the new move is from the old: {off, frame}, by the new count.

    From the exact positions; what is keyed in is rounded to the rig's steps.  Raises PlanProblem.
    """
    new = path_through(rest.brief, rest.settings, rest.frames)
    worst = {name: {"off": 0.0, "frame": 1} for name in new.at(1)}
    for frame in range(1, rest.frames + 1):
        old = path.at(rest.before(frame))
        for name, value in new.at(frame).items():
            off = value - old[name]
            if abs(off) > abs(worst[name]["off"]) * (1 + 1e-9) + 1e-9:
                worst[name] = {"off": off, "frame": frame}
    return worst


@dataclass(frozen=True)
class _Stop:
    """A shot as it stopped after a frame; it rolls again at an instant, when the old frame `due` comes."""

    shot: Shot
    path: Path
    frame: int
    rolls_ms: int
    due: int

    @property
    def timing(self) -> Timing:
        """As it was planned."""
        return self.shot.timing

    def second(self) -> dict[str, Any]:
        """The clip ends here, and a second one begins where the move would be by now."""
        left = self.timing.frames - self.due + 1
        if left < 2:
            return without("second", "recovery.over", {"end": self.timing.end_ms})
        return self._option("second", self.due, left, self.timing.ms_of(self.due), True)

    def move(self) -> dict[str, Any]:
        """The move goes on where it stood, with all its frames."""
        return self._option("move", self.frame + 1, self.timing.frames - self.frame, self.rolls_ms)

    def move_kept(self) -> dict[str, Any]:
        """The move goes on where it stood, with as many frames as the planned end leaves."""
        left = floor(self.timing.frames + 1 - self.timing.frame_at(self.rolls_ms) + SAME)
        if left < 2:
            return without("move-kept", "recovery.over", {"end": self.timing.end_ms})
        if left == self.timing.frames - self.frame:
            return without("move-kept", "recovery.same")
        return self._option("move-kept", self.frame + 1, left, self.rolls_ms)

    def sky(self) -> dict[str, Any]:
        """The move goes on where it would be by now: frames are left out."""
        left = self.timing.frames - self.due + 1
        if left < 2:
            return without("sky", "recovery.over", {"end": self.timing.end_ms})
        if self.path.warp is None:
            return without("sky", "recovery.still")
        return self._option("sky", self.due, left, self.timing.ms_of(self.due))

    def _option(self, id: str, first: int, frames: int, start_ms: int, whole: bool = False) -> dict[str, Any]:
        rest = rest_of(self.shot.brief, self.path, self.timing.frames, first, frames, whole)
        # Changes of interval keep to their moments.
        timing = restarted(self.timing, start_ms, frames)
        axes = self.shot.brief["rig"]["axes"]
        kept = [
            {name: to_step(value, axes[name]["step"]) for name, value in setting.axes.items()}
            for setting in rest.settings
        ]
        positions = [setting.frame for setting in rest.settings]
        way = Way(rest.brief, timing, positions, kept, ["set"] * len(kept))
        skipped_ms = start_ms - self.timing.ms_of(self.frame + 1)
        before, after = self.path.at(self.frame), self.path.at(first)
        return {
            **option(self.shot, way, id, MINUTES),
            "before": self.frame,
            "whole_ms": clip_ms(self.shot.brief, frames if whole else self.frame + frames),
            "sky_deg": skipped_ms / 1000 / SIDEREAL_DAY_S * 360,
            "jump": {name: after[name] - before[name] for name in after},
            "skipped": first - self.frame - 1,
            "differs": differs(rest, self.path),
        }
