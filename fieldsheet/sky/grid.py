"""The bodies on a grid of moments, once for all places: what searches and tables in bulk start from.

A step is ten minutes, in which the sky turns by 2.5 degrees. A polynomial through six neighbours then lies
within 2e-9 degrees of what it goes through: h^6 max|f''''''| 225/64 / 720 for a sine with h = 0.0436.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from math import ceil, floor

import numpy as np
from numpy.typing import ArrayLike, NDArray

from fieldsheet.sky.observe import Floats
from fieldsheet.sky.scan import SCAN_S
from fieldsheet.sky.sky import Sky

Ints = NDArray[np.int64]

TAPS = 6
"""How many neighbours a polynomial goes through."""

MIDDLE = (TAPS - 1) / 2.0
"""Polynomials are in steps from the middle of their neighbours."""

TO_POWERS = np.linalg.inv(np.vander(np.arange(TAPS) - MIDDLE, increasing=True))
"""(powers, neighbours): from the values at the neighbours to the polynomial's coefficients."""

# The search of single events scans from one step before its window to one after; neighbours reach two on.
_MARGIN_STEPS = 3


def first_neighbour(step: Ints, steps: int) -> Ints:
    """The first of the TAPS neighbours about a step and the one after it, in a grid of so many steps."""
    return np.minimum(np.maximum(step - TAPS // 2 + 1, 0), steps - TAPS)


@dataclass(frozen=True, eq=False)
class Grid:
    """Earth-fixed vectors of some bodies every SCAN_S seconds, for the window [t0_s, t1_s) and a margin.

    moments_s: (n,), POSIX UTC seconds, whole multiples of the step. vectors: body to (3, n), in km, or of
    length one where sky.is_far. squares: body to (n,), of the vectors' lengths.
    """

    sky: Sky
    t0_s: float
    t1_s: float
    moments_s: Floats
    vectors: dict[str, Floats]
    squares: dict[str, Floats]

    def must_have(self, bodies: Iterable[str]) -> None:
        """Raises ValueError, naming them, unless the grid has these bodies."""
        lacking = [body for body in bodies if body not in self.vectors]
        if lacking:
            raise ValueError(f"the grid was made without {', '.join(lacking)}")


def year_grid(sky: Sky, t0_s: float, t1_s: float, bodies: Iterable[str]) -> Grid:
    """The grid of some bodies over [t0_s, t1_s), POSIX UTC seconds: a year, or any other span.

    Near the ends of the sky the margin is what there is. Raises SpanError where the sky does not cover the
    window, ValueError for an unknown body.
    """
    sky.must_cover(t0_s, t1_s)
    steps = np.arange(floor(t0_s / SCAN_S) - _MARGIN_STEPS, ceil(t1_s / SCAN_S) + _MARGIN_STEPS + 1)
    moments_s = steps.astype(np.float64) * SCAN_S
    moments_s = moments_s[(moments_s >= sky.span_s[0]) & (moments_s < sky.span_s[1])]
    once = list(dict.fromkeys(bodies))
    vectors = dict(zip(once, sky.rows_km(once, moments_s), strict=True))
    for body in once:
        if sky.is_far(body):  # of length one but for the pack's rounding
            vectors[body] /= np.sqrt(_squares(vectors[body]))
    squares = {body: _squares(vectors[body]) for body in once}
    return Grid(sky, t0_s, t1_s, moments_s, vectors, squares)


def _squares(vectors: Floats) -> Floats:
    """Of the lengths of vectors (3, n)."""
    return np.asarray((vectors * vectors).sum(axis=0))


class Readings:
    """Some moments in a grid, and what its bodies' vectors are there, by the polynomial of six neighbours."""

    def __init__(self, grid: Grid, t_s: ArrayLike) -> None:
        """t_s: (t,), POSIX UTC seconds. Raises ValueError outside what the grid covers."""
        places = (np.asarray(t_s, np.float64) - grid.moments_s[0]) / SCAN_S
        last = grid.moments_s.size - 1
        if not np.all((places >= 0.0) & (places <= last)):
            raise ValueError("a moment lies outside the grid")
        step = np.floor(places).astype(np.int64)
        self._grid = grid
        self._on_grid = step if np.array_equal(step, places) else None
        self._first = first_neighbour(step, last + 1)
        if self._on_grid is None:
            self._weights = TO_POWERS.T @ np.vander(places - self._first - MIDDLE, TAPS, increasing=True).T

    def of(self, body: str) -> Floats:
        """The vectors (3, t) of a body of the grid. Raises ValueError for a body that it lacks."""
        self._grid.must_have([body])
        vectors = self._grid.vectors[body]
        if self._on_grid is not None:
            return vectors[:, self._on_grid]
        read = self._weights[0] * vectors[:, self._first]
        for tap in range(1, TAPS):
            read += self._weights[tap] * vectors[:, self._first + tap]
        return np.asarray(read)
