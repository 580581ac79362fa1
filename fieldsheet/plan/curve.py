"""A smooth curve through measured pairs that never overshoots them.  Twin: app/core/curve.js.

The cubic of joins.py: a rise stays a rise, and between two pairs it stays between their values.
"""

from __future__ import annotations

from collections.abc import Sequence

from .joins import slopes, smooth

Pairs = Sequence[Sequence[float]]


def curve_at(pairs: Pairs, x: float) -> float:
    """The curve at x through two or more pairs of rising x; beyond an end, that end's value."""
    if x <= pairs[0][0]:
        return pairs[0][1]
    if x >= pairs[-1][0]:
        return pairs[-1][1]
    k = 0
    while x > pairs[k + 1][0]:
        k += 1
    (x0, y0), (x1, y1) = pairs[k], pairs[k + 1]
    at = slopes([pair[0] for pair in pairs], [pair[1] for pair in pairs])
    return smooth((x - x0) / (x1 - x0), y0, y1, at[k], at[k + 1], x1 - x0)
