"""Working back from frame 1, and how late one may be.  Twin: app/core/schedule.js.

The shares of the set-up time are common practice, no source: of a practised hour, 24 minutes until the rail
is level, 21 until the last keyframe is stored, 6 to look at the focus again, 4 to decide, 5 in hand.
"""

from __future__ import annotations

from math import floor
from typing import Any

from .keyed import settable_ms
from .timing import MINUTE_MS, Timing

SHARES = (("on-site", 1.0), ("level", 0.6), ("stored", 0.25), ("focus", 0.15), ("go", 0.08))
# How much faster a clip may run without being another one (common practice, no source).
LEAST_PACE = (4, 5)


def deadlines(brief: dict[str, Any], start_ms: int) -> list[tuple[str, int]]:
    """(id, ms UTC) in order of time: by when each thing is done, so that frame 1 can fire; whole minutes."""
    setup_ms, approach_ms = brief["setup_ms"], brief["place"]["approach_ms"]
    times = [(name, _minute_before(start_ms - share * setup_ms)) for name, share in SHARES]
    if approach_ms is not None:
        times.insert(0, ("leave", _minute_before(times[0][1] - approach_ms)))
    return times


def stored_ms(brief: dict[str, Any], start_ms: int) -> int:
    """By when [ms UTC] the last keyframe is stored."""
    return dict(deadlines(brief, start_ms))["stored"]


def leaves_ms(brief: dict[str, Any], start_ms: int) -> int:
    """When [ms UTC] somebody sets out for the shot, or is on site where the way there is not known."""
    return deadlines(brief, start_ms)[0][1]


def late_interval_ms(brief: dict[str, Any], timing: Timing, budget: dict[str, Any]) -> int | None:
    """The interval [ms] that a late start may go down to; None where frames are missed anyway.

    The shortest that works with the same steps, but no less than LEAST_PACE of the planned one: shorter, it
    would be another clip.
    """
    if budget["slack_ms"] < 0:
        return None
    frames, _ = timing.opening
    needed_ms = max(stage["needed_ms"] for stage in budget["stages"] if stage["first_frame"] <= frames)
    least_ms = max(needed_ms, -(-timing.interval_ms * LEAST_PACE[0] // LEAST_PACE[1]))
    return min(settable_ms(brief, least_ms), timing.interval_ms)


def latest_start_ms(timing: Timing, interval_ms: int) -> int:
    """The last start [ms UTC, whole minutes] that keeps end and frames at a shorter opening interval."""
    frames, until_ms = timing.opening
    return max(timing.start_ms, _minute_before(until_ms - frames * interval_ms))


def _minute_before(ms: float) -> int:
    return floor(ms / MINUTE_MS) * MINUTE_MS
