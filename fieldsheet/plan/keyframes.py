"""What each keyframe is set to: values a hand can set, no jumps of pan.  Twin: app/core/keyframes.js."""

from __future__ import annotations

from dataclasses import dataclass
from functools import partial
from math import floor
from typing import Any

from .aim import aim_at, lens_of, pan_zero_deg, place_in_frame, wrap_deg
from .anchors import Night
from .problem import PlanProblem, each
from .seen import seen_deg
from .timing import Timing

TRACK_STEPS = 24
TURNS = (0, -1, 1, -2, 2)


@dataclass(frozen=True)
class Setting:
    """One keyframe: its real frame position, axis values as set, and where its target then stands.

    azimuth_deg and altitude_deg (apparent) are None for a keyframe given by axis values alone, as are x and
    y where the target is behind the camera.
    """

    frame: float
    axes: dict[str, float]
    azimuth_deg: float | None
    altitude_deg: float | None
    x: float | None
    y: float | None


def direction_deg(aim: dict[str, Any], night: Night, utc_ms: float) -> tuple[float, float]:
    """True azimuth and apparent altitude [deg] of what a keyframe aims at, at an instant [ms UTC]."""
    if "target" not in aim:
        return aim["bearing_deg"], aim["altitude_deg"]
    return seen_deg(night, aim["target"], utc_ms / 1000)


def settings(brief: dict[str, Any], night: Night, timing: Timing, frames: list[float]) -> list[Setting]:
    """The values to set at each keyframe, rounded to what the rig's scales allow.

    A keyframe that is `kept` stands at those axis values, wherever its target then is.
    """
    axes = each(partial(_axes_of, brief, index, night, timing.ms_of(at)) for index, at in enumerate(frames))
    if axes and "pan" in brief["rig"]["axes"]:
        for values, pan in zip(axes, _unwrapped(brief, night, timing, frames, axes), strict=True):
            values["pan"] = pan
    return [
        _setting(brief, index, night, timing.ms_of(frame), frame, values)
        for index, (frame, values) in enumerate(zip(frames, axes, strict=True))
    ]


def _axes_of(brief: dict[str, Any], index: int, night: Night, utc_ms: int) -> dict[str, float]:
    """Axis values in the order of the rig's axes; pan in [-180, 180) as yet."""
    keyframe = brief["keyframes"][index]
    if "kept" in keyframe:
        return dict(keyframe["kept"])
    given = dict(keyframe["axes"])
    if keyframe["aim"] is not None:
        given["pan"], given["tilt"] = _pan_tilt(brief, index, night, utc_ms)
    return {name: to_step(given[name], axis["step"]) for name, axis in brief["rig"]["axes"].items()}


def _pan_tilt(brief: dict[str, Any], index: int, night: Night, utc_ms: float) -> tuple[float, float]:
    aim = brief["keyframes"][index]["aim"]
    azimuth, altitude = direction_deg(aim, night, utc_ms)
    pointed = aim_at(azimuth, altitude, aim["x"], aim["y"], lens_of(brief))
    if pointed is None:
        args = {"number": index + 1, "altitude": altitude, "x": aim["x"], "y": aim["y"]}
        raise PlanProblem("problem.aim", args, f"keyframe.{index}.aim")
    return wrap_deg(pointed[0] - pan_zero_deg(brief)), pointed[1]


def _unwrapped(
    brief: dict[str, Any], night: Night, timing: Timing, frames: list[float], axes: list[dict[str, float]]
) -> list[float]:
    """Pan at each keyframe, without jumps, and inside limits and cables if any whole turn brings it there.

    A pan given as a number is where the hand sets it; an aimed one takes the turn that follows from the
    keyframe before, and the first one the turn that keeps the limits, moves least and is nearest zero.
    """
    aimed = [keyframe["aim"] is not None and "kept" not in keyframe for keyframe in brief["keyframes"]]
    turns = [_turn(brief, index, night, timing, frames, axes) for index in range(1, len(axes))]
    first = axes[0]["pan"]
    starts = sorted((first + 360 * turn for turn in TURNS), key=abs) if aimed[0] else [first]
    ways = []
    for start in starts:
        pans = [start]
        for values, is_aimed, turn in zip(axes[1:], aimed[1:], turns, strict=True):
            pans.append(pans[-1] + turn if is_aimed else values["pan"])
        ways.append(pans)
    low, high = reach(brief["rig"]["axes"]["pan"])
    within = [way for way in ways if low <= min(way) and max(way) <= high]
    return min(within or ways, key=_travel_mdeg)


def reach(axis: dict[str, Any]) -> tuple[float, float]:
    """The lowest and the highest position that an axis's limits, and a pan's cables, allow."""
    wrap = axis.get("wrap_deg")
    return (axis["min"], axis["max"]) if wrap is None else (max(axis["min"], -wrap), min(axis["max"], wrap))


def _travel_mdeg(pans: list[float]) -> int:
    """The whole way of pan in thousandths of a degree: whole, so that rounding noise decides nothing."""
    steps = (abs(after - before) for before, after in zip(pans, pans[1:], strict=False))
    return floor(sum(steps) * 1000 + 0.5)


def _turn(
    brief: dict[str, Any],
    index: int,
    night: Night,
    timing: Timing,
    frames: list[float],
    axes: list[dict[str, float]],
) -> float:
    """Degrees of pan from the keyframe before: as `turn` says, along the tracked path, or the shorter way."""
    change = axes[index]["pan"] - axes[index - 1]["pan"]
    keyframe, before = brief["keyframes"][index], brief["keyframes"][index - 1]
    if keyframe["turn"] == "cw":
        return change - 360 * floor(change / 360)
    if keyframe["turn"] == "ccw":
        return -(-change - 360 * floor(-change / 360))
    aim, aim_before = keyframe["aim"], before["aim"]
    if aim and aim_before and "target" in aim and aim["target"] == aim_before.get("target"):
        tracked = _tracked_deg(aim, night, timing, frames[index - 1], frames[index])
        return change + 360 * floor((tracked - change) / 360 + 0.5)
    return wrap_deg(change)


def _tracked_deg(aim: dict[str, Any], night: Night, timing: Timing, first: float, last: float) -> float:
    """Degrees through which the target's azimuth runs between two frame positions, turns included."""
    total = 0.0
    azimuth, _ = direction_deg(aim, night, timing.ms_of(first))
    for step in range(1, TRACK_STEPS + 1):
        following, _ = direction_deg(aim, night, timing.ms_of(first + (last - first) * step / TRACK_STEPS))
        total += wrap_deg(following - azimuth)
        azimuth = following
    return total


def _setting(
    brief: dict[str, Any], index: int, night: Night, utc_ms: int, frame: float, axes: dict[str, float]
) -> Setting:
    aim = brief["keyframes"][index]["aim"]
    if aim is None:
        return Setting(frame, axes, None, None, None, None)
    azimuth, altitude = direction_deg(aim, night, utc_ms)
    axis_deg = pan_zero_deg(brief) + axes["pan"]
    spot = place_in_frame(azimuth, altitude, axis_deg, axes["tilt"], lens_of(brief))
    x, y = spot if spot is not None else (None, None)
    return Setting(frame, axes, azimuth, altitude, x, y)


def to_step(value: float, step: float) -> float:
    """The nearest multiple of a scale's step; the nudge settles ties alike in both languages."""
    return floor(value / step + 0.5 + 1e-9) * step
