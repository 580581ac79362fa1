"""Bands of clicks along any curve: every frame once, a third at a time, never far from it."""

from __future__ import annotations

from math import floor

from hypothesis import given, settings
from hypothesis import strategies as st

from fieldsheet.plan.bands import WITHIN, Band, bands
from tests.long import tries

LADDER = [
    *(["2.8", f"s{n}", "100", n] for n in range(40)),
    *(["2.8", "s39", f"i{n}", 39] for n in range(1, 20)),
]
LAST = len(LADDER) - 1


@st.composite
def curves(draw: st.DrawFn) -> list[float]:
    """Straight between a few corners, on the ladder, less than 0.6 clicks a frame."""
    level = draw(st.floats(0, LAST))
    values = [level]
    for _ in range(draw(st.integers(1, 6))):
        slope, length = draw(st.floats(-0.6, 0.6)), draw(st.integers(1, 120))
        for _ in range(length):
            level = min(max(level + slope, 0.0), float(LAST))
            values.append(level)
    return values


def stands(found: list[Band], frames: int) -> list[int]:
    """The rung at every frame, as a hand would have it that reads the bands."""
    rungs = [0] * frames
    for band in found:
        for frame in range(band.first, band.last + 1):
            clicks = min((frame - band.first) // band.every + 1, band.clicks)
            rungs[frame - 1] = band.before + band.way * clicks
    return rungs


@settings(max_examples=tries(100))
@given(curves())
def test_bands_cover_every_frame_once_and_join(curve: list[float]) -> None:
    found = bands(curve, LADDER)
    assert found[0].first == 1 and found[-1].last == len(curve)
    for before, after in zip(found, found[1:], strict=False):
        assert after.first == before.last + 1 and after.before == before.after
    assert all(band.first <= band.last for band in found if band.clicks)


@settings(max_examples=tries(100))
@given(curves())
def test_no_step_is_larger_than_a_click_and_none_is_far_off(curve: list[float]) -> None:
    rungs = stands(bands(curve, LADDER), len(curve))
    assert all(abs(after - before) <= 1 for before, after in zip(rungs, rungs[1:], strict=False))
    assert max(abs(rung - wanted) for rung, wanted in zip(rungs, curve, strict=True)) <= WITHIN + 1e-9


@settings(max_examples=tries(100))
@given(curves())
def test_a_band_turns_one_control(curve: list[float]) -> None:
    for band in bands(curve, LADDER):
        rungs = [LADDER[band.before + band.way * n] for n in range(band.clicks + 1)]
        turned = {
            sum(a != b for a, b in zip(*pair, strict=True)) for pair in zip(rungs, rungs[1:], strict=False)
        }
        assert len({rung[2] for rung in rungs}) == 1 or len({rung[1] for rung in rungs}) == 1
        assert turned <= {1, 2}  # its mark, and with the shutter the time that it keeps open


def test_an_even_slope_is_one_band() -> None:
    found = bands([max(0.0, min((n - 30) / 4, 12.0)) for n in range(120)], LADDER)
    assert [(band.every, band.clicks) for band in found if band.clicks] == [(4, 12)]


def test_a_night_that_never_changes_is_one_band_of_no_clicks() -> None:
    assert bands([7.0] * 500, LADDER) == [Band(1, 500, 1, 0, 1, 7)]


def test_it_turns_back_where_the_curve_does() -> None:
    curve = [20 - n / 10 for n in range(100)] + [10 + n / 10 for n in range(100)]
    found = bands(curve, LADDER)
    assert {band.way for band in found if band.clicks} == {-1, 1}
    assert abs(found[-1].after - curve[-1]) <= 1


def test_faster_than_a_click_a_frame_it_lags_and_catches_up() -> None:
    curve = [0.0] * 10 + [2.0 * n for n in range(15)] + [28.0] * 40
    rungs = stands(bands(curve, LADDER), len(curve))
    assert all(abs(after - before) <= 1 for before, after in zip(rungs, rungs[1:], strict=False))
    assert rungs[-1] == floor(curve[-1] + 0.5)
