"""The curve between measured pairs: SciPy's, and what such a curve promises."""

from __future__ import annotations

import json
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fieldsheet.plan.curve import curve_at

PUBLISHED = json.loads(
    (Path(__file__).parents[1] / "published" / "pchip_scipy.json").read_text("utf-8"), parse_int=float
)


@pytest.mark.parametrize("curve", PUBLISHED["curves"], ids=[curve["name"] for curve in PUBLISHED["curves"]])
def test_the_curve_is_that_of_scipy(curve: dict[str, Any]) -> None:
    worst = max(abs(curve_at(curve["pairs"], x) - y) for x, y in curve["at"])
    print(f"{curve['name']}: worst error {worst:.1e}")
    assert worst < 1e-12


@st.composite
def pairs(draw: st.DrawFn) -> list[list[float]]:
    steps = draw(st.lists(st.floats(0.5, 50), min_size=1, max_size=7))
    values = draw(st.lists(st.floats(0.05, 20), min_size=len(steps) + 1, max_size=len(steps) + 1))
    at = [0.0]
    for step in steps:
        at.append(at[-1] + step)
    return [list(pair) for pair in zip(at, values, strict=True)]


@given(pairs(), st.floats(0, 1))
def test_it_meets_its_pairs_and_never_leaves_their_span(curve: list[list[float]], share: float) -> None:
    assert all(curve_at(curve, x) == pytest.approx(y) for x, y in curve)
    for (x0, y0), (x1, y1) in pairwise(curve):
        low, high = min(y0, y1), max(y0, y1)
        assert low - 1e-9 <= curve_at(curve, x0 + share * (x1 - x0)) <= high + 1e-9


def test_beyond_its_ends_it_stays_as_it_is_there() -> None:
    assert curve_at([[-20, 0.5], [20, 1.0]], -40) == 0.5
    assert curve_at([[-20, 0.5], [20, 1.0]], 40) == 1.0
