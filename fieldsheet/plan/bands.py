"""A ramp of exposure as a hand can turn it: few bands of even clicks along a curve.  Twin: app/core/bands.js.

The curve says for every frame how many clicks (thirds of a stop) up the ladder of settings the exposure
should stand.  A band is a click every so many frames, all on one control and in one direction; the frames
after its last click, up to the next band, stand still.  Of all spacings a band takes the one that keeps
within a click of the curve for longest.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Sequence
from dataclasses import dataclass
from math import floor
from typing import Any

Rung = Sequence[Any]

# Off the curve by more than this, in clicks, the next one is due; within that all of a band stays.  Neither
# is a round half or whole, at which the twins could part.
DUE, WITHIN = 0.55, 1.05


@dataclass(frozen=True)
class Band:
    """Clicks before the frames first, first + every, ... of `way` rungs each; then still up to `last`."""

    first: int
    last: int
    every: int
    clicks: int
    way: int
    before: int

    @property
    def after(self) -> int:
        """The rung at the end."""
        return self.before + self.way * self.clicks


def bands(curve: Sequence[float], ladder: Sequence[Rung]) -> list[Band]:
    """The bands that cover every frame once; curve[n] is the rung, real and on the ladder, of frame n + 1."""
    climb = _Climb(curve, ladder)
    at, rung = 0, floor(curve[0] + 0.5)
    found = [(0, 1, 0, 1, rung)]
    while (at := climb.due(at, rung)) < len(curve):
        way = 1 if curve[at] > rung else -1
        every, clicks = climb.longest(at, rung, way)
        found.append((at, every, clicks, way, rung))
        rung += way * clicks
        at += every * clicks
    starts = [*(row[0] for row in found), len(curve)]
    return [
        Band(first + 1, starts[n + 1], every, clicks, way, before)
        for n, (first, every, clicks, way, before) in enumerate(found)
    ]


class _Climb:
    """The curve, the frames at which it turns, and the ladder that it goes along."""

    def __init__(self, curve: Sequence[float], ladder: Sequence[Rung]) -> None:
        steps = [after - before for before, after in zip(curve, curve[1:], strict=False)]
        pairs = enumerate(zip(steps, steps[1:], strict=False), start=1)
        self.curve, self.ladder = curve, ladder
        self.turns = [at for at, (before, after) in pairs if before * after <= 0 and before != after]

    def due(self, at: int, rung: int) -> int:
        """The first frame from `at` on that is off the rung; the number of frames where none is."""
        while at < len(self.curve) and abs(self.curve[at] - rung) <= DUE:
            at += 1
        return at

    def longest(self, at: int, rung: int, way: int) -> tuple[int, int]:
        """(every, clicks) of the band that reaches farthest; of those that reach the end one that ends on the
        curve, of these the slowest."""
        best, farthest, every = (1, 1), (at + 1, False), 1
        ends = floor(self.curve[-1] + 0.5)
        while every == 1 or self._holds(at, every, rung + way, way):
            clicks = self._clicks(at, every, rung, way)
            reach = min(at + every * clicks, len(self.curve)), rung + way * clicks == ends
            if clicks and reach >= farthest:
                best, farthest = (every, clicks), reach
            if at + every >= len(self.curve):
                break
            every += 1
        return best

    def _clicks(self, at: int, every: int, rung: int, way: int) -> int:
        """How many clicks of this spacing keep with the curve, on the control of the first of them.

        None after the first is made for less than half its frames.
        """
        control, clicks = control_of(self.ladder, rung, rung + way), 0
        while at < len(self.curve) and (clicks == 0 or 2 * (len(self.curve) - at) >= every):
            here = rung + way * (clicks + 1)
            if not 0 <= here < len(self.ladder) or control_of(self.ladder, here - way, here) != control:
                break
            if not self._holds(at, every, here, way):
                break
            clicks, at = clicks + 1, at + every
        return clicks

    def _holds(self, at: int, every: int, rung: int, way: int) -> bool:
        """Whether a rung keeps with the curve for `every` frames, and is wanted in some of them.

        Between its turns the curve is nowhere farther off than at the ends.  A click a frame is as fast as a
        band goes: it may also lag.
        """
        last = min(at + every, len(self.curve)) - 1
        inside = self.turns[bisect_left(self.turns, at) : bisect_left(self.turns, last)]
        offs = [(self.curve[frame] - rung) * way for frame in (at, last, *inside)]
        keeps = all(abs(off) <= WITHIN or (every == 1 and off > 0) for off in offs)
        return keeps and max(offs) >= -DUE


def control_of(ladder: Sequence[Rung], rung: int, other: int) -> int:
    """Which of aperture (0), shutter (1) and ISO (2) differs between two neighbours on the ladder."""
    return next(place for place in range(3) if ladder[rung][place] != ladder[other][place])
