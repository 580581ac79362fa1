"""Working back from frame 1, the latest start, what this rig is told of the interval, swap and limits."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fieldsheet.catalog.defaults import SETUPS_MIN
from fieldsheet.plan.keyed import gap_ms, settable_ms
from fieldsheet.plan.plan import plan
from fieldsheet.plan.problem import PlanProblem
from fieldsheet.plan.schedule import deadlines
from fieldsheet.sheet.words import clock
from fieldsheet.sky.sky import Sky
from tests.plain import plain

MINUTE_MS = 60_000
ORDER = ["leave", "on-site", "level", "stored", "focus", "go"]


@given(
    setup_min=st.integers(10, 600),
    approach_min=st.none() | st.integers(0, 600),
    start_min=st.integers(0, 30_000_000),
)
def test_deadlines_come_in_the_order_of_work_and_end_before_frame_1(
    setup_min: int, approach_min: int | None, start_min: int
) -> None:
    """Common practice, no source: level, then keyframes, a last look at the focus, then the decision."""
    approach_ms = None if approach_min is None else approach_min * MINUTE_MS
    brief = {"setup_ms": setup_min * MINUTE_MS, "place": {"approach_ms": approach_ms}}
    rows = deadlines(brief, start_min * MINUTE_MS)
    assert [name for name, _ in rows] == (ORDER if approach_min is not None else ORDER[1:])
    times = [ms for _, ms in rows]
    assert times == sorted(times) and times[-1] < start_min * MINUTE_MS
    assert all(ms % MINUTE_MS == 0 for ms in times)
    on_site = dict(rows)["on-site"]
    assert start_min * MINUTE_MS - on_site == setup_min * MINUTE_MS
    if approach_ms is not None:
        assert on_site - times[0] == approach_ms


@pytest.mark.parametrize(("setup", "minutes"), [("practised", 60), ("alone in the dark", 90), ("class", 120)])
def test_setting_up_takes_what_the_trade_says(setup: str, minutes: int) -> None:
    """Common practice, no source: 45 to 60 min practised, 90 alone in the dark, 120 with a class."""
    assert SETUPS_MIN[setup] == minutes


def test_a_late_start_keeps_end_and_frames_at_a_shorter_interval(
    demo_brief: dict[str, Any], sky: Sky
) -> None:
    """What the sheet promises is tried: started then, at that interval, the shot ends in time and fits."""
    planned = plan(demo_brief, sky, {})
    late, window = planned["window"]["late"], planned["window"]
    assert late["interval_ms"] < planned["timing"]["interval_ms"]
    hurried = {
        **demo_brief,
        "start": None,
        "end": None,
        "duration_ms": None,
        "interval_ms": late["interval_ms"],
    }
    hurried |= {"frames": planned["timing"]["frames"], "start": {"clock_s": 0}}
    again = plan(hurried, sky, {"start_ms": late["start"]["utc_ms"]})
    assert again["window"]["end"]["utc_ms"] <= window["end"]["utc_ms"]
    assert window["end"]["utc_ms"] - again["window"]["end"]["utc_ms"] < MINUTE_MS
    assert again["interval_budget"]["slack_ms"] >= 0


def test_a_late_start_never_makes_another_clip(demo_brief: dict[str, Any], sky: Sky) -> None:
    """A shot with seconds to spare is hurried by a fifth of its interval at most."""
    demo_brief["longest_shutter_ms"] = 500
    late = plan(demo_brief, sky, {})["window"]["late"]
    assert late["interval_ms"] == 14_500  # 0.8 of 18 s, up to the rig's half second


def test_a_shot_that_misses_frames_anyway_has_no_latest_start(demo_brief: dict[str, Any], sky: Sky) -> None:
    demo_brief["longest_shutter_ms"] = 16_000
    assert plan(demo_brief, sky, {})["window"]["late"] is None


def test_a_rig_that_keys_a_gap_is_told_the_gap(demo_brief: dict[str, Any], sky: Sky) -> None:
    """Common practice, no source: gap = interval - dwell; 18 s with 14 s of dwell is a gap of 4 s."""
    demo_brief["rig"]["interval_means"] = "gap"
    budget = plan(demo_brief, sky, {})["interval_budget"]
    assert (budget["dwell_ms"], budget["gap_ms"]) == (14_000, 4_000)
    demo_brief["rig"]["interval_means"] = "start to start"
    assert plan(demo_brief, sky, {})["interval_budget"]["gap_ms"] is None


@given(
    interval_ms=st.integers(1, 100_000),
    step_ms=st.sampled_from([1, 100, 300, 500, 700, 1000]),
    shutter_ms=st.integers(1, 40_000),
    means=st.sampled_from(["start to start", "gap"]),
)
def test_a_solved_interval_can_be_keyed_in_and_is_the_shortest_that_can(
    interval_ms: int, step_ms: int, shutter_ms: int, means: str
) -> None:
    rig = {"motion": "shoot-move-shoot", "interval_means": means, "interval_step_ms": step_ms}
    rig["waits_for_camera"] = False
    brief = {"rig": rig, "camera": {"release_lag_ms": 100}, "longest_shutter_ms": shutter_ms}
    settable = settable_ms(brief, interval_ms)
    keyed = settable if means == "start to start" else gap_ms(brief, settable)
    assert keyed is not None and keyed > 0 and keyed % step_ms == 0
    assert settable >= interval_ms
    assert settable - step_ms < interval_ms or keyed == step_ms


def test_the_swap_range_is_kept_inside_the_shot(demo_brief: dict[str, Any], sky: Sky) -> None:
    planned = plan({**demo_brief, "swap": {"from": {"frame": 1}, "until": {"clock_s": 0}}}, sky, {})
    (swap,) = planned["power"]["changes"]
    assert (swap["from"]["frame"], swap["until"]["frame"]) == (1.0, planned["timing"]["frames"])
    assert swap["from"]["time"] == planned["window"]["start"]
    acts = [moment["id"] for moment in planned["moments"] if moment["kind"] == "act"]
    assert acts == ["moment.swap-from", "moment.swap-until"]


@pytest.mark.parametrize(
    "swap",
    [
        {"from": {"frame": 90_000}, "until": {"frame": 90_001}},
        {"from": {"clock_s": 0}, "until": {"clock_s": 3600}},
        {"from": {"event": "core unusable", "offset_s": 0}, "until": {"event": "sunrise", "offset_s": 0}},
    ],
)
def test_a_swap_range_that_comes_to_nothing_is_said_and_does_not_cost_the_plan(
    demo_brief: dict[str, Any], sky: Sky, swap: dict[str, Any]
) -> None:
    planned = plan({**plain(demo_brief), "swap": swap}, sky, {})
    assert planned["power"]["changes"] == []
    assert [warning["id"] for warning in planned["warnings"]] == ["warning.swap-outside"]


@pytest.mark.parametrize(
    "swap",
    [
        {"from": {"fraction": 0.6}, "until": {"fraction": 0.4}},
        {"from": {"clock_s": 22 * 3600}, "until": {"clock_s": 21 * 3600}},
        {"from": {"event": "nautical dusk", "offset_s": 0}, "until": {"event": "sunset", "offset_s": 0}},
    ],
)
def test_a_swap_that_ends_before_it_begins_is_a_no_go(
    demo_brief: dict[str, Any], sky: Sky, swap: dict[str, Any]
) -> None:
    (warning,) = plan({**demo_brief, "swap": swap}, sky, {})["warnings"]
    assert (warning["level"], warning["id"]) == ("no-go", "warning.swap-reversed")


BEFORE_SUNSET = {"event": "sunset", "offset_s": -3000}


@pytest.mark.parametrize(
    ("swap", "late_min", "over"),
    [
        pytest.param(BEFORE_SUNSET, 94, "20:51", id="left before it"),
        pytest.param(BEFORE_SUNSET, 144, "20:51", id="left within it"),
        pytest.param(BEFORE_SUNSET, 184, "20:51", id="left after it"),
        pytest.param({"frame": 100}, 144, "20:51", id="counted from a frame"),
    ],
)
def test_a_swap_that_was_to_be_over_before_frame_1_says_so_and_what_to_do(
    demo_brief: dict[str, Any], sky: Sky, swap: dict[str, Any], late_min: int, over: str
) -> None:
    """Also where leaving would be late: what is looked for is this evening's sunset, not tomorrow's."""
    brief = {**plain(demo_brief), "swap": {"from": swap, "until": {"event": "sunset", "offset_s": 0}}}
    first_ms = plan(demo_brief, sky, {})["window"]["start"]["utc_ms"]
    planned = plan(brief, sky, {"start_ms": first_ms + late_min * MINUTE_MS})
    (warning,) = [one for one in planned["warnings"] if "swap" in one["id"]]
    assert (warning["level"], warning["id"]) == ("mind", "warning.swap-missed")
    assert clock(warning["args"]["until"], planned["brief"]["place"]["zone"]["spans"]) == over


@pytest.mark.parametrize(
    ("first", "last"),
    [
        pytest.param({"clock_s": 5 * 3600}, {"clock_s": 6 * 3600}, id="by the clock"),
        pytest.param(
            {"event": "civil dawn", "offset_s": -3600},
            {"event": "civil dawn", "offset_s": 0},
            id="by the sky",
        ),
    ],
)
def test_a_swap_that_comes_after_the_shot_is_not_told_as_that_of_the_morning_before(
    demo_brief: dict[str, Any], sky: Sky, first: dict[str, Any], last: dict[str, Any]
) -> None:
    """From 17:00 until 01:00: six o'clock of this morning is less than half a day away; nobody means it."""
    brief = {**plain(demo_brief), "start": {"clock_s": 17 * 3600}, "end": {"clock_s": 3600}}
    warnings = plan({**brief, "swap": {"from": first, "until": last}}, sky, {})["warnings"]
    assert [one["id"] for one in warnings if "swap" in one["id"]] == ["warning.swap-outside"]


def test_a_swap_may_be_allowed_from_before_the_shot(demo_brief: dict[str, Any], sky: Sky) -> None:
    """Frame 1 is at 19:36; from 19:00 on means from frame 1 on."""
    swap = {"from": {"clock_s": 19 * 3600}, "until": {"event": "sunset", "offset_s": 0}}
    planned = plan({**demo_brief, "swap": swap}, sky, {})
    assert planned["power"]["changes"][0]["from"]["frame"] == 1.0


def test_an_interval_that_the_rig_cannot_be_given_makes_the_shot_end_late_and_says_so(
    demo_brief: dict[str, Any], sky: Sky
) -> None:
    """2.5 h in 100 frames are 90 s each; a rig of whole minutes takes 2 min, 50 min longer in all."""
    demo_brief["rig"]["interval_step_ms"] = 60_000
    brief = {**plain(demo_brief), "start": {"clock_s": 20 * 3600}, "end": {"clock_s": 22 * 3600 + 1800}}
    warnings = plan({**brief, "interval_ms": None, "frames": 100, "swap": None}, sky, {})["warnings"]
    (warning,) = (one for one in warnings if one["id"] == "warning.ends-late")
    assert (warning["args"]["late"], warning["args"]["frames"]) == (50 * MINUTE_MS, 75)


def test_a_shot_runs_for_a_day_at_most(demo_brief: dict[str, Any], sky: Sky) -> None:
    """The rig's steps are reckoned with: 10 min in 100000 frames of 1 s at least would be 28 h."""
    demo_brief["rig"]["interval_step_ms"] = 1000
    brief = {**demo_brief, "start": {"clock_s": 20 * 3600}, "end": {"clock_s": 20 * 3600 + 600}}
    with pytest.raises(PlanProblem) as raised:
        plan({**brief, "interval_ms": None, "frames": 100_000}, sky, {})
    assert raised.value.id == "problem.too-long"


def test_a_late_start_that_a_keyframe_does_not_allow_is_not_promised(
    demo_brief: dict[str, Any], sky: Sky
) -> None:
    """K2 on a clock time soon after the start: a later start would leave it outside."""
    demo_brief["keyframes"][1]["at"] = {"clock_s": 20 * 3600}
    planned = plan(demo_brief, sky, {})
    assert planned["window"]["late"]["start"] == planned["window"]["start"]
    assert planned["window"]["late"]["interval_ms"] == planned["timing"]["interval_ms"]


def test_a_shot_without_any_move_is_planned_all_the_same(demo_brief: dict[str, Any], sky: Sky) -> None:
    demo_brief["keyframes"] = demo_brief["keyframes"][:1]
    one = plan(demo_brief, sky, {})
    assert [keyframe["name"] for keyframe in one["keyframes"]] == ["keyframe.only"]
    assert one["move"]["first_moving_frame"] is None and one["interval_budget"]["move_ms"] == 0
    demo_brief |= {"keyframes": [], "rail": None, "tilt_deg": 8.0, "swap": None}
    demo_brief["rig"] |= {"axes": {}, "motion": "none"}
    none = plan(demo_brief, sky, {})
    assert none["keyframes"] == [] and none["interval_budget"]["dwell_ms"] is None
    assert [warning["id"] for warning in none["warnings"]] == []
