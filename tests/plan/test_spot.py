"""The same shot from another spot: how far off, what is dropped, what is said, and what is refused."""

from __future__ import annotations

import copy
from random import Random
from typing import Any

import pytest
from geographiclib.geodesic import Geodesic

from fieldsheet.plan.plan import plan
from fieldsheet.plan.problem import PlanProblem
from fieldsheet.plan.spot import DECLINATION_M, at_spot, distance_m
from fieldsheet.press import plan_shot
from fieldsheet.sheet.sheet import make_sheet
from fieldsheet.sky.sky import Sky

MEASURED = {
    "horizon": [[0.0, 2.0], [90.0, 5.0], [180.0, 1.0], [270.0, 0.5]],
    "sea_horizon_m": 14.0,
    "air": {"pressure_hpa": 990.0, "temperature_c": 4.0},
}


def _spot(north_deg: float = 0.0, east_deg: float = 0.0, elevation_m: float = 40.0) -> dict[str, Any]:
    """So far from the demo's slipway, 37.08 north, 8.67 west."""
    return {
        "spot": {
            "latitude_deg": 37.08 + north_deg,
            "longitude_deg": -8.67 + east_deg,
            "elevation_m": elevation_m,
        }
    }


def _at(latitude_deg: float, longitude_deg: float) -> dict[str, float]:
    return {"latitude_deg": latitude_deg, "longitude_deg": longitude_deg}


def test_the_distance_on_the_sphere_is_the_published_one() -> None:
    """Paris to Washington, 6166 km on a sphere of 6371 km: Meeus, Astronomical Algorithms, example 11.c."""
    paris, washington = _at(48 + 50 / 60 + 11 / 3600, 2 + 20 / 60 + 14 / 3600), _at(38.921389, -77.065556)
    assert distance_m(paris, washington) == pytest.approx(6_166_000, abs=600)


def test_the_sphere_is_within_six_thousandths_of_the_ellipsoid() -> None:
    """Against GeographicLib's geodesics on WGS84, from a few metres to half way round."""
    rng, worst = Random(4), 0.0
    for _ in range(2000):
        here = _at(rng.uniform(-90, 90), rng.uniform(-180, 180))
        reach = 10 ** rng.uniform(-4, 2)
        there = _at(
            min(90.0, max(-90.0, here["latitude_deg"] + rng.uniform(-reach, reach))), rng.uniform(-180, 180)
        )
        there["longitude_deg"] = min(180.0, max(-180.0, here["longitude_deg"] + rng.uniform(-reach, reach)))
        line = Geodesic.WGS84.Inverse(*here.values(), *there.values(), Geodesic.DISTANCE)
        if line["s12"] > 1:
            worst = max(worst, abs(distance_m(here, there) / line["s12"] - 1))
    print(f"sphere against WGS84, 2000 pairs: at most {worst * 100:.2f} %")
    assert worst < 0.006


def test_across_the_date_line_the_way_is_short() -> None:
    assert distance_m(_at(0, 179.99), _at(0, -179.99)) == pytest.approx(2224, abs=1)


def test_without_a_spot_the_brief_is_as_it_was(demo_brief: dict[str, Any]) -> None:
    assert at_spot(demo_brief, {"night": "2027-06-06"}) is demo_brief


def test_near_by_horizon_sea_and_landmarks_are_dropped_and_the_declination_stays(
    demo_brief: dict[str, Any],
) -> None:
    demo_brief["place"] |= MEASURED
    before = copy.deepcopy(demo_brief)
    moved = at_spot(demo_brief, _spot(0.001))["place"]
    assert demo_brief == before, "the brief that was given is untouched"
    assert (moved["horizon"], moved["sea_horizon_m"], moved["landmarks"]) == ([], None, [])
    for kept in ("declination", "air", "zone", "tides", "title", "turn_back"):
        assert moved[kept] == before["place"][kept]
    assert (moved["latitude_deg"], moved["elevation_m"]) == (pytest.approx(37.081), 40.0)
    assert moved["spot_m"] == pytest.approx(111.2, abs=0.2)


@pytest.mark.parametrize("far", [False, True])
def test_the_declination_is_the_places_for_fifty_kilometres(demo_brief: dict[str, Any], far: bool) -> None:
    north = (DECLINATION_M + (50 if far else -50)) / 111_195
    moved = at_spot(demo_brief, _spot(north))["place"]
    assert (moved["declination"] is None) == far


@pytest.mark.parametrize(
    ("changes", "head", "magnetic"),
    [
        (_spot(0.003), "Planned for a spot 334 m from the place", True),
        (_spot(0.2), "Planned for a spot 22.2 km from the place", True),
        (_spot(0.5), "Planned for a spot 55.6 km from the place", False),
    ],
)
def test_plan_and_sheet_say_where_it_is_and_what_no_longer_holds(
    demo_brief: dict[str, Any], sky: Sky, changes: dict[str, Any], head: str, magnetic: bool
) -> None:
    whole = plan_shot(demo_brief, sky, changes)
    sheet = make_sheet(whole)
    assert whole["place"]["latitude_deg"] == changes["spot"]["latitude_deg"]
    assert whole["changes"] == changes and sheet["changed"]
    (warning,) = (one for one in sheet["warnings"] if "spot" in one["head"])
    assert (warning["level"], warning["head"]) == ("mind", head)
    assert "measured horizon" in warning["sum"] and "landmarks" in warning["sum"]
    assert ("declination" in warning["sum"]) == (not magnetic)
    assert bool(sheet["zero_magnetic"]) == magnetic and ("mag" in sheet["rail"]) == magnetic


def test_no_sighting_of_the_place_is_told_at_another_spot(demo_brief: dict[str, Any], sky: Sky) -> None:
    """Four hundred metres off, a light 2 km away stands 11 degrees aside: a pan zeroed on it is lost."""
    moved = plan_shot(demo_brief, sky, _spot(north_deg=0.0036))
    sheet = make_sheet(moved)
    assert (sheet["zero_looks"], sheet["zero_sighting"]) == ("225° true, 226° magnetic", "")
    assert not any(keyframe["sighting"] or keyframe["landmark"] for keyframe in moved["keyframes"])
    heads = [warning["head"] for warning in sheet["warnings"]]
    assert len(heads) == 1 and heads[0].startswith("Planned for a spot 400 m from the place")


def test_fifty_kilometres_on_no_line_gives_a_bearing_by_compass(demo_brief: dict[str, Any], sky: Sky) -> None:
    sheet = make_sheet(plan_shot(demo_brief, sky, _spot(north_deg=1.0)))
    assert (sheet["zero_looks"], sheet["rail_runs"]) == ("225° true", "300° true")


def test_the_sky_is_that_of_the_spot(demo_brief: dict[str, Any], sky: Sky) -> None:
    """15 degrees east the sun sets about an hour earlier; the start hangs on it."""
    here, there = (
        plan(demo_brief, sky, changes)["window"]["start"]["utc_ms"] for changes in ({}, _spot(0, 15))
    )
    assert here - there == pytest.approx(3_600_000, abs=120_000)


@pytest.mark.parametrize(
    "spot",
    [
        {**_spot()["spot"], "latitude_deg": 90.01},
        {**_spot()["spot"], "longitude_deg": -180.5},
        {**_spot()["spot"], "elevation_m": 9001},
        {**_spot()["spot"], "elevation_m": None},
        {**_spot()["spot"], "latitude_deg": float("nan")},
        {**_spot()["spot"], "latitude_deg": "37"},
        {**_spot()["spot"], "longitude_deg": True},
        {"latitude_deg": 37.0, "longitude_deg": -8.0},
        "here",
        [],
    ],
)
def test_a_spot_that_is_nowhere_is_refused(demo_brief: dict[str, Any], sky: Sky, spot: Any) -> None:
    with pytest.raises(PlanProblem) as caught:
        plan(demo_brief, sky, {"spot": spot})
    assert (caught.value.id, caught.value.key) == ("problem.spot", "place")
