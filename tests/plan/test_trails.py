"""Trails and the rules against it, by their published worked values."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from fieldsheet.plan.trails import declination_deg, rule_500_s, rule_pixel_s, trail_mm, trails_of

PUBLISHED = json.loads((Path(__file__).parents[1] / "published" / "illuminance.json").read_text("utf-8"))[
    "trails"
]
CAMERA: dict[str, Any] = {
    "focal_mm": 14.0,
    "pixels": [6000, 4000],
    "sensor_mm": [36.0, 24.0],
    "projection": "rectilinear",
}
BRIEF: dict[str, Any] = {"camera": CAMERA, "frame_mm": [36.0, 20.25], "exposure": {"f": 2.8}}


def test_rules_and_trails_against_worked_values() -> None:
    for focal, seconds in PUBLISHED["rule_500"]:
        assert rule_500_s(focal, [36, 24]) == pytest.approx(seconds, abs=0.005)
    for f, focal, pixel, declination, seconds in PUBLISHED["rule_pixel"]:
        assert rule_pixel_s(f, focal, pixel, declination) == pytest.approx(seconds, abs=0.001)
    for focal, pixel, seconds, declination, px in PUBLISHED["px"]:
        ours = trail_mm(declination, seconds, focal) / pixel * 1000
        print(f"{focal} mm, {seconds} s: {ours:.2f} px, published {px}")
        assert ours == pytest.approx(px, abs=0.03)


def test_a_clip_takes_the_delivered_frame_and_the_side_is_drawn_longer() -> None:
    """14 mm, 20 s, the core: 3.0 px on a sensor of 6000, 1.9 in a clip of 3840, up to 5 at the side."""
    trails = trails_of(BRIEF, -29.0, True, 20_000)
    assert [round(trails[key], 1) for key in ("sensor_px", "clip_px", "clip_edge_px")] == [3.0, 1.9, 5.1]


def test_without_pixels_only_the_clip_is_known() -> None:
    bare = {**BRIEF, "camera": {**CAMERA, "pixels": None, "projection": "equisolid"}}
    trails = trails_of(bare, 0.0, False, 10_000)
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
