"""How the move looks, what a moving exposure does, and how keyframes are driven to."""

from __future__ import annotations

from itertools import pairwise
from math import atan, degrees
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fieldsheet.plan.budget import interval_budget
from fieldsheet.plan.drives import drives
from fieldsheet.plan.keyframes import Setting
from fieldsheet.plan.look import exposed, look_of, turns_of
from fieldsheet.plan.move import path_through
from fieldsheet.plan.pace import Phase, Segment
from fieldsheet.plan.plan import plan
from fieldsheet.plan.timing import Timing
from fieldsheet.sky.sky import Sky

FRAMES = 168  # of 7 s at 24 frames a second
# Pans by numbers do not move with their zero.
LED_OTHERWISE = {"id": "mend.cables", "args": {}}


def _settings(values: list[dict[str, float]], frames: int) -> list[Setting]:
    gap = (frames - 1) / (len(values) - 1)
    return [Setting(1 + gap * k, axes, None, None, None, None) for k, axes in enumerate(values)]


def _brief(brief: dict[str, Any], **more: Any) -> dict[str, Any]:
    """A full frame of 24 mm at 24 frames a second, joined straight, without hold or ease."""
    brief |= {"frame_mm": [36.0, 24.0], "fps": [24, 1], "hold": [0, 0], "ease": [0, 0], **more}
    brief["camera"] |= {"focal_mm": 24.0, "projection": "rectilinear"}
    return brief


def _look(brief: dict[str, Any], values: list[dict[str, float]], frames: int) -> dict[str, Any]:
    path = path_through(brief, _settings(values, frames), frames)
    look = look_of(brief, turns_of(brief, path, frames))
    assert look is not None
    return look


def test_a_pan_over_the_frames_width_in_7_s_is_the_published_rule(demo_brief: dict[str, Any]) -> None:
    """A camera maker's training page: a full width in 7 s or more, 168 frames at 24 a second, as a starting
    point; with 24 mm on a full frame (73.74 degrees) that is 0.4389 degrees a frame.
    """
    across = degrees(2 * atan(18 / 24))
    look = _look(_brief(demo_brief), [{"pan": 0.0, "tilt": 0.0}, {"pan": across, "tilt": 0.0}], FRAMES + 1)
    assert across == pytest.approx(73.74, abs=0.005)
    assert look["turn_deg"] == pytest.approx(0.4389, abs=5e-5)
    assert look["seconds_per_frame_width"] == pytest.approx(7)
    assert look["frame_widths_per_s"] == pytest.approx(1 / 7)
    assert look["largest_change"] == {"share": 0.0, "frame": None}


def test_tilted_up_the_same_pan_turns_the_picture_less(demo_brief: dict[str, Any]) -> None:
    """At 60 degrees up by half, for a small step: cos 60."""
    ways = [[{"pan": 0.0, "tilt": up}, {"pan": 20.0, "tilt": up}] for up in (0.0, 60.0)]
    level, high = (_look(_brief(demo_brief), way, 200)["turn_deg"] for way in ways)
    assert high == pytest.approx(level / 2)


@pytest.mark.parametrize(("joins", "jerks"), [("straight", True), ("smooth", False)])
def test_where_straight_ways_meet_the_speed_jumps(
    demo_brief: dict[str, Any], joins: str, jerks: bool
) -> None:
    """0.1 degrees a frame before frame 101, 0.9 after it: the jump is 8 ninths of the fastest."""
    demo_brief["rig"]["joins"] = joins
    values = [{"pan": pan, "tilt": 0.0} for pan in (0.0, 10.0, 100.0)]
    change = _look(_brief(demo_brief), values, 201)["largest_change"]
    assert (change["share"] == pytest.approx(8 / 9) and change["frame"] == 101) is jerks
    assert (change["share"] > 0.5) is jerks


def test_a_still_picture_has_no_look(demo_brief: dict[str, Any]) -> None:
    path = path_through(_brief(demo_brief), _settings([{"slide": 0.0}, {"slide": 900.0}], 100), 100)
    assert look_of(demo_brief, turns_of(demo_brief, path, 100)) is None


def test_blur_is_the_turn_while_the_shutter_is_open(demo_brief: dict[str, Any]) -> None:
    """By the frame's own scale: 1 degree a frame, open for half the interval, 24 mm: 0.5 degrees are
    0.2094 mm of 36, or 22.3 of 3840 pixels; half the interval is the film trade's 180 degrees.
    """
    brief = _brief(demo_brief, longest_shutter_ms=5000)
    path = path_through(brief, _settings([{"pan": 0.0, "tilt": 0.0}, {"pan": 100.0, "tilt": 0.0}], 101), 101)
    turns, timing = turns_of(brief, path, 101), _timing(101, [(1, 10_000)])
    still = exposed(brief, turns, timing, [(1, 5000)])
    assert still == {"blur_px": None, "blur_frame": None, "shutter_angle_deg": None}
    brief["rig"]["motion"] = "continuous"
    found = exposed(brief, turns, timing, [(1, 5000)])
    assert found["blur_px"] == pytest.approx(24 * 0.5 * 3.14159265 / 180 / 36 * 3840, rel=1e-6)
    assert found["blur_px"] == pytest.approx(22.3, abs=0.05)
    assert found["shutter_angle_deg"] == 180


def test_blur_is_the_worst_of_turn_and_time_open(demo_brief: dict[str, Any]) -> None:
    """2 degrees a frame at a tenth of the interval, then from frame 11 on 1 degree at half of it: 0.5 of one;
    from frame 51 on the interval is double, and it is half of that.
    """
    brief = _brief(demo_brief)
    brief["rig"] |= {"motion": "continuous", "joins": "straight"}
    brief["keyframes"] = []
    frames = (1.0, 11.0, 111.0)
    pans = (0.0, 20.0, 120.0)
    settings = [
        Setting(frame, {"pan": pan, "tilt": 0.0}, None, None, None, None)
        for frame, pan in zip(frames, pans, strict=True)
    ]
    turns = turns_of(brief, path_through(brief, settings, 111), 111)
    opens = [(1, 1000), (11, 5000)]
    found = exposed(brief, turns, _timing(111, [(1, 10_000), (51, 20_000)]), opens)
    assert found["blur_frame"] == 11 and found["shutter_angle_deg"] == 180
    assert found["blur_px"] == pytest.approx(24 * 0.5 * 3.14159265 / 180 / 36 * 3840, rel=1e-6)
    later = exposed(brief, turns, _timing(111, [(1, 10_000), (31, 5001)]), opens)
    assert later["blur_frame"] == 31 and later["shutter_angle_deg"] == pytest.approx(360 * 5000 / 5001)


def _timing(frames: int, intervals: list[tuple[int, int]]) -> Timing:
    """A shot from 0 ms on with an interval from each frame on."""
    segments: list[Segment] = []
    for number, (first, interval_ms) in enumerate(intervals):
        before = segments[-1] if segments else Segment(1, 0, 0, 0)
        start_ms = before.start_ms + (first - before.first_frame) * before.interval_ms
        segments.append(Segment(first, start_ms, interval_ms, number))
    return Timing(tuple(segments), frames, 0, (), (), 0, (Phase(intervals[0][1], None, 1),))


def test_only_a_rig_that_waits_adds_everything_up(demo_brief: dict[str, Any]) -> None:
    """13 s, 0.1 s of lag, 2 s until ready: 14 s of dwell + 1 s of settling; one that waits: 16 s + 1 s."""
    demo_brief["camera"]["ready_ms"] = 2000
    steps: dict[str, dict[str, float]] = {"slide": {"step": 0.0, "frame": 1}}
    meanwhile = interval_budget(demo_brief, steps, 18_000, 13_000)
    demo_brief["rig"]["waits_for_camera"] = True
    waiting = interval_budget(demo_brief, steps, 18_000, 13_000)
    keys = ("dwell_ms", "needed_ms", "slack_ms", "longest_shutter_ms")
    assert [meanwhile[key] for key in keys] == [14_000, 15_100, 2_900, 15_900]
    assert [waiting[key] for key in keys] == [16_000, 17_000, 1_000, 14_900]


def _warnings(brief: dict[str, Any], sky: Sky) -> dict[str, Any]:
    return {warning["id"]: warning for warning in plan(brief, sky, {})["warnings"]}


def _by_numbers(brief: dict[str, Any], pans: list[float]) -> dict[str, Any]:
    for keyframe, pan in zip(brief["keyframes"], pans, strict=True):
        keyframe |= {"aim": None, "axes": {"slide": 0.0, "pan": pan, "tilt": 20.0}}
    return brief


@pytest.mark.parametrize("joins", ["straight", "smooth"])
def test_cables_that_pull_stop_the_shot_at_the_keyframe_that_goes_too_far(
    demo_brief: dict[str, Any], sky: Sky, joins: str
) -> None:
    demo_brief["rig"]["joins"] = joins
    demo_brief["rig"]["axes"]["pan"]["wrap_deg"] = 100.0
    assert "warning.cable-wrap" not in _warnings(_by_numbers(demo_brief, [-100.0, 0.0, 100.0]), sky)
    warning = _warnings(_by_numbers(demo_brief, [-100.0, 0.0, 112.5]), sky)["warning.cable-wrap"]
    assert warning["level"] == "no-go"
    assert warning["args"] == {"number": 3, "pan": 112.5, "wrap": 100.0, "over": 12.5, "mend": LED_OTHERWISE}


def test_an_aimed_pan_takes_the_turn_that_spares_its_cables(demo_brief: dict[str, Any], sky: Sky) -> None:
    """From 170 by 60 to 230 within limits of 400; with cables for 200, from -190 to -130."""
    demo_brief |= {"zero_bearing_deg": 0.0}
    pan = demo_brief["rig"]["axes"]["pan"]
    pan |= {"min": -400.0, "max": 400.0}
    for keyframe, bearing in zip(demo_brief["keyframes"], (170.0, 200.0, 230.0), strict=True):
        keyframe["aim"] = {"bearing_deg": bearing, "altitude_deg": 0.0, "x": 0.0, "y": 0.0}
    for wrap, first in ((None, 170.0), (200.0, -190.0)):
        pan["wrap_deg"] = wrap
        assert plan(demo_brief, sky, {})["keyframes"][0]["axes"]["pan"] == pytest.approx(first)


def test_a_picture_that_passes_clearly_too_fast_is_minded(demo_brief: dict[str, Any], sky: Sky) -> None:
    """104.3 degrees wide, 753 frames at 25 a second: 300 degrees in two even halves take 10.5 s a width."""
    demo_brief |= {"hold": [0, 0], "ease": [0, 0]}
    demo_brief["rig"]["axes"]["pan"] |= {"min": -900.0, "max": 900.0}
    assert "warning.fast-picture" not in _warnings(_by_numbers(demo_brief, [-150.0, 0.0, 150.0]), sky)
    warning = _warnings(_by_numbers(demo_brief, [-400.0, 0.0, 400.0]), sky)["warning.fast-picture"]
    assert warning["level"] == "mind"
    assert warning["args"]["seconds"] < 5


AXIS = {"min": 0.0, "max": 1000.0, "unit": "mm"}
PLACES = st.lists(st.integers(0, 1000).map(float), min_size=2, max_size=5)


@given(PLACES, st.booleans())
def test_every_drive_ends_in_the_direction_of_the_run_unless_a_limit_is_in_the_way(
    places: list[float], is_reverse: bool
) -> None:
    settings = _settings([{"slide": place} for place in places], 100)
    numbers = list(range(1, len(places) + 1))
    order = numbers[::-1] if is_reverse else numbers
    rows = drives({"slide": AXIS}, settings, order)
    assert [row["number"] for row in rows] == (order if is_reverse else [*order, 1])
    at = None
    for row in rows:
        here = places[row["number"] - 1]
        before = [to - of for of, to in pairwise(places[: row["number"]]) if to != of]
        after = [to - of for of, to in pairwise(places[row["number"] - 1 :]) if to != of]
        way = (before[-1:] or after[:1] or [0.0])[0]
        came_from = row["via"].get("slide", at)
        room = here > 0 if way > 0 else here < 1000
        if way and room and came_from is not None and came_from != here:
            assert (here - came_from) * way > 0
        if way and room and at is None:
            assert row["via"], "nobody knows where it comes from"
        at = here


def test_set_last_to_first_each_is_come_to_from_behind(demo_plan: dict[str, Any]) -> None:
    """Worked by hand: the slide runs up, pan and tilt down; the slide cannot go below its first place, 0."""
    rows = {row["number"]: row["via"] for row in demo_plan["move"]["drives"]}
    assert list(rows) == [3, 2, 1]
    axes = {row["number"]: row["axes"] for row in demo_plan["keyframes"]}
    for number, via in rows.items():
        expected = {"slide": -5.0, "pan": 2.0, "tilt": 2.0}
        got = {name: round(value - axes[number][name], 6) for name, value in via.items()}
        assert got == {name: off for name, off in expected.items() if (number, name) != (1, "slide")}
