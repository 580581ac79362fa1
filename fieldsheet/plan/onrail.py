"""The head and its rail: how the horizon rolls, what passes near by, whether the rail shows.

Twin: app/core/onrail.js
"""

from __future__ import annotations

from math import acos, atan2, cos, degrees, hypot, radians, sin
from typing import Any

from .aim import Ray, base_of, inside_frame, looks_of, roll_deg
from .scene import Scene, largest, moment

# How far out of level a careful hand leaves a head (common practice, no source).
LEVEL_ERROR_DEG = 0.5
# A rail goes on behind the carriage's travel: half a carriage and a soft margin (common practice, no source).
BEYOND_MM = 85.0
# The rail is looked for at its end, and at these parts of the way to it.
PARTS = (1.0, 0.75, 0.5, 0.25)
UPRIGHT_DEG = 60.0


def lean(scene: Scene) -> dict[str, Any]:
    """How the horizon lies in the picture: {rolls, worst, swing_deg}.

    rolls: degrees clockwise at each keyframe, and worst {frame, time, roll_deg}, both for a head that leans;
    else [] and None.  swing_deg: by how much more the roll changes over the shot where the head is
    LEVEL_ERROR_DEG out of level in the direction that matters most.
    """
    frames = scene.frames()
    axes = [scene.axis(frame)[0] for frame in frames]
    panned = min(max(axes) - min(axes), 180.0)
    swing = 2 * LEVEL_ERROR_DEG * sin(radians(panned / 2))
    base = scene.lens.base
    if base is None:
        return {"rolls": [], "worst": None, "swing_deg": swing}
    roll, frame = largest([(roll_deg(*scene.axis(frame), base), frame) for frame in frames])
    rolls = [roll_deg(*scene.axis(setting.frame), base) for setting in scene.path.settings]
    return {"rolls": rolls, "worst": {**moment(scene, frame), "roll_deg": roll}, "swing_deg": swing}


def foreground(scene: Scene) -> dict[str, float] | None:
    """How far something foreground_m ahead of the lens at frame 1 is shifted by the way of the rail.

    {metres, travel_mm, shift_deg, widths}: widths of the frame.  None where no distance was given or nothing
    moves.
    """
    brief, metres = scene.brief, scene.brief["foreground_m"]
    looks = looks_of(brief, scene.path.at(1))
    if metres is None or looks is None or brief["rail"] is None:
        return None
    slides = [setting.axes["slide"] - scene.path.settings[0].axes["slide"] for setting in scene.path.settings]
    travel_mm, _ = largest([(slide, 0) for slide in slides])
    if travel_mm == 0:
        return None
    ahead = radians(looks[0])
    there = metres * sin(ahead), metres * cos(ahead), 0.0
    along = _along(brief["rail"])
    seen = tuple(there[n] - along[n] * travel_mm / 1000 for n in range(3))
    shift = _apart_deg(there, (seen[0], seen[1], seen[2]))
    return {
        "metres": metres,
        "travel_mm": abs(travel_mm),
        "shift_deg": shift,
        "widths": shift / scene.lens.view_deg()[0],
    }


def own_rig(scene: Scene) -> dict[str, Any] | None:
    """The first frame that shows an end of the rail: {first}, {frame, time, end} or None.

    None as a whole where nobody said how high the lens stands over the rail, or where the rail is upright.
    """
    brief = scene.brief
    rail, over_mm = brief["rail"], brief["rig"]["lens_over_rail_mm"]
    if over_mm is None or rail is None or abs(rail["incline_deg"]) > UPRIGHT_DEG:
        return None
    before = None
    for frame in scene.frames():
        if _end_shown(scene, frame) is not None:
            first = frame if before is None else _first_shown(scene, before, frame)
            return {"first": {**moment(scene, first), "end": _end_shown(scene, first)}}
        before = frame
    return {"first": None}


def _first_shown(scene: Scene, hidden: int, shown: int) -> int:
    """Of the frames after a hidden one up to a shown one the first that shows an end."""
    while shown - hidden > 1:
        middle = (hidden + shown) // 2
        if _end_shown(scene, middle) is None:
            hidden = middle
        else:
            shown = middle
    return shown


def _end_shown(scene: Scene, frame: int) -> str | None:
    """The end of the rail ("home" or "far") of which a part is in the frame."""
    axis, travel = scene.brief["rig"]["axes"]["slide"], scene.path.at(frame)["slide"]
    ends = (("home", axis["min"] - travel - BEYOND_MM), ("far", axis["max"] - travel + BEYOND_MM))
    for end, reach_mm in ends:
        for part in PARTS:
            direction = _down_to(scene, reach_mm * part)
            if inside_frame(*direction, *scene.axis(frame), scene.lens) is not None:
                return end
    return None


def _down_to(scene: Scene, along_mm: float) -> tuple[float, float]:
    """True azimuth and altitude [deg] from the lens to a point of the rail, so far from under it."""
    rail, over_mm = scene.brief["rail"], scene.brief["rig"]["lens_over_rail_mm"]
    along = _along(rail)
    leans = base_of(scene.brief)
    # A head that follows its rail stands at right angles to it, a levelled one plumb.
    up = _up(leans.bearing_deg, leans.rise_deg) if leans else (0.0, 0.0, 1.0)
    east, north, height = (along[n] * along_mm - up[n] * over_mm for n in range(3))
    return degrees(atan2(east, north)), degrees(atan2(height, hypot(east, north)))


def _along(rail: dict[str, Any]) -> Ray:
    """East, north and up of the direction from the home end to the far end."""
    incline = radians(rail["incline_deg"])
    bearing = radians(rail["bearing_deg"] or 0.0)
    return cos(incline) * sin(bearing), cos(incline) * cos(bearing), sin(incline)


def _up(bearing_deg: float, rise_deg: float) -> Ray:
    """East, north and up of what stands at right angles on a plate that rises towards a bearing."""
    bearing, rise = radians(bearing_deg), radians(rise_deg)
    return -sin(rise) * sin(bearing), -sin(rise) * cos(bearing), cos(rise)


def _apart_deg(a: Ray, b: Ray) -> float:
    size = hypot(*a) * hypot(*b)
    dot = sum(a[n] * b[n] for n in range(3))
    return degrees(acos(min(max(dot / size, -1.0), 1.0))) if size else 90.0
