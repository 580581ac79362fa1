"""A start that comes late: each way to go on, by figures worked out by hand."""

from __future__ import annotations

from typing import Any

import pytest

from fieldsheet.catalog.read import Catalog
from fieldsheet.plan.plan import plan
from fieldsheet.sky.sky import Sky
from tests.plain import plain

MINUTE_MS = 60_000
ORDER = ["as-set", "frames", "interval", "first", "all"]


def _late(brief: dict[str, Any], sky: Sky, minutes: int) -> dict[str, dict[str, Any]]:
    """The options of a start so late, by id."""
    start_ms = plan(brief, sky, {})["window"]["start"]["utc_ms"] + minutes * MINUTE_MS
    late = plan(brief, sky, {"start_ms": start_ms})["late"]
    assert late["late_ms"] == minutes * MINUTE_MS
    assert [option["id"] for option in late["options"]] == ORDER, "by what must be keyed in again"
    return {option["id"]: option for option in late["options"]}


def _keyed(option: dict[str, Any]) -> list[str]:
    return [keyframe["keyed"] for keyframe in option["keyframes"]]


# The demo's shot runs from 19:36 for 753 frames of 18 s, 3 h 45 min 54 s, to 23:21:54; a rig of half seconds
# needs 14 s of dwell, a move of about 0.6 s and 1 s of settling.
@pytest.mark.parametrize(
    ("minutes", "frames", "interval_ms", "short"),
    [
        # 20:01: 12 054 s are left: 669 frames of 18 s; 753 frames of 16.008 s, so of 16 s.
        (25, 669, 16_000, None),
        # 20:36: 9 954 s are left: 553 frames; 753 frames of 13.2 s, so of 13 s, less than the dwell alone.
        (60, 553, 13_000, "option.short"),
    ],
)
def test_the_end_is_kept_by_fewer_frames_or_by_a_shorter_interval_if_that_fits(
    demo_brief: dict[str, Any], sky: Sky, minutes: int, frames: int, interval_ms: int, short: str | None
) -> None:
    late = _late(demo_brief, sky, minutes)
    fewer, faster = late["frames"], late["interval"]
    assert (fewer["frames"], fewer["interval_ms"], fewer["why"]) == (frames, 18_000, None)
    assert (faster["frames"], faster["interval_ms"]) == (753, interval_ms)
    assert (faster["why"] or {}).get("id") == short
    assert -18_000 < fewer["later_ms"] == late["first"]["later_ms"] <= 0 and faster["later_ms"] <= 0
    if short:
        assert (
            faster["why"]["args"]["short"] == -faster["slack_ms"] == faster["why"]["args"]["needed"] - 13_000
        )


def test_what_is_keyed_in_again_is_told_of_each_keyframe(demo_brief: dict[str, Any], sky: Sky) -> None:
    """Halfway is frame 377 of 753 and 335 of 669: a rig whose middle keyframe is free is told of it."""
    late = _late(demo_brief, sky, 25)
    assert [_keyed(late[id]) for id in ("as-set", "interval")] == [["", "", ""]] * 2
    assert _keyed(late["frames"]) == ["", "frame", ""]
    assert _keyed(late["first"]) == ["set", "frame", ""]
    assert _keyed(late["all"]) == ["set", "", "set"]
    assert [keyframe["nearest_frame"] for keyframe in late["frames"]["keyframes"]] == [1, 335, 669]
    assert [option["minutes"] for option in late.values()] == [[0, 0], [1, 2], [1, 2], [5, 10], [15, 20]]
    demo_brief["rig"]["keyframes"] = {"most": 3, "middle": "halfway"}
    assert _keyed(_late(demo_brief, sky, 25)["frames"]) == ["", "", ""]


def test_a_keyframe_that_is_kept_says_how_far_its_target_then_is(
    demo_brief: dict[str, Any], sky: Sky
) -> None:
    """In 25 min the sun goes 15 degrees an hour x cos(declination, 22.6 that day) x 25 / 60 = 5.77 degrees.

    The air lifts a lower sun by two hundredths more.  K3 is met at the planned end all the same, but not by
    a shot that ends later.
    """
    late = _late(demo_brief, sky, 25)
    first, _, last = late["frames"]["keyframes"]
    assert first["off"]["deg"] == pytest.approx(5.77, abs=0.05)
    assert first["aimed"] == late["all"]["keyframes"][0]["axes"] == late["first"]["keyframes"][0]["axes"]
    assert last["off"]["deg"] < 0.05 and last["aimed"] is None
    assert late["as-set"]["keyframes"][2]["off"]["deg"] > 5
    assert late["all"]["later_ms"] == late["as-set"]["later_ms"] == 25 * MINUTE_MS
    assert all(row["off"]["deg"] < 0.1 for row in late["all"]["keyframes"] if row["off"])


def test_a_rig_that_keys_gaps_is_told_the_gap(demo: Catalog, sky: Sky) -> None:
    """442 frames of 14 s are 6 188 s; 25 min later 4 688 s are left, 10.6 s a frame: 10 s, a gap of 1 s.

    Dwell 9 s, move 0.901 s and settling 1.5 s need 1.401 s more.
    """
    late = _late(demo.brief("hoist"), sky, 25)
    assert (late["interval"]["interval_ms"], late["interval"]["gap_ms"]) == (10_000, 1_000)
    assert late["interval"]["why"]["args"]["short"] == 1_401
    assert (late["frames"]["frames"], late["frames"]["gap_ms"]) == (334, 5_000)
    assert late["first"]["why"]["id"] == "late.same-first" and late["all"]["why"]["id"] == "late.same-all"


def test_what_the_place_forbids_is_told_of_the_way_that_it_forbids(
    demo_brief: dict[str, Any], sky: Sky
) -> None:
    """Turning back at 23:30: the planned end keeps to it, one of 25 min later does not."""
    demo_brief["place"]["turn_back"] = {"clock_s": 23 * 3600 + 30 * 60}
    late = _late(plain(demo_brief), sky, 25)
    told = {id: [one["id"] for one in option["troubles"]] for id, option in late.items()}
    assert told["frames"] == [] and told["as-set"] == ["warning.turn-back-passed"] == told["all"]


def test_a_way_that_comes_to_no_shot_is_told_with_its_reason(demo_brief: dict[str, Any], sky: Sky) -> None:
    """Started at 23:30, after the end, what keeps the end cannot be; what moves it can."""
    demo_brief |= {"end": None, "frames": 753}
    late = _late(demo_brief, sky, 234)
    whys = {id: (option["why"] or {}).get("id") for id, option in late.items()}
    assert whys["frames"] == whys["interval"] == whys["first"] == "problem.start-after-end.found"
    assert whys["as-set"] is whys["all"] is None


def test_a_start_that_is_not_late_needs_nothing(demo_brief: dict[str, Any], sky: Sky) -> None:
    planned = plan(demo_brief, sky, {})
    start_ms = planned["window"]["start"]["utc_ms"]
    assert planned["late"] is planned["recovery"] is None
    assert plan(demo_brief, sky, {"start_ms": start_ms - MINUTE_MS})["late"] is None
