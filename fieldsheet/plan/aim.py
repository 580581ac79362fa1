"""Exact rectilinear framing with a levelled head: a place in the frame to pan and tilt, and back.

Twin: app/core/aim.js.

The frame's coordinates x (right) and y (up) run from -1 to 1 across the delivered frame; the half tangents
are half the frame's width and height over the focal length.  The pan axis stands vertical.  The formulas
are the rotation of the pinhole camera's ray (x tx, y ty, 1) by tilt and pan, solved for both angles.
"""

from __future__ import annotations

from math import asin, atan2, cos, degrees, floor, hypot, radians, sin
from typing import Any


def half_tangents(brief: dict[str, Any]) -> tuple[float, float]:
    """Tangents of half the angle of view across and up the delivered frame."""
    width_mm, height_mm = brief["frame_mm"]
    focal_mm = brief["camera"]["focal_mm"]
    return width_mm / (2 * focal_mm), height_mm / (2 * focal_mm)


def wrap_deg(angle_deg: float) -> float:
    """The equivalent angle in [-180, 180)."""
    return angle_deg - 360 * floor((angle_deg + 180) / 360)


def aim_at(
    azimuth_deg: float, altitude_deg: float, x: float, y: float, tangents: tuple[float, float]
) -> tuple[float, float] | None:
    """Azimuth and tilt [deg] of the optical axis that put a direction at (x, y); None where no tilt does."""
    right, up = x * tangents[0], y * tangents[1]
    length = hypot(hypot(right, up), 1.0)
    lift = sin(radians(altitude_deg)) * length / hypot(up, 1.0)
    if abs(lift) > 1:
        return None
    tilt = asin(lift) - atan2(up, 1.0)
    ahead = cos(tilt) - up * sin(tilt)
    if ahead < 0:
        return None
    return azimuth_deg - degrees(atan2(right, ahead)), degrees(tilt)


def place_in_frame(
    azimuth_deg: float, altitude_deg: float, axis_deg: float, tilt_deg: float, tangents: tuple[float, float]
) -> tuple[float, float] | None:
    """Frame coordinates (x, y) of a direction, the axis at azimuth axis_deg; None behind the camera."""
    across = radians(azimuth_deg - axis_deg)
    altitude, tilt = radians(altitude_deg), radians(tilt_deg)
    level = cos(altitude) * cos(across)
    forward = level * cos(tilt) + sin(altitude) * sin(tilt)
    if forward <= 0:
        return None
    right = cos(altitude) * sin(across)
    up = sin(altitude) * cos(tilt) - level * sin(tilt)
    return right / forward / tangents[0], up / forward / tangents[1]
