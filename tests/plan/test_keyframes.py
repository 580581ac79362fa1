"""Aimed keyframes: targets land where they were asked for, pan never jumps and keeps its limits."""

from __future__ import annotations

from math import sqrt
from typing import Any

import pytest

from fieldsheet.plan.plan import plan
from fieldsheet.sky.sky import Sky
from tests.plain import plain


def test_targets_stand_where_they_were_asked_for(demo_plan: dict[str, Any]) -> None:
    """Rounding to 0.1 degrees moves a target by less than 0.1 degrees: 0.0017 / tan(36) of the half frame."""
    for keyframe in demo_plan["keyframes"]:
        assert keyframe["x"] == pytest.approx(keyframe["aim"]["x"], abs=0.004)
        assert keyframe["y"] == pytest.approx(keyframe["aim"]["y"], abs=0.004)


def test_values_are_multiples_of_the_rigs_step(demo_plan: dict[str, Any]) -> None:
    for keyframe in demo_plan["keyframes"]:
        for name in ("pan", "tilt"):
            assert keyframe["axes"][name] * 10 == pytest.approx(round(keyframe["axes"][name] * 10), abs=1e-9)


def _pans(
    brief: dict[str, Any], sky: Sky, bearings: list[float], limits: tuple[float, float], turn: Any
) -> list[float]:
    brief["zero_bearing_deg"] = 0.0
    brief["rig"]["axes"]["pan"] |= {"min": limits[0], "max": limits[1]}
    for keyframe, bearing in zip(brief["keyframes"], bearings, strict=True):
        keyframe["aim"] = {"bearing_deg": bearing, "altitude_deg": 0.0, "x": 0.0, "y": 0.0}
        keyframe["turn"] = turn
    return [round(keyframe["axes"]["pan"], 6) for keyframe in plan(brief, sky, {})["keyframes"]]


@pytest.mark.parametrize(
    ("bearings", "limits", "turn", "pans"),
    [
        pytest.param([170, 180, 190], (-400, 400), None, [170, 180, 190], id="across south without a jump"),
        pytest.param([350, 0, 10], (-400, 400), None, [-10, 0, 10], id="across north without a jump"),
        pytest.param([10, 350, 300], (-400, 400), None, [10, -10, -60], id="the shorter way"),
        pytest.param(
            [10, 350, 300], (-400, 400), "cw", [-350, -10, 300], id="clockwise as asked, a whole turn back"
        ),
        pytest.param([300, 10, 350], (-800, 800), "ccw", [-60, -350, -370], id="counter-clockwise as asked"),
        pytest.param(
            [170, 190, 210], (-175, 175), None, [170, 190, 210], id="no turn fits: stays nearest zero"
        ),
        pytest.param([170, 190, 210], (-200, 100), None, [-190, -170, -150], id="a whole turn back fits"),
    ],
)
def test_pan_is_continuous_and_shifted_into_its_limits(
    demo_brief: dict[str, Any],
    sky: Sky,
    bearings: list[float],
    limits: tuple[float, float],
    turn: str | None,
    pans: list[float],
) -> None:
    assert _pans(demo_brief, sky, bearings, limits, turn) == pans


def test_a_pan_given_as_a_number_is_where_the_hand_sets_it(demo_brief: dict[str, Any], sky: Sky) -> None:
    """170 to -170 is 340 degrees back, not 20 on: only aimed keyframes may choose a turn."""
    for keyframe, pan in zip(demo_brief["keyframes"], (170.0, None, -170.0), strict=True):
        if pan is not None:
            keyframe |= {"aim": None, "axes": {**keyframe["axes"], "pan": pan, "tilt": 0.0}}
    demo_brief["keyframes"][1]["aim"] = {"bearing_deg": 30.0, "altitude_deg": 0.0, "x": 0.0, "y": 0.0}
    demo_brief["zero_bearing_deg"] = 0.0
    pans = [round(keyframe["axes"]["pan"], 6) for keyframe in plan(demo_brief, sky, {})["keyframes"]]
    assert pans == [170, 30, -170]


def test_an_aimed_keyframe_takes_the_turn_nearest_the_hand_set_one(
    demo_brief: dict[str, Any], sky: Sky
) -> None:
    """Aimed at 175, then set by hand at -180: 5 degrees apart, not 355."""
    demo_brief["zero_bearing_deg"] = 0.0
    demo_brief["rig"]["axes"]["pan"] |= {"min": -400.0, "max": 400.0}
    demo_brief["keyframes"][0]["aim"] = {"bearing_deg": 175.0, "altitude_deg": 0.0, "x": 0.0, "y": 0.0}
    for keyframe, pan in zip(demo_brief["keyframes"][1:], (-180.0, -175.0), strict=True):
        keyframe |= {"aim": None, "axes": {**keyframe["axes"], "pan": pan, "tilt": 0.0}}
    pans = [round(keyframe["axes"]["pan"], 6) for keyframe in plan(demo_brief, sky, {})["keyframes"]]
    assert pans == [-185, -180, -175]


def test_a_tracked_target_is_followed_the_way_it_goes(demo_brief: dict[str, Any], sky: Sky) -> None:
    """The sun over a southern-summer day: it passes north by 250 degrees and more, counter-clockwise."""
    brief = demo_brief
    brief["place"] |= {"latitude_deg": -54.8, "longitude_deg": -68.3}
    brief["night"] = {"rule": "day", "date": "2027-12-21"}
    brief |= {
        "start": {"event": "sunrise", "offset_s": 1800},
        "end": {"event": "sunset", "offset_s": -1800},
        "interval_ms": 60_000,
        "zero_bearing_deg": 0.0,
    }
    brief["rig"]["axes"]["pan"] |= {"min": -200.0, "max": 200.0}
    brief["keyframes"] = [
        {**brief["keyframes"][0], "aim": {"target": "sun", "x": 0.0, "y": -0.9}, "at": {"fraction": fraction}}
        for fraction in (0.0, 1.0)
    ]
    pans = [keyframe["axes"]["pan"] for keyframe in plan(brief, sky, {})["keyframes"]]
    assert -280 < pans[1] - pans[0] < -200


@pytest.mark.parametrize(
    ("order", "set_order", "on_rig"),
    [
        ("last-to-first", [3, 2, 1], [3, 2, 1]),
        ("first-to-last", [1, 2, 3], [1, 2, 3]),
    ],
)
def test_the_order_of_setting_says_what_the_rig_calls_them(
    demo_brief: dict[str, Any], sky: Sky, order: str, set_order: list[int], on_rig: list[int]
) -> None:
    """Common practice, no source: set last-to-first, the rig calls our last keyframe its first."""
    planned = plan({**demo_brief, "order": order}, sky, {})
    assert planned["move"]["set_order"] == set_order
    assert [keyframe["rig_number"] for keyframe in planned["keyframes"]] == on_rig


def test_setting_first_to_last_costs_the_way_back(demo_brief: dict[str, Any], sky: Sky) -> None:
    """Common practice, no source: setting last-to-first saves the return travel."""
    forward = plan({**demo_brief, "order": "first-to-last"}, sky, {})["move"]
    backward = plan({**demo_brief, "order": "last-to-first"}, sky, {})["move"]
    assert forward["travel_back"]["slide"] == -1060
    # Then two degrees as the run goes: tilt, the slower one, gathers 10 degrees a second each second.
    assert forward["travel_back_s"] == pytest.approx(1060 / 14 + 14 / 18 + 2 * sqrt(2 / 10))
    assert (backward["travel_back"], backward["travel_back_s"]) == (None, 0.0)


def _warnings(brief: dict[str, Any], sky: Sky) -> list[str]:
    return [warning["id"].removeprefix("warning.") for warning in plan(brief, sky, {})["warnings"]]


def test_the_demo_breaks_no_limit(demo_brief: dict[str, Any], sky: Sky) -> None:
    assert _warnings(demo_brief, sky) == []


def _long_shutter(brief: dict[str, Any]) -> None:
    brief["longest_shutter_ms"] = 16_000


def _slow_slide(brief: dict[str, Any]) -> None:
    brief["rig"]["axes"]["slide"]["speed_max"] = 0.05


def _narrow_pan(brief: dict[str, Any]) -> None:
    brief["rig"]["axes"]["pan"]["max"] = 50.0


def _sun_at_night(brief: dict[str, Any]) -> None:
    brief["keyframes"][2]["aim"] = {"target": "sun", "x": 0.0, "y": 0.0}
    brief["rig"]["axes"]["tilt"]["min"] = 0.0


def _slow_and_moving(brief: dict[str, Any]) -> None:
    brief["rig"]["motion"] = "continuous"
    brief["rig"]["axes"]["slide"]["speed_max"] = 0.05


def _long_and_moving(brief: dict[str, Any]) -> None:
    brief["rig"]["motion"] = "continuous"
    brief["longest_shutter_ms"] = 20_000


def _behind_a_ridge(brief: dict[str, Any]) -> None:
    """K3 is aimed at the core at 11 degrees: a wall of 14 in that part of the sky."""
    brief["needs"] = []
    brief["place"]["horizon"] = [
        [0.0, 1.0],
        [90.0, 1.0],
        [110.0, 14.0],
        [190.0, 14.0],
        [210.0, 1.0],
        [280.0, 1.0],
    ]


def _into_the_rock(brief: dict[str, Any]) -> None:
    """K2 by numbers: tilted down so far that a hill of 20 degrees fills the frame."""
    brief["needs"] = []
    brief["place"]["horizon"] = [[0.0, 20.0], [90.0, 20.0], [180.0, 20.0], [270.0, 20.0]]
    brief["keyframes"] = [
        {**keyframe, "aim": None, "axes": {"slide": 100.0 * index, "pan": 20.0 * index, "tilt": tilt}}
        for index, (keyframe, tilt) in enumerate(zip(brief["keyframes"], (30.0, -20.0, 30.0), strict=True))
    ]


def _towards_the_sunset(brief: dict[str, Any]) -> None:
    for keyframe in brief["keyframes"]:
        keyframe["aim"] = {"bearing_deg": 295.0, "altitude_deg": 5.0, "x": 0.0, "y": 0.0}


def _no_sighting(brief: dict[str, Any]) -> None:
    brief["keyframes"][2]["sighting"] = None
    brief["place"]["landmarks"] = []
    brief["zero_sighting"] = None


def _no_proof(brief: dict[str, Any]) -> None:
    brief["place"]["landmarks"] = []
    brief["zero_sighting"] = None
    numbers = {"slide": 530.0, "pan": 20.0, "tilt": 4.0}
    brief["keyframes"][1] |= {"aim": None, "axes": numbers, "sighting": None}


def _the_long_way(brief: dict[str, Any]) -> None:
    """K2 at -165 as a number after K1 at +63.7, which the sun's aim gives: 229 degrees back, 131 on."""
    brief["keyframes"][1] |= {"aim": None, "axes": {"slide": 530.0, "pan": -165.0, "tilt": 4.0}}


def _from_the_morning(brief: dict[str, Any]) -> None:
    brief["place"] |= {"tides": [], "turn_back": None, "check_in": None}
    brief["night"]["rule"] = "day"
    brief["start"] = {"clock_s": 9 * 3600}


@pytest.mark.parametrize(
    ("spoil", "warned"),
    [
        (_long_shutter, ["interval-short"]),
        (_long_and_moving, ["interval-short-moving"]),
        (_slow_slide, ["move-too-long"]),
        (_slow_and_moving, ["too-fast"]),
        (_narrow_pan, ["axis-limit"]),
        (_sun_at_night, ["below-horizon"]),
        (_behind_a_ridge, ["behind-skyline"]),
        (_into_the_rock, ["no-sky"]),
        (_towards_the_sunset, ["sun-in-frame"]),
        (_no_sighting, ["no-sighting"]),
        (_no_proof, ["no-proof"]),
        (_the_long_way, ["long-way"]),
        (_from_the_morning, ["long-shot"]),
    ],
    ids=lambda value: getattr(value, "__name__", None),
)
def test_each_limit_is_warned_of(demo_brief: dict[str, Any], sky: Sky, spoil: Any, warned: list[str]) -> None:
    spoil(plain(demo_brief))
    assert _warnings(demo_brief, sky) == warned


def test_a_sun_behind_the_ridge_is_not_in_the_frame(demo_brief: dict[str, Any], sky: Sky) -> None:
    _towards_the_sunset(demo_brief)
    demo_brief["place"]["horizon"] = [[0.0, 0.0], [90.0, 0.0], [180.0, 0.0], [250.0, 30.0], [320.0, 30.0]]
    assert "sun-in-frame" not in _warnings(demo_brief, sky)


def test_over_a_skyline_that_falls_a_target_below_the_level_is_in_sight(
    demo_brief: dict[str, Any], sky: Sky
) -> None:
    """From a summit the sun stands over a sea of clouds, one degree below the level."""
    demo_brief["keyframes"][1] |= {
        "at": {"event": "sunset", "offset_s": 300},
        "aim": {"target": "sun", "x": 0.0, "y": 0.0},
    }
    assert _warnings(demo_brief, sky) == ["below-horizon"]
    demo_brief["place"]["horizon"] = [[0.0, -3.0], [120.0, -3.0], [240.0, -3.0]]
    assert _warnings(demo_brief, sky) == []


def test_a_longitude_of_the_wrong_sign_is_noticed(demo_brief: dict[str, Any], sky: Sky) -> None:
    demo_brief["place"]["longitude_deg"] = 86.7
    assert "zone-far" in _warnings(demo_brief, sky)


def test_the_sun_at_sunset_is_not_below_the_horizon(demo_brief: dict[str, Any], sky: Sky) -> None:
    """At sunset the upper limb touches the horizon; its centre is a quarter of a degree below."""
    demo_brief["keyframes"][1] |= {
        "at": {"event": "sunset", "offset_s": 0},
        "aim": {"target": "sun", "x": 0.0, "y": 0.0},
    }
    assert _warnings(demo_brief, sky) == []


def test_the_interval_budget_counts_nothing_twice(demo_brief: dict[str, Any], sky: Sky) -> None:
    """Common practice, no source: camera ready and move + settle run side by side; the dwell is whole."""
    budget = plan(demo_brief, sky, {})["interval_budget"]
    assert budget["dwell_ms"] == 14_000  # 13 s and 0.1 s, in whole seconds
    assert budget["needed_ms"] == 14_000 + budget["move_ms"] + budget["settle_ms"]
    assert budget["slack_ms"] == 18_000 - budget["needed_ms"]
    demo_brief["rig"]["motion"] = "continuous"
    moving = plan(demo_brief, sky, {})["interval_budget"]
    assert (moving["needed_ms"], moving["dwell_ms"]) == (13_000 + 100 + 400, None)


@pytest.mark.parametrize("motion", ["shoot-move-shoot", "continuous"])
@pytest.mark.parametrize("slide_speed", [14.0, 0.3])
def test_either_mend_of_a_short_interval_mends_it(
    demo_brief: dict[str, Any], sky: Sky, motion: str, slide_speed: float
) -> None:
    """A longer interval means fewer frames and longer steps; that is reckoned with."""
    plain(demo_brief)["longest_shutter_ms"] = 20_000
    demo_brief["rig"]["motion"] = motion
    demo_brief["rig"]["axes"]["slide"]["speed_max"] = slide_speed
    budget = plan(demo_brief, sky, {})["interval_budget"]
    longer = {**demo_brief, "interval_ms": budget["shortest_interval_ms"]}
    assert _warnings(longer, sky) == []
    assert _warnings({**longer, "interval_ms": longer["interval_ms"] - 500}, sky) != []
    shorter = {**demo_brief, "longest_shutter_ms": budget["longest_shutter_ms"]}
    assert _warnings(shorter, sky) == []
    assert _warnings({**shorter, "longest_shutter_ms": budget["longest_shutter_ms"] + 100}, sky) != []
