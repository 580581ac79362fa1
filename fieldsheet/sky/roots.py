"""Where curves on a grid pass through zero, and turn near it: all of them at once, in brackets.

A change of sign between two steps brackets one root; a turning point near zero that lies on its other side,
between two steps on the same side, brackets two. So roots upwards and downwards alternate by construction.
Each is then narrowed down in its own bracket, on the polynomial through six neighbours.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from fieldsheet.sky.grid import MIDDLE, TAPS, TO_POWERS, Ints, first_neighbour
from fieldsheet.sky.observe import Floats

Bools = NDArray[np.bool_]

_ROUNDS = 60  # so many halvings of a bracket are the last digit; Newton's steps need four
_CLOSE = 1e-9  # steps, 0.6 microseconds
_FUZZ = 1e-12
_TURN_ROUNDS = 5  # Newton from the vertex of a parabola: each doubles its correct digits
_NEIGHBOURS = np.arange(TAPS)[:, np.newaxis]
_EXPONENTS = np.arange(1.0, TAPS)[:, np.newaxis]


class Roots(NamedTuple):
    """Roots of curves (rows, n): which row, after how many steps of the grid, and which way it goes.

    up: (n,) whether the curve rises there. slope and bend: its first and second derivative a step.
    """

    row: Ints
    place: Floats
    up: Bools
    slope: Floats
    bend: Floats

    def chosen(self, which: Ints | slice) -> Roots:
        """Those at some places, in the order of the places."""
        return Roots(self.row[which], self.place[which], self.up[which], self.slope[which], self.bend[which])


class _Brackets(NamedTuple):
    """Stretches from low to high, in steps from the middle of the neighbours; up: (n,) rising in there."""

    row: Ints
    first: Ints
    low: Floats
    high: Floats
    up: Bools


def find_roots(groups: Iterable[tuple[Floats, Floats]]) -> Roots:
    """The roots of groups of curves (rows, steps), at least six steps each; rows are counted through.

    With each group goes how near (rows,) to zero a step's value must be for a turning point to be sought
    beside it; 0 seeks none. Brackets are found group by group, and narrowed down all at once.
    """
    parts, powers, before = [], [], 0
    for curves, near in groups:
        above = curves >= 0.0
        brackets = _joined([_changes(above), *(_dips(curves, above, near) if near.any() else [])])
        powers.append(_powers(curves, brackets.row, brackets.first))
        parts.append(brackets._replace(row=brackets.row + before))
        before += len(curves)
    brackets, forms = _joined(parts), _with_slopes(np.concatenate(powers, axis=1))
    x = _narrowed(forms, brackets)
    slope, bend = _value(forms[:, 1:], x)
    return Roots(brackets.row, brackets.first + MIDDLE + x, brackets.up, slope, bend)


def read_curves(curves: Floats, row: Ints, place: Floats) -> Floats:
    """The values (n,) of some of the curves (rows, steps) at places (n,), in steps from the first."""
    first = first_neighbour(np.floor(place).astype(np.int64), curves.shape[1])
    return _value(_powers(curves, row, first), place - first - MIDDLE)


def _joined(parts: list[_Brackets]) -> _Brackets:
    if len(parts) == 1:
        return parts[0]
    return _Brackets(*(np.concatenate(columns) for columns in zip(*parts, strict=True)))


def _changes(above: Bools) -> _Brackets:
    """A bracket between each two steps on different sides."""
    at = np.flatnonzero(above[:, 1:] != above[:, :-1])
    row, step = np.divmod(at, above.shape[1] - 1)
    first = first_neighbour(step, above.shape[1])
    low = np.asarray(step - first - MIDDLE, np.float64)
    return _Brackets(row, first, low, low + 1.0, ~above[row, step])


def _dips(curves: Floats, above: Bools, near: Floats) -> list[_Brackets]:
    """Two brackets at each turning point across zero between steps that are on the same side."""
    row, step, side = _turns(curves, above, near)
    if row.size == 0:
        return []
    first = first_neighbour(step, curves.shape[1])
    powers = _powers(curves, row, first) * side
    at = np.asarray(step - first - MIDDLE, np.float64)
    turn = _turned(powers, at)
    across = _value(powers, turn) < 0.0
    row, first, turn, up = row[across], first[across], turn[across], side[across] < 0.0
    low = np.floor(turn - MIDDLE) + MIDDLE  # steps lie at halves
    return [_Brackets(row, first, low, turn, up), _Brackets(row, first, turn, low + 1.0, ~up)]


def _turns(curves: Floats, above: Bools, near: Floats) -> tuple[Ints, Ints, Floats]:
    """Row and step of each value near zero that is nearer than its neighbours; 1 or -1 for its side."""
    at = np.flatnonzero(np.abs(curves[:, 1:-1]) < near[:, np.newaxis])
    row, step = np.divmod(at, curves.shape[1] - 2)
    side = np.where(above[row, step + 1], 1.0, -1.0)
    before, here, after = (curves[row, step + offset] * side for offset in range(3))
    turns = (here <= before) & (here <= after)
    return row[turns], step[turns] + 1, side[turns]


def _turned(powers: Floats, at: Floats) -> Floats:
    """Where polynomials have their minimum within a step of a place (n,)."""
    x, slopes = at, _with_slopes(powers)[:, 1:]
    for _ in range(_TURN_ROUNDS):
        slope, bend = _value(slopes, x)
        step = np.where(bend > 0.0, slope / np.where(bend > 0.0, bend, 1.0), 0.0)
        x = np.clip(x - step, at - 1.0, at + 1.0)
    return x


def _narrowed(forms: Floats, brackets: _Brackets) -> Floats:
    """The root in each bracket: Newton's step where it stays inside, else the middle."""
    low, high, up = brackets.low.copy(), brackets.high.copy(), brackets.up
    at_low, at_high = _value(forms[:, :1], np.array([low, high]))
    span, lines = at_high - at_low, forms[:, :2]
    with np.errstate(divide="ignore", invalid="ignore"):
        x = _inside(low - at_low / span * (high - low), low, high)
        for _ in range(_ROUNDS):
            value, slope = _value(lines, x)
            later = (value < 0.0) == up
            low, high = np.where(later, x, low), np.where(later, high, x)
            following = _inside(x - value / slope, low, high)
            moved = np.abs(following - x)
            x = following
            if not (moved > _CLOSE).any():
                break
    return x


def _inside(x: Floats, low: Floats, high: Floats) -> Floats:
    """x where it lies in [low, high], else the middle; what rounding alone puts outside stays at the end."""
    nearest = np.minimum(np.maximum(x, low), high)
    return np.where(np.abs(nearest - x) <= _FUZZ, nearest, (low + high) / 2.0)


def _powers(curves: Floats, row: Ints, first: Ints) -> Floats:
    """Coefficients (TAPS, n) of the polynomials through the neighbours from first on."""
    at = row * curves.shape[1] + first + _NEIGHBOURS
    return np.asarray(TO_POWERS @ np.take(curves.ravel(), at, mode="clip"))


def _with_slopes(powers: Floats) -> Floats:
    """Coefficients (TAPS, 3, n) of polynomials and of their first and second derivatives."""
    forms = np.zeros((TAPS, 3, powers.shape[1]))
    forms[:, 0] = powers
    for order in (1, 2):
        np.multiply(forms[1:, order - 1], _EXPONENTS, out=forms[:-1, order])
    return forms


def _value(powers: Floats, x: Floats) -> Floats:
    """Horner's sum of coefficients (powers, ..., n), ascending, at x (..., n)."""
    total = powers[-1] * x
    for power in powers[-2:0:-1]:
        total += power
        total *= x
    return np.asarray(total + powers[0])
