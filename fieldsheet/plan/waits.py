"""Keyframes are set before their target stands there: how far off it then is.  Twin: app/core/waits.js.

Also where a keyframe's aim stands beside a landmark that can be seen by day.
"""

from __future__ import annotations

from math import acos, cos, degrees, radians, sin
from typing import Any

from .aim import axis_of, inside_frame, lens_of, looks_of, wrap_deg
from .anchors import Night
from .keyframes import Setting
from .seen import is_seen, over_deg, seen_deg, stars_out

FIXED = ("north pole", "south pole")
# Farther off, a landmark is no help to a fist at arm's length.
FARTHEST_DEG = 45.0


def waits(night: Night, aim: dict[str, Any] | None, then_s: float, now_s: float) -> dict[str, Any] | None:
    """Where a keyframe's body stands now [s UTC] beside its place then: {right_deg, up_deg, seen}.

    right_deg is what pan would have to turn clockwise to follow it back.  None for an aim that does not move.
    """
    if aim is None or aim.get("target") is None or aim["target"] in FIXED:
        return None
    azimuth, altitude = seen_deg(night, aim["target"], now_s)
    azimuth_then, altitude_then = seen_deg(night, aim["target"], then_s)
    seen = is_seen(aim["target"], over_deg(night.site, azimuth, altitude), stars_out(night, now_s))
    return {"right_deg": wrap_deg(azimuth - azimuth_then), "up_deg": altitude - altitude_then, "seen": seen}


def beside_landmark(brief: dict[str, Any], setting: Setting) -> dict[str, Any] | None:
    """Where a keyframe's aim (or the middle of its frame) stands from the nearest landmark, None without one.

    {name, right_deg, up_deg, x, y}: degrees of azimuth clockwise from it, degrees above it; its own place in
    the frame, None where it is outside.  Where none is near, what pan zero looks at stands in for one, at
    whatever distance: the head's own scale measures it.  How high it stands nobody said: up_deg is None.
    """
    axis = axis_of(brief, setting.axes)
    looks = looks_of(brief, setting.axes)
    if setting.azimuth_deg is not None and setting.altitude_deg is not None:
        looks = setting.azimuth_deg, setting.altitude_deg
    if looks is None:
        return None
    near = [
        (apart, mark)
        for mark in brief["place"]["landmarks"]
        if (apart := apart_deg(looks, (mark["bearing_deg"], mark["altitude_deg"]))) <= FARTHEST_DEG
    ]
    if not near:
        return _beside_zero(brief, looks)
    mark = min(near, key=lambda pair: pair[0])[1]
    at = mark["bearing_deg"], mark["altitude_deg"]
    x, y = (axis and inside_frame(*at, *axis, lens_of(brief))) or (None, None)
    right_deg = wrap_deg(looks[0] - at[0])
    return {"name": mark["name"], "right_deg": right_deg, "up_deg": looks[1] - at[1], "x": x, "y": y}


def _beside_zero(brief: dict[str, Any], looks: tuple[float, float]) -> dict[str, Any] | None:
    if not brief["zero_sighting"]:
        return None
    right_deg = wrap_deg(looks[0] - brief["zero_bearing_deg"])
    return {"name": brief["zero_sighting"], "right_deg": right_deg, "up_deg": None, "x": None, "y": None}


def apart_deg(a: tuple[float, float], b: tuple[float, float]) -> float:
    """Degrees between two directions, each azimuth and altitude [deg]."""
    high, low = radians(a[1]), radians(b[1])
    level = cos(high) * cos(low) * cos(radians(a[0] - b[0]))
    return degrees(acos(min(max(sin(high) * sin(low) + level, -1.0), 1.0)))
