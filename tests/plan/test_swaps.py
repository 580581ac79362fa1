"""When the pack is changed, and what is told of a range that does not do."""

from __future__ import annotations

from itertools import pairwise, product
from typing import Any

import pytest

from fieldsheet.plan.anchors import night_of
from fieldsheet.plan.keyframes import settings
from fieldsheet.plan.move import path_through
from fieldsheet.plan.plan import plan
from fieldsheet.plan.power import power_of
from fieldsheet.plan.supplies import Before
from fieldsheet.plan.timing import solve
from fieldsheet.sheet.sheet import changing
from fieldsheet.sky.sky import Sky
from tests.plan.packs import fed, pack, plan_of, told_of


@pytest.fixture
def brief(demo_brief: dict[str, Any]) -> dict[str, Any]:
    return fed(demo_brief)


def _ranges(brief: dict[str, Any], sky: Sky) -> list[tuple[float, float]]:
    changes = plan_of(brief, sky)["power"]["changes"]
    return [(swap["from"]["frame"], swap["until"]["frame"]) for swap in changes]


def _range(brief: dict[str, Any], sky: Sky) -> tuple[float, float] | None:
    """Of the one swap, if there is one."""
    ranges = _ranges(brief, sky)
    assert len(ranges) < 2
    return ranges[0] if ranges else None


def test_no_swap_is_advised_where_one_pack_lasts(brief: dict[str, Any], sky: Sky) -> None:
    brief["rig"]["power"]["packs"][0] = pack("A1", 47.0)
    assert _range(brief, sky) is None
    sheet = changing({**plan_of(brief, sky), "revision": "0"})
    assert sheet["numbers"]["swap"] == "not needed this night"
    assert sheet["numbers"]["pack_lasts"] == "lasts to the end"


def test_a_late_start_takes_less_and_needs_no_swap(brief: dict[str, Any], sky: Sky) -> None:
    """Two hours later there are 353 frames left: 17.65 Wh and the 9 before them."""
    late_ms = plan_of(brief, sky)["window"]["start"]["utc_ms"] + 2 * 3_600_000
    late = plan(brief, sky, {"start_ms": late_ms})
    assert late["power"]["supplies"][0]["total_wh"] == pytest.approx(26.65)
    assert late["power"]["changes"] == []
    assert changing({**late, "revision": "0"})["swaps"] == ["not needed this night"]


@pytest.mark.parametrize(
    ("usable_wh", "rolls_min", "told"),
    [
        # Fired 553 frames of 18 s, 200 are left: 10 Wh, and 10 W for the time that it stands.
        (40.0, 0, "10.0 Wh with all frames that are left; A1, if put in full: lasts to the end"),
        (40.0, 30, "15.0 Wh with all frames that are left; A1, if put in full: lasts to the end"),
        # 12.02 Wh are gone half an hour (5 Wh) and 141 frames after the stop.
        (12.02, 30, "15.0 Wh with all frames that are left; A1, if put in full: reserve frame 694, 23:34"),
    ],
)
def test_what_is_left_after_a_stop(
    brief: dict[str, Any], sky: Sky, usable_wh: float, rolls_min: int, told: str
) -> None:
    brief["rig"]["power"]["packs"] = [pack("A1", usable_wh)]
    planned = plan_of(brief, sky)
    next_ms = planned["window"]["start"]["utc_ms"] + 553 * 18_000
    stopped = {"frame": 553, "rolling_ms": next_ms + rolls_min * 60_000}
    sheet = changing({**plan(brief, sky, {"stopped": stopped}), "revision": "0"})
    assert {line["name"]: line["text"] for line in sheet["power"]}["after the stop"] == told
    assert planned["power"]["rest"] is None


def test_a_swap_is_advised_in_light_and_ends_by_civil_dusk(brief: dict[str, Any], sky: Sky) -> None:
    """By capacity alone it could last to frame 461: 9 Wh go before frame 1, and four fifths of 40 are 32."""
    brief["exposure"] = None
    planned = plan_of(brief, sky)
    dusk = next(row["frame"] for row in planned["sky"]["events"] if row["event"] == "civil dusk")
    first, last = _range(brief, sky) or (0, 0)
    assert dusk - 1 <= last <= dusk < 460
    assert first == 5  # not within three frames of the first keyframe
    assert [row["id"] for row in planned["moments"] if "swap" in row["id"]] == [
        "moment.swap-from",
        "moment.swap-until",
    ]


def test_it_ends_before_the_clicks_come_fast(brief: dict[str, Any], sky: Sky) -> None:
    """In light still: a click comes every ten frames (3 min) up to frame 257, then every six (1 min 48 s)."""
    bands = plan_of(brief, sky)["exposure"]["bands"]
    steep = next(band for band in bands if (band["every_frames"] or 99) * 18 < 120)
    assert (steep["first_frame"], steep["every_frames"]) == (257, 6)
    assert _range(brief, sky) == (5, 255)


def test_a_steep_dusk_is_left_for_a_quiet_part_of_the_night(brief: dict[str, Any], sky: Sky) -> None:
    """Packs of 45 and 24 Wh last from frame 274 (273 take 13.65 of 37.65 Wh) to 541 (27 Wh, and 9 before).

    That is in the middle of the dusk; only after its last quick click there is quiet.
    """
    brief["rig"]["power"]["packs"] = [pack("A1", 45.0), pack("A2", 24.0)]
    planned = plan_of(brief, sky)
    clicks = [
        band["first_frame"] + n * band["every_frames"]
        for band in planned["exposure"]["bands"]
        for n in range(band["clicks"])
    ]
    quick = [after for before, after in pairwise(clicks) if (after - before) * 18 < 120]
    assert _range(brief, sky) == (max(quick) + 1, 541)
    brief["exposure"] = None
    assert _range(brief, sky) == (274, 353)


def test_it_keeps_clear_of_keyframes(brief: dict[str, Any], sky: Sky) -> None:
    brief["keyframes"][1]["at"] = {"frame": 200}
    assert _range(brief, sky) == (5, 196)


def test_it_begins_when_the_second_pack_lasts_to_the_end(brief: dict[str, Any], sky: Sky) -> None:
    """Of 37.65 Wh of 753 frames 27.65 are left when 200 are over; and so it is in the dark."""
    brief["rig"]["power"]["packs"] = [pack("A1", 40.0), pack("A2", 18.0)]
    assert _range(brief, sky) == (394, 461)


def test_where_no_range_lets_both_last_the_pack_is_told_empty(brief: dict[str, Any], sky: Sky) -> None:
    brief["rig"]["power"]["packs"] = [pack("A1", 30.0), pack("A2", 18.0)]
    assert _range(brief, sky) is None
    level, head, total, fix = told_of(brief, sky)["packs-empty"]
    assert (level, head) == ("no-go", "The 2 packs together do not carry the shot")
    # Four fifths of 30 Wh, and 18.
    assert total.startswith("Changed in good time they give 42.0 Wh of the 46.7 Wh that the rig takes; A1 is")
    assert "at frame 421, " in total
    assert fix.startswith("A first pack of 12700 mAh (may ride in the cabin)")


@pytest.mark.parametrize(
    ("wh", "can_swap", "own"), [(10.0, True, None), (10.0, True, (100, 300)), (8.0, False, None)]
)
def test_a_pack_that_the_set_up_empties_is_told_as_that(
    brief: dict[str, Any], sky: Sky, wh: float, can_swap: bool, own: tuple[int, int] | None
) -> None:
    """9 Wh go before frame 1: more than four fifths of 10, and more than 8; the other packs would do."""
    brief["rig"]["power"] |= {"packs": [pack("A1", wh), pack("A2", 40.0), pack("A3", 40.0)]}
    brief["rig"]["power"]["can_swap"] = can_swap
    brief["swap"] = own and {"from": {"frame": own[0]}, "until": {"frame": own[1]}}
    told = told_of(brief, sky)
    assert list(told) == ["pack-setup"]
    level, head, total, fix = told["pack-setup"]
    assert (level, head) == ("no-go", "The set-up leaves too little in pack A1")
    assert total.startswith("Set-up and way back take 9.0 Wh before frame 1; the pack gives ")
    assert total.endswith(f" gives {wh} Wh above its reserve.")
    assert fix.endswith("or a first one of 12700 mAh (may ride in the cabin), which lasts to the end.")


def test_a_rig_that_forgets_where_it_stands_is_advised_no_swap(brief: dict[str, Any], sky: Sky) -> None:
    brief["rig"]["power"]["can_swap"] = False
    level, head, total, fix = told_of(brief, sky)["pack-empty"]
    assert level == "no-go"
    assert head.startswith("Pack A1 is at its reserve at frame 621, ")
    assert "46.7 Wh" in total and "40.0 Wh" in total
    assert fix.startswith("A pack of 12700 mAh (may ride in the cabin)")


def test_three_packs_are_changed_one_after_another(brief: dict[str, Any], sky: Sky) -> None:
    """By hand: a frame takes 0.05 Wh, and 9 go before frame 1; of 46.65 Wh two packs of 20 give 36.02.

    Three give 0.8 x 20.03 + 0.8 x 21.02 + 20.01 = 52.85 Wh, 6.2 to spare: 3.1 for the first swap.  So it may
    be made when 12.92 to 16.02 Wh are used, frames 80 to 141.  The second pack came in at 12.95 Wh and gives
    16.82; what the third one gives leaves 3.126 Wh to spare: 26.64 to 29.77 Wh, frames 354 to 416, of which
    374 to 380 are the second keyframe's; 381 to 416 is the part that is longer than ten minutes.
    """
    brief["exposure"] = None
    brief["rig"]["power"]["packs"] = [pack("A1", 20.03), pack("A2", 21.02), pack("A3", 20.01)]
    planned = plan_of(brief, sky)
    assert _ranges(brief, sky) == [(80, 141), (381, 416)]
    # In at frame 80 the second lasts for 21.02 Wh more: to 33.97, which frame 500 exceeds.
    assert [swap["reserve"] and swap["reserve"]["frame"] for swap in planned["power"]["changes"]] == [
        500,
        None,
    ]
    assert not told_of(brief, sky)
    acts = [row["id"] for row in planned["moments"] if row["kind"] == "act" and "swap" in row["id"]]
    assert acts == ["moment.swap-from", "moment.swap-until"] * 2
    sheet = changing({**planned, "revision": "0"})
    assert [text.split(",")[0] for text in sheet["swaps"]] == ["frames 80–141", "frames 381–416"]
    assert sheet["numbers"]["swap"] == "; ".join(sheet["swaps"])
    lines = {line["name"]: line["text"] for line in sheet["power"]}
    assert "put in at frame 80: reserve frame 500, " in lines["pack A2"]
    assert lines["pack A3"].endswith("put in at frame 381: lasts to the end")


def test_whenever_in_its_range_each_swap_is_made_every_pack_lasts(brief: dict[str, Any], sky: Sky) -> None:
    """The fewest packs that do are used, but for ranges that would be shorter than ten minutes."""
    night = night_of(brief, sky, brief["night"])
    timing = solve(brief, night, None)
    path = path_through(brief, settings(brief, night, timing, [1.0, 377.0, 753.0]), 753)
    used = [9 + 0.05 * frame for frame in range(754)]
    for taken, sizes in (
        (3, [14.0, 12.0, 30.0]),
        (4, [16.0, 14.0, 16.0, 20.0]),
        (3, [20.0, 9.0, 60.0]),
        (2, [13.0, 50.0]),
        (2, [13.0, 50.0, 200.0]),
        (4, [16.0, 14.0, 16.0, 20.0, 200.0]),
        (4, [15.0, 11.0, 13.0, 17.0]),
        (5, [15.0, 11.0, 13.0, 17.0, 200.0]),
    ):
        brief["rig"]["power"]["packs"] = [pack(str(wh), wh) for wh in sizes]
        changes = power_of(brief, night, timing, path, [], None, None, Before())["changes"]
        ranges = [(swap["from"]["frame"], swap["until"]["frame"]) for swap in changes]
        assert len(ranges) == taken - 1
        assert all(last < first for (_, last), (first, _) in pairwise(ranges))
        for frames in product(*ranges):
            cuts = [0.0, *(used[frame - 1] for frame in frames), used[-1]]
            gone = [until - since for since, until in pairwise(cuts)]
            assert gone[-1] <= sizes[taken - 1] + 1e-9
            assert all(wh <= 0.8 * size + 1e-9 for wh, size in zip(gone[:-1], sizes, strict=False))


def test_after_ones_own_swap_the_packs_that_follow_are_advised(brief: dict[str, Any], sky: Sky) -> None:
    """Put in at frame 100 (13.95 Wh) the second gives 16.24 of its 20.3 Wh: to 30.19, frame 424.

    It stays in for 4.06 Wh after frame 300 at least (23.95 Wh): to 28.01, frame 382.
    """
    brief["exposure"] = None
    brief["swap"] = {"from": {"frame": 100}, "until": {"frame": 300}}
    brief["rig"]["power"]["packs"] = [pack("A1", 40.0), pack("A2", 20.3), pack("A3", 40.0)]
    assert _ranges(brief, sky) == [(100, 300), (382, 424)]
    assert not told_of(brief, sky)


def test_a_steep_range_of_ones_own_is_minded(brief: dict[str, Any], sky: Sky) -> None:
    brief["swap"] = {"from": {"frame": 265}, "until": {"frame": 400}}
    level, head, total, _ = told_of(brief, sky)["swap-steep"]
    assert (level, head) == ("mind", "The swap lies where the exposure is clicked all the time")
    assert total == "Frames 265–400 have no 10 min in which clicks are 2 min apart."
    for from_frame in (200, 390):
        brief["swap"] = {"from": {"frame": from_frame}, "until": {"frame": from_frame + 130}}
        assert "swap-steep" not in told_of(brief, sky)


def test_no_swap_is_advised_where_the_interval_changes(brief: dict[str, Any], sky: Sky) -> None:
    brief["exposure"] = None
    brief["phases"] = [{"from": {"frame": 150}, "interval_ms": 20_000}]
    first, last = _range(brief, sky) or (0, 0)
    assert (first, last) == (5, 146)


@pytest.mark.parametrize(
    ("swap", "sizes", "id", "level", "words"),
    [
        ((100, 640), (40, 40), "swap-late", "no-go", "reserve at frame 621"),
        ((100, 500), (40, 40), "swap-tight", "mind", "by frame 461"),
        ((100, 300), (40, 20), "swap-short", "no-go", "at frame 300"),
        ((100, 440), (40, 20), "swap-early", "mind", "begin at frame 354"),
    ],
)
def test_a_range_of_ones_own_wins_and_is_held_against_the_packs(
    brief: dict[str, Any],
    sky: Sky,
    swap: tuple[int, int],
    sizes: tuple[float, float],
    id: str,
    level: str,
    words: str,
) -> None:
    brief["swap"] = {"from": {"frame": swap[0]}, "until": {"frame": swap[1]}}
    brief["rig"]["power"]["packs"] = [pack("A1", sizes[0]), pack("A2", sizes[1])]
    assert _range(brief, sky) == swap
    told = told_of(brief, sky)
    assert list(told) == [id]
    assert told[id][0] == level
    assert words in " ".join(told[id][1:])


def test_advice_on_a_range_never_asks_for_two_things_at_once(brief: dict[str, Any], sky: Sky) -> None:
    """By frame 461 the first must be out, before 554 the second does not last: no other range is any good."""
    brief["swap"] = {"from": {"frame": 100}, "until": {"frame": 600}}
    brief["rig"]["power"]["packs"] = [pack("A1", 40.0), pack("A2", 10.0)]
    told = told_of(brief, sky)
    assert {id: told[id][0] for id in told} == {"swap-tight": "mind", "swap-short": "no-go"}
    assert "by frame 461" in told["swap-tight"][3]
    assert told["swap-short"][2].startswith("Put in at frame 461 ")


def test_a_good_range_of_ones_own_is_left_in_peace(brief: dict[str, Any], sky: Sky) -> None:
    brief["swap"] = {"from": {"frame": 100}, "until": {"frame": 300}}
    assert not told_of(brief, sky)
