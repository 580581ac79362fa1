"""What nobody can know of a need: by tides not typed, from a spot without a skyline, without a plan."""

from __future__ import annotations

from typing import Any

import pytest

from fieldsheet.plan.anchors import night_of
from fieldsheet.plan.needs import measured
from fieldsheet.plan.nightsky import found_events
from fieldsheet.plan.plan import plan
from fieldsheet.plan.timing import solve
from fieldsheet.sheet.needs import need_text
from fieldsheet.sheet.sheet import changing
from fieldsheet.sky.sky import Sky

from .measured import END, HALFWAY, found_for, verdicts

LOW, WET = "low tide", "wet line"


@pytest.mark.parametrize(
    ("need", "night", "met"),
    [
        # The table runs from 5 to 7 June; low water is typed for the morning and the evening of each.
        ({"event": LOW, "between": [75_600, 82_800]}, "2027-06-05", True),
        ({"event": LOW, "between": [82_800, 86_340]}, "2027-06-05", False),
        ({"event": LOW, "between": [75_600, 82_800]}, "2027-06-04", None),
        ({"event": LOW, "between": [79_200, 10_800]}, "2027-06-04", None),
        ({"event": LOW, "between": [10_800, 32_400]}, "2027-06-04", False),
        ({"event": LOW, "between": [82_800, 3_600]}, "2027-06-07", True),
        ({"event": LOW, "between": [0, 3_600]}, "2027-06-07", None),
        ({"event": LOW, "between": [79_200, 82_800]}, "2027-06-07", False),
        ({"event": LOW, "between": [0, 3_600]}, "2027-12-24", None),
        ({"event": LOW, "at": {"clock_s": 79_200}, "within_ms": 3_600_000}, "2027-06-05", True),
        ({"event": LOW, "at": {"clock_s": 79_200}, "within_ms": 600_000}, "2027-06-05", False),
        ({"event": LOW, "at": {"clock_s": 79_200}, "within_ms": 600_000}, "2027-06-08", None),
        ({"event": LOW, "at": {"clock_s": 86_100}, "within_ms": 600_000}, "2027-06-07", None),
        ({"event": LOW, "at": {"clock_s": 86_100}, "within_ms": 240_000}, "2027-06-07", False),
    ],
)
def test_a_tide_that_nobody_typed_is_not_known(
    demo_brief: dict[str, Any], sky: Sky, need: dict[str, Any], night: str, met: bool | None
) -> None:
    """Only on the dates that a need asks of: what the table says of them is an answer, also "no"."""
    kind = "event-between" if "between" in need else "event-within"
    ((_, actual, found),) = found_for(demo_brief, sky, {"kind": kind, **need}, night=night)
    assert found is met
    assert (actual is None) == (met is None)


def test_a_moment_on_a_tide_that_may_not_be_the_first_of_the_night_is_not_known(
    demo_brief: dict[str, Any], sky: Sky
) -> None:
    """On the night of the 4th the evening's low water is not typed, though that of the next morning is."""
    needs = [
        {"kind": kind, "at": {"event": LOW, "offset_s": 0}, **more}
        for kind, more in (
            ("moon-up", {}),
            ("moon-lit", {"lit_pct": [0.0, 40.0]}),
            ("altitude", {"target": "sun", "altitude_deg": [-90.0, -6.0]}),
            ("azimuth", {"target": "sun", "azimuth_deg": [300.0, 320.0]}),
            ("event-within", {"event": "sunset", "within_ms": 3_600_000}),
        )
    ]
    assert [met for *_, met in found_for(demo_brief, sky, *needs)] == [True, True, True, True, True]
    planned = plan({**demo_brief, "needs": needs}, sky, {"night": "2027-06-04"})
    assert [(row["args"]["actual"], row["met"]) for row in planned["needs"]] == [(None, None)] * 5
    (warning,) = [one for one in planned["warnings"] if one["id"].startswith("warning.need")]
    assert warning["id"] == "warning.need-unknown" and warning["args"] == {"unknown": 5, "all": 5}
    assert set(verdicts(demo_brief, sky, *needs, night="2027-06-04")) == {
        "not known: no tide typed for this night"
    }


def test_the_water_need_not_reach_every_line_on_every_date(demo_brief: dict[str, Any], sky: Sky) -> None:
    """A date that is typed without its wet line has none; without its low water it is not all typed."""
    tides = demo_brief["place"]["tides"]
    demo_brief["place"]["tides"] = [
        row for row in tides if row["date"] != "2027-06-06" or row["kind"] not in (LOW, WET)
    ]
    needs = [{"kind": "event-between", "event": event, "between": [0, 39_600]} for event in (WET, LOW)]
    assert [met for *_, met in found_for(demo_brief, sky, *needs)] == [False, None]


def test_an_event_of_the_ridge_is_not_known_from_another_spot(demo_brief: dict[str, Any], sky: Sky) -> None:
    """Its skyline was measured at the place."""
    place = demo_brief["place"]
    spot = {key: place[key] for key in ("latitude_deg", "longitude_deg", "elevation_m")}
    needs: list[dict[str, Any]] = [
        {"kind": "event-between", "event": "moon behind ridge", "between": [0, 86_340]},
        {"kind": "event-within", "event": "moon behind ridge", "within_ms": 60_000, "at": END},
        {"kind": "moon-down", "at": {"event": "moon behind ridge", "offset_s": 600}},
    ]
    place["horizon"] = [[0.0, 3.0], [180.0, 3.0]]
    assert None not in [met for *_, met in found_for(demo_brief, sky, *needs)]
    planned = plan({**demo_brief, "needs": needs}, sky, {"spot": spot})
    sheet = changing({**planned, "revision": "0"})
    assert [need["verdict"] for need in sheet["needs"]] == [
        "not known: no skyline measured for this spot"
    ] * 3


def test_a_night_without_a_plan_is_judged_by_all_that_does_not_hang_on_the_shot(
    demo_brief: dict[str, Any], sky: Sky
) -> None:
    at_one = {"clock_s": 3_600}
    on_shot = [
        {"kind": "moon-down", "at": END},
        {"kind": "moon-lit", "at": {"frame": 12}, "lit_pct": [0.0, 40.0]},
        {"kind": "altitude", "target": "galactic core", "at": HALFWAY, "altitude_deg": [10.0, 40.0]},
        {
            "kind": "azimuth",
            "target": "galactic core",
            "at": {"fraction": 0.0},
            "azimuth_deg": [130.0, 200.0],
        },
        {"kind": "event-within", "event": "sunset", "within_ms": 60_000, "at": {"fraction": 0.0}},
    ]
    free = [
        {"kind": "weekday", "days": ["Sat"]},
        {"kind": "darkness", "least_ms": 3_600_000},
        {"kind": "core-usable", "least_ms": 3_600_000},
        {"kind": "event-between", "event": "moonset", "between": [75_600, 82_800]},
        {"kind": "event-within", "event": "sunset", "within_ms": 60_000, "at": {"clock_s": 75_000}},
        {"kind": "moon-down", "at": at_one},
        {"kind": "altitude", "target": "galactic core", "at": at_one, "altitude_deg": [10.0, 40.0]},
        {"kind": "moon-up", "at": {"event": "moonset", "offset_s": -600}},
    ]
    brief = {**demo_brief, "needs": [*on_shot, *free]}
    night = night_of(brief, sky, brief["night"])
    timing = solve(brief, night, None)
    found = found_events(night, timing)
    with_plan, without = measured(brief, night, timing, found), measured(brief, night, None, found)
    for planned, bare in zip(with_plan[: len(on_shot)], without, strict=False):
        asked = {key: value for key, value in planned["args"].items() if key not in ("found", "away")}
        assert bare["id"] == planned["id"] and bare["met"] is None
        assert bare["args"] == {**asked, "actual": None, "found": "found.no-plan"}
        assert need_text(bare, night.spans)["verdict"] == "not known: no plan for this night"
    assert without[len(on_shot) :] == with_plan[len(on_shot) :]
    assert None not in [row["met"] for row in with_plan]
