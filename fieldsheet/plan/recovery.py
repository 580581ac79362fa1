"""A shot that stopped: what to do, and the ways to go on from there.  Twin: app/core/recovery.js.

What is left of the move is keyed in as a new one: from where the rig stands, or where it would be by now,
through the keyframes that are left, with the same ease-out and end hold, so that a rig which joins its
keyframes straight runs on as planned.  Reprogramming takes 5 to 15 minutes (common practice, no source).
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from functools import partial
from math import ceil, floor
from typing import Any

from .civil import stamp
from .keyframes import Setting, to_step
from .lit import scene_ev
from .move import Path, path_through
from .options import Shot, Way, forbidden_way, option, tried, without
from .problem import PlanProblem
from .timing import MINUTE_MS, MOST_MS, Timing, clip_ms, restarted
from .trails import SIDEREAL_DAY_S

MINUTES = (5, 15)
# A frame and a time are the same frame to within what rounding leaves of them.
SAME = 1e-6
IDS = ("second", "move", "move-kept", "sky")
# Where the rig stands, or would: a keyframe that aims at nothing.
OWN = {"at": {"frame": 1}, "meant_for": None, "aim": None, "turn": None, "sighting": None}


def recovery_of(shot: Shot, path: Path, stopped: dict[str, Any]) -> dict[str, Any]:
    """What to do after frame n, the last that was fired, and ways to go on; stopped: {frame, rolling_ms}.

    {frame, frames, shot_ms, stands, rolls, gap_ms, missed, keying, steps, options}.  stands: axis values
    there; missed: how many frames were due before it rolls again, keying: while it is keyed in.  The options
    stand in the order in which they are best thought of: a second clip; the move going on where it stood,
    with all frames or up to the planned end; the sky going on.
    Raises PlanProblem for a frame that leaves nothing, and for rolling before it or a day after frame 1.
    """
    brief, night, timing = shot.brief, shot.night, shot.timing
    stop = _stop_of(brief, timing, path, stopped)
    frame = stop.frame
    return {
        "frame": frame,
        "frames": timing.frames,
        "shot_ms": clip_ms(brief, frame),
        "stands": path.at(frame),
        "rolls": stamp(night.spans, stop.rolls_ms),
        "gap_ms": stop.gap_ms,
        "missed": stop.due - frame - 1,
        "keying": [ceil(minutes * MINUTE_MS / timing.interval_at(frame)) for minutes in MINUTES],
        "steps": _steps(brief),
        "options": [tried(id, partial(_option, shot, stop, id)) for id in IDS],
    }


def way_on(
    brief: dict[str, Any], timing: Timing, path: Path, id: str, stopped: dict[str, Any], told_ms: int | None
) -> tuple[Way, Rest]:
    """The option of that id, one of IDS, as it is keyed in; told_ms: with another interval to begin with.

    Raises PlanProblem for a stop that cannot be, or a way that cannot.
    """
    stop = _stop_of(brief, timing, path, stopped)
    going = stop.going(id)
    if not isinstance(going, Going):
        raise forbidden_way(id, going["id"], going["args"])
    return _keyed_in(stop, id, going, told_ms)


def _stop_of(brief: dict[str, Any], timing: Timing, path: Path, stopped: dict[str, Any]) -> _Stop:
    frame, rolls_ms = _checked(timing, stopped)
    due = max(frame + 1, ceil(timing.frame_at(rolls_ms) - SAME))
    return _Stop(brief, timing, path, frame, rolls_ms, due)


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
    """Messages of what to do first, in order: what runs down is held; truth comes before a move."""
    rig = brief["rig"]
    if not rig["axes"]:
        return ["step.cause", "step.fire"]
    truth = {"lost": "step.lost", "kept": "step.kept"}.get(rig["position_after_power_loss"], "step.unknown")
    held = ["step.hold"] if brief["rail"] and brief["rail"]["incline_deg"] else []
    return [*held, "step.cause", truth, "step.level", "step.key", "step.fire"]


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
    keyframes = [_set_to(keyframe, path.at(rest.first)) for keyframe in rest.brief["keyframes"][-1:]]
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
    own = {**OWN, "scene_ev": scene_ev(brief, path.warp, path.knots, rest.first)}
    points = [(own, path.at(rest.first), 1.0), *left]
    keyframes = [_set_to(keyframe, axes) for keyframe, axes, _ in points]
    return replace(
        rest,
        brief={**brief, **_edges(rest, path), "keyframes": keyframes},
        settings=[Setting(frame, axes, None, None, None, None) for _, axes, frame in points],
    )


def _set_to(keyframe: dict[str, Any], axes: dict[str, float]) -> dict[str, Any]:
    """A keyframe with other axis values, whatever it was kept at."""
    return {**{key: value for key, value in keyframe.items() if key != "kept"}, "axes": axes}


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


Why = Mapping[str, Any]


@dataclass(frozen=True)
class Going:
    """The old move from a frame of it on, in so many new ones, from an instant [ms UTC] on.

    whole: a clip of its own.
    """

    first: int
    frames: int
    start_ms: int
    whole: bool = False


@dataclass(frozen=True)
class _Stop:
    """A shot as it stopped after a frame; it rolls again at an instant, when the old frame `due` comes.

    Its brief, timing and path are as it was planned.
    """

    brief: dict[str, Any]
    timing: Timing
    path: Path
    frame: int
    rolls_ms: int
    due: int

    @property
    def gap_ms(self) -> int:
        """From when the next frame was due until it rolls."""
        return self.rolls_ms - self.timing.ms_of(self.frame + 1)

    def going(self, id: str) -> Going | Why:
        """How the option of that id goes on, or the message of why there is no sense in it."""
        ways: dict[str, Callable[[], Going | Why]] = {
            "second": self._second,
            "move": self._move,
            "move-kept": self._move_kept,
            "sky": self._sky,
        }
        return ways[id]()

    def _second(self) -> Going | Why:
        """The clip ends here, and a second one begins where the move would be by now."""
        left = self.timing.frames - self.due + 1
        return self._over() if left < 2 else Going(self.due, left, self.timing.ms_of(self.due), True)

    def _move(self) -> Going:
        """The move goes on where it stood, with all its frames."""
        return Going(self.frame + 1, self.timing.frames - self.frame, self.rolls_ms)

    def _move_kept(self) -> Going | Why:
        """The move goes on where it stood, with as many frames as the planned end leaves."""
        left = floor(self.timing.frames + 1 - self.timing.frame_at(self.rolls_ms) + SAME)
        if left < 2:
            return self._over()
        if left == self.timing.frames - self.frame:
            return {"id": "recovery.same", "args": {}}
        return Going(self.frame + 1, left, self.rolls_ms)

    def _sky(self) -> Going | Why:
        """The move goes on where it would be by now: frames are left out."""
        left = self.timing.frames - self.due + 1
        if left < 2:
            return self._over()
        if self.path.warp is None:
            return {"id": "recovery.still", "args": {}}
        return Going(self.due, left, self.timing.ms_of(self.due))

    def _over(self) -> Why:
        return {"id": "recovery.over", "args": {"end": self.timing.end_ms}}


def _option(shot: Shot, stop: _Stop, id: str) -> dict[str, Any]:
    going = stop.going(id)
    if not isinstance(going, Going):
        return without(id, going["id"], going["args"])
    way, rest = _keyed_in(stop, id, going, None)
    skipped_ms = going.start_ms - stop.timing.ms_of(stop.frame + 1)
    before, after = stop.path.at(stop.frame), stop.path.at(going.first)
    return {
        **option(shot, way, id, MINUTES),
        "before": stop.frame,
        "whole_ms": clip_ms(stop.brief, going.frames if going.whole else stop.frame + going.frames),
        "sky_deg": skipped_ms / 1000 / SIDEREAL_DAY_S * 360,
        "jump": {name: after[name] - before[name] for name in after},
        "skipped": going.first - stop.frame - 1,
        "differs": differs(rest, stop.path),
    }


def _keyed_in(stop: _Stop, id: str, going: Going, told_ms: int | None) -> tuple[Way, Rest]:
    """With another interval the end is kept, and frames follow; but for the way that has them all."""
    frames = None if told_ms is not None and id != "move" else going.frames
    # Changes of interval keep to their moments.
    timing = restarted(stop.timing, going.start_ms, frames, told_ms)
    if timing.frames < 2:
        raise forbidden_way(id, "recovery.over", {"end": stop.timing.end_ms})
    rest = rest_of(stop.brief, stop.path, stop.timing.frames, going.first, timing.frames, going.whole)
    axes = stop.brief["rig"]["axes"]
    kept = [
        {name: to_step(value, axes[name]["step"]) for name, value in setting.axes.items()}
        for setting in rest.settings
    ]
    positions = [setting.frame for setting in rest.settings]
    return Way(rest.brief, timing, positions, kept, ["set"] * len(kept)), rest
