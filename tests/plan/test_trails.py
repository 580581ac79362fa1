"""Trails and the rules against them: by published worked values, and by SOFA's stars."""

from __future__ import annotations

import json
from math import degrees
from pathlib import Path
from typing import Any, NamedTuple

import erfa
import numpy as np
import pytest
from scipy.spatial.transform import Rotation

from fieldsheet.plan.trails import (
    EDGE,
    SIDEREAL_ARCSEC_PER_S,
    declination_deg,
    edge_trail_mm,
    rule_500_s,
    rule_pixel_s,
    trail_mm,
    trails_of,
)

PUBLISHED = json.loads((Path(__file__).parents[1] / "published" / "illuminance.json").read_text("utf-8"))[
    "trails"
]
CAMERA: dict[str, Any] = {
    "focal_mm": 14.0,
    "pixels": [6000, 4000],
    "sensor_mm": [36.0, 24.0],
    "projection": "rectilinear",
}
LEVEL = {"rail": None, "head_base": "levelled", "base_pitch_deg": 0.0, "base_roll_deg": 0.0}
BRIEF: dict[str, Any] = {
    "camera": CAMERA,
    "frame_mm": [36.0, 20.25],
    "exposure": {"f": 2.8},
    "place": {"latitude_deg": 37.0},
    **LEVEL,
}
SOUTH = (180.0, 24.0)  # of the core as it is highest at that latitude


def test_rules_and_trails_against_worked_values() -> None:
    for focal, seconds in PUBLISHED["rule_500"]:
        assert rule_500_s(focal, [36, 24]) == pytest.approx(seconds, abs=0.005)
    for f, focal, pixel, declination, seconds in PUBLISHED["rule_pixel"]:
        assert rule_pixel_s(f, focal, pixel, declination) == pytest.approx(seconds, abs=0.001)
    for focal, pixel, seconds, declination, px in PUBLISHED["px"]:
        ours = trail_mm(declination, seconds, focal) / pixel * 1000
        print(f"{focal} mm, {seconds} s: {ours:.2f} px, published {px}")
        assert ours == pytest.approx(px, abs=0.03)


def test_a_clip_takes_the_delivered_frame_and_the_edge_is_drawn_longer() -> None:
    """14 mm, 20 s, the core: 3.0 px on a sensor of 6000, 1.9 in a clip of 3840; see below for the edge."""
    trails = trails_of(BRIEF, -29.0, True, 20_000, SOUTH)
    assert [round(trails[key], 1) for key in ("sensor_px", "clip_px", "clip_edge_px")] == [3.0, 1.9, 5.8]


def test_upright_a_clip_of_3840_is_as_high() -> None:
    """The same lens and sky, the frame 20.25 wide and 36 high: the same pixels."""
    turned = {**BRIEF, "frame_mm": [20.25, 36.0]}
    trails = trails_of(turned, -29.0, True, 20_000, None)
    assert trails["clip_px"] == trails_of(BRIEF, -29.0, True, 20_000, None)["clip_px"]


def test_without_pixels_only_the_clip_is_known() -> None:
    bare = {**BRIEF, "camera": {**CAMERA, "pixels": None, "projection": "equisolid"}}
    trails = trails_of(bare, 0.0, False, 10_000, None)
    assert trails["sensor_px"] is trails["rule_pixel_s"] is trails["clip_edge_px"] is None
    assert trails["clip_px"] > 0


def test_near_the_pole_the_rule_stays_finite() -> None:
    assert rule_pixel_s(2.8, 24, 4.35, 90) < 1000


@pytest.mark.parametrize(
    ("latitude", "azimuth", "altitude", "declination"),
    [(37, 0, 37, 90), (37, 180, 53, 0), (0, 90, 10, 0), (-30, 180, 30, -90), (50, 180, 40, 0)],
)
def test_the_declination_of_a_direction(
    latitude: float, azimuth: float, altitude: float, declination: float
) -> None:
    assert declination_deg(latitude, azimuth, altitude) == pytest.approx(declination, abs=1e-5)


def test_the_declination_of_the_worked_example() -> None:
    """Venus over Washington, Meeus, Astronomical Algorithms (1998), example 13.b: -6 43' 11.61" (p. 95)."""
    latitude, azimuth, altitude = 38 + 55 / 60 + 17 / 3600, 68.0337 + 180, 15.1249
    expected = -(6 + 43 / 60 + 11.61 / 3600)
    assert declination_deg(latitude, azimuth, altitude) == pytest.approx(expected, abs=1e-4)


class Looking(NamedTuple):
    """A lens, where it stands, and where it looks."""

    latitude_deg: float
    axis: tuple[float, float]
    focal_mm: float
    projection: str = "rectilinear"


@pytest.mark.parametrize(
    "look",
    [
        pytest.param(Looking(37.0, SOUTH, 14.0), id="the core"),
        pytest.param(Looking(37.0, (0.0, 37.0), 14.0), id="the pole in the middle"),
        pytest.param(Looking(-30.0, (180.0, 10.0), 24.0), id="under the southern pole"),
        pytest.param(Looking(0.0, (90.0, 0.0), 50.0), id="level on the equator"),
        pytest.param(Looking(60.0, (300.0, 89.0), 20.0), id="the zenith"),
        pytest.param(Looking(-45.0, (20.0, -30.0), 200.0), id="down"),
        pytest.param(Looking(37.0, (0.0, 25.0), 10.0, "equidistant"), id="equal angles"),
        pytest.param(Looking(37.0, (150.0, 40.0), 15.0, "equisolid"), id="equal areas"),
    ],
)
def test_stars_trail_as_far_as_they_move_in_the_sky(look: Looking) -> None:
    """In the middle and along the edge: SOFA's horizontal and equatorial places (ERFA hd2ae, ae2hd), SciPy's
    rotation of the camera, the projections' definitions.  20 s, in which the Earth turns by 301 arcseconds.
    """
    camera = {**CAMERA, "focal_mm": look.focal_mm, "projection": look.projection}
    brief = {**BRIEF, "camera": camera, "place": {"latitude_deg": look.latitude_deg}}
    width, height = np.array(brief["frame_mm"]) / (2 * look.focal_mm)
    trails = [_trail(look, x * width, y * height) for x, y in EDGE]
    longest_mm = max(trail for trail in trails if trail is not None) * look.focal_mm
    ours_mm = edge_trail_mm(brief, look.axis, 20.0)
    print(f"edge {longest_mm * 1000:.2f} um by SOFA, {ours_mm * 1000:.2f} um")
    assert ours_mm == pytest.approx(longest_mm, rel=1e-6)
    middle = _trail(look, 0.0, 0.0)
    assert middle is not None
    # Round a pole a trail is bent: its ends are nearer to each other than it is long, by (angle)^2 / 24.
    found = trail_mm(declination_deg(look.latitude_deg, *look.axis), 20.0, look.focal_mm)
    assert found == pytest.approx(middle * look.focal_mm, rel=1e-6, abs=1e-9)


def _trail(look: Looking, right: float, up: float) -> float | None:
    """How far a star at a place on the sensor goes, all in focal lengths; None where it is not seen."""
    r = float(np.hypot(right, up))
    theta = {"rectilinear": np.arctan(r), "equidistant": r, "equisolid": 2 * np.arcsin(min(r / 2, 1.0))}
    off = float(theta[look.projection])
    if degrees(off) > 110:
        return None
    ray = np.array([right * np.sin(off) / r, np.cos(off), up * np.sin(off) / r] if r else [0.0, 1.0, 0.0])
    camera = Rotation.from_euler("ZX", [-look.axis[0], look.axis[1]], degrees=True)
    east, north, above = camera.apply(ray)
    latitude = np.radians(look.latitude_deg)
    angle, declination = erfa.ae2hd(np.arctan2(east, north), np.arcsin(above), latitude)
    half = np.radians(SIDEREAL_ARCSEC_PER_S * 20 / 3600 / 2)
    ends = []
    for at in (angle - half, angle + half):
        azimuth, altitude = erfa.hd2ae(at, declination, latitude)
        level = np.cos(altitude)
        seen = np.array([level * np.sin(azimuth), level * np.cos(azimuth), np.sin(altitude)])
        aside, ahead, over = camera.inv().apply(seen)
        across = np.hypot(aside, over)
        turned = np.arctan2(across, ahead)
        flat = {"rectilinear": np.tan(turned), "equidistant": turned, "equisolid": 2 * np.sin(turned / 2)}
        ends.append(np.array([aside, over]) / max(across, 1e-12) * flat[look.projection])
    return float(np.linalg.norm(ends[1] - ends[0]))
