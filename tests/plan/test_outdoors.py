"""What sky, sea and place hold against a shot, and what the plan says of the sky."""

from __future__ import annotations

import copy
from typing import Any

import pytest

from fieldsheet.plan.aim import lens_of, place_in_frame
from fieldsheet.plan.anchors import night_of
from fieldsheet.plan.plan import plan
from fieldsheet.plan.seen import seen_deg
from fieldsheet.press import plan_shot
from fieldsheet.sheet.sheet import make_sheet
from fieldsheet.sky.sky import Sky
from tests.plain import plain


@pytest.fixture
def demo_brief(demo_brief: dict[str, Any]) -> dict[str, Any]:
    """The demo's shot without needs: what else is at fault is looked at here."""
    return {**demo_brief, "needs": []}


def _warned(brief: dict[str, Any], sky: Sky, changes: dict[str, Any] | None = None) -> list[str]:
    return [warning["id"].removeprefix("warning.") for warning in plan(brief, sky, changes or {})["warnings"]]


def _exit_closes(brief: dict[str, Any]) -> None:
    brief["place"]["tides"] = [{"date": "2027-06-05", "clock_s": 22 * 3600, "kind": "exit closes"}]
    brief["place"] |= {"turn_back": None, "check_in": None}


def _turns_back(brief: dict[str, Any]) -> None:
    brief["place"]["turn_back"] = {"clock_s": 22 * 3600}


def _wet(brief: dict[str, Any]) -> None:
    brief["place"]["tides"].append({"date": "2027-06-05", "clock_s": 22 * 3600, "kind": "wet line"})


def _closes_on_the_way_out(brief: dict[str, Any]) -> None:
    """The shot ends at 23:22; 25 min later everybody is out, but the exit closes at 23:40."""
    brief["place"]["tides"] = [{"date": "2027-06-05", "clock_s": 23 * 3600 + 2400, "kind": "exit closes"}]
    brief["place"] |= {"turn_back": None, "check_in": None}


def _gate(brief: dict[str, Any]) -> None:
    brief["place"]["gate_closes"] = {"clock_s": 23 * 3600}


def _no_time(brief: dict[str, Any]) -> None:
    brief["place"]["turn_back"] = {"event": "wet line", "offset_s": 0}
    brief["place"]["tides"] = [row for row in brief["place"]["tides"] if row["kind"] != "wet line"]


def _other_tides(brief: dict[str, Any]) -> None:
    brief["place"] |= {"turn_back": None, "check_in": None}
    brief["place"]["tides"] = [{"date": "2027-06-20", "clock_s": 0, "kind": "low tide"}]


def _early_core(brief: dict[str, Any]) -> None:
    brief["end"] = {"event": "astronomical dusk", "offset_s": 0}


def _overloaded(brief: dict[str, Any]) -> None:
    brief["rig"]["load_kg"] = [[0.0, 6.0], [40.0, 2.0]]
    brief["rail"] |= {"incline_deg": 20.0, "payload_kg": 4.1}


@pytest.mark.parametrize(
    ("spoil", "warned"),
    [
        (_exit_closes, ["exit-closes"]),
        (_wet, ["wet-line"]),
        (_closes_on_the_way_out, ["exit-closes"]),
        (_turns_back, ["turn-back-passed"]),
        (_gate, ["gate-passed"]),
        (_no_time, ["limit-unknown"]),
        (_other_tides, ["tide-unknown"]),
        (_early_core, ["core-unusable"]),
        (_overloaded, ["load"]),
    ],
    ids=lambda value: getattr(value, "__name__", None),
)
def test_each_is_warned_of(demo_brief: dict[str, Any], sky: Sky, spoil: Any, warned: list[str]) -> None:
    spoil(plain(demo_brief))
    assert _warned(demo_brief, sky) == warned


def test_a_load_between_two_measured_angles_is_taken_as_straight(
    demo_brief: dict[str, Any], sky: Sky
) -> None:
    """6 kg level and 2 kg at 40 degrees make 4 kg at 20."""
    _overloaded(plain(demo_brief))
    demo_brief["rail"]["payload_kg"] = 3.99
    assert _warned(demo_brief, sky) == []


def test_a_bright_moonrise_in_the_shot_is_warned_of_and_a_dark_one_is_not(
    demo_brief: dict[str, Any], sky: Sky
) -> None:
    """Full moon on 18 June 2027: on the 20th it rises bright into the night; a shot of the moon means it."""
    brief = {**demo_brief, "keyframes": [{**one, "aim": None} for one in demo_brief["keyframes"]]}
    for keyframe in brief["keyframes"]:
        keyframe["axes"] = {**keyframe["axes"], "pan": 0.0, "tilt": 60.0}
    brief["place"] = {**brief["place"], "tides": [], "turn_back": None, "check_in": None}
    assert _warned(brief, sky, {"night": "2027-06-20"}) == ["moon-rises"]
    assert _warned(brief, sky) == []


def test_an_aim_that_hangs_on_the_usable_core_is_usable(demo_brief: dict[str, Any], sky: Sky) -> None:
    demo_brief["end"] = {"event": "core usable", "offset_s": 0}
    demo_brief["interval_ms"] = 20_000
    assert "core-unusable" not in _warned(demo_brief, sky)


# New moon 2027-06-04 19:40 UTC, first quarter 06-11 10:56, full 06-19 00:44 (Espenak, Six Millennium Catalog
# of Phases of the Moon, from memory); the checks of phase and light against almanacs are in tests/sky.
@pytest.mark.parametrize(
    ("night", "phase"),
    [
        ("2027-06-04", "phase.new"),
        ("2027-06-07", "phase.waxing crescent"),
        ("2027-06-11", "phase.first quarter"),
        ("2027-06-15", "phase.waxing gibbous"),
        ("2027-06-18", "phase.full"),
    ],
)
def test_the_moon_of_the_night_is_named(demo_brief: dict[str, Any], sky: Sky, night: str, phase: str) -> None:
    demo_brief["place"] |= {"turn_back": None, "check_in": None}
    assert plan(demo_brief, sky, {"night": night})["sky"]["moon"]["phase"] == phase


def test_the_sky_lines_name_what_is_up(demo_brief: dict[str, Any], sky: Sky) -> None:
    lines = {row["name"]: row["text"] for row in make_sheet(plan_shot(demo_brief, sky, {}))["sky_lines"]}
    assert lines["moon"].startswith("new moon, 2 % lit; sets 22:06")
    assert "highest 02:25 at +24°" in lines["core"] and "usable 23:13–04:46" in lines["core"]
    assert lines["Jupiter"].startswith("start in the light, end +")


def test_bodies_in_the_frame_are_named_where_they_can_be_seen(demo_plan: dict[str, Any]) -> None:
    """At sunset no star shows, nor a new moon; at the end Antares stands right of the core."""
    start, _, end = demo_plan["keyframes"]
    assert start["in_frame"] == []
    inside = {row["body"]: row for row in end["in_frame"]}
    assert "antares" in inside and "galactic core" not in inside
    assert all(max(abs(row["x"]), abs(row["y"])) <= 1 for row in inside.values())
    assert inside["antares"]["x"] > 0.1


def test_a_target_waits_where_the_sky_turns_it(demo_plan: dict[str, Any]) -> None:
    """The sky turns 15 degrees an hour: before frame 1 the setting sun is left of and above its place."""
    waits = demo_plan["keyframes"][0]["waits"]
    gone_h = (demo_plan["window"]["start"]["utc_ms"] - waits["time"]["utc_ms"]) / 3_600_000
    turned = (waits["right_deg"] ** 2 + waits["up_deg"] ** 2) ** 0.5
    assert waits["right_deg"] < 0 < waits["up_deg"] and waits["seen"]
    assert turned == pytest.approx(15 * gone_h, rel=0.15)
    assert demo_plan["keyframes"][1]["waits"] is None
    assert demo_plan["keyframes"][2]["waits"]["seen"] is False, "no core by daylight"


def test_a_landmark_gives_a_sighting_on_any_night(demo_brief: dict[str, Any], sky: Sky) -> None:
    """A post at 100 degrees, 1 up; the core at 140 and 11: 40 right of it, a fist (10 degrees) up."""
    demo_brief["keyframes"][2]["sighting"] = None
    demo_brief["place"]["landmarks"] = [{"name": "iron post", "bearing_deg": 100.0, "altitude_deg": 1.0}]
    demo_brief["frame_mm"] = [12.0, 12.0]
    sheet = make_sheet(plan_shot(demo_brief, sky, {}))
    assert sheet["keyframes"][2]["sighting"] == "core 40° right of iron post, 1 fist up"
    demo_brief["keyframes"][2]["sighting"] = "as written"
    assert make_sheet(plan_shot(demo_brief, sky, {}))["keyframes"][2]["sighting"] == "as written"
    other = make_sheet(plan_shot(demo_brief, sky, {"night": "2027-06-06"}))
    assert other["keyframes"][2]["sighting"].startswith("core 4"), "written for the printed night only"


def test_without_a_landmark_near_it_a_sighting_is_measured_from_what_pan_zero_looks_at(
    demo_brief: dict[str, Any], sky: Sky
) -> None:
    """Pan zero at 170 degrees looks at a tower; the core at 140 stands 30 left, at an unknown height."""
    demo_brief |= {"zero_bearing_deg": 170.0, "zero_sighting": "bell tower"}
    demo_brief["keyframes"][2]["sighting"] = None
    demo_brief["place"]["landmarks"] = []
    sheet = make_sheet(plan_shot(demo_brief, sky, {}))
    assert sheet["keyframes"][2]["sighting"] == "core 30° left of bell tower"


def test_a_landmark_inside_the_frame_is_named_by_its_place_there(
    demo_brief: dict[str, Any], sky: Sky
) -> None:
    """K2 looks at 235 degrees, 104 degrees wide: a mark at 245 stands tan(10) / tan(52.1) right."""
    demo_brief["keyframes"][1]["sighting"] = None
    demo_brief["place"]["landmarks"] = [{"name": "mast", "bearing_deg": 245.0, "altitude_deg": 4.0}]
    sheet = make_sheet(plan_shot(demo_brief, sky, {}))
    assert sheet["keyframes"][1]["sighting"] == "mast in the frame at x +0.14 y 0.00 of ±1"


def test_a_limit_passed_before_frame_1_is_tonights_and_not_tomorrows(
    demo_brief: dict[str, Any], sky: Sky
) -> None:
    demo_brief["place"]["turn_back"] = {"clock_s": 18 * 3600 + 1800}
    planned = plan(demo_brief, sky, {})
    assert planned["place"]["limits"][0]["time"]["local"].startswith("2027-06-05T18:30")
    assert [warning["id"] for warning in planned["warnings"]] == ["warning.turn-back-passed"]


def test_limits_after_midnight_carry_their_day(demo_brief: dict[str, Any], sky: Sky) -> None:
    limits = make_sheet(plan_shot(demo_brief, sky, {}))["limits"]
    assert [row["clock"] for row in limits] == ["Sun 02:10", "Sun 02:40"]


def test_the_sun_crossing_a_long_lens_is_found_and_its_first_frame_named(
    demo_brief: dict[str, Any], sky: Sky
) -> None:
    """An 800 mm lens sees 2.6 by 1.4 degrees: the sun crosses it in some ten minutes of twelve hours."""
    brief = demo_brief
    brief |= {"keyframes": [], "rail": None, "swap": None, "start": {"clock_s": 8 * 3600}, "end": None}
    brief |= {
        "duration_ms": 11 * 3_600_000,
        "longest_shutter_ms": 100,
        "night": {"rule": "day", "date": "2027-06-05"},
    }
    brief["place"] |= {"tides": [], "turn_back": None, "check_in": None}
    brief["rig"] |= {"axes": {}, "motion": "none"}
    brief["camera"]["focal_mm"] = 800.0
    when_s = 1_812_193_380  # 2027-06-05 11:03 UTC, between two of 48 samples
    night = night_of(brief, sky, brief["night"])
    azimuth, altitude = seen_deg(night, "sun", when_s)
    brief |= {"zero_bearing_deg": azimuth, "tilt_deg": altitude}
    ids = {warning["id"]: warning for warning in plan(brief, sky, {})["warnings"]}
    warning = ids["warning.sun-in-frame"]
    assert 0 < when_s - warning["args"]["clock"] / 1000 < 600
    entered = seen_deg(night, "sun", warning["args"]["clock"] / 1000)
    spot = place_in_frame(*entered, azimuth, altitude, lens_of(brief))
    assert spot is not None and max(map(abs, spot)) == pytest.approx(1, abs=0.02)


@pytest.mark.parametrize(
    ("rule", "usable"),
    [("night", ["usable 23:13–04:46"]), ("day", ["usable until 04:47", "usable from 23:13"])],
)
def test_the_usable_core_is_told_whatever_the_day_is_cut_by(
    demo_brief: dict[str, Any], sky: Sky, rule: str, usable: list[str]
) -> None:
    demo_brief["night"]["rule"] = rule
    lines = {row["name"]: row["text"] for row in make_sheet(plan_shot(demo_brief, sky, {}))["sky_lines"]}
    assert lines["core"].split("; ")[1:] == usable


def test_a_core_usable_for_seconds_is_said_so_and_not_as_a_span(demo_plan: dict[str, Any]) -> None:
    """Ends 16 s apart, within one minute of the clock and across two: 30 s and more round up."""
    planned = copy.deepcopy(demo_plan)
    [span] = planned["sky"]["usable"]
    minute_ms = span["from"]["utc_ms"] // 60_000 * 60_000
    for starts_s, said in ((5, "usable under a minute, 23:13"), (25, "usable 23:13–23:14")):
        for end, at_s in (("from", starts_s), ("until", starts_s + 16)):
            span[end]["utc_ms"] = minute_ms + at_s * 1000
        lines = {row["name"]: row["text"] for row in make_sheet(planned)["sky_lines"]}
        assert lines["core"].endswith(said)


def test_a_night_of_the_southern_winter_has_its_core_overhead(demo_brief: dict[str, Any], sky: Sky) -> None:
    """Highest altitude of the core: 90 - |latitude + 29.01| degrees (geometry); at 23 S it is 84."""
    demo_brief["place"] |= {
        "latitude_deg": -23.0,
        "longitude_deg": -8.67,
        "turn_back": None,
        "check_in": None,
    }
    core = plan(demo_brief, sky, {})["sky"]["core"]
    assert core["highest_deg"] == pytest.approx(90 - abs(-23.0 + 29.01), abs=0.1)


def test_from_17_to_dark_with_sunset_at_half_past_six_is_two_to_three_hours(
    demo_brief: dict[str, Any], sky: Sky
) -> None:
    """Common practice, no source: about two and a half hours; the trade counts loosely, to half an hour."""
    brief = demo_brief
    brief["place"] |= {"tides": [], "turn_back": None, "check_in": None}
    brief["place"] |= {"latitude_deg": 35.0, "longitude_deg": -5.0}
    brief["place"]["zone"] = {**brief["place"]["zone"], "spans": [[1_700_000_000, 0, "UTC"]]}
    brief |= {"start": {"clock_s": 17 * 3600}, "end": {"event": "astronomical dusk", "offset_s": 0}}
    planned = plan({**brief, "swap": None}, sky, {"night": "2027-03-24"})
    sunset = next(one for one in planned["sky"]["events"] if one["event"] == "sunset")
    assert sunset["time"]["local"][11:15] == "18:3"
    assert planned["timing"]["duration_ms"] / 3_600_000 == pytest.approx(2.5, abs=0.5)
