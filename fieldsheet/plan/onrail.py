"""The head and its rail: how the horizon rolls, what passes near by.

Twin: app/core/onrail.js
"""

from __future__ import annotations

from math import acos, cos, degrees, hypot, radians, sin
from typing import Any

import numpy as np

from .aim import Ray, looks_of, roll_deg
from .gaze import Gaze
from .scene import Scene, largest, moment
from .tracked import clip_px

# How far out of level a careful hand leaves a head (common practice, no source).
LEVEL_ERROR_DEG = 0.5
# By how much a rail bends or turns under its carriage without anybody seeing it (common practice, no source).
SAG_DEG = 0.1
# Tilted higher, a fisheye draws the horizon as a ring, of which nobody says that it rolls (our own choice).
RING_DEG = 60.0


def lean(scene: Scene) -> dict[str, Any]:
    """How the horizon lies in the picture: {rolls, worst, swing_deg}.

    rolls: degrees clockwise at each keyframe, and worst {frame, time, roll_deg}, both for a head that leans;
    else [] and None.  swing_deg: by how much more the roll changes over the shot where the head is
    LEVEL_ERROR_DEG out of level in the direction that matters most, of the frames that may show the horizon.
    """
    frames, gaze = scene.looked
    axes = gaze.axes.tolist()
    swing, base = _swing_deg(gaze), scene.lens.base
    if base is None:
        return {"rolls": [], "worst": None, "swing_deg": swing}
    rolls = [roll_deg(azimuth, tilt, base) for azimuth, tilt in axes]
    roll, frame = largest(list(zip(rolls, frames, strict=True)))
    rolls = [roll_deg(*scene.axis(setting.frame), base) for setting in scene.path.settings]
    return {"rolls": rolls, "worst": {**moment(scene, frame), "roll_deg": roll}, "swing_deg": swing}


def _swing_deg(gaze: Gaze) -> float:
    """The difference of rolls that an upright LEVEL_ERROR_DEG off makes: its part across over cos(altitude).

    Across is at right angles to the azimuth, so the most of all directions is how far apart two frames'
    azimuths lie, drawn as arrows 1 / cos(altitude) long.
    """
    east, north, up = gaze.forward.T
    shows = np.abs(up) < sin(radians(min(gaze.lens.view_deg()[1] / 2, RING_DEG)))
    level = (east * east + north * north)[shows]
    arrows = (east[shows] + 1j * north[shows]) / level
    return float(LEVEL_ERROR_DEG * np.abs(arrows[:, np.newaxis] - arrows).max(initial=0.0))


def foreground(scene: Scene) -> dict[str, float] | None:
    """How far something foreground_m ahead of the lens at frame 1 is shifted by the way of the rail.

    {metres, travel_mm, shift_deg, widths}: widths of the view.  None where no distance was given or nothing
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
    way = along(brief["rail"])
    seen = tuple(there[n] - way[n] * travel_mm / 1000 for n in range(3))
    shift = _apart_deg(there, (seen[0], seen[1], seen[2]))
    return {
        "metres": metres,
        "travel_mm": abs(travel_mm),
        "shift_deg": shift,
        "widths": shift / scene.lens.view_deg()[0],
    }


def sag(scene: Scene) -> dict[str, Any] | None:
    """What SAG_DEG of sag or twist of a rail does to the middle of the frame: {share, px}; None without one.

    share: of the frame's width; px: of the clip, None where nobody gave the camera's.
    """
    if scene.brief["rail"] is None:
        return None
    share = radians(SAG_DEG) / (2 * scene.lens.half_width)
    across_px = clip_px(scene.brief)
    return {"share": share, "px": None if across_px is None else share * across_px}


def along(rail: dict[str, Any]) -> Ray:
    """East, north and up of the direction from the home end to the far end."""
    incline = radians(rail["incline_deg"])
    bearing = radians(rail["bearing_deg"] or 0.0)
    return cos(incline) * sin(bearing), cos(incline) * cos(bearing), sin(incline)


def _apart_deg(a: Ray, b: Ray) -> float:
    size = hypot(*a) * hypot(*b)
    dot = sum(a[n] * b[n] for n in range(3))
    return degrees(acos(min(max(dot / size, -1.0), 1.0))) if size else 90.0
