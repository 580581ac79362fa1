"""A way taken, another interval, a rig that runs otherwise: all of the plan follows, to the figure."""

from __future__ import annotations

from typing import Any

import pytest

from fieldsheet.catalog.read import Catalog
from fieldsheet.plan.pace import pace_of
from fieldsheet.plan.plan import plan
from fieldsheet.plan.problem import PlanProblem
from fieldsheet.sheet.sheet import changing
from fieldsheet.sheet.words import say
from fieldsheet.sky.sky import Sky

MINUTE_MS = 60_000
KEYFRAME = ("number", "name", "rig_number", "nearest_frame", "time", "axes")
SHOTS = ("hoist", "moonrise", "slipway")


def _supply(planned: dict[str, Any], id: str) -> dict[str, Any]:
    return next(supply for supply in planned["power"]["supplies"] if supply["id"] == id)


def _start_ms(planned: dict[str, Any]) -> int:
    return int(planned["window"]["start"]["utc_ms"])


def _swapped_at(*frames: int) -> dict[str, Any]:
    """Changes of a shot that stopped after frame 300, its packs changed at those frames."""
    rolling_ms = 1_812_220_560_000 + 100 * MINUTE_MS
    return {"way": {"id": "move", "frame": 300, "rolling_ms": rolling_ms, "after": {"swapped": list(frames)}}}


def _told(option: dict[str, Any]) -> dict[str, Any]:
    """What an option tells, as a plan has it."""
    return {
        "keyframes": [{key: row[key] for key in KEYFRAME} for row in option["keyframes"]],
        "keyed": [segment["interval_ms"] for segment in option["segments"]],
        "window": [option["start"], option["end"]],
        **{
            key: option[key]
            for key in ("frames", "interval_ms", "gap_ms", "dwell_ms", "clip_ms", "hold", "ease")
        },
        "slack_ms": option["slack_ms"],
    }


def _planned(planned: dict[str, Any]) -> dict[str, Any]:
    timing, budget = planned["timing"], planned["interval_budget"]
    return {
        "keyframes": [{key: row[key] for key in KEYFRAME} for row in planned["keyframes"]],
        "keyed": [segment["interval_ms"] for segment in timing["segments"]],
        "window": [planned["window"][edge] for edge in ("start", "end")],
        **{key: timing[key] for key in ("frames", "interval_ms", "clip_ms")},
        **{key: budget[key] for key in ("gap_ms", "dwell_ms")},
        **{key: planned["brief"][key] for key in ("hold", "ease")},
        # Exposure is planned anew for the new moments, so that a steep dusk may meet other frames.
        "slack_ms": budget["slack_ms"] if planned["exposure"] is None else None,
    }


@pytest.mark.parametrize("shot", SHOTS)
def test_a_way_that_is_taken_is_the_plan_that_was_told(demo: Catalog, sky: Sky, shot: str) -> None:
    """Every option that can be, of late starts and of stops, also of a rig that runs slow."""
    brief = demo.brief(shot)
    usual = plan(brief, sky, {})
    cases: list[tuple[dict[str, Any], dict[str, Any], dict[str, int]]] = []
    start_ms = _start_ms(usual) + 20 * MINUTE_MS
    cases.append((plan(brief, sky, {"start_ms": start_ms})["late"], {}, {"start_ms": start_ms}))
    slow = {"run": {"start_ms": _start_ms(usual) + 7_000, "ratio": 18.3 / 18}}
    for share, gap, was in ((0.1, 0, {}), (0.6, 7, slow)):
        frame = int(share * usual["timing"]["frames"])
        rolling_ms = pace_of(plan(brief, sky, was)["timing"]).ms_of(frame) + gap * MINUTE_MS
        stop = {"frame": frame, "rolling_ms": rolling_ms}
        cases.append((plan(brief, sky, {**was, "stopped": stop})["recovery"], was, stop))
    taken = 0
    for told, was, stop in cases:
        for option in (option for option in told["options"] if option["why"] is None):
            way = {"id": option["id"], **stop, **({"after": was} if was else {})}
            planned = _planned(plan(brief, sky, {"way": way}))
            expected = _told(option)
            if planned["slack_ms"] is None:
                expected["slack_ms"] = None
            assert planned == expected, way
            taken += 1
    assert taken > 6


@pytest.fixture
def of_frames(demo_brief: dict[str, Any]) -> dict[str, Any]:
    """750 frames of 18 s from the demo's start on; its end is where they end."""
    return {**demo_brief, "end": None, "frames": 750}


def test_a_rig_that_runs_slow_comes_to_everything_later(of_frames: dict[str, Any], sky: Sky) -> None:
    """750 x 0.3 s are 225 s, 3 min 45: the end comes so much later, and 10 s for a first frame that did."""
    usual = plan(of_frames, sky, {})
    run = {"start_ms": _start_ms(usual) + 10_000, "ratio": 18.3 / 18}
    slow = plan(of_frames, sky, {"run": run})
    end_ms, later_ms = (planned["window"]["end"]["utc_ms"] for planned in (usual, slow))
    assert later_ms - end_ms == 225_000 + 10_000
    for key in ("number", "frame", "axes"):
        assert [row[key] for row in slow["keyframes"]] == [row[key] for row in usual["keyframes"]]
    # K2 is halfway, at frame 375.5: 374.5 x 0.3 s later, and 10 s.
    k2 = [planned["keyframes"][1]["time"]["utc_ms"] for planned in (usual, slow)]
    assert k2[1] - k2[0] == 112_350 + 10_000
    # What hangs on the sky keeps its moment, and falls on an earlier frame.
    sunset = [
        next(one for one in planned["sky"]["events"] if one["event"] == "sunset") for planned in (usual, slow)
    ]
    assert sunset[0]["time"] == sunset[1]["time"]
    frames = [
        1 + (sunset[0]["time"]["utc_ms"] - _start_ms(one)) / ms
        for one, ms in ((usual, 18_000), (slow, 18_300))
    ]
    assert [one["frame"] for one in sunset] == pytest.approx(frames)
    # The rig draws as long as it runs; what it moves is the same. Source: W x h.
    draws = [_supply(planned, "rig")["phases"]["shooting"] for planned in (usual, slow)]
    assert draws[1]["electronics_wh"] == pytest.approx(draws[0]["electronics_wh"] * 18.3 / 18)
    assert draws[1]["moving_wh"] == pytest.approx(draws[0]["moving_wh"])


def test_what_is_keyed_in_is_told_as_it_was_and_the_true_interval_beside_it(
    of_frames: dict[str, Any], sky: Sky
) -> None:
    usual = plan(of_frames, sky, {})
    run = {"start_ms": _start_ms(usual), "ratio": 18.3 / 18}
    sheets = [
        changing({**planned, "revision": ""}) for planned in (usual, plan(of_frames, sky, {"run": run}))
    ]
    for name in ("interval", "dwell", "frames", "hold", "ease", "latest_start", "lost"):
        assert sheets[1]["numbers"][name] == sheets[0]["numbers"][name], name
    assert sheets[1]["deadlines"] == sheets[0]["deadlines"], "all was ready before frame 1 fired"
    runs = {"name": "runs", "text": "18.3 s from frame to frame, where it is told 18 s"}
    assert runs in sheets[1]["interval_lines"] and runs not in sheets[0]["interval_lines"]


def test_a_run_as_it_was_planned_is_the_plan(demo_brief: dict[str, Any], sky: Sky) -> None:
    usual = plan(demo_brief, sky, {})
    same = plan(demo_brief, sky, {"run": {"start_ms": _start_ms(usual), "ratio": 1}})
    for key in ("window", "sky", "move", "interval_budget", "power", "moments", "exposure"):
        assert same[key] == usual[key], key


def test_another_interval_keeps_the_end_and_the_frames_follow(demo_brief: dict[str, Any], sky: Sky) -> None:
    """The window holds 753 frames of 18 s, or 678 of 20 s."""
    usual, other = (plan(demo_brief, sky, changes) for changes in ({}, {"interval_ms": 20_000}))
    asked_ms = usual["window"]["end"]["utc_ms"] - _start_ms(usual) + 18_000
    assert other["timing"]["frames"] == 678 == int(asked_ms / 20_000)
    assert other["window"]["start"] == usual["window"]["start"]
    assert 0 <= asked_ms - other["timing"]["duration_ms"] < 20_000 + 18_000
    late = plan(
        demo_brief,
        sky,
        {"interval_ms": 20_000, "way": {"id": "frames", "start_ms": _start_ms(usual) + 25 * MINUTE_MS}},
    )
    assert late["timing"]["frames"] == 678 - 75, "25 min are 75 frames of 20 s"


def test_where_frames_were_given_they_are_kept_and_the_end_moves(of_frames: dict[str, Any], sky: Sky) -> None:
    other = plan(of_frames, sky, {"interval_ms": 20_000})
    assert (other["timing"]["frames"], other["timing"]["duration_ms"]) == (750, 15_000_000)


def test_keyframes_on_events_stay_on_them_with_another_interval(demo_brief: dict[str, Any], sky: Sky) -> None:
    demo_brief["keyframes"][1]["at"] = {"event": "sunset", "offset_s": 0}
    usual, other = (
        plan(demo_brief, sky, changes)["keyframes"][1] for changes in ({}, {"interval_ms": 20_000})
    )
    assert abs(usual["time"]["utc_ms"] - other["time"]["utc_ms"]) <= 1
    assert other["frame"] - 1 == pytest.approx((usual["frame"] - 1) * 18 / 20)


def test_a_later_change_of_interval_keeps_its_moment_when_the_opening_one_changes(
    demo_brief: dict[str, Any], sky: Sky
) -> None:
    """Frame 101 of 18 s begins after 30 min, which is frame 91 of 20 s."""
    demo_brief["rig"]["interval_changes"] = True
    demo_brief["phases"] = [{"from": {"frame": 101}, "interval_ms": 30_000}]
    segments = plan(demo_brief, sky, {"interval_ms": 20_000})["timing"]["segments"]
    assert [(one["first_frame"], one["interval_ms"]) for one in segments] == [(1, 20_000), (91, 30_000)]
    assert segments[1]["start_ms"] - segments[0]["start_ms"] == 30 * MINUTE_MS


@pytest.mark.parametrize("id", ["second", "move", "move-kept", "sky"])
def test_what_was_used_until_the_stop_counts(demo_brief: dict[str, Any], sky: Sky, id: str) -> None:
    """All that draws by the time alone draws as long as from frame 1 of all to the end, stop or no stop."""
    usual = plan(demo_brief, sky, {})
    rolling_ms = _start_ms(usual) + 376 * 18_000 + 7 * MINUTE_MS
    on = plan(demo_brief, sky, {"way": {"id": id, "frame": 376, "rolling_ms": rolling_ms}})
    hours = (on["window"]["end"]["utc_ms"] - _start_ms(usual)) / 3_600_000
    heater = demo_brief["heater"]
    assert _supply(on, "heater")["total_wh"] == pytest.approx(heater["heater_w"] * hours)
    battery = demo_brief["camera"]["battery"]
    fired = 376 + on["timing"]["frames"]
    camera = fired * battery["frame_wh"] + battery["idle_w"] * hours
    assert _supply(on, "camera")["total_wh"] == pytest.approx(camera)
    assert on["timing"]["frames_before"] == 376
    if on["storage"]:
        cards = demo_brief["camera"]["cards"]
        assert on["storage"]["needed_gb"] == pytest.approx(fired * cards["frame_mb"] / 1000)


def test_the_rig_s_pack_is_the_one_that_the_swap_left_in(demo_brief: dict[str, Any], sky: Sky) -> None:
    """The demo's swap is over by frame 251: at frame 376 the second pack is in, since frame 86 at most."""
    usual = plan(demo_brief, sky, {})
    swap = usual["power"]["changes"][0]
    assert swap["until"]["frame"] < 376
    rolling_ms = _start_ms(usual) + 376 * 18_000 + 7 * MINUTE_MS
    rig = _supply(
        plan(demo_brief, sky, {"way": {"id": "move", "frame": 376, "rolling_ms": rolling_ms}}), "rig"
    )
    packs = _supply(usual, "rig")["packs"]
    assert [pack["name"] for pack in rig["packs"]] == [pack["name"] for pack in packs[1:]]
    early = plan(
        demo_brief, sky, {"way": {"id": "move", "frame": 60, "rolling_ms": _start_ms(usual) + 3_000_000}}
    )
    assert [pack["name"] for pack in _supply(early, "rig")["packs"]] == [pack["name"] for pack in packs]
    shooting = _supply(usual, "rig")["phases"]["shooting"]
    still_w = (shooting["electronics_wh"] + shooting["holding_wh"]) / (753 * 18 / 3600)
    # By time alone, from frame 86 to the 376th; what it moved meanwhile comes to that.
    by_time = still_w * (376 - 85) * 18 / 3600
    assert by_time < rig["before_wh"] < by_time + shooting["moving_wh"]


@pytest.mark.parametrize(
    ("stopped", "swapped", "in_since"),
    [
        (150, [96], 96),  # in the middle of the range, where the plan takes the first pack to be in
        (400, [240], 240),  # later than the plan takes it to be
        (300, [301], 301),  # as it stood
    ],
)
def test_the_log_says_which_pack_is_in_and_since_when(
    demo_brief: dict[str, Any], sky: Sky, stopped: int, swapped: list[int], in_since: int
) -> None:
    """What it gave is what the shot took since then, by the plan of a shot that ran through."""
    usual = plan(demo_brief, sky, {})
    way = {"id": "move", "frame": stopped, "rolling_ms": _start_ms(usual) + stopped * 18_000 + 7 * MINUTE_MS}
    on = plan(demo_brief, sky, {"way": {**way, "after": {"swapped": swapped}}})
    rig = _supply(on, "rig")
    assert [pack["name"] for pack in rig["packs"]] == ["A2"]
    assert on["power"]["changes"] == []
    shooting = _supply(usual, "rig")["phases"]["shooting"]
    still_w = (shooting["electronics_wh"] + shooting["holding_wh"]) / (753 * 18 / 3600)
    by_time = still_w * (stopped - (in_since - 1)) * 18 / 3600
    assert by_time <= rig["before_wh"] <= by_time + shooting["moving_wh"]
    assert changing({**on, "revision": "ABC234"})["swaps"] == ["in, by the log", ""]


def test_a_shot_that_stops_twice_counts_all_that_was_before(demo_brief: dict[str, Any], sky: Sky) -> None:
    start_ms = _start_ms(plan(demo_brief, sky, {}))
    first = {"id": "move-kept", "frame": 200, "rolling_ms": start_ms + 80 * MINUTE_MS}
    once = plan(demo_brief, sky, {"way": first})
    rolling_ms = once["window"]["start"]["utc_ms"] + 40 * MINUTE_MS
    stop = {"frame": 100, "rolling_ms": rolling_ms}
    told = plan(demo_brief, sky, {"way": first, "stopped": stop})["recovery"]["options"][1]
    twice = plan(demo_brief, sky, {"way": {"id": "move", **stop, "after": {"way": first}}})
    assert twice["timing"]["frames_before"] == 300
    assert twice["timing"]["frames"] == told["frames"] == once["timing"]["frames"] - 100
    hours = (twice["window"]["end"]["utc_ms"] - start_ms) / 3_600_000
    assert _supply(twice, "heater")["total_wh"] == pytest.approx(demo_brief["heater"]["heater_w"] * hours)


def test_a_way_after_a_stop_may_have_another_interval(demo_brief: dict[str, Any], sky: Sky) -> None:
    """Up to the planned end with fewer frames; with all frames left it is over later."""
    usual = plan(demo_brief, sky, {})
    stop = {"frame": 376, "rolling_ms": _start_ms(usual) + 376 * 18_000 + 7 * MINUTE_MS}
    left_ms = usual["window"]["end"]["utc_ms"] - stop["rolling_ms"]
    kept, whole = (
        plan(demo_brief, sky, {"interval_ms": 20_000, "way": {"id": id, **stop}})
        for id in ("move-kept", "move")
    )
    assert kept["timing"]["frames"] == left_ms // 20_000
    assert (whole["timing"]["frames"], whole["timing"]["duration_ms"]) == (377, 377 * 20_000)
    assert kept["keyframes"][0]["axes"] == whole["keyframes"][0]["axes"]
    assert kept["keyframes"][-1]["nearest_frame"] == kept["timing"]["frames"]


@pytest.mark.parametrize(
    ("changes", "id", "right"),
    [
        ({"interval_ms": 18_100}, "interval-step", "18 s or 18.5 s"),
        ({"interval_ms": 0}, "interval-range", "0.5 s to 24 h"),
        ({"interval_ms": "18"}, "interval-range", "0.5 s to 24 h"),
        ({"way": {"id": "frames", "start_ms": 0}}, "way-when", "a later start, by less than a day"),
        ({"way": {"id": "sideways"}}, "way-unknown", "one that this page offers"),
        ({"way": {"id": "sky", "frame": 3, "rolling_ms": 0.5}}, "way-unknown", "one that this page offers"),
        (_swapped_at(3, 2), "way-unknown", "one that this page offers"),
        (_swapped_at(302), "way-unknown", "one that this page offers"),
        (_swapped_at(*[1] * 9), "way-unknown", "one that this page offers"),
        ({"way": {"id": "frames", "start_ms": 0}, "start_ms": 1}, "way-start", "the one or the other"),
        ({"run": {"start_ms": 0, "ratio": 2.5}}, "run-ratio", "0.5 to 2 times its interval: count again"),
        ({"run": {"start_ms": 0, "ratio": 1.0}}, "run-start", "the moment at which frame 1 fired"),
    ],
)
def test_what_cannot_be_is_refused_with_what_would_be_right(
    demo_brief: dict[str, Any], sky: Sky, changes: dict[str, Any], id: str, right: str
) -> None:
    with pytest.raises(PlanProblem) as caught:
        plan(demo_brief, sky, changes)
    assert caught.value.id == "problem." + id
    assert say(f"problem.{id}.right", caught.value.args_, []) == right


def test_a_way_with_no_sense_in_it_says_why(demo: Catalog, sky: Sky) -> None:
    """Nothing of the hoist's shot follows the sky; a stop of no frames misses none."""
    brief = demo.brief("hoist")
    start_ms = _start_ms(plan(brief, sky, {}))
    for way, why in (
        ({"id": "first", "start_ms": start_ms + 5 * MINUTE_MS}, "late.same-first"),
        ({"id": "move-kept", "frame": 9, "rolling_ms": start_ms + 9 * 14_000}, "recovery.same"),
        ({"id": "sky", "frame": 9, "rolling_ms": start_ms + 600 * MINUTE_MS}, "recovery.over"),
    ):
        with pytest.raises(PlanProblem) as caught:
            plan(brief, sky, {"way": way})
        assert (caught.value.id, caught.value.args_["why"]["id"]) == ("problem.way", why)


def test_nobody_chains_stops_without_end(demo_brief: dict[str, Any], sky: Sky) -> None:
    way: dict[str, Any] = {"id": "move", "frame": 1, "rolling_ms": 0}
    for _ in range(2000):
        way = {**way, "after": {"way": way}}
    with pytest.raises(PlanProblem, match="way-unknown"):
        plan(demo_brief, sky, {"way": way})
