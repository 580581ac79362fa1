"""What a rig cannot reach, or not in time: a warning's own figure mends it, and a little less does not."""

from __future__ import annotations

import copy
from typing import Any

import pytest

from fieldsheet.plan.move import warp_of
from fieldsheet.plan.plan import plan
from fieldsheet.plan.problem import PlanProblem
from fieldsheet.sheet.sheet import changing
from fieldsheet.sky.sky import Sky
from tests.plain import plain


def _warnings(brief: dict[str, Any], sky: Sky) -> dict[str, dict[str, Any]]:
    return {one["id"].removeprefix("warning."): one["args"] for one in plan(brief, sky, {})["warnings"]}


def _fixes(brief: dict[str, Any], sky: Sky) -> list[str]:
    return [one["fix"] for one in changing({**plan(brief, sky, {}), "revision": "0A1B2C"})["warnings"]]


@pytest.mark.parametrize(
    ("limits", "id"),
    [({"max": 50.0}, "axis-limit"), ({"min": -70.0}, "axis-limit"), ({"wrap_deg": 80.0}, "cable-wrap")],
)
def test_the_pan_zero_that_is_named_is_the_nearest_that_works(
    demo_brief: dict[str, Any], sky: Sky, limits: dict[str, float], id: str
) -> None:
    demo_brief["rig"]["axes"]["pan"] |= limits
    mend = _warnings(demo_brief, sky)[id]["mend"]
    assert mend["id"] == "mend.zero"
    zero = mend["args"]["zero"]
    assert any(f"Set pan zero to {zero:.1f}° true" in fix for fix in _fixes(demo_brief, sky))
    assert id not in _warnings({**demo_brief, "zero_bearing_deg": zero}, sky)
    back = 0.2 if zero > demo_brief["zero_bearing_deg"] else -0.2
    assert id in _warnings({**demo_brief, "zero_bearing_deg": zero - back}, sky)


def test_where_no_zero_does_it_says_by_how_much(demo_brief: dict[str, Any], sky: Sky) -> None:
    """The keyframes' pans lie 149 degrees apart; this rig turns by 120."""
    demo_brief["rig"]["axes"]["pan"] |= {"min": -60.0, "max": 60.0}
    args = _warnings(demo_brief, sky)["axis-limit"]
    assert args["mend"]["id"] == "mend.over"
    assert args["mend"]["args"]["over"] == pytest.approx(abs(args["value"]) - 60)


@pytest.mark.parametrize(("limits", "index", "by"), [({"max": 20.0}, 0, -0.01), ({"min": 3.5}, 2, 0.01)])
def test_the_height_in_the_frame_that_is_named_is_the_nearest_that_works(
    demo_brief: dict[str, Any], sky: Sky, limits: dict[str, float], index: int, by: float
) -> None:
    demo_brief["rig"]["axes"]["tilt"] |= limits
    args = _warnings(demo_brief, sky)["axis-limit"]
    assert (args["number"], args["mend"]["id"]) == (index + 1, "mend.tilt")
    y = args["mend"]["args"]["y"]

    def placed(y: float) -> dict[str, Any]:
        brief = copy.deepcopy(demo_brief)
        brief["keyframes"][index]["aim"]["y"] = y
        return brief

    assert "axis-limit" not in _warnings(placed(y), sky)
    assert "axis-limit" in _warnings(placed(y + by), sky)


def test_the_interval_that_is_named_lets_every_axis_keep_up(demo_brief: dict[str, Any], sky: Sky) -> None:
    """With all frames kept; and so does the share of the way that is named."""
    brief = plain(demo_brief)
    brief["rig"]["motion"] = "continuous"
    brief["rig"]["axes"]["slide"]["speed_max"] = 0.05
    args = _warnings(brief, sky)["too-fast"]
    kept = {**brief, "end": None, "frames": args["frames"], "interval_ms": args["works"]}
    assert "too-fast" not in _warnings(kept, sky)
    shorter = args["works"] - brief["rig"]["interval_step_ms"]
    assert "too-fast" in _warnings({**kept, "interval_ms": shorter}, sky)
    for keyframe in brief["keyframes"]:
        keyframe["axes"]["slide"] *= args["part"] / 100
    assert _warnings(brief, sky).get("too-fast", {"part": 100})["part"] == pytest.approx(100, abs=0.5)


def test_a_move_that_is_too_long_fits_where_all_frames_are_kept(demo_brief: dict[str, Any], sky: Sky) -> None:
    brief = plain(demo_brief)
    brief["place"] |= {"tides": [], "turn_back": None, "check_in": None}
    brief["rig"]["axes"]["slide"]["speed_max"] = 0.05
    args = _warnings(brief, sky)["move-too-long"]
    kept = {**brief, "end": None, "frames": args["frames"], "interval_ms": args["works"]}
    assert not {"move-too-long", "interval-short"} & _warnings(kept, sky).keys()
    shorter = args["works"] - brief["rig"]["interval_step_ms"]
    assert {"move-too-long", "interval-short"} & _warnings({**kept, "interval_ms": shorter}, sky).keys()


@pytest.mark.parametrize(
    ("hold", "ease", "frames"), [([1, 1], [40, 41], 81), ([0, 0], [0, 90], 60), ([30, 40], [0, 0], 60)]
)
def test_so_many_frames_less_of_rest_or_more_in_all_leave_room(
    hold: list[int], ease: list[int], frames: int
) -> None:
    with pytest.raises(PlanProblem) as caught:
        warp_of(hold, ease, frames)
    over, least = caught.value.args_["over"], caught.value.args_["least"]
    warp_of(hold, ease, least)
    with pytest.raises(PlanProblem):
        warp_of(hold, ease, least - 1)
    assert least - frames == over


@pytest.mark.parametrize(("hold", "frame", "at"), [([50, 1], 40, 1), ([1, 50], 760, 1)])
def test_a_keyframe_that_falls_into_a_hold_is_told_when_the_rig_moves(
    demo_plan: dict[str, Any], demo_brief: dict[str, Any], sky: Sky, hold: list[int], frame: int, at: int
) -> None:
    frames = demo_plan["timing"]["frames"]
    frame = min(frame, frames - 5)
    demo_brief |= {"hold": hold, "ease": [0, 0]}
    demo_brief["keyframes"][1]["at"] = {"frame": frame}
    with pytest.raises(PlanProblem) as caught:
        plan(demo_brief, sky, {})
    args = caught.value.args_
    assert (caught.value.key, args["frame"]) == (f"keyframe.{at}.at", frame)
    assert (args["first"], args["last"]) == (max(1, hold[0]), frames + 1 - max(1, hold[1]))
