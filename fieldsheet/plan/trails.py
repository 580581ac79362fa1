"""How far stars trail in one exposure, and how long the published rules allow.  Twin: app/core/trails.js.

The trail follows from the turning Earth, 1296000" in 86164.0905 s (IAU 1982, Aoki and others).  The rules:
500 / (crop x focal length); and that of F. Michaud (Societe astronomique du Havre) with the aperture N and
the pixel p [micrometres], (16.9 N + 0.10 f + 13.7 p) / (f cos declination).  Both take the camera to stand
still.
"""

from __future__ import annotations

from math import asin, cos, degrees, hypot, radians, sin
from typing import Any

from .aim import Base, direction_at, lens_of, place_in_frame

SIDEREAL_DAY_S = 86_164.0905
SIDEREAL_ARCSEC_PER_S = 1_296_000 / SIDEREAL_DAY_S
ARCSEC = 206_264.8  # in a radian
FULL_FRAME_MM = hypot(36.0, 24.0)
# Along the longer side of a clip.
CLIP_PX = 3840
# So near the pole stars hardly move; the rule would allow any time.
LEAST_COS = 0.05
CORE_DEG = -29.008  # of Sagittarius A*, which is the sky's core (J2000; see sky/ephemeris.py)
# Where along the frame's edge trails are looked up, corners and all.
SIDE = (-1.0, -0.75, -0.5, -0.25, 0.0, 0.25, 0.5, 0.75, 1.0)
EDGE = [(x, y) for x in SIDE for y in SIDE if 1 in (abs(x), abs(y))]
# No lens sees more than 110 degrees off its axis (common practice, no source): the cosine.
BLIND_FORWARD = -0.342


def declination_deg(latitude_deg: float, azimuth_deg: float, altitude_deg: float) -> float:
    """The declination that stands at an azimuth and altitude [deg], without refraction."""
    latitude, altitude = radians(latitude_deg), radians(altitude_deg)
    up = sin(latitude) * sin(altitude) + cos(latitude) * cos(altitude) * cos(radians(azimuth_deg))
    return degrees(asin(min(max(up, -1.0), 1.0)))


def trail_mm(declination: float, open_s: float, focal_mm: float) -> float:
    """Length on the sensor [mm] of a star's trail near the middle of the frame."""
    return SIDEREAL_ARCSEC_PER_S * cos(radians(declination)) * open_s * focal_mm / ARCSEC


def rule_500_s(focal_mm: float, sensor_mm: list[float]) -> float:
    """The 500 rule [s], the crop by the sensor's diagonal."""
    return 500 / (FULL_FRAME_MM / hypot(*sensor_mm) * focal_mm)


def rule_pixel_s(f: float, focal_mm: float, pixel_um: float, declination: float) -> float:
    """The rule with aperture and pixel [s], at its strictest (k = 1)."""
    spread = 16.9 * f + 0.10 * focal_mm + 13.7 * pixel_um
    return spread / (focal_mm * max(cos(radians(declination)), LEAST_COS))


def edge_trail_mm(brief: dict[str, Any], axis: tuple[float, float], open_s: float) -> float:
    """The longest trail [mm on the sensor] along the edge of the frame, axis as axis_of gives it.

    Stars there have another declination than in the middle, and a rectilinear lens draws them longer.
    """
    lens = lens_of(brief)
    # The plate whose upright is the pole: over it stars keep their altitude, and go round.
    dial = Base(180.0, 90 - brief["place"]["latitude_deg"])
    half_deg = SIDEREAL_ARCSEC_PER_S * open_s / 7200
    longest = 0.0
    for x, y in EDGE:
        ray, seen = lens.ray(x, y), direction_at(x, y, *axis, lens)
        if ray is None or seen is None or ray[2] < BLIND_FORWARD:
            continue
        around, above = dial.of_head(*seen)
        first = place_in_frame(*dial.of_world(around - half_deg, above), *axis, lens)
        last = place_in_frame(*dial.of_world(around + half_deg, above), *axis, lens)
        if first and last:
            right, up = (last[0] - first[0]) * lens.half_width, (last[1] - first[1]) * lens.half_height
            longest = max(longest, hypot(right, up))
    return float(longest * brief["camera"]["focal_mm"])


def trails_of(
    brief: dict[str, Any],
    declination: float,
    is_core: bool,
    open_ms: int,
    axis: tuple[float, float] | None,
) -> dict[str, Any]:
    """The trails of a brief in an exposure of open_ms, looking along axis (see axis_of).

    sensor_px is None where nobody gave the camera's pixels, and so is rule_pixel_ms; clip_px are those of a
    clip of CLIP_PX, clip_edge_px the most along its edge (None where nobody gave a tilt).
    """
    camera, long_mm = brief["camera"], max(brief["frame_mm"])
    focal_mm, pixels = camera["focal_mm"], camera["pixels"]
    trail = trail_mm(declination, open_ms / 1000, focal_mm)
    pixel_mm = camera["sensor_mm"][0] / pixels[0] if pixels else None
    clip_px = trail / long_mm * CLIP_PX
    edge_mm = axis and edge_trail_mm(brief, axis, open_ms / 1000)
    rule_s = pixel_mm and rule_pixel_s(brief["exposure"]["f"], focal_mm, pixel_mm * 1000, declination)
    return {
        "declination_deg": declination,
        "is_core": is_core,
        "open_ms": open_ms,
        "sensor_px": pixel_mm and trail / pixel_mm,
        "clip_px": clip_px,
        "clip_edge_px": None if edge_mm is None else edge_mm / long_mm * CLIP_PX,
        "rule_crop_s": rule_500_s(focal_mm, camera["sensor_mm"]),
        "rule_pixel_s": rule_s,
    }
