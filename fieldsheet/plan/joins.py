"""How a rig runs from keyframe to keyframe: straight, or in a smooth curve.  Twin: app/core/joins.js.

The smooth curve is a cubic between any two keyframes whose slopes at both are chosen so that it keeps the
shape of the keyframes: it rises where they rise, and turns back only at a keyframe.  Source: Fritsch and
Carlson, SIAM J. Numer. Anal. 17 (1980); slopes inside by the weighted harmonic mean of Fritsch and Butland,
SIAM J. Sci. Stat. Comput. 5 (1984), at the ends by the three-point formula of the same, cut where it would
overshoot.
"""

from __future__ import annotations

from collections.abc import Sequence


def slopes(knots: Sequence[float], values: Sequence[float]) -> list[float]:
    """The curve's slope at each of two or more keyframes: `values` (axis units) at ascending `knots`."""
    ways = [after - before for before, after in zip(knots, knots[1:], strict=False)]
    rises = [(values[k + 1] - values[k]) / way for k, way in enumerate(ways)]
    if len(rises) == 1:
        return [rises[0], rises[0]]
    inside = [_inside(ways[k], ways[k + 1], rises[k], rises[k + 1]) for k in range(len(rises) - 1)]
    return [
        _end(ways[0], ways[1], rises[0], rises[1]),
        *inside,
        _end(ways[-1], ways[-2], rises[-1], rises[-2]),
    ]


def _inside(way: float, next_way: float, rise: float, next_rise: float) -> float:
    if rise * next_rise <= 0:
        return 0.0
    weight, next_weight = 2 * next_way + way, next_way + 2 * way
    return (weight + next_weight) / (weight / rise + next_weight / next_rise)


def _end(way: float, next_way: float, rise: float, next_rise: float) -> float:
    slope = ((2 * way + next_way) * rise - way * next_rise) / (way + next_way)
    if slope * rise <= 0:
        return 0.0
    if rise * next_rise <= 0 and abs(slope) > 3 * abs(rise):
        return 3 * rise
    return slope


def straight(share: float, before: float, after: float) -> float:
    """The value at a share (0 to 1) of the way between two keyframes."""
    return before + (after - before) * share


def smooth(share: float, before: float, after: float, slope: float, next_slope: float, way: float) -> float:
    """The same on the cubic with those slopes at its ends, `way` apart; never beyond the two values."""
    rest = 1 - share
    value = before + (after - before) * share * share * (3 - 2 * share)
    value += way * share * rest * (slope * rest - next_slope * share)
    return min(max(value, min(before, after)), max(before, after))
