"""Where a curve of time passes through zero, and where it turns near it: a scan, turning points, narrowing.

twin: site_templates/app/core/scan.js

A scan finds where the curve changes sign; where it turns back close to zero, the turning point itself is
sought out and added to the scan, so that a pair of crossings minutes apart is not lost. Every crossing then
lies in a bracket of its own, which is narrowed down: crossings up and down alternate by construction.
"""

from __future__ import annotations

from collections.abc import Callable
from math import ceil, floor
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from fieldsheet.sky.observe import Floats
from fieldsheet.sky.sky import Sky

Bools = NDArray[np.bool_]
Curve = Callable[[Floats], Floats]
"""Values at POSIX UTC seconds of any shape, in that shape."""

SCAN_S = 600.0
"""The step in which the sky is scanned for what happens in it."""

_ZOOM_ROUNDS = 5  # each narrows tenfold: from 1200 s to 0.012 s
_ZOOM_STEPS = 20
_CUTS = np.arange(1, 20) / 20.0
_CUT_ROUNDS = 6  # from 600 s to 0.00001 s


class Turns(NamedTuple):
    """Turning points (n,) of a curve: moment, value there, and value at the scan's step beside it."""

    moment_s: Floats
    value: Floats
    beside: Floats


def scan_s(sky: Sky, t0_s: float, t1_s: float, step_s: float) -> Floats:
    """Multiples of the step, from one before the window to one after it, as far as the sky reaches.

    Every window that holds a moment so finds the same moment.
    """
    times_s = np.arange(floor(t0_s / step_s) - 1, ceil(t1_s / step_s) + 2) * step_s
    return np.asarray(times_s[(times_s >= sky.span_s[0]) & (times_s < sky.span_s[1])])


def crossings(curve: Curve, steps_s: Floats, near: float, *, upwards: bool, downwards: bool) -> Floats:
    """The moments at which a curve comes to be at least 0, or ceases to be, ascending.

    steps_s: (n,) ascending. near: how far from 0 a step may lie beside a turning point beyond it.
    """
    values = curve(steps_s)
    turns = turning_points(curve, steps_s, values, near)
    beyond = (turns.value >= 0.0) != (turns.beside >= 0.0)
    times_s = np.concatenate([steps_s, turns.moment_s[beyond]])
    order = np.argsort(times_s)
    times_s, high = times_s[order], (np.concatenate([values, turns.value[beyond]]) >= 0.0)[order]
    starts = np.flatnonzero((high[1:] & ~high[:-1] & upwards) | (high[:-1] & ~high[1:] & downwards))
    up = high[starts + 1][:, np.newaxis]
    return narrow(lambda t_s: (curve(t_s) >= 0.0) == up, times_s[starts], times_s[starts + 1])


def turning_points(curve: Curve, steps_s: Floats, values: Floats, near: float) -> Turns:
    """Where a curve with these values (n,) at steps_s (n,) turns, beside steps less than near from 0."""
    before, here, after = values[:-2], values[1:-1], values[2:]
    lowest = (here <= before) & (here <= after)
    highest = (here >= before) & (here >= after)
    turns = np.flatnonzero((np.abs(here) < near) & (lowest | highest))
    side = np.where(lowest[turns], 1.0, -1.0)
    moments_s, least = _zoom(curve, steps_s[turns], steps_s[turns + 2], side)
    return Turns(moments_s, least * side, here[turns])


def _zoom(curve: Curve, from_s: Floats, to_s: Floats, side: Floats) -> tuple[Floats, Floats]:
    """Where side * curve is least in each bracket (n,), and how little it is there."""
    rows = np.arange(from_s.size)
    for _ in range(_ZOOM_ROUNDS):
        step_s = (to_s - from_s) / _ZOOM_STEPS
        times_s = from_s[:, np.newaxis] + step_s[:, np.newaxis] * np.arange(_ZOOM_STEPS + 1)
        values = curve(times_s) * side[:, np.newaxis]
        best = np.argmin(values, axis=1)
        best_s = times_s[rows, best]
        from_s, to_s = best_s - step_s, best_s + step_s
    return best_s, values[rows, best]


def narrow(passed: Callable[[Floats], Bools], from_s: Floats, to_s: Floats) -> Floats:
    """The moment in each bracket (n,) from which something has passed.

    Many cuts at once cost numpy little more than one, so it cuts into twenty where the twin halves.
    """
    if from_s.size == 0:
        return from_s
    rows = np.arange(from_s.size)
    for _ in range(_CUT_ROUNDS):
        inner_s = from_s[:, np.newaxis] + (to_s - from_s)[:, np.newaxis] * _CUTS
        late = passed(inner_s)
        edges_s = np.column_stack([from_s, inner_s, to_s])
        first_late = np.where(late.any(axis=1), np.argmax(late, axis=1), _CUTS.size)
        from_s, to_s = edges_s[rows, first_late], edges_s[rows, first_late + 1]
    return (from_s + to_s) / 2.0
