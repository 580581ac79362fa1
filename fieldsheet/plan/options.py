"""A way to go on when the night goes otherwise: what is keyed in and what comes of it.

Twin: app/core/options.js.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from math import floor, hypot
from typing import Any

from . import acts
from .aim import axis_of, direction_at, lens_of, place_in_frame
from .anchors import Night, must_reach
from .budget import budget_of
from .cautions import forbidden, too_fast
from .civil import stamp
from .keyed import gap_ms
from .keyframes import Setting, settings
from .move import Stage, path_through, staged
from .opened import Opens, carried_over
from .pace import Segment
from .planned import Placed
from .problem import PlanProblem
from .seen import seen_deg
from .timing import Timing, clip_ms
from .waits import apart_deg

Axes = dict[str, float]
# Positions are multiples of a step: nearer than that they are the same one.
SAME = 1e-6


@dataclass(frozen=True)
class Shot:
    """A shot as it was planned, on its night: its timing, and how long the shutter is open at each frame."""

    brief: dict[str, Any]
    night: Night
    timing: Timing
    opens: Opens

    def opens_in(self, timing: Timing) -> Opens:
        """The same at the same moments, counted in another timing's frames."""
        return carried_over(self.opens, self.timing, timing)


@dataclass(frozen=True)
class Way:
    """A shot as it would be keyed in: its holds, eases and keyframes are the brief's, its times the timing's.

    frames: real frame positions of the keyframes.  kept: the axis values that each keeps; None where it is
    set as the brief says, aimed anew.  keyed: what of each is keyed in again ("set", "frame" or "").
    """

    brief: dict[str, Any]
    timing: Timing
    frames: Sequence[float]
    kept: Sequence[Axes | None]
    keyed: Sequence[str]


def option(shot: Shot, way: Way, id: str, minutes: tuple[int, int]) -> dict[str, Any]:
    """A way with all its figures; `why` is the message of what it fails by, None of one that can be.

    minutes: least and most of keying in.  Raises PlanProblem for one that comes to no shot at all.
    """
    brief, timing, night = way.brief, way.timing, shot.night
    must_reach(night, timing.start_ms / 1000, timing.end_ms / 1000)
    aimed, set_to = set_by(way, night)
    path = path_through(brief, set_to, timing.frames)
    budget = budget_of(brief, timing, path, shot.opens_in(timing))
    placed = Placed(brief, night, timing, set_to, acts.limits(brief, night, timing))
    return {
        "id": id,
        "why": _why(brief, budget, staged(path, timing)),
        "minutes": list(minutes),
        "frames": timing.frames,
        "interval_ms": timing.keyed_ms,
        "gap_ms": gap_ms(brief, timing.keyed_ms),
        "segments": [_segment(brief, timing, segment) for segment in timing.segments],
        "dwell_ms": budget["dwell_ms"],
        "hold": brief["hold"],
        "ease": brief["ease"],
        "start": stamp(night.spans, timing.start_ms),
        "end": stamp(night.spans, timing.end_ms),
        "later_ms": timing.end_ms - shot.timing.end_ms,
        "clip_ms": clip_ms(brief, timing.frames),
        "slack_ms": budget["slack_ms"],
        "sun_deg": [seen_deg(night, "sun", ms / 1000)[1] for ms in (timing.start_ms, timing.end_ms)],
        "keyframes": [
            _keyframe(night, way, index, setting, aimed[index]) for index, setting in enumerate(set_to)
        ],
        "troubles": forbidden(placed),
    }


def set_by(way: Way, night: Night) -> tuple[list[Setting], list[Setting]]:
    """Each keyframe as it would be aimed at its moment, and as it is set."""
    aimed = settings(way.brief, night, way.timing, list(way.frames))
    set_to = [
        here if kept is None else _stands(way.brief, here, kept)
        for here, kept in zip(aimed, way.kept, strict=True)
    ]
    return aimed, set_to


def tried(id: str, make: Callable[[], dict[str, Any]]) -> dict[str, Any]:
    """What `make` gives, or the option with the reason why it comes to no shot."""
    try:
        return make()
    except PlanProblem as problem:
        return without(id, problem.id + ".found", problem.args_)


def without(id: str, why: str, args: Mapping[str, Any] | None = None) -> dict[str, Any]:
    """An option that there is no sense in, with its reason."""
    return {"id": id, "why": {"id": why, "args": args or {}}}


def forbidden_way(id: str, why: str, args: Mapping[str, Any] | None = None) -> PlanProblem:
    """The problem of taking an option that there is no sense in."""
    return PlanProblem(
        "problem.way", {"way": "option." + id, "why": {"id": why, "args": args or {}}}, "start"
    )


def name_of(number: int, last: int) -> str:
    """The message of what a keyframe is called among so many."""
    if last == 1:
        return "keyframe.only"
    if number == 1:
        return "keyframe.start"
    if number == last:
        return "keyframe.end"
    return "keyframe.middle" if last == 3 else "keyframe.between"


def _stands(brief: dict[str, Any], here: Setting, axes: Axes) -> Setting:
    """The keyframe of a moment with other axis values than it would be aimed with."""
    if here.azimuth_deg is None or here.altitude_deg is None:
        return replace(here, axes=axes)
    axis = axis_of(brief, axes)
    assert axis is not None, "what is aimed has a tilt"
    spot = place_in_frame(here.azimuth_deg, here.altitude_deg, *axis, lens_of(brief))
    x, y = spot if spot is not None else (None, None)
    return replace(here, axes=axes, x=x, y=y)


def _segment(brief: dict[str, Any], timing: Timing, segment: Segment) -> dict[str, Any]:
    told_ms = timing.told_ms(segment)
    return {
        "first_frame": segment.first_frame,
        "interval_ms": told_ms,
        "gap_ms": gap_ms(brief, told_ms),
    }


def _why(brief: dict[str, Any], budget: dict[str, Any], stages: list[Stage]) -> dict[str, Any] | None:
    if budget["slack_ms"] < 0:
        args = {
            "short": -budget["slack_ms"],
            "interval": budget["interval_ms"],
            "needed": budget["needed_ms"],
        }
        return {"id": "option.short", "args": args}
    fast = next(too_fast(brief, stages), None)
    return fast and {"id": "option.too-fast", "args": {"axis": fast[0]}}


def _keyframe(night: Night, way: Way, index: int, setting: Setting, aimed: Setting) -> dict[str, Any]:
    """off: {deg, share} of the frame's width that a target is then off its intended place, each None where
    the lens does not show it; aimed: what axis values would put it there, None where it is set so.
    """
    brief, last = way.brief, len(way.frames)
    aim = brief["keyframes"][index]["aim"] or {}
    follows = "target" in aim
    is_kept = way.kept[index] is not None
    return {
        "number": index + 1,
        "name": name_of(index + 1, last),
        "rig_number": last - index if brief["order"] == "last-to-first" else index + 1,
        "nearest_frame": floor(setting.frame + 0.5),
        "time": stamp(night.spans, way.timing.ms_of(setting.frame)),
        "axes": setting.axes,
        "keyed": way.keyed[index],
        "target": aim["target"] if follows else None,
        "off": _off(brief, aim, setting) if follows else None,
        "aimed": _aimed_otherwise(aimed.axes, setting.axes) if follows and is_kept else None,
    }


def _off(brief: dict[str, Any], aim: dict[str, Any], setting: Setting) -> dict[str, Any]:
    axis, lens = axis_of(brief, setting.axes), lens_of(brief)
    assert axis is not None and setting.azimuth_deg is not None and setting.altitude_deg is not None
    meant = direction_at(aim["x"], aim["y"], *axis, lens)
    share = None
    if setting.x is not None and setting.y is not None:
        up = (setting.y - aim["y"]) * lens.half_height / lens.half_width
        share = hypot(setting.x - aim["x"], up) / 2
    deg = None if meant is None else apart_deg(meant, (setting.azimuth_deg, setting.altitude_deg))
    return {"deg": deg, "share": share}


def _aimed_otherwise(aimed: Axes, kept: Axes) -> Axes | None:
    """The values aimed anew, pan in the turn nearest to what is kept; None where they are the same."""
    turn = 360 * floor((kept["pan"] - aimed["pan"]) / 360 + 0.5)
    axes = {**aimed, "pan": aimed["pan"] + turn}
    return None if same_axes(axes, kept) else axes


def same_axes(axes: Axes, others: Axes) -> bool:
    """Whether a hand would set both alike."""
    return all(abs(axes[name] - value) < SAME for name, value in others.items())
