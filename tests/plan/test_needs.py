"""What a night must have, measured: each kind at its bounds, and against the plan's own sky."""

from __future__ import annotations

from typing import Any

import pytest

from fieldsheet.plan.plan import plan
from fieldsheet.sheet.sheet import changing
from fieldsheet.sky.sky import Sky

END, HALFWAY = {"fraction": 1.0}, {"fraction": 0.5}


def _needs(brief: dict[str, Any], sky: Sky, *needs: dict[str, Any], night: str = "2027-06-05") -> list[Any]:
    planned = plan({**brief, "needs": list(needs)}, sky, {"night": night})
    return [(row["id"], row["args"]["actual"], row["met"]) for row in planned["needs"]]


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
    assert _needs(demo_brief, sky, need, night=night) == [("need.weekday", day, met)]


def test_darkness_runs_from_dusk_to_dawn(demo_brief: dict[str, Any], sky: Sky) -> None:
    """By the plan's own events of that night, and longer in winter."""
    need = {"kind": "darkness", "least_ms": 5 * 3_600_000}
    ((_, held_ms, met),) = _needs(demo_brief, sky, need)
    assert met and held_ms == pytest.approx(5.7 * 3_600_000, abs=3 * 60_000)
    ((_, winter_ms, _),) = _needs(demo_brief, sky, need, night="2027-12-21")
    assert winter_ms > 10 * 3_600_000


@pytest.mark.parametrize(("latitude_deg", "hours"), [(68.0, 0), (-89.0, 24)])
def test_a_night_without_a_dusk_is_all_dark_or_not_at_all(
    demo_brief: dict[str, Any], sky: Sky, latitude_deg: float, hours: int
) -> None:
    demo_brief["place"]["latitude_deg"] = latitude_deg
    demo_brief |= {"start": {"clock_s": 79_200}, "end": {"clock_s": 82_800}, "keyframes": []}
    ((_, held_ms, _),) = _needs(demo_brief, sky, {"kind": "darkness", "least_ms": 1})
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
    assert [met for *_, met in _needs(demo_brief, sky, *needs)] == [True, False, False, True]


def test_a_target_stands_where_the_keyframe_on_it_says(demo_brief: dict[str, Any], sky: Sky) -> None:
    """The core at the end, as K3 of the plan has it; on the bound it is met."""
    last = plan(demo_brief, sky, {})["keyframes"][-1]
    high, bearing = round(last["altitude_deg"], 1), round(last["azimuth_deg"])
    core = {"target": "galactic core", "at": END}
    found = _needs(
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
    found = _needs(
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
    found = _needs(
        demo_brief, sky, {**sunset, "within_ms": 75 * 60_000}, {**sunset, "within_ms": 74 * 60_000}
    )
    assert [met for *_, met in found] == [True, False]
    assert found[0][1] == found[1][1] is not None


def test_what_does_not_come_is_an_answer(demo_brief: dict[str, Any], sky: Sky) -> None:
    needs = [
        {"kind": "moon-down", "at": {"event": "polaris rise", "offset_s": 0}},
        {"kind": "event-between", "event": "polaris set", "between": [0, 3600]},
        {"kind": "event-within", "event": "polaris set", "within_ms": 1, "at": END},
        {"kind": "moon-lit", "at": {"frame": 5000}, "lit_pct": [0.0, 50.0]},
    ]
    planned = plan({**demo_brief, "needs": needs}, sky, {})
    assert [(row["args"]["actual"], row["met"]) for row in planned["needs"]] == [(None, False)] * 4
    (warning,) = [row for row in planned["warnings"] if row["id"] == "warning.need-unmet"]
    assert warning == {"level": "mind", "id": "warning.need-unmet", "args": {"unmet": 4, "all": 4}}


def test_needs_are_said_with_what_was_found(demo_brief: dict[str, Any], sky: Sky) -> None:
    needs = [
        {"kind": "weekday", "days": ["Fri", "Sat"]},
        {"kind": "moon-lit", "at": HALFWAY, "lit_pct": [0.0, 40.0]},
        {"kind": "altitude", "target": "galactic core", "at": END, "altitude_deg": [15.0, 90.0]},
        {"kind": "event-between", "event": "low tide", "between": [75_600, 9_000]},
        {
            "kind": "event-within",
            "event": "moonset",
            "within_ms": 5_400_000,
            "at": {"event": "sunset", "offset_s": -900},
        },
        {"kind": "moon-down", "at": {"clock_s": 3_600}},
        {"kind": "moon-up", "at": {"frame": 12}},
    ]
    sheet = changing({**plan({**demo_brief, "needs": needs}, sky, {}), "revision": "0"})
    assert [need["text"] for need in sheet["needs"]] == [
        "on Fri, Sat: Sat, met",
        "moon at most 40 % lit at halfway: 2 %, met",
        "core above 15° at the end: 11.2°, not met",
        "low tide between 21:00 and 02:30: 21:40, met",
        "moonset within 1 h 30 min of sunset − 15 min: 22:06, met",
        "moon down at 01:00: −22.5°, met",
        "moon up at frame 12: 24.7°, met",
    ]
    (warning,) = [one for one in sheet["warnings"] if one["head"] == "Not the night that the shot needs"]
    assert warning["sum"] == "core above 15° at the end: 11.2°, not met."
