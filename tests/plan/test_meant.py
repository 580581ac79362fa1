"""A keyframe meant for an event: its minutes off, and that every offer puts it there when it is taken."""

from __future__ import annotations

from typing import Any

import pytest

from fieldsheet.plan.plan import plan
from fieldsheet.sheet.sheet import changing
from fieldsheet.sky.sky import Sky

MINUTE_MS = 60_000
NEAR_MS = 90_000  # to the minute of a start, the frame of an end


def _meant(brief: dict[str, Any], event: str, offset_s: int = 0, index: int = 1) -> dict[str, Any]:
    """Without what else hangs on the end of this night."""
    brief["place"] |= {"tides": [], "turn_back": None, "check_in": None, "gate_closes": None}
    brief |= {"swap": None, "needs": [], "dew": None}
    brief["keyframes"][index]["meant_for"] = {"event": event, "offset_s": offset_s}
    return brief


def _row(brief: dict[str, Any], sky: Sky, index: int = 1) -> tuple[dict[str, Any], dict[str, Any]]:
    planned = plan(brief, sky, {})
    return planned, planned["keyframes"][index]["meant"]


def _halfway_only(brief: dict[str, Any]) -> None:
    brief["rig"]["keyframes"] = {"most": 3, "middle": "halfway"}


def _at(brief: dict[str, Any], sky: Sky, changes: dict[str, Any]) -> int:
    """When the middle keyframe comes [ms UTC]."""
    return int(plan(brief, sky, changes)["keyframes"][1]["time"]["utc_ms"])


def test_the_minutes_off_are_those_to_the_event(demo_brief: dict[str, Any], sky: Sky) -> None:
    """Halfway between the first and the last frame, less the sunset of the night's own list."""
    planned, meant = _row(_meant(demo_brief, "sunset", 600), sky)
    sunset = next(row for row in planned["sky"]["events"] if row["event"] == "sunset")["time"]["utc_ms"]
    window, timing = planned["window"], planned["timing"]
    halfway = (window["start"]["utc_ms"] + window["last_frame"]["utc_ms"]) // 2
    assert meant["off_ms"] == pytest.approx(halfway - sunset - 600_000, abs=2)
    assert meant["time"]["utc_ms"] == sunset + 600_000
    split = meant["split"]
    frame = 1 + (sunset + 600_000 - window["start"]["utc_ms"]) / timing["interval_ms"]
    assert split["frame"] == pytest.approx(frame) and split["free"]
    assert split["share"] == pytest.approx((frame - 1) / (timing["frames"] - 1))


SLOWER = [{"from": {"event": "civil dusk", "offset_s": 0}, "interval_ms": 24_000}]


@pytest.mark.parametrize(
    ("event", "offset_s", "phases"),
    [("sunset", 0, []), ("nautical dusk", 0, []), ("sunset", 3600, []), ("nautical dusk", 0, SLOWER)],
)
def test_a_start_or_an_end_that_is_taken_puts_it_there(
    demo_brief: dict[str, Any], sky: Sky, event: str, offset_s: int, phases: list[dict[str, Any]]
) -> None:
    """The start by the change that the phone makes, the end by a clock time in the file."""
    brief = _meant(demo_brief, event, offset_s) | {"phases": phases}
    _halfway_only(brief)
    planned, meant = _row(brief, sky)
    wanted, offset_h = meant["time"]["utc_ms"], 3_600_000
    assert meant["start"]["keeps"] == "end"
    started = plan(brief, sky, {"start_ms": meant["start"]["time"]["utc_ms"]})
    assert started["keyframes"][1]["time"]["utc_ms"] == pytest.approx(wanted, abs=NEAR_MS)
    assert started["timing"]["frames"] == meant["start"]["frames"]
    assert abs(started["window"]["end"]["utc_ms"] - planned["window"]["end"]["utc_ms"]) < 24_000
    local_s = (meant["end"]["time"]["utc_ms"] + offset_h) // 1000 % 86_400
    ended = {**brief, "end": {"clock_s": local_s}}
    assert _at(ended, sky, {}) == pytest.approx(wanted, abs=NEAR_MS)


def test_where_frames_are_given_the_whole_shot_moves(demo_brief: dict[str, Any], sky: Sky) -> None:
    brief = _meant(demo_brief, "nautical dusk") | {"end": None, "frames": 500}
    planned, meant = _row(brief, sky)
    start = meant["start"]
    assert (start["keeps"], start["frames"]) == ("frames", 500)
    moved_ms = start["time"]["utc_ms"] - planned["window"]["start"]["utc_ms"]
    assert moved_ms == pytest.approx(-meant["off_ms"], abs=30_000)
    assert _at(brief, sky, {"start_ms": start["time"]["utc_ms"]}) == pytest.approx(
        meant["time"]["utc_ms"], abs=NEAR_MS
    )


@pytest.mark.parametrize(
    ("at", "index", "offered"),
    [
        pytest.param({"fraction": 0.0}, 0, (True, False, False), id="the first: its start alone"),
        pytest.param({"fraction": 1.0}, 2, (False, True, False), id="the last: its end alone"),
        pytest.param({"frame": 300}, 1, (True, False, True), id="a frame: the end does not move it"),
        pytest.param({"clock_s": 75_600}, 1, (False, False, True), id="a clock time: neither does"),
    ],
)
def test_only_what_moves_a_keyframe_is_offered(
    demo_brief: dict[str, Any], sky: Sky, at: dict[str, Any], index: int, offered: tuple[bool, ...]
) -> None:
    brief = _meant(demo_brief, "sunset", index=index)
    brief["keyframes"][index]["at"] = at
    _, meant = _row(brief, sky, index)
    assert tuple(meant[name] is not None for name in ("start", "end", "split")) == offered


def _said(brief: dict[str, Any], sky: Sky) -> tuple[dict[str, Any], list[dict[str, str]]]:
    sheet = changing({**plan(brief, sky, {}), "revision": "0A1B2C"})
    return sheet["keyframes"][1], [one for one in sheet["warnings"] if one["about"] == "event"]


def test_a_free_middle_is_told_to_be_hung_on_the_event(demo_brief: dict[str, Any], sky: Sky) -> None:
    keyframe, (warning,) = _said(_meant(demo_brief, "sunset"), sky)
    assert warning["head"].startswith("K2 falls ") and warning["head"].endswith(" after sunset")
    assert warning["fix"].startswith("Hang K2 on it: frame ")
    assert keyframe["meant"].startswith("meant for sunset, ") and keyframe["meant"] in keyframe["there"]
    assert "(end kept)" in keyframe["there"] and " or at frame " in keyframe["there"]


def test_a_fixed_middle_is_told_the_nearer_edge(demo_brief: dict[str, Any], sky: Sky) -> None:
    """Off by 40 minutes or so: the start would move by twice that, and so would the end."""
    brief = _meant(demo_brief, "sunset", 3600)
    _halfway_only(brief)
    planned, meant = _row(brief, sky)
    moved = {
        "Start": abs(meant["start"]["time"]["utc_ms"] - planned["window"]["start"]["utc_ms"]),
        "End": abs(meant["end"]["time"]["utc_ms"] - planned["window"]["end"]["utc_ms"]),
    }
    assert all(ms == pytest.approx(2 * abs(meant["off_ms"]), abs=2 * MINUTE_MS) for ms in moved.values())
    _, (warning,) = _said(brief, sky)
    assert warning["fix"].startswith(min(moved, key=lambda name: moved[name]) + " at ")


def test_a_late_start_is_not_told_to_have_been_earlier(demo_brief: dict[str, Any], sky: Sky) -> None:
    """20 minutes later the keyframe, halfway to a kept end, comes 10 later; an earlier end still mends it."""
    brief = _meant(demo_brief, "sunset", 900)
    _halfway_only(brief)
    planned, meant = _row(brief, sky)
    late_ms = planned["window"]["start"]["utc_ms"] + 20 * MINUTE_MS
    late = plan(brief, sky, {"start_ms": late_ms})["keyframes"][1]["meant"]
    assert meant["off_ms"] > 0 and meant["start"]["time"]["utc_ms"] < late_ms
    assert late["off_ms"] - meant["off_ms"] == pytest.approx(10 * MINUTE_MS, abs=NEAR_MS)
    assert late["start"] is None and late["end"] is not None and late["split"] is not None


def test_a_fixed_middle_may_be_parted_at_the_event(demo_brief: dict[str, Any], sky: Sky) -> None:
    brief = _meant(demo_brief, "sunset", 900)
    _halfway_only(brief)
    frame = _row(brief, sky)[1]["split"]["frame"]
    assert f" or two shots parted at frame {frame:.0f} (" in _said(brief, sky)[0]["there"]


def test_a_few_minutes_are_told_but_not_minded(demo_brief: dict[str, Any], sky: Sky) -> None:
    planned, meant = _row(_meant(demo_brief, "sunset"), sky)
    off_s = meant["off_ms"] // 1000
    keyframe, minded = _said(_meant(demo_brief, "sunset", off_s - 120), sky)
    assert (": 2 min after it" in keyframe["meant"], minded) == (True, [])
    assert len(_said(_meant(demo_brief, "sunset", off_s - 200), sky)[1]) == 1
    keyframe, minded = _said(_meant(demo_brief, "sunset", off_s), sky)
    assert keyframe["there"].endswith(": on it")


def test_an_event_that_does_not_come_is_told_with_its_neighbours(
    demo_brief: dict[str, Any], sky: Sky
) -> None:
    """At 66 degrees north no astronomical dusk comes from April to August."""
    brief = _meant(demo_brief, "sun behind ridge")
    brief["place"]["horizon"] = []
    keyframe, (warning,) = _said(brief, sky)
    assert keyframe["there"] == "meant for sun behind the ridge, which does not come"
    assert warning["sum"].endswith("none within reach; none within reach.")
    brief = _meant(demo_brief, "astronomical dusk")
    brief["place"]["latitude_deg"] = 66.0
    brief |= {"start": {"clock_s": 72_000}, "end": {"clock_s": 79_200}, "exposure": None}
    for row in brief["keyframes"]:
        row |= {"aim": None, "axes": {"slide": 0.0, "pan": 0.0, "tilt": 0.0}}
    _, (warning,) = _said(brief, sky)
    assert warning["head"] == "No astronomical dusk near K2"
    planned, meant = _row(brief, sky)
    assert meant["before"] < planned["window"]["start"]["utc_ms"] < meant["after"]
