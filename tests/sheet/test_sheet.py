"""The sheet holds what a person reads, and holds it for every plan."""

from __future__ import annotations

from typing import Any

import pytest

from fieldsheet.press import plan_shot
from fieldsheet.sheet.sheet import make_sheet
from fieldsheet.sky.sky import Sky


def test_the_demos_five_numbers(demo_plan: dict[str, Any]) -> None:
    numbers = make_sheet(demo_plan)["numbers"]
    assert (numbers["interval"], numbers["dwell"], numbers["hold"], numbers["ease"]) == (
        "18 s",
        "14 s",
        "1",
        "40",
    )
    assert numbers["frames"] == str(demo_plan["timing"]["frames"])


def test_items_show_the_values_they_name(demo_plan: dict[str, Any]) -> None:
    sheet = make_sheet(demo_plan)
    shown = {item["text"]: item["value"] for section in sheet["checklist"] for item in section["items"]}
    assert shown["First frame"] == sheet["numbers"]["first_frame"]
    assert shown["K3 END stored, tape marks made"] == sheet["keyframes"][2]["line"]


@pytest.mark.parametrize(
    ("night", "start", "window"),
    [
        pytest.param("2027-06-05", {"clock_s": 75_600}, "21:00–23:00 WEST", id="one evening"),
        pytest.param(
            "2027-06-05",
            {"clock_s": 82_800},
            "Sat 5 June 23:00 – Sun 6 June 01:00 WEST",
            id="across midnight: both dates",
        ),
        pytest.param(
            "2027-10-30",
            {"clock_s": 3_600},
            "Sun 31 October 01:00 WEST – Sun 31 October 02:00 WET",
            id="across a clock change: both zones",
        ),
    ],
)
def test_the_window_names_every_date_and_zone_it_touches(
    demo_brief: dict[str, Any], sky: Sky, night: str, start: dict[str, Any], window: str
) -> None:
    brief = {
        **demo_brief,
        "night": {"rule": "night", "date": night},
        "start": start,
        "end": None,
        "duration_ms": 7_200_000,
    }
    brief["keyframes"] = [
        {**keyframe, "aim": {"bearing_deg": 200.0, "altitude_deg": 5.0, "x": 0.0, "y": 0.0}}
        for keyframe in brief["keyframes"]
    ]
    assert make_sheet(plan_shot(brief, sky, {}))["span"] == window


@pytest.mark.parametrize("frames", [2, 9, 100, 753, 4_999, 99_999])
def test_the_ruler_has_round_numbers_inside_the_strip(
    demo_brief: dict[str, Any], sky: Sky, frames: int
) -> None:
    brief = {**demo_brief, "end": None, "interval_ms": 1000, "frames": frames, "ease": [0, 0]}
    brief["keyframes"] = [
        {
            **keyframe,
            "aim": {"bearing_deg": 200.0, "altitude_deg": 5.0, "x": 0.0, "y": 0.0},
            "at": {"fraction": at},
        }
        for keyframe, at in zip(brief["keyframes"], (0.0, 0.5, 1.0), strict=True)
    ]
    ruler = make_sheet(plan_shot(brief, sky, {}))["strip"]["ruler"]
    assert len(ruler) <= 8 and all(1 <= number <= frames for number in ruler)
    assert all(str(number).strip("0") in ("1", "2", "5") or number % ruler[0] == 0 for number in ruler)


def test_another_night_is_marked_as_changed(demo_brief: dict[str, Any], sky: Sky) -> None:
    assert make_sheet(plan_shot(demo_brief, sky, {}))["changed"] is False
    assert make_sheet(plan_shot(demo_brief, sky, {"night": "2027-06-06"}))["changed"] is True


def test_the_revision_follows_every_number_of_the_brief(demo_brief: dict[str, Any], sky: Sky) -> None:
    before = plan_shot(demo_brief, sky, {})["revision"]
    assert plan_shot(demo_brief, sky, {"night": "2027-06-06"})["revision"] == before
    demo_brief["rig"]["settle_ms"] += 1
    assert plan_shot(demo_brief, sky, {})["revision"] != before
