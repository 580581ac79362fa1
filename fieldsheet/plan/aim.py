"""Exact framing: a place in the frame to pan and tilt, and back.  Twin: app/core/aim.js.

The frame's coordinates x (right) and y (up) run from -1 to 1 across the delivered frame.  A lens turns them
into a ray (right, up, forward) of length one and back; the ray turned by tilt and pan, solved for both
angles, gives the aim.  A head that leans has directions of its own: those of the world, turned as its plate
is.  Projections: r = f tan(theta) rectilinear, f theta equidistant, 2 f sin(theta / 2) equisolid (r on the
sensor, theta from the optical axis).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from math import acos, asin, atan, atan2, copysign, cos, degrees, floor, hypot, pi, radians, sin
from typing import Any

Ray = tuple[float, float, float]


@dataclass(frozen=True)
class Base:
    """The plate that a leaning head stands on: it rises by rise_deg towards a true bearing."""

    bearing_deg: float
    rise_deg: float

    def of_head(self, azimuth_deg: float, altitude_deg: float) -> tuple[float, float]:
        """A direction of the world, as azimuth and altitude [deg] over the plate."""
        return _leant(azimuth_deg, altitude_deg, self.bearing_deg, self.rise_deg)

    def of_world(self, azimuth_deg: float, altitude_deg: float) -> tuple[float, float]:
        """A direction over the plate, as azimuth and altitude [deg] in the world."""
        return _leant(azimuth_deg, altitude_deg, self.bearing_deg, -self.rise_deg)

    def axes(self) -> tuple[Ray, Ray, Ray]:
        """East, north and up over the plate, in the world: (east, north, up) each."""
        bearing, rise = radians(self.bearing_deg), radians(self.rise_deg)
        east, north, less, up = sin(bearing), cos(bearing), cos(rise) - 1, sin(rise)
        return (
            (1 + less * east * east, less * east * north, up * east),
            (less * east * north, 1 + less * north * north, up * north),
            (-up * east, -up * north, cos(rise)),
        )


def _leant(
    azimuth_deg: float, altitude_deg: float, bearing_deg: float, rise_deg: float
) -> tuple[float, float]:
    """A direction, as seen from what rises towards a bearing; the azimuth in the same turn as before."""
    aside, altitude, rise = radians(azimuth_deg - bearing_deg), radians(altitude_deg), radians(rise_deg)
    ahead, across, up = cos(altitude) * cos(aside), cos(altitude) * sin(aside), sin(altitude)
    along, over = ahead * cos(rise) + up * sin(rise), up * cos(rise) - ahead * sin(rise)
    turned = bearing_deg + degrees(atan2(across, along))
    return azimuth_deg + wrap_deg(turned - azimuth_deg), degrees(atan2(over, hypot(along, across)))


@dataclass(frozen=True)
class Lens:
    """Half the delivered frame's width and height over the focal length, how it projects and stands.

    base: what the head leans with; None for a levelled one, whose directions are those of the world.
    """

    half_width: float
    half_height: float
    projection: str
    base: Base | None = None

    def ray(self, x: float, y: float) -> Ray | None:
        """The ray through a place in the frame; None where this lens shows nothing there."""
        right, up = x * self.half_width, y * self.half_height
        r = hypot(right, up)
        if self.projection == "rectilinear":
            length = hypot(r, 1.0)
            return right / length, up / length, 1 / length
        if r == 0:
            return 0.0, 0.0, 1.0
        if r > self._outermost():
            return None
        theta = r if self.projection == "equidistant" else 2 * asin(r / 2)
        return sin(theta) * right / r, sin(theta) * up / r, cos(theta)

    def spot(self, ray: Ray) -> tuple[float, float] | None:
        """The place (x, y) in the frame of a ray; None where this lens cannot show it at all."""
        right, up, forward = ray
        if self.projection == "rectilinear":
            if forward <= 0:
                return None
            return right / forward / self.half_width, up / forward / self.half_height
        theta, across = acos(min(max(forward, -1.0), 1.0)), hypot(right, up)
        if across == 0:
            return (0.0, 0.0) if forward > 0 else None
        r = theta if self.projection == "equidistant" else 2 * sin(theta / 2)
        return right / across * r / self.half_width, up / across * r / self.half_height

    def view_deg(self) -> tuple[float, float]:
        """Angles of view across and up the middle of the delivered frame."""
        return self._angle_deg(self.half_width), self._angle_deg(self.half_height)

    def _angle_deg(self, half: float) -> float:
        if self.projection == "rectilinear":
            return degrees(2 * atan(half))
        half = min(half, self._outermost())
        return degrees(2 * half if self.projection == "equidistant" else 4 * asin(half / 2))

    def _outermost(self) -> float:
        """The r at which a fisheye has turned right round."""
        return pi if self.projection == "equidistant" else 2.0


def lens_of(brief: dict[str, Any]) -> Lens:
    """The lens of a brief, over its delivered frame."""
    width_mm, height_mm = brief["frame_mm"]
    focal_mm = brief["camera"]["focal_mm"]
    projection = brief["camera"]["projection"]
    return Lens(width_mm / (2 * focal_mm), height_mm / (2 * focal_mm), projection, base_of(brief))


def base_of(brief: dict[str, Any]) -> Base | None:
    """What the head of a brief leans with: the rail that it follows, and what its base is said to be off.

    None where it stands level.
    """
    rail, plate = brief["rail"], None
    if brief["head_base"] != "levelled" and rail is not None and rail["incline_deg"]:
        plate = Base(rail["bearing_deg"], rail["incline_deg"])
    off = brief["base_pitch_deg"], brief["base_roll_deg"]
    return _tipped(plate, float(brief["zero_bearing_deg"]), *off) if any(off) else plate


@lru_cache(maxsize=64)
def _tipped(plate: Base | None, zero_deg: float, pitch_deg: float, roll_deg: float) -> Base:
    """A plate that rises by a pitch towards pan zero, then by a roll to the left of it: by its upright."""
    pitch, roll = radians(pitch_deg), radians(roll_deg)
    right, ahead, up = sin(roll), -cos(roll) * sin(pitch), cos(roll) * cos(pitch)
    upright = degrees(atan2(right, ahead)), degrees(atan2(up, hypot(right, ahead)))
    azimuth_deg = _zero_over(plate, zero_deg) + upright[0]
    leant = (azimuth_deg, upright[1]) if plate is None else plate.of_world(azimuth_deg, upright[1])
    return Base((leant[0] + 180) % 360, 90 - leant[1])


def pan_zero_deg(brief: dict[str, Any]) -> float:
    """Azimuth over the head's plate at which pan is 0: level tilt then looks along the zero bearing."""
    return _zero_over(base_of(brief), float(brief["zero_bearing_deg"]))


def _zero_over(base: Base | None, zero_deg: float) -> float:
    """Azimuth over a plate of what stands, level over it, at a true bearing."""
    if base is None:
        return zero_deg
    aside = radians(zero_deg - base.bearing_deg)
    turned = base.bearing_deg + degrees(atan2(sin(aside) * cos(radians(base.rise_deg)), cos(aside)))
    return zero_deg + wrap_deg(turned - zero_deg)


def axis_of(brief: dict[str, Any], axes: Mapping[str, float]) -> tuple[float, float] | None:
    """Azimuth and tilt [deg] of the optical axis over the head's plate; None where nobody gave a tilt.

    A rig without a pan axis looks along the zero bearing, one without a tilt axis as the shot's tilt_deg.
    """
    tilt_deg = axes.get("tilt", brief["tilt_deg"])
    if tilt_deg is None:
        return None
    return pan_zero_deg(brief) + axes.get("pan", 0.0), tilt_deg


def looks_of(brief: dict[str, Any], axes: Mapping[str, float]) -> tuple[float, float] | None:
    """True azimuth and altitude [deg] that the lens looks at at some axis values; None without a tilt."""
    axis, base = axis_of(brief, axes), base_of(brief)
    if axis is None:
        return None
    return _faced(*axis) if base is None else base.of_world(*axis)


def _faced(azimuth_deg: float, tilt_deg: float) -> tuple[float, float]:
    """The same direction by an altitude of 90 at most: tilted past the zenith, a lens looks back."""
    tilt_deg = wrap_deg(tilt_deg)
    if abs(tilt_deg) <= 90:
        return azimuth_deg, tilt_deg
    return azimuth_deg + 180, copysign(180, tilt_deg) - tilt_deg


def by_compass(place: dict[str, Any], azimuth_deg: float) -> list[float | None]:
    """[true azimuth, declination or None] in degrees, east positive, at the place of a brief."""
    declination = place.get("declination")
    return [azimuth_deg, declination and declination["deg"]]


def wrap_deg(angle_deg: float) -> float:
    """The equivalent angle in [-180, 180)."""
    return angle_deg - 360 * floor((angle_deg + 180) / 360)


def aim_at(
    azimuth_deg: float, altitude_deg: float, x: float, y: float, lens: Lens
) -> tuple[float, float] | None:
    """Azimuth and tilt [deg] over the plate that put a direction at (x, y); None where no tilt does."""
    ray = lens.ray(x, y)
    if ray is None:
        return None
    if lens.base is not None:
        azimuth_deg, altitude_deg = lens.base.of_head(azimuth_deg, altitude_deg)
    right, up, forward = ray
    lift = sin(radians(altitude_deg)) / hypot(up, forward)
    if abs(lift) > 1:
        return None
    tilt = asin(lift) - atan2(up, forward)
    ahead = forward * cos(tilt) - up * sin(tilt)
    if ahead < 0:
        return None
    return azimuth_deg - degrees(atan2(right, ahead)), degrees(tilt)


def direction_at(
    x: float, y: float, axis_deg: float, tilt_deg: float, lens: Lens
) -> tuple[float, float] | None:
    """Azimuth and altitude [deg] of what stands at a place in the frame; None where the lens is blind."""
    ray = lens.ray(x, y)
    if ray is None:
        return None
    right, up, forward = ray
    tilt = radians(tilt_deg)
    level = forward * cos(tilt) - up * sin(tilt)
    height = forward * sin(tilt) + up * cos(tilt)
    found = axis_deg + degrees(atan2(right, level)), degrees(atan2(height, hypot(right, level)))
    return found if lens.base is None else lens.base.of_world(*found)


def roll_deg(axis_deg: float, tilt_deg: float, base: Base) -> float:
    """How far [deg] the horizon rolls in the middle of the frame, clockwise positive, on a leaning head."""
    aside, rise, tilt = radians(base.bearing_deg - axis_deg), radians(base.rise_deg), radians(tilt_deg)
    # The world's upright over the plate: it leans towards the way the plate rises.
    right, level = sin(rise) * sin(aside), sin(rise) * cos(aside)
    return degrees(atan2(right, cos(rise) * cos(tilt) - level * sin(tilt)))


def inside_frame(
    azimuth_deg: float, altitude_deg: float, axis_deg: float, tilt_deg: float, lens: Lens
) -> tuple[float, float] | None:
    """As place_in_frame, but None also for what lies outside the delivered frame."""
    spot = place_in_frame(azimuth_deg, altitude_deg, axis_deg, tilt_deg, lens)
    return spot if spot is not None and max(abs(spot[0]), abs(spot[1])) <= 1 else None


def place_in_frame(
    azimuth_deg: float, altitude_deg: float, axis_deg: float, tilt_deg: float, lens: Lens
) -> tuple[float, float] | None:
    """Frame coordinates (x, y) of a direction, the axis at axis_deg and tilt_deg over the plate.

    None where the lens is blind.
    """
    if lens.base is not None:
        azimuth_deg, altitude_deg = lens.base.of_head(azimuth_deg, altitude_deg)
    across = radians(azimuth_deg - axis_deg)
    altitude, tilt = radians(altitude_deg), radians(tilt_deg)
    level = cos(altitude) * cos(across)
    forward = level * cos(tilt) + sin(altitude) * sin(tilt)
    right = cos(altitude) * sin(across)
    up = sin(altitude) * cos(tilt) - level * sin(tilt)
    return lens.spot((right, up, forward))
