"""The measured skyline, the sea and grazes in a plan, and in what is said of them."""

from __future__ import annotations

from typing import Any

import pytest

from fieldsheet.plan.anchors import night_of, occurrences, site_of
from fieldsheet.plan.nightsky import core_margin_deg, found_events, grazes
from fieldsheet.plan.plan import plan
from fieldsheet.plan.problem import PlanProblem
from fieldsheet.plan.timing import solve
from fieldsheet.press import plan_shot
from fieldsheet.sheet.sheet import make_sheet
from fieldsheet.sky.events import RIDGE_EVENTS
from fieldsheet.sky.find import find_events
from fieldsheet.sky.observe import Air
from fieldsheet.sky.sky import Sky

LEDGE = [[0.0, 1.0], [90.0, 6.0], [180.0, 12.0], [250.0, 2.0], [290.0, 5.0], [340.0, 3.0]]


def test_the_site_of_a_place_has_all_that_the_place_says(demo_brief: dict[str, Any]) -> None:
    place = demo_brief["place"] | {"horizon": LEDGE, "sea_horizon_m": 25.0}
    site = site_of({**place, "air": {"pressure_hpa": 990.0, "temperature_c": -5.0}})
    assert site.ridge == tuple((azimuth, height) for azimuth, height in LEDGE)
    assert site.dip_deg * 60.0 == pytest.approx(8.8)
    assert site.air == Air(990.0, -5.0)
    bare = site_of({**place, "horizon": [], "sea_horizon_m": None, "air": None})
    assert (bare.ridge, bare.dip_deg, bare.air) == ((), 0.0, Air())


def test_ridge_events_stand_among_those_of_the_night_where_there_is_a_ridge(
    demo_brief: dict[str, Any], sky: Sky
) -> None:
    demo_brief["place"]["horizon"] = []
    assert not any("ridge" in row["event"] for row in plan(demo_brief, sky, {})["sky"]["events"])
    demo_brief["place"]["horizon"] = LEDGE
    planned = plan_shot(demo_brief, sky, {})
    night = night_of(demo_brief, sky, demo_brief["night"])
    found = found_events(night, solve(demo_brief, night, None))
    told = {name: ms for ms, name in found if name in RIDGE_EVENTS}
    assert {"sun behind ridge", "sun over ridge", "core over ridge", "core behind ridge"} <= told.keys()
    for name, ms in told.items():
        (near_s,) = find_events(sky, night.site, name, ms / 1000 - 60, ms / 1000 + 60)
        assert near_s * 1000 == pytest.approx(ms, abs=501)
    window = planned["window"]["start"]["utc_ms"], planned["window"]["end"]["utc_ms"]
    inside = {name for name, ms in told.items() if window[0] <= ms < window[1]}
    assert inside
    assert inside == {row["event"] for row in planned["sky"]["events"] if "ridge" in row["event"]}
    sheet = make_sheet(planned)
    assert "sun behind the ridge" in {row["name"] for row in sheet["sky"]}
    assert "sun behind" in {moment["label"] for moment in sheet["strip"]["moments"]}
    lines = {row["name"]: row["text"] for row in sheet["sky_lines"]}
    clock = next(row["time"]["local"] for row in planned["sky"]["core"]["ridge"] if row["way"] == "over")[
        11:16
    ]
    assert f"over the ridge {clock}" in lines["core"]


def test_a_shot_may_hang_on_the_ridge_and_says_where_there_is_none(
    demo_brief: dict[str, Any], sky: Sky
) -> None:
    demo_brief["start"] = {"event": "sun behind ridge", "offset_s": -600}
    demo_brief["place"]["horizon"] = LEDGE
    start_ms = plan(demo_brief, sky, {})["window"]["start"]["utc_ms"]
    night = night_of(demo_brief, sky, demo_brief["night"])
    (behind_s, *_) = occurrences(night, "sun behind ridge", night.from_s, night.until_s)
    # Up to the whole minute, as every start.
    assert 0 <= start_ms - (int(behind_s + 0.5) * 1000 - 600_000) < 60_000
    demo_brief["place"]["horizon"] = []
    with pytest.raises(PlanProblem) as caught:
        plan(demo_brief, sky, {})
    assert caught.value.id == "problem.no-ridge"


def test_thin_air_lowers_what_is_aimed_at(demo_brief: dict[str, Any], sky: Sky) -> None:
    demo_brief["place"]["air"] = None
    planned = plan(demo_brief, sky, {})
    demo_brief["place"]["air"] = {"pressure_hpa": 505.0, "temperature_c": 10.0}
    thin = plan(demo_brief, sky, {})
    aimed = [
        (one["altitude_deg"], other["altitude_deg"])
        for one, other in zip(planned["keyframes"], thin["keyframes"], strict=True)
        if one["aim"] and "target" in one["aim"]
    ]
    assert aimed
    assert all(0.0 < one - other < 0.5 for one, other in aimed)
    given = [
        (row["aim"], row["altitude_deg"]) for row in thin["keyframes"] if "bearing_deg" in (row["aim"] or {})
    ]
    assert all(altitude == aim["altitude_deg"] for aim, altitude in given)


def test_a_graze_is_in_the_plan_and_warned_of(demo_brief: dict[str, Any], sky: Sky) -> None:
    # At 69.65 N the moon's edge turns back 0.004 degrees above the horizon on 23 August 2027 at 15:00 UTC.
    demo_brief["place"] |= {"latitude_deg": 69.65, "longitude_deg": 18.96, "sea_horizon_m": None}
    demo_brief["place"] |= {"tides": [], "turn_back": None, "check_in": None}
    demo_brief |= {
        "keyframes": [],
        "tilt_deg": 0.0,
        "rail": None,
        "swap": None,
        "start": {"clock_s": 20 * 3600},
        "end": {"clock_s": 22 * 3600},
    }
    demo_brief["rig"] |= {"axes": {}, "motion": "none"}
    planned = plan_shot(demo_brief, sky, {"night": "2027-08-23"})
    (graze,) = planned["sky"]["grazes"]
    assert graze["event"] == "moonset"
    assert 0.0 < graze["margin_deg"] < 0.01
    assert graze["time"]["local"].startswith("2027-08-23T16:0")
    assert planned["sky"]["moon"]["set"] is None
    texts = [row["head"] for row in make_sheet(planned)["warnings"]]
    assert any(text.startswith("Do not count on moonset or moonrise about 16:0") for text in texts)
    night = night_of(demo_brief, sky, {**demo_brief["night"], "date": "2027-08-20"})
    assert grazes(night, solve(demo_brief, night, None)) == []


def test_whether_the_core_is_usable_is_one_rule(demo_brief: dict[str, Any], sky: Sky) -> None:
    night = night_of(demo_brief, sky, demo_brief["night"])
    for name, sign in (("core usable", 1), ("core unusable", -1)):
        for edge_s in find_events(sky, night.site, name, night.from_s, night.until_s):
            before, here, after = (core_margin_deg(night, edge_s + away_s) for away_s in (-5.0, 0.0, 5.0))
            assert abs(here) < 1e-6
            assert before * sign < 0.0 < after * sign
