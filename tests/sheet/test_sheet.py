"""The sheet holds what a person reads, and holds it for every plan."""

from __future__ import annotations

import re
from typing import Any

import pytest

from fieldsheet.press import plan_shot
from fieldsheet.sheet.sheet import make_sheet
from fieldsheet.sheet.told import text_at
from fieldsheet.sky.sky import Sky

LEVEL = {"bearing_deg": 200.0, "altitude_deg": 5.0, "x": 0.0, "y": 0.0}


def _level(brief: dict[str, Any], **changes: Any) -> dict[str, Any]:
    """The brief with changes, and keyframes that any night can aim at."""
    return {**brief, **changes, "keyframes": [{**keyframe, "aim": LEVEL} for keyframe in brief["keyframes"]]}


def test_the_demos_five_numbers(demo_plan: dict[str, Any]) -> None:
    numbers = make_sheet(demo_plan)["numbers"]
    assert (numbers["interval"], numbers["dwell"], numbers["hold"], numbers["ease"]) == (
        "18 s",
        "14 s",
        "1 fr",
        "40 fr",
    )
    assert numbers["frames"] == str(demo_plan["timing"]["frames"])


def test_items_show_the_values_they_name(demo_plan: dict[str, Any]) -> None:
    sheet = make_sheet(demo_plan)
    shown = {item["text"]: item["value"] for section in sheet["checklist"] for item in section["items"]}
    assert sheet["numbers"]["first_frame"] in shown.values()
    assert {keyframe["line"] for keyframe in sheet["keyframes"]} <= set(shown.values())
    for section in sheet["checklist"]:
        for item in section["items"]:
            assert item["value"] == (text_at(sheet, item["path"]) if item["path"] else "")


@pytest.mark.parametrize(
    ("night", "start", "window"),
    [
        pytest.param("2027-06-05", {"clock_s": 75_600}, "21:00–23:00 WEST", id="one evening"),
        pytest.param(
            "2027-06-05",
            {"clock_s": 82_800},
            "23:00 – Sun 6 June, 01:00 WEST",
            id="across midnight: the other date",
        ),
        pytest.param(
            "2027-06-05",
            {"clock_s": 3_600},
            "Sun 6 June, 01:00–03:00 WEST",
            id="after midnight: its own date",
        ),
        pytest.param(
            "2027-10-30",
            {"clock_s": 3_600},
            "Sun 31 October, 01:00 WEST – Sun 31 October, 02:00 WET",
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


def test_a_clock_after_midnight_carries_its_date(demo_brief: dict[str, Any], sky: Sky) -> None:
    """The night of the 5th: a first frame at 01:00 is on the 6th; nobody must come a day early."""
    brief = _level(demo_brief, start={"clock_s": 3_600}, end=None, duration_ms=7_200_000)
    sheet = make_sheet(plan_shot(brief, sky, {}))
    labels = sheet["labels"]
    assert (sheet["when"], sheet["span"]) == ("night of Sat 5 June 2027", "Sun 6 June, 01:00–03:00 WEST")
    assert labels["first_frame"] == "first frame, Sun 6 June"
    assert labels["last_closes"] == "last shutter, Sun 6 June"


def test_clock_times_carry_their_zone_where_it_changes_on_the_way(
    demo_brief: dict[str, Any], sky: Sky
) -> None:
    night = {"rule": "night", "date": "2027-10-30"}
    brief = _level(demo_brief, night=night, start={"clock_s": 0}, end={"clock_s": 6 * 3600})
    sheet = make_sheet(plan_shot(brief, sky, {}))
    assert (sheet["numbers"]["first_frame"], sheet["numbers"]["last_closes"]) == ("00:00 WEST", "06:00 WET")
    assert sheet["zone"] == "WEST, from 01:00 WET"
    assert all(keyframe["clock"].endswith(("WEST", "WET")) for keyframe in sheet["keyframes"])


def test_events_that_the_shot_hangs_on_are_listed_though_they_lie_outside(
    demo_brief: dict[str, Any], sky: Sky
) -> None:
    sheet = make_sheet(plan_shot(_level(demo_brief, start={"event": "sunset", "offset_s": 900}), sky, {}))
    assert sheet["sky"][0] == {"name": "sunset", "clock": "20:51", "frame": "before frame 1"}
    assert "sunset" not in [moment["label"] for moment in sheet["strip"]["moments"]]


def test_a_rig_that_always_moves_is_shown_no_dwell(demo_brief: dict[str, Any], sky: Sky) -> None:
    demo_brief["rig"]["motion"] = "continuous"
    sheet = make_sheet(plan_shot(demo_brief, sky, {}))
    assert "dwell" not in sheet["program"]
    assert all("Dwell" not in item["text"] for section in sheet["checklist"] for item in section["items"])


@pytest.mark.parametrize(
    ("incline_deg", "words"), [(0.0, "level"), (5.0, "5.0°, home end LOW"), (-30.0, "30.0°, home end HIGH")]
)
def test_the_rail_says_which_end_is_low(
    demo_brief: dict[str, Any], sky: Sky, incline_deg: float, words: str
) -> None:
    demo_brief["rail"]["incline_deg"] = incline_deg
    sheet = make_sheet(plan_shot(demo_brief, sky, {}))
    assert sheet["rail"] == f"rail 300° true, 301° magnetic, home LEFT, motor RIGHT, {words}"


def test_bearings_that_a_compass_would_find_are_told_both_ways(demo_brief: dict[str, Any], sky: Sky) -> None:
    """By hand: 2.6 degrees of declination east, so that 225 is 222.4 on a compass, and 300 is 297.4."""
    demo_brief["place"] |= {"declination": {"deg": 2.6, "weak": False}}
    demo_brief["keyframes"][0] |= {"aim": None, "axes": {"slide": 0.0, "pan": 10.0, "tilt": 4.0}}
    sheet = make_sheet(plan_shot(demo_brief, sky, {}))
    assert (sheet["pan_zero"], sheet["zero_magnetic"]) == ("225°", "222° mag")
    assert sheet["zero_both"] == "225°, 222° magnetic"
    assert sheet["rail"].startswith("rail 300° true, 297° magnetic, home LEFT")
    assert sheet["rail_short"].startswith("rail 300° (297° mag), home LEFT")
    assert sheet["keyframes"][0]["aim"] == "looks at 235° (232° mag), +4.0°"
    assert sheet["keyframes"][1]["aim"].startswith("bearing 235° (232° mag), +4.0°")
    texts = {item["text"]: item for part in sheet["checklist"] for item in part["items"]}
    assert texts["Rail, home end LEFT, runs"]["value"] == "300° true, 297° magnetic"
    zero = texts["Tilt 0 is level, pan 0 looks at"]
    assert zero["value"] == "225° true, 222° magnetic: harbour light"
    assert zero["note"] == "a compass only 5 m from steel, motors, cars: ±3–5°"


@pytest.mark.parametrize("lacks", ["dates", "pole"])
def test_without_a_declination_bearings_are_true_alone_and_a_warning_says_why(
    demo_brief: dict[str, Any], sky: Sky, lacks: str
) -> None:
    demo_brief["place"] |= {"declination": None, "no_declination": lacks}
    sheet = make_sheet(plan_shot(demo_brief, sky, {}))
    (warning,) = (one for one in sheet["warnings"] if one["head"].startswith("Bearings are true alone"))
    assert warning["level"] == "mind" and ("2025 to 2029" in warning["sum"]) == (lacks == "dates")
    assert (sheet["zero_both"], sheet["zero_magnetic"]) == ("225°", "")
    everything = str(sheet | {"warnings": []})
    assert not re.search(r"° mag", everything) and "225° true" in everything


def test_where_the_field_is_weak_the_compass_is_told_to_be_unsure(
    demo_brief: dict[str, Any], sky: Sky
) -> None:
    demo_brief["place"] |= {"declination": {"deg": 31.0, "weak": True}}
    sheet = make_sheet(plan_shot(demo_brief, sky, {}))
    assert "A compass is unsure here" in [warning["head"] for warning in sheet["warnings"]]
    assert sheet["zero_both"] == "225°, 194° magnetic"


def test_slack_is_never_rounded_in_the_rigs_favour(demo_brief: dict[str, Any], sky: Sky) -> None:
    demo_brief["camera"]["ready_ms"] = 499
    demo_brief["longest_shutter_ms"] = 17_402  # 18 s - 0.1 s lag - 0.499 s: 1 ms short
    assert make_sheet(plan_shot(demo_brief, sky, {}))["numbers"]["slack"].startswith("\u2212")


@pytest.mark.parametrize("frames", [2, 9, 100, 753, 4_999, 86_400])
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
        for keyframe, at in zip(
            brief["keyframes"], (0.0, 1.0) if frames == 2 else (0.0, 0.5, 1.0), strict=False
        )
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
