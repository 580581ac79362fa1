"""How far stars trail in one exposure, and how long the published rules allow.  Twin: app/core/trails.js.

The trail follows from the turning Earth, 1296000" in 86164.0905 s (IAU 1982, Aoki and others).  The rules:
500 / (crop x focal length); and that of F. Michaud (Societe astronomique du Havre) with the aperture N and
the pixel p [micrometres], (16.9 N + 0.10 f + 13.7 p) / (f cos declination).  Both take the camera to stand
still.
"""

from __future__ import annotations

from math import asin, cos, degrees, hypot, radians, sin
from typing import Any

SIDEREAL_DAY_S = 86_164.0905
SIDEREAL_ARCSEC_PER_S = 1_296_000 / SIDEREAL_DAY_S
ARCSEC = 206_264.8  # in a radian
FULL_FRAME_MM = hypot(36.0, 24.0)
# Across a clip.
CLIP_PX = 3840
# So near the pole stars hardly move; the rule would allow any time.
LEAST_COS = 0.05
CORE_DEG = -28.936  # declination of l = b = 0 (J2000)


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


def trails_of(brief: dict[str, Any], declination: float, is_core: bool, open_ms: int) -> dict[str, Any]:
    """The trails of a brief in an exposure of open_ms.

    sensor_px is None where nobody gave the camera's pixels, and so is rule_pixel_ms; clip_px are those of a
    clip 3840 wide, clip_edge_px at the middle of its side (a rectilinear lens draws it longer there; None
    for a fisheye).
    """
    camera, (width_mm, _) = brief["camera"], brief["frame_mm"]
    focal_mm, pixels = camera["focal_mm"], camera["pixels"]
    trail = trail_mm(declination, open_ms / 1000, focal_mm)
    pixel_mm = camera["sensor_mm"][0] / pixels[0] if pixels else None
    clip_px = trail / width_mm * CLIP_PX
    half = width_mm / (2 * focal_mm)
    rule_s = pixel_mm and rule_pixel_s(brief["exposure"]["f"], focal_mm, pixel_mm * 1000, declination)
    return {
        "declination_deg": declination,
        "is_core": is_core,
        "open_ms": open_ms,
        "sensor_px": pixel_mm and trail / pixel_mm,
        "clip_px": clip_px,
        "clip_edge_px": clip_px * (1 + half * half) if camera["projection"] == "rectilinear" else None,
        "rule_crop_s": rule_500_s(focal_mm, camera["sensor_mm"]),
        "rule_pixel_s": rule_s,
    }
