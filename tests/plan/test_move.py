"""The move: keyframes met exactly, holds still, eases smooth, travel times in closed form."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.interpolate import PchipInterpolator

from fieldsheet.plan.keyframes import Setting
from fieldsheet.plan.move import Path, Warp, largest_steps, path_through, travel_s
from fieldsheet.plan.problem import PlanProblem


def _path(
    values: list[float],
    frames: int,
    hold: tuple[int, int],
    ease: tuple[int, int],
    joins: str = "straight",
    at: list[float] | None = None,
) -> Path:
    """The move of a slide through keyframes at shares `at` of the shot, evenly spread without it."""
    shares = at or [k / (len(values) - 1) for k in range(len(values))]
    settings = [
        Setting(1 + (frames - 1) * share, {"slide": value}, None, None, None, None)
        for share, value in zip(shares, values, strict=True)
    ]
    brief: dict[str, Any] = {"hold": hold, "ease": ease, "rig": {"joins": joins}}
    return path_through(brief, settings, frames)


def warp_of(path: Path) -> Warp:
    assert path.warp is not None
    return path.warp


moves = st.tuples(
    st.lists(st.floats(-500, 500), min_size=2, max_size=5),
    st.integers(60, 2000),
    st.tuples(st.integers(0, 8), st.integers(0, 8)),
    st.tuples(st.integers(0, 12), st.integers(0, 12)),
)


@st.composite
def spread_moves(draw: st.DrawFn) -> tuple[Any, ...]:
    """Moves whose keyframes stand anywhere, not too near to one another, as `_path` takes them."""
    values, frames, hold, ease = draw(moves)
    gaps = draw(st.lists(st.floats(1, 2), min_size=len(values) - 1, max_size=len(values) - 1))
    shares = [sum(gaps[:k]) / sum(gaps) for k in range(len(values))]
    return values, frames, hold, ease, draw(st.sampled_from(["straight", "smooth"])), [*shares[:-1], 1.0]


@given(spread_moves())
def test_each_keyframe_is_met_exactly_at_its_frame(move: Any) -> None:
    path = _path(*move)
    for setting in path.settings:
        assert path.at(setting.frame)["slide"] == setting.axes["slide"]


@given(spread_moves())
def test_no_axis_turns_back_between_keyframes(move: Any) -> None:
    """So its extremes lie at keyframes, and it is there that limits and cables are checked."""
    path = _path(*move)
    for before, after in zip(path.settings, path.settings[1:], strict=False):
        frames = np.linspace(before.frame, after.frame, 41)
        rises = np.diff([path.at(frame)["slide"] for frame in frames])
        assert (rises * np.sign(after.axes["slide"] - before.axes["slide"]) >= -1e-9).all()


@given(spread_moves())
def test_no_axis_leaves_the_range_of_its_keyframes_and_holds_stand_still(move: Any) -> None:
    values, frames, hold, *_ = move
    path = _path(*move)
    positions = [path.at(frame)["slide"] for frame in range(1, frames + 1)]
    assert min(values) - 1e-12 <= min(positions) and max(positions) <= max(values) + 1e-12
    assert len(set(positions[: max(1, hold[0])])) == 1
    assert len(set(positions[frames - max(1, hold[1]) :])) == 1


@given(moves)
def test_the_path_is_linear_in_s_between_keyframes(move: Any) -> None:
    """NumPy's linear interpolation over s is the outside opinion."""
    path = _path(*move)
    frames = np.arange(1, move[1] + 1)
    s = [warp_of(path).s(frame) for frame in frames]
    expected = np.interp(s, path.knots, [setting.axes["slide"] for setting in path.settings])
    assert [path.at(frame)["slide"] for frame in frames] == pytest.approx(expected, abs=1e-9)


@given(spread_moves())
def test_a_smooth_path_is_the_monotone_cubic(move: Any) -> None:
    """SciPy's PchipInterpolator over s is the outside opinion."""
    values, frames, hold, ease, _, at = move
    path = _path(values, frames, hold, ease, "smooth", at)
    s = [warp_of(path).s(frame) for frame in range(1, frames + 1)]
    expected = PchipInterpolator(path.knots, values)(s)
    assert [path.at(frame)["slide"] for frame in range(1, frames + 1)] == pytest.approx(expected, abs=1e-7)


def test_a_smooth_path_changes_its_speed_without_a_jump() -> None:
    """At the middle keyframe a straight one goes from 1 to 9 a frame; the smooth one by what it bends."""

    def bend(joins: str) -> float:
        path = _path([0, 100, 1000], 201, (1, 1), (0, 0), joins)
        return float(np.abs(np.diff([path.at(frame)["slide"] for frame in range(1, 202)], 2)).max())

    assert bend("straight") == pytest.approx(8)
    assert bend("smooth") < 0.3


@given(st.integers(60, 2000), st.integers(0, 25), st.integers(0, 25))
def test_speed_changes_evenly_over_the_eases(frames: int, ease_in: int, ease_out: int) -> None:
    """Second differences of s: constant inside an ease, zero in the middle; the whole way is 1."""
    path = _path([0.0, 1.0], frames, (1, 1), (ease_in, ease_out))
    s = np.array([warp_of(path).s(frame) for frame in range(1, frames + 1)])
    assert (s[0], s[-1]) == (0.0, 1.0)
    top = 1 / (frames - 1 - ease_in / 2 - ease_out / 2)
    bend = np.diff(s, 2)
    assert bend[: max(0, ease_in - 1)] == pytest.approx(top / ease_in if ease_in else 0, abs=1e-12)
    assert bend[ease_in : frames - 2 - ease_out] == pytest.approx(0, abs=1e-12)
    assert np.diff(s).max() == pytest.approx(top, rel=1e-9)


@given(moves)
def test_the_largest_step_is_the_largest(move: Any) -> None:
    path = _path(*move)
    positions = [path.at(frame)["slide"] for frame in range(1, move[1] + 1)]
    largest = largest_steps(path, move[1])["slide"]
    assert abs(largest["step"]) == pytest.approx(np.abs(np.diff(positions)).max(), rel=1e-6, abs=1e-9)
    frame = int(largest["frame"])
    assert positions[frame] - positions[frame - 1] == pytest.approx(largest["step"])


@given(st.floats(0.01, 2000), st.floats(0.1, 50), st.floats(0.1, 50))
def test_travel_time_covers_the_distance(distance: float, speed: float, acceleration: float) -> None:
    """The area under the trapezoid (or triangle) of speed is the distance: elementary kinematics."""
    total = travel_s(distance, speed, acceleration)
    ramp = min(speed / acceleration, total / 2)
    top = acceleration * ramp
    assert top <= speed * (1 + 1e-9)
    assert top * (total - ramp) == pytest.approx(distance, rel=1e-9)


# Worked by hand: 100 mm at 10 mm/s and 5 mm/s2 is 2 s up, 80 mm in 8 s, 2 s down; 5 mm never gets to speed.
@pytest.mark.parametrize(("distance", "seconds"), [(100.0, 12.0), (-100.0, 12.0), (5.0, 2.0), (0.0, 0.0)])
def test_travel_time_worked_by_hand(distance: float, seconds: float) -> None:
    assert travel_s(distance, 10.0, 5.0) == pytest.approx(seconds)


@pytest.mark.parametrize(
    ("hold", "ease", "frames"),
    [
        pytest.param((31, 30), (0, 0), 60, id="holds fill the shot"),
        pytest.param((1, 1), (40, 40), 60, id="eases longer than the move"),
    ],
)
def test_holds_and_eases_without_room_are_a_problem(
    hold: tuple[int, int], ease: tuple[int, int], frames: int
) -> None:
    with pytest.raises(PlanProblem) as caught:
        _path([0.0, 1.0], frames, hold, ease)
    assert (caught.value.id, caught.value.key) == ("problem.no-room", "ease_frames")


def test_a_keyframe_inside_a_hold_is_a_problem() -> None:
    settings = [Setting(frame, {"slide": frame}, None, None, None, None) for frame in (1.0, 5.0, 100.0)]
    with pytest.raises(PlanProblem) as caught:
        path_through({"hold": (10, 1), "ease": (0, 0), "rig": {"joins": "smooth"}}, settings, 100)
    assert caught.value.key == "keyframe.1.at"
