"""Places the labels of a line of ticks so that none touches another and none leaves the line.

One dimension only: a label is a width (mm) with a hook, the part of it that belongs at its tick. Rows are
filled by turns; the leader of a label in a farther row passes between the labels of the nearer ones in the
order of the ticks, so that leaders never cross. Least squares under an order: pooling of adjacent violators
(from memory).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

LEADER_MM = 0.7


@dataclass(frozen=True)
class Tag:
    """A label `width` wide, to stand at `tick` with its stretch `hook` (from its left edge); all in mm."""

    tick: float
    width: float
    hook: tuple[float, float]


@dataclass(frozen=True)
class Spot:
    """Where a tag went: row (0 nearest), left edge; its leader's x at the tick, in nearer rows, last."""

    row: int
    left: float
    passes: tuple[float, ...]
    end: float

    @property
    def slant(self) -> float:
        """How far (mm) the last stretch of the leader runs along the line."""
        return abs(self.end - self.passes[-1])


def place(tags: Sequence[Tag], low: float, high: float, gap: float, rows: int) -> list[Spot] | None:
    """Spots for `tags` (in order of ticks) inside [low, high], `gap` apart, in `rows` rows; None if too wide.

    A spot's `passes` begins with the tick itself.
    """
    passes = [[tag.tick] for tag in tags]
    lefts = [0.0] * len(tags)
    for row in range(rows):
        here = [i for i in range(len(tags)) if i % rows >= row]
        last = [i % rows == row for i in here]
        widths = [tags[i].width if ends else LEADER_MM for i, ends in zip(here, last, strict=True)]
        hooks = [sum(tags[i].hook) / 2 if ends else LEADER_MM / 2 for i, ends in zip(here, last, strict=True)]
        wanted = [passes[i][-1] - hook for i, hook in zip(here, hooks, strict=True)]
        taken = spread(wanted, widths, low, high, gap)
        if taken is None:
            return None
        for i, ends, left in zip(here, last, taken, strict=True):
            if ends:
                lefts[i] = left
            else:
                passes[i].append(left + LEADER_MM / 2)
    return [
        _spot(tag, n % rows, left, way)
        for n, (tag, left, way) in enumerate(zip(tags, lefts, passes, strict=True))
    ]


def _spot(tag: Tag, row: int, left: float, passes: Sequence[float]) -> Spot:
    inset = min(LEADER_MM / 2, (tag.hook[1] - tag.hook[0]) / 2)
    end = min(max(passes[-1], left + tag.hook[0] + inset), left + tag.hook[1] - inset)
    return Spot(row, left, tuple(passes), end)


def spread(
    wanted: Sequence[float], widths: Sequence[float], low: float, high: float, gap: float
) -> list[float] | None:
    """Left edges nearest (least squares) to `wanted`, in this order, `gap` apart, in [low, high]; or None."""
    if not widths:
        return []
    shifts = [0.0]
    for width in widths[:-1]:
        shifts.append(shifts[-1] + width + gap)
    slack = high - low - shifts[-1] - widths[-1]
    if slack < 0:
        return None
    pooled = _ascending([want - shift - low for want, shift in zip(wanted, shifts, strict=True)])
    return [low + min(slack, max(0.0, value)) + shift for value, shift in zip(pooled, shifts, strict=True)]


def _ascending(values: Sequence[float]) -> list[float]:
    """The ascending sequence with the least squared distance from `values`."""
    pools: list[tuple[float, int]] = []
    for value in values:
        pools.append((value, 1))
        while len(pools) > 1 and pools[-2][0] > pools[-1][0]:
            (a, m), (b, n) = pools[-2:]
            pools[-2:] = [((a * m + b * n) / (m + n), m + n)]
    return [mean for mean, count in pools for _ in range(count)]
