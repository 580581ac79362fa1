"""How the rig ran, as it was seen to: from when frame 1 fired and from the frames that it showed.

The same as app/takes/asrun.js.  "Frame n is showing at t" says t_n <= t < t_n+1; frame n fires at start +
ratio x its time by the plan.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from math import floor, inf
from typing import Any

from ..plan.pace import Pace, Segment

Count = Mapping[str, Any]
SLACK_MS = 1000
"""A tap, and the second to which a start is kept."""
_MOST_COUNTS = 60
"""The newest: no night has more, and a log that was made up must not stop anything."""
_WITH_START = (0.5, 2.0)
_WITHOUT_START = (0.8, 1.25)


@dataclass(frozen=True)
class Run:
    """Frame 1 fired at start_ms [ms UTC]; the true interval is ratio times the planned one.

    span: the least and the greatest ratio that the counts leave, None where nothing says that it is not 1;
    odd: counts that fit none of the others, and are not used.
    """

    start_ms: float
    ratio: float
    span: tuple[float, float] | None
    odd: tuple[Count, ...] = ()


@dataclass(frozen=True)
class _Bounds:
    """What the start is at least and at most, as pairs (a, b): b - ratio x a."""

    least: tuple[tuple[float, float], ...]
    most: tuple[tuple[float, float], ...]

    def with_(self, other: _Bounds) -> _Bounds:
        return _Bounds(self.least + other.least, self.most + other.most)


_Fit = Callable[[Sequence[Count]], Run | None]


def pace_from(timing: Mapping[str, Any]) -> Pace:
    """The pace of a plan that a log holds: what else a newer version writes there is passed over."""
    segments = timing["segments"]
    return Pace(
        tuple(Segment(one["first_frame"], one["start_ms"], one["interval_ms"], 0) for one in segments)
    )


def run_of(timing: Mapping[str, Any], fired_ms: int, counts: Sequence[Count]) -> Run:
    """What start and counts say of the run, the simplest that fits first.

    counts: {frame, utc_ms} in the order in which they were taken.
    """
    counts = counts[-_MOST_COUNTS:]
    pace = pace_from(timing)
    fired = _Bounds(((0.0, fired_ms - SLACK_MS),), ((0.0, fired_ms + SLACK_MS),))

    def bounds(some: Sequence[Count]) -> _Bounds:
        least = tuple((_since_start(pace, one["frame"] + 1), one["utc_ms"] - SLACK_MS) for one in some)
        most = tuple((_since_start(pace, one["frame"]), one["utc_ms"] + SLACK_MS) for one in some)
        return _Bounds(least, most)

    def as_fired(some: Sequence[Count]) -> Run | None:
        first, last = _starts(bounds(some), 1.0)
        return Run(fired_ms, 1.0, None) if first <= fired_ms <= last else None

    def together(some: Sequence[Count]) -> Run | None:
        whole = bounds(some)
        return as_fired(some) or _shifted(whole) or _stretched(fired.with_(whole), _WITH_START)

    def apart() -> Run | None:
        return _stretched(bounds(counts), _WITHOUT_START) if len(counts) > 1 else None

    return (
        together(counts)
        or _without_one(counts, as_fired)
        or apart()
        or _without_one(counts, together)
        or _newest(counts, together)
    )


def _since_start(pace: Pace, frame: int) -> float:
    return pace.utc_ms(frame) - pace.start_ms


def _shifted(bounds: _Bounds) -> Run | None:
    """As planned, but from another start on."""
    first, last = _starts(bounds, 1.0)
    return Run(_middle(first, last), 1.0, None) if first <= last else None


def _stretched(bounds: _Bounds, within: tuple[float, float]) -> Run | None:
    """Another interval: the middle of those that are possible."""
    low, high = _ratios(bounds, within)
    if low > high:
        return None
    ratio = (low + high) / 2
    return Run(_middle(*_starts(bounds, ratio)), ratio, (low, high))


def _starts(bounds: _Bounds, ratio: float) -> tuple[float, float]:
    """The starts that are possible at a ratio."""
    first = max((b - ratio * a for a, b in bounds.least), default=-inf)
    last = min((b - ratio * a for a, b in bounds.most), default=inf)
    return first, last


def _ratios(bounds: _Bounds, within: tuple[float, float]) -> tuple[float, float]:
    """The ratios for which there is a start."""
    low, high = within
    for floor_a, floor_b in bounds.least:
        for roof_a, roof_b in bounds.most:
            steep, room = roof_a - floor_a, roof_b - floor_b
            if steep > 0:
                high = min(high, room / steep)
            elif steep < 0:
                low = max(low, room / steep)
            elif room < 0:
                return 1.0, 0.0
    return low, high


def _middle(first: float, last: float) -> int:
    return floor((first + last) / 2 + 0.5)


def _without_one(counts: Sequence[Count], fit: _Fit) -> Run | None:
    """The counts but for one, the newest first, where those fit."""
    for out in range(len(counts) - 1, -1, -1):
        found = fit([*counts[:out], *counts[out + 1 :]]) if len(counts) > 1 else None
        if found:
            return Run(found.start_ms, found.ratio, found.span, (counts[out],))
    return None


def _newest(counts: Sequence[Count], fit: _Fit) -> Run:
    """The rig stood still, or went on: what the newest counts agree on; the last one alone always does."""
    for first in range(len(counts)):
        found = fit(counts[first:])
        if found:
            return Run(found.start_ms, found.ratio, found.span, tuple(counts[:first]))
    raise AssertionError("one count alone fits")
