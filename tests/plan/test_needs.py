"""What a night must have, measured: each kind at its bounds, and against the plan's own sky."""

from __future__ import annotations

from typing import Any

import pytest

from fieldsheet.plan.plan import plan
from fieldsheet.sheet.sheet import changing
from fieldsheet.sky.sky import Sky

from .measured import END, HALFWAY, found_for, verdicts


def test_the_demo_has_the_night_that_it_needs(demo_plan: dict[str, Any]) -> None:
    assert len(demo_plan["needs"]) == 5
    assert all(need["met"] for need in demo_plan["needs"])
    assert not [warning for warning in demo_plan["warnings"] if warning["id"] == "warning.need-unmet"]


@pytest.mark.parametrize(
    ("night", "day", "met"),
    [("2027-06-05", "Sat", True), ("2027-06-04", "Fri", True), ("2027-06-06", "Sun", False)],
)
def test_a_weekday_is_that_of_the_evening(
    demo_brief: dict[str, Any], sky: Sky, night: str, day: str, met: bool
) -> None:
    need = {"kind": "weekday", "days": ["Fri", "Sat"]}
    assert found_for(demo_brief, sky, need, night=night) == [("need.weekday", day, met)]


def test_darkness_runs_from_dusk_to_dawn(demo_brief: dict[str, Any], sky: Sky) -> None:
    """By the plan's own events of that night, and longer in winter."""
    need = {"kind": "darkness", "least_ms": 5 * 3_600_000}
    ((_, held_ms, met),) = found_for(demo_brief, sky, need)
    assert met and held_ms == pytest.approx(5.7 * 3_600_000, abs=3 * 60_000)
    ((_, winter_ms, _),) = found_for(demo_brief, sky, need, night="2027-12-21")
    assert winter_ms > 10 * 3_600_000


@pytest.mark.parametrize(("latitude_deg", "hours"), [(68.0, 0), (-89.0, 24)])
def test_a_night_without_a_dusk_is_all_dark_or_not_at_all(
    demo_brief: dict[str, Any], sky: Sky, latitude_deg: float, hours: int
) -> None:
    demo_brief["place"]["latitude_deg"] = latitude_deg
    demo_brief |= {"start": {"clock_s": 79_200}, "end": {"clock_s": 82_800}, "keyframes": []}
    demo_brief |= {"rig": {**demo_brief["rig"], "axes": {}}, "tilt_deg": 0.0, "rail": None}
    ((_, held_ms, _),) = found_for(demo_brief, sky, {"kind": "darkness", "least_ms": 1})
    assert held_ms == hours * 3_600_000


def test_usable_core_is_as_long_as_the_spans_of_the_plan(demo_brief: dict[str, Any], sky: Sky) -> None:
    need = {"kind": "core-usable", "least_ms": 3_600_000}
    planned = plan({**demo_brief, "needs": [need]}, sky, {})
    (span,) = planned["sky"]["usable"]
    held_ms = span["until"]["utc_ms"] - span["from"]["utc_ms"]
    assert planned["needs"][0]["args"]["actual"] == pytest.approx(held_ms, abs=30_000)


def test_the_moon_is_down_from_her_set_on(demo_brief: dict[str, Any], sky: Sky) -> None:
    needs = [
        {"kind": f"moon-{way}", "at": {"event": "moonset", "offset_s": offset_s}}
        for way in ("up", "down")
        for offset_s in (-60, 60)
    ]
    assert [met for *_, met in found_for(demo_brief, sky, *needs)] == [True, False, False, True]


def test_a_target_stands_where_the_keyframe_on_it_says(demo_brief: dict[str, Any], sky: Sky) -> None:
    """The core at the end, as K3 of the plan has it; on the bound it is met."""
    last = plan(demo_brief, sky, {})["keyframes"][-1]
    high, bearing = round(last["altitude_deg"], 1), round(last["azimuth_deg"])
    core = {"target": "galactic core", "at": END}
    found = found_for(
        demo_brief,
        sky,
        {"kind": "altitude", **core, "altitude_deg": [high, 90.0]},
        {"kind": "altitude", **core, "altitude_deg": [-90.0, high - 0.1]},
        {"kind": "altitude", **core, "altitude_deg": [high - 1, high]},
        {"kind": "azimuth", **core, "azimuth_deg": [float(bearing), 200.0]},
        {"kind": "azimuth", **core, "azimuth_deg": [350.0, float(bearing)]},
        {"kind": "azimuth", **core, "azimuth_deg": [200.0, bearing - 1.0]},
    )
    assert found == [
        ("need.altitude-least", high, True),
        ("need.altitude-most", high, False),
        ("need.altitude", high, True),
        ("need.azimuth", bearing, True),
        ("need.azimuth", bearing, True),
        ("need.azimuth", bearing, False),
    ]


def test_an_event_by_the_clock_also_through_midnight(demo_brief: dict[str, Any], sky: Sky) -> None:
    """Low water is typed in for 21:40 and 09:15 of the next morning; the night ends at noon."""
    low = {"kind": "event-between", "event": "low tide"}
    found = found_for(
        demo_brief,
        sky,
        {**low, "between": [21 * 3600 + 2400, 22 * 3600]},
        {**low, "between": [22 * 3600, 21 * 3600 + 2400]},
        {**low, "between": [22 * 3600, 23 * 3600]},
        {**low, "event": "wet line", "between": [23 * 3600, 3 * 3600]},
    )
    assert [met for *_, met in found] == [True, True, False, True]


def test_an_event_near_a_moment_of_the_shot(demo_brief: dict[str, Any], sky: Sky) -> None:
    sunset = {"kind": "event-within", "event": "sunset", "at": {"fraction": 0.0}}
    found = found_for(
        demo_brief, sky, {**sunset, "within_ms": 75 * 60_000}, {**sunset, "within_ms": 74 * 60_000}
    )
    assert [met for *_, met in found] == [True, False]
    assert found[0][1] == found[1][1] is not None


def test_what_does_not_come_is_an_answer(demo_brief: dict[str, Any], sky: Sky) -> None:
    needs: list[dict[str, Any]] = [
        {"kind": "moon-down", "at": {"event": "polaris rise", "offset_s": 0}},
        {"kind": "event-between", "event": "polaris set", "between": [0, 3600]},
        {"kind": "event-within", "event": "polaris set", "within_ms": 60_000, "at": END},
        {"kind": "moon-lit", "at": {"frame": 5000}, "lit_pct": [0.0, 50.0]},
    ]
    planned = plan({**demo_brief, "needs": needs}, sky, {})
    assert [(row["args"]["actual"], row["met"]) for row in planned["needs"]] == [(None, False)] * 4
    (warning,) = [row for row in planned["warnings"] if row["id"] == "warning.need-unmet"]
    assert warning == {"level": "mind", "id": "warning.need-unmet", "args": {"unmet": 4, "all": 4}}
    assert verdicts(demo_brief, sky, *needs) == [
        "not met: no such moment on this night",
        "not met: none on this night",
        "not met: none within a day of it",
        "not met: the shot has 753 frames",
    ]


def test_needs_are_said_with_what_was_found(demo_brief: dict[str, Any], sky: Sky) -> None:
    core = {"target": "galactic core", "at": END}
    needs = [
        {"kind": "weekday", "days": ["Fri", "Sat"]},
        {"kind": "weekday", "days": ["Mon", "Tue", "Wed"]},
        {"kind": "weekday", "days": ["Sat"]},
        {"kind": "darkness", "least_ms": 10_800_000},
        {"kind": "core-usable", "least_ms": 5_400_000},
        {"kind": "moon-lit", "at": HALFWAY, "lit_pct": [0.0, 40.0]},
        {"kind": "moon-lit", "at": {"fraction": 0.25}, "lit_pct": [10.0, 40.0]},
        {"kind": "moon-lit", "at": {"fraction": 0.0}, "lit_pct": [90.0, 100.0]},
        {"kind": "altitude", **core, "altitude_deg": [15.0, 90.0]},
        {"kind": "altitude", **core, "altitude_deg": [-90.0, 15.5]},
        {"kind": "altitude", **core, "altitude_deg": [-3.0, 15.5]},
        {"kind": "azimuth", **core, "azimuth_deg": [50.0, 200.0]},
        {"kind": "event-between", "event": "low tide", "between": [75_600, 9_000]},
        {"kind": "event-within", "event": "sunset", "within_ms": 5_400_000, "at": {"fraction": 0.0}},
        {
            "kind": "event-within",
            "event": "moonset",
            "within_ms": 5_400_000,
            "at": {"event": "sunset", "offset_s": -900},
        },
        {"kind": "event-within", "event": "moonset", "within_ms": 60_000, "at": HALFWAY},
        {
            "kind": "event-within",
            "event": "sunset",
            "within_ms": 60_000,
            "at": {"event": "sunset", "offset_s": 0},
        },
        {"kind": "moon-down", "at": {"clock_s": 3_600}},
        {"kind": "moon-up", "at": {"frame": 12}},
    ]
    sheet = changing({**plan({**demo_brief, "needs": needs}, sky, {}), "revision": "0"})
    assert [need["text"] for need in sheet["needs"]] == [
        "night of Fri or Sat · met: Sat",
        "night of Mon, Tue or Wed · not met: Sat",
        "night of Sat · met: Sat",
        "dark for at least 3 h · met: 5 h 42 min",
        "core usable for at least 1 h 30 min · met: 5 h 33 min",
        "moon at most 40 % lit at the halfway mark · met: 2 %",
        "moon 10 to 40 % lit at 25 % of the shot · not met: 2 %",
        "moon at least 90 % lit at the start · not met: 1 %",
        "core at least 15° high at the end · not met: 11.2°",
        "core at most 15.5° high at the end · met: 11.2°",
        "core from −3° to 15.5° high at the end · met: 11.2°",
        "core from 050° to 200° true at the end · met: 140°",
        "low tide between 21:00 and 02:30 · met: 21:40",
        "sunset within 1 h 30 min of the start · met: 20:51, 1 h 15 min off",
        "moonset within 1 h 30 min of sunset − 15 min · met: 22:06, 1 h 30 min off",
        "moonset within 1 min of the halfway mark · not met: 22:06, 37 min off",
        "sunset within 1 min of sunset · met: 20:51",
        "moon down at 01:00 · met: down by 22.2°",
        "moon up at frame 12 · met: up by 24.9°",
    ]
    (warning,) = [one for one in sheet["warnings"] if one["head"] == "Not the night that the shot needs"]
    assert warning["sum"].startswith("night of Mon, Tue or Wed · not met: Sat; ")
