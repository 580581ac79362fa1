"""A shot that stopped: the old move's rest as a new one, and each way to go on, worked out by hand."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fieldsheet.catalog.read import Catalog
from fieldsheet.plan.keyframes import Setting
from fieldsheet.plan.move import Path, path_through
from fieldsheet.plan.plan import plan
from fieldsheet.plan.problem import PlanProblem
from fieldsheet.plan.recovery import Rest, differs, rest_of
from fieldsheet.sheet.sheet import changing
from fieldsheet.sky.sky import Sky

MINUTE_MS = 60_000
EXACT = 1e-9
ORDER = ["second", "move", "move-kept", "sky"]


@st.composite
def moves(draw: st.DrawFn, joins: str = "straight") -> tuple[dict[str, Any], Path, int]:
    """(brief, path, frames) of two axes through two to five keyframes; the rig takes them all."""
    frames = draw(st.integers(60, 300))
    hold, ease = (draw(st.tuples(st.integers(0, most), st.integers(0, most))) for most in (9, 20))
    gaps = draw(st.lists(st.floats(1, 2), min_size=1, max_size=4))
    shares = [sum(gaps[:k]) / sum(gaps) for k in range(len(gaps))] + [1.0]
    at = [1.0, *(1 + (frames - 1) * share for share in shares[1:])]
    values = st.fixed_dictionaries({"slide": st.floats(0, 1500), "pan": st.floats(-300, 300)})
    settings = [Setting(frame, draw(values), None, None, None, None) for frame in at]
    keyframes = [
        {"at": {"frame": frame}, "aim": None, "axes": here.axes, "scene_ev": 0.0}
        for frame, here in zip(at, settings, strict=True)
    ]
    rig = {"joins": joins, "keyframes": {"most": 5, "middle": "free"}}
    brief = {"hold": list(hold), "ease": list(ease), "rig": rig, "keyframes": keyframes}
    return brief, path_through(brief, settings, frames), frames


def _worst(rest: Rest, path: Path) -> float:
    """The largest difference of any axis at any frame that is left, computed from the two paths alone."""
    new = path_through(rest.brief, rest.settings, rest.frames)
    return max(
        abs(value - path.at(rest.before(frame))[name])
        for frame in range(1, rest.frames + 1)
        for name, value in new.at(frame).items()
    )


@given(moves(), st.data())
def test_a_rig_that_joins_straight_goes_on_exactly_as_planned(move: Any, data: st.DataObject) -> None:
    """From any frame past the ease-in, and from any in which it still held, to a billionth of a unit."""
    brief, path, frames = move
    first = data.draw(st.integers(2, frames))
    rest = rest_of(brief, path, frames, first, frames - first + 1)
    assert len(rest.brief["keyframes"]) <= len(brief["keyframes"]), "the rig takes them"
    in_ease = path.warp.first < first < path.warp.first + brief["ease"][0]
    told = max(abs(row["off"]) for row in differs(rest, path).values())
    assert told == pytest.approx(_worst(rest, path), abs=EXACT)
    if not in_ease:
        assert _worst(rest, path) <= EXACT and told == 0.0


@given(moves("smooth"), st.data())
def test_elsewhere_the_worst_difference_is_told_with_its_frame(move: Any, data: st.DataObject) -> None:
    """Smooth curves bend anew, and a middle keyframe fixed halfway lies elsewhere on the way."""
    brief, path, frames = move
    brief["rig"]["keyframes"]["middle"] = "halfway"
    first = data.draw(st.integers(2, frames - 40))
    rest = rest_of(brief, path, frames, first, data.draw(st.integers(40, frames - first + 1)))
    try:
        told = differs(rest, path)
    except PlanProblem:
        return
    new = path_through(rest.brief, rest.settings, rest.frames)
    for name, row in told.items():
        at = int(row["frame"])
        off = new.at(at)[name] - path.at(rest.before(at))[name]
        assert row["off"] in (0.0, pytest.approx(off, abs=EXACT))
    assert max(abs(row["off"]) for row in told.values()) == pytest.approx(
        _worst(rest, path), rel=1e-6, abs=EXACT
    )


def _slide(values: list[float], joins: str, middle: str, ease: list[int]) -> tuple[dict[str, Any], Path]:
    """A slide of 101 frames through evenly spread keyframes."""
    settings = [
        Setting(1 + 100 * k / (len(values) - 1), {"slide": value}, None, None, None, None)
        for k, value in enumerate(values)
    ]
    keyframes = [{"at": {}, "aim": None, "axes": setting.axes, "scene_ev": 0.0} for setting in settings]
    rig = {"joins": joins, "keyframes": {"most": 3, "middle": middle}}
    brief = {"hold": [1, 1], "ease": ease, "rig": rig, "keyframes": keyframes}
    return brief, path_through(brief, settings, 101)


def test_a_fixed_middle_cuts_the_corner_by_what_is_worked_out() -> None:
    """0, 500 at frame 51, 600 at 101; stopped after 20, the rest runs from frame 21, at 200, to 101.

    The rig's own middle is then frame 61, at 520; straight from 200 to 520 it is at 440 in frame 51, 60 short
    of 500: that is frame 31 of the new count.  A free middle misses nothing.
    """
    brief, path = _slide([0.0, 500.0, 600.0], "straight", "halfway", [0, 0])
    rest = rest_of(brief, path, 101, 21, 81)
    assert [here.axes["slide"] for here in rest.settings] == pytest.approx([200.0, 520.0, 600.0])
    assert [here.frame for here in rest.settings] == [1.0, 41.0, 81.0]
    assert differs(rest, path)["slide"] == {"off": pytest.approx(-60.0), "frame": 31}
    brief["rig"]["keyframes"]["middle"] = "free"
    assert differs(rest_of(brief, path, 101, 21, 81), path)["slide"]["off"] == 0.0


def test_a_stop_in_the_ease_in_starts_with_a_jerk_that_is_told() -> None:
    """A slide of 0 to 980 over 100 frames with an ease-in of 40: top speed 980 / (100 - 20) = 12.25 a frame.

    At frame 21 it is halfway up to speed, at 12.25 x 20 x 20 / 80 = 61.25; from there the new move runs
    evenly, 918.75 in 80 frames, 11.48 a frame.  Where the old one has that speed, after 37.5 frames, it is
    farthest behind: 61.25 + 17.5 x 11.484 - 12.25 x 37.5 x 37.5 / 80 = 46.9, at whole frames all but that.
    """
    brief, path = _slide([0.0, 980.0], "straight", "free", [40, 0])
    told = differs(rest_of(brief, path, 101, 21, 81), path)["slide"]
    assert told["off"] == pytest.approx(46.9, abs=0.05) and told["frame"] in (18, 19)


def test_eases_and_holds_are_keyed_in_as_far_as_there_is_room() -> None:
    """Of a hold of 5 and an ease of 30 at both ends: still 3 to hold after frame 2; 20 to ease after 76."""
    brief, path = _slide([0.0, 900.0], "straight", "free", [30, 30])
    brief["hold"] = [5, 5]
    path = path_through(brief, path.settings, 101)

    def keyed(first: int) -> tuple[list[int], list[int]]:
        rest = rest_of(brief, path, 101, first, 102 - first)
        return rest.brief["hold"], rest.brief["ease"]

    assert keyed(3) == ([3, 5], [30, 30])
    assert keyed(50) == ([1, 5], [0, 30])
    # From frame 77 on 25 frames are left, 5 of them hold: 20 for the way.
    assert keyed(77) == ([1, 5], [0, 20])
    assert keyed(98) == ([0, 0], [0, 0])


# --- a whole shot: from 19:36, 753 frames of 18 s, stopped after 612 ----------------------------------------


def _at(brief: dict[str, Any], sky: Sky, frame: int, hhmm: tuple[int, int]) -> dict[str, Any]:
    """The recovery of the demo's shot; it rolls again at that time of 5 June 2027, an hour ahead of UTC."""
    night_ms = 1_812_150_000_000  # 5 June 2027, 00:00 there
    rolling_ms = night_ms + (hhmm[0] * 60 + hhmm[1]) * MINUTE_MS
    recovery = plan(brief, sky, {"stopped": {"frame": frame, "rolling_ms": rolling_ms}})["recovery"]
    assert [option["id"] for option in recovery["options"]] == ORDER
    return {**recovery, **{option["id"]: option for option in recovery["options"]}}


def test_a_stop_is_told_by_the_clock_and_in_frames(demo_brief: dict[str, Any], sky: Sky) -> None:
    """Frame 613 was due at 19:36 + 612 x 18 s = 22:39:36; 22:59 is 19 min 24 s later, 64.67 frames.

    So 613 to 677 are missed, 65 of them, and 678 is due at 22:59:06; 76 frames are left to 753.
    """
    told = _at(demo_brief, sky, 612, (22, 59))
    assert (told["gap_ms"], told["missed"], told["shot_ms"]) == (1_164_000, 65, 24_480)
    assert told["keying"] == [17, 50], "5 to 15 min are 16.7 to 50 frames of 18 s"
    frames = {id: told[id]["frames"] for id in ORDER}
    assert frames == {"second": 76, "move": 141, "move-kept": 76, "sky": 76}
    assert {id: told[id]["whole_ms"] for id in ORDER} == {
        "second": 3_040,  # 76 / 25 s
        "move": 30_120,  # all 753
        "move-kept": 27_520,  # 612 + 76
        "sky": 27_520,
    }
    assert told["move"]["later_ms"] == 1_164_000 and told["sky"]["later_ms"] == 0
    assert (told["sky"]["skipped"], told["move"]["skipped"]) == (65, 0)


def test_the_sky_jumps_by_the_gap(demo_brief: dict[str, Any], sky: Sky) -> None:
    """Published: 15.041 degrees an hour against the stars (IAU, a sidereal day of 23 h 56 min 4.09 s)."""
    told = _at(demo_brief, sky, 612, (22, 59))
    assert told["move"]["sky_deg"] == pytest.approx(15.041 * 1164 / 3600, abs=1e-3)


def test_positions_go_on_where_it_stood_or_where_it_would_be(demo_brief: dict[str, Any], sky: Sky) -> None:
    """Both run on exactly; what is keyed in is rounded to the rig's steps, by half a step at most."""
    told = _at(demo_brief, sky, 612, (22, 59))
    planned = plan(demo_brief, sky, {})
    path = path_through(
        demo_brief,
        [Setting(row["frame"], row["axes"], None, None, None, None) for row in planned["keyframes"]],
        753,
    )
    for id, frame in (("move", 613), ("sky", 678), ("second", 678)):
        first = told[id]["keyframes"][0]["axes"]
        for name, value in path.at(frame).items():
            step = demo_brief["rig"]["axes"][name]["step"]
            assert abs(first[name] - value) <= step / 2 + EXACT
        assert {row["off"] for row in told[id]["differs"].values()} == {0.0}
    assert told["stands"] == path.at(612)
    assert [row["rig_number"] for row in told["move"]["keyframes"]] == [2, 1], "set last-to-first"
    assert (told["move"]["hold"], told["move"]["ease"]) == ([1, 1], [0, 40])


def test_the_target_of_what_is_left_is_beside_its_place_by_the_gap(
    demo_brief: dict[str, Any], sky: Sky
) -> None:
    """The core, at declination -29, goes 15.04 degrees an hour x cos 29 x 1164 s: 4.25, the air aside."""
    told = _at(demo_brief, sky, 612, (22, 59))
    last = told["move"]["keyframes"][-1]
    assert last["off"]["deg"] == pytest.approx(4.25, abs=0.12)
    assert last["aimed"]["pan"] != last["axes"]["pan"] and last["aimed"]["slide"] == last["axes"]["slide"]
    assert told["sky"]["keyframes"][-1]["off"]["deg"] < 0.05


@pytest.mark.parametrize(
    ("knows", "step"), [("lost", "step.lost"), ("kept", "step.kept"), (None, "step.unknown")]
)
def test_truth_comes_first(demo_brief: dict[str, Any], sky: Sky, knows: str | None, step: str) -> None:
    demo_brief["rig"]["position_after_power_loss"] = knows
    steps = _at(demo_brief, sky, 612, (22, 59))["steps"]
    assert steps[:2] == ["step.cause", step] and steps.index("step.key") > steps.index(step)


@pytest.mark.parametrize(
    ("incline_deg", "first"), [(0.0, "step.cause"), (4.0, "step.hold"), (-4.0, "step.hold")]
)
def test_a_carriage_that_would_run_down_is_held_before_anything_is_touched(
    demo_brief: dict[str, Any], sky: Sky, incline_deg: float, first: str
) -> None:
    demo_brief["rail"]["incline_deg"] = incline_deg
    assert _at(demo_brief, sky, 612, (22, 59))["steps"][0] == first


@pytest.mark.parametrize(
    ("hhmm", "text"),
    [
        ((20, 45), "1/160 s · ISO 100 as it rolls; from there the table holds by the clock"),
        ((21, 40), "13 s · ISO 100 as it rolls; from there the table holds by the clock"),
        ((23, 40), "13 s · ISO 3200, where its table ends"),
    ],
)
def test_the_exposure_is_told_for_when_it_rolls_again(
    demo_brief: dict[str, Any], sky: Sky, hhmm: tuple[int, int], text: str
) -> None:
    """By hand from the table: frame 231 has 5 of the clicks from 1/500 s on, 415 all of them up to 13 s.

    Where nothing but the clock changes the light, a way's own table begins within a click of it.
    """
    stopped = {"frame": 200, "rolling_ms": 1_812_150_000_000 + (hhmm[0] * 60 + hhmm[1]) * MINUTE_MS}
    planned = plan(demo_brief, sky, {"stopped": stopped})
    lines = changing({**planned, "revision": "0"})["recovery"]["lines"]
    told = {line["name"]: line["text"] for line in lines}
    assert told["exposure"].startswith(f"f/2.8 · {text}")
    on = plan(demo_brief, sky, {"way": {"id": "move", **stopped}})
    ladder, first = demo_brief["exposure"]["ladder"], on["exposure"]["first_rung"]
    begins = [f"f/{f} · {shutter} s · ISO {iso}" for f, shutter, iso, _ in ladder[first - 1 : first + 2]]
    assert any(told["exposure"].startswith(setting) for setting in begins)
    planned["exposure"] = None
    lines = changing({**planned, "revision": "0"})["recovery"]["lines"]
    assert "exposure" not in {line["name"] for line in lines}


def test_after_the_planned_end_only_the_move_with_all_its_frames_is_left(
    demo_brief: dict[str, Any], sky: Sky
) -> None:
    told = _at(demo_brief, sky, 612, (23, 40))
    assert {id: (told[id]["why"] or {}).get("id") for id in ORDER} == {
        **dict.fromkeys(ORDER, "recovery.over"),
        "move": None,
    }


def test_no_gap_is_no_second_way(demo_brief: dict[str, Any], sky: Sky) -> None:
    """Rolling before the next frame is due changes nothing: it waits for it."""
    told = _at(demo_brief, sky, 611, (22, 39))
    assert (told["gap_ms"], told["missed"]) == (0, 0)
    assert told["move-kept"]["why"]["id"] == "recovery.same"
    assert told["move"]["frames"] == told["sky"]["frames"] == 142


def test_a_camera_that_stands_still_only_counts_frames(demo: Catalog, sky: Sky) -> None:
    brief = demo.brief("stone-saw")
    start_ms = plan(brief, sky, {})["window"]["start"]["utc_ms"]
    stopped = {"frame": 1000, "rolling_ms": start_ms + 110 * MINUTE_MS}
    recovery = plan(brief, sky, {"stopped": stopped})["recovery"]
    second, move, kept, still = recovery["options"]
    assert recovery["steps"] == ["step.cause", "step.fire"] and recovery["stands"] == {}
    # 110 min are 1100 frames of 6 s: frame 1101 is due, 1300 are left.
    assert [option["frames"] for option in (second, move, kept)] == [1300, 1400, 1300]
    assert still["why"]["id"] == "recovery.still" and move["keyframes"] == []


@pytest.mark.parametrize(
    ("frame", "minutes", "id"),
    [
        (0, 10, "stopped-frame"),
        (-3, 10, "stopped-frame"),
        (753, 10, "stopped-frame"),
        (9000, 10, "stopped-frame"),
        (12.5, 10, "stopped-frame"),
        (612, -1, "stopped-rolling"),
        (612, 1500, "stopped-rolling"),
    ],
)
def test_what_cannot_be_meant_is_refused_with_what_would_be_right(
    demo_brief: dict[str, Any], sky: Sky, frame: float, minutes: int, id: str
) -> None:
    """Minutes are from when that frame fired; a day after frame 1 nothing is left of a shot."""
    fired_ms = plan(demo_brief, sky, {})["window"]["start"]["utc_ms"] + int((frame - 1) * 18_000)
    stopped = {"frame": frame, "rolling_ms": fired_ms + minutes * MINUTE_MS}
    with pytest.raises(PlanProblem) as raised:
        plan(demo_brief, sky, {"stopped": stopped})
    assert raised.value.id == "problem." + id
