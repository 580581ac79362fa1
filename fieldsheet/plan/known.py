"""When each need of a shot is judged, and what is lacking to judge it.  Twin: app/core/known.js."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any

from ..sky.events import RIDGE_EVENTS
from .anchors import TIDES, Night, occurrences, opening, whole_second
from .civil import DAY_S, local_day, midnight
from .problem import PlanProblem
from .timing import MINUTE_MS, Timing, frame_of

Lack = dict[str, Any]
"""Why nothing is found for a need: `found`, the id of its words, beside what they take."""

NO_TIDE, NO_RIDGE, NO_PLAN = "found.no-tide", "found.no-ridge", "found.no-plan"
# With these nobody can tell whether the need is met; with any other lack it is not.
NOT_KNOWN = (NO_TIDE, NO_RIDGE, NO_PLAN)
TWICE_A_DAY = ("high tide", "low tide")


@dataclass(frozen=True)
class Moment:
    """When a need is judged [ms UTC]; where that is None, what is lacking, {} for a need of the night."""

    ms: int | None
    lack: Lack


def moment_of(at: dict[str, Any] | None, night: Night, timing: Timing | None) -> Moment:
    """The moment of a position in the shot, or of an anchor of the night as `start` is one.

    timing: None on a night without a plan, on which no position is known.
    """
    if at is None:
        return Moment(None, {})
    if "frame" in at or "fraction" in at:
        return _in_shot(at, night, timing)
    if "event" in at:
        return _of_event(at, night)
    try:
        return Moment(opening(night, at, "needs") * 1000, {})
    except PlanProblem:
        return Moment(None, {"found": "found.no-moment"})


def _in_shot(at: dict[str, Any], night: Night, timing: Timing | None) -> Moment:
    if timing is None:
        return Moment(None, {"found": NO_PLAN})
    frame = frame_of(at, night, timing, "needs")
    if frame > timing.frames:
        return Moment(None, {"found": "found.no-frame", "frames": timing.frames})
    return Moment(timing.ms_of(frame), {})


def _of_event(at: dict[str, Any], night: Night) -> Moment:
    """The first of the night: what a table does not tell of may have come before it."""
    events = occurrences(night, at["event"], night.from_s, night.until_s)
    last_s = events[0] if events else night.until_s - 1
    lack = unknown(night, at["event"], days_of(night, night.from_s, last_s))
    if lack is None and events:
        return Moment((whole_second(events[0]) + int(at["offset_s"])) * 1000, {})
    return Moment(None, lack or {"found": "found.no-moment"})


def unknown(night: Night, event: str, days: Iterable[int]) -> Lack | None:
    """Why nobody can tell whether an event comes on some days, by their numbers; None where it is known."""
    if event in RIDGE_EVENTS and not night.site.ridge:
        return {"found": NO_RIDGE}
    if event in TIDES and not all(_tells(night, event, day) for day in days):
        return {"found": NO_TIDE}
    return None


def _tells(night: Night, kind: str, day: int) -> bool:
    """Whether the table of tides covers a day: with a line of that very kind, if it is one that comes every
    day; the water need not reach the others, so any line of the day tells of them."""
    begins, ends = midnight(night.spans, day), midnight(night.spans, day + 1)
    first, beyond = (bisect_left(night.tides, (edge_s, "")) for edge_s in (begins, ends))
    return any(typed == kind or kind not in TWICE_A_DAY for _, typed in night.tides[first:beyond])


def days_of(night: Night, from_s: float, last_s: float) -> range:
    """The numbers of the days that a stretch of time [s UTC] touches, its ends included."""
    return range(local_day(night.spans, from_s), local_day(night.spans, last_s) + 1)


def days_around(night: Night, at_ms: int, within_ms: int) -> range:
    """The days on which something lies within so many ms of a moment, read to the minute."""
    far_ms = within_ms + MINUTE_MS // 2
    return days_of(night, (at_ms - far_ms) / 1000, (at_ms + far_ms) / 1000)


def days_between(night: Night, first_s: int, last_s: int) -> Sequence[int]:
    """The days on which the night has clock times of a range: two of them, where they are not the same."""
    whole = (night.day, night.day + 1) if night.rule == "night" else (night.day, night.day)
    first, last = (whole[clock_s < DAY_S // 2] for clock_s in (first_s, last_s))
    begins_after_it_ends = (first, first_s) > (last, last_s)
    return whole if begins_after_it_ends else (first, last)
