"""Bearing and altitude of a landmark by its position, against published geodesics and handbook figures."""

from __future__ import annotations

import json
from math import degrees
from pathlib import Path
from typing import Any

import pytest

from fieldsheet.catalog.landmarks import altitude_deg, stand

from .conftest import Folder

PUBLISHED: dict[str, Any] = json.loads(
    Path(__file__).parents[1].joinpath("published", "geodesics.json").read_text("utf-8")
)
PLACE = "places/gull-point.toml"
NEEDED = "bearing_deg, or latitude_deg with longitude_deg and elevation_m"
LIGHT = """
[[landmark]]
name = "light"
latitude_deg = 37.03
longitude_deg = -8.72
elevation_m = 20
"""


def test_bearing_and_distance_are_those_of_the_published_geodesics() -> None:
    for *ends, azimuth, distance_m, within_deg, within_m in PUBLISHED["rows"]:
        found = stand((ends[0], ends[1]), 0, (ends[2], ends[3]), 0)
        assert found.bearing_deg == pytest.approx(azimuth, abs=within_deg)
        assert found.distance_m == pytest.approx(distance_m, abs=within_m)


@pytest.mark.parametrize("k, below_m", [(0.0, 7.848), (0.13, 6.828), (1 / 7, 6.727)])
def test_the_earth_curves_away_as_surveyors_reckon(k: float, below_m: float) -> None:
    """(1 - k) D^2 / 2R over 10 km, R 6371 km; handbooks print 0.0785 D^2 without the air, 0.0673 D^2 with."""
    angle = -altitude_deg(10_000, 100, 100, k)
    # The line of sight leaves the level at half the angle by which the Earth has turned away.
    assert 10_000 * angle / degrees(1) == pytest.approx(below_m, abs=0.01)
    assert below_m == pytest.approx({0.0: 0.0785, 0.13: 0.06828, 1 / 7: 0.0673}[k] * 100, abs=0.01)


def test_over_two_and_a_half_kilometres_the_earth_hides_half_a_metre() -> None:
    """0.49 m: a worked example of the surveyors' handbooks, read at civilnoteppt.com."""
    assert 2500 * -altitude_deg(2500, 0, 0, 0.0) / degrees(1) == pytest.approx(0.49, abs=0.01)


def test_near_by_only_the_heights_count() -> None:
    assert altitude_deg(100, 0, 100) == pytest.approx(45, abs=0.05)
    assert altitude_deg(100, 100, 0) == pytest.approx(-45, abs=0.05)


def test_the_horizon_of_a_height_lies_as_low_as_seamen_have_it() -> None:
    """Level ground is seen from 100 m no lower than the dip: 17.6' with the almanacs' air (1.76' per root m).

    That air is k = 0.165 or so; with it the two agree to a few hundredths of a minute.
    """
    k = 0.165
    lowest = min(-altitude_deg(distance_m, 100, 0, k) for distance_m in range(20_000, 60_000, 50))
    assert lowest * 60 == pytest.approx(17.6, abs=0.1)


def test_a_landmark_by_its_position_becomes_a_bearing_and_an_altitude(sample: Folder) -> None:
    file = sample.path / PLACE
    file.write_text(file.read_text("utf-8") + LIGHT + "height_m = 30\n", "utf-8")
    (mark,) = (one for one in sample.read().brief("slipway")["place"]["landmarks"] if one["name"] == "light")
    # On a plane, a degree of latitude 111 km: 5.55 km south, 4.45 km west; 38 m up over 7.1 km, less 3.4 m.
    assert mark["bearing_deg"] == pytest.approx(218.7, abs=0.3)
    assert mark["altitude_deg"] == pytest.approx(0.28, abs=0.03)
    assert mark.keys() == {"name", "bearing_deg", "altitude_deg"}


@pytest.mark.parametrize(
    "old, new, key, told",
    [
        (
            "elevation_m",
            "bearing_deg = 5\nelevation_m",
            "landmark 1",
            f"both bearing_deg and latitude_deg; right: {NEEDED}",
        ),
        ("elevation_m = 20\n", "", "landmark 1", f"latitude_deg without elevation_m; right: {NEEDED}"),
        (
            "latitude_deg = 37.03\nlongitude_deg = -8.72\nelevation_m = 20\n",
            "",
            "landmark 1",
            f"no bearing_deg; right: {NEEDED}",
        ),
        (
            "latitude_deg = 37.03\nlongitude_deg = -8.72\nelevation_m = 20\n",
            "height_m = 4\n",
            "landmark 1",
            f"height_m without latitude_deg, longitude_deg and elevation_m; right: {NEEDED}",
        ),
        (
            "-8.72",
            "8.72",
            "landmark 1 latitude_deg",
            "a landmark 1544 km from the place; right: 20 m to 500 km: east and north are positive",
        ),
        (
            "37.03\nlongitude_deg = -8.72",
            "37.08\nlongitude_deg = -8.67",
            "landmark 1 latitude_deg",
            "a landmark 0 m from the place; right: 20 m to 500 km: east and north are positive",
        ),
    ],
)
def test_a_landmark_stands_in_one_way_only(sample: Folder, old: str, new: str, key: str, told: str) -> None:
    file = sample.path / PLACE
    text = file.read_text("utf-8")
    assert "[[landmark]]" not in text
    file.write_text(text + LIGHT.replace(old, new), "utf-8")
    (problem,) = sample.told()
    assert f": {key}: found {told}" in problem
