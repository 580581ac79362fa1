"""The clock times and dates of a sheet, and its zone.  Twin: app/core/sheet-times.js."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from ..plan.civil import Spans, day_number, local_day, span_at
from .words import clock, day_text, say

Clock = Callable[[int], str]


def when_text(plan: dict[str, Any], spans: Spans) -> str:
    """The date of the shot: of its night, said so where the first frame is on another date."""
    night = day_number(plan["window"]["night"])
    starts = local_day(spans, plan["window"]["start"]["utc_ms"] / 1000)
    return day_text(night) if starts == night else say("line.night-of", {"date": day_text(night)}, ())


def clocks(plan: dict[str, Any], spans: Spans) -> Clock:
    """How this sheet writes clock times: bare, or each with its zone where the clocks change on the way.

    The way begins with leaving for the shot and ends with the last thing that the place sets.
    """
    window = plan["window"]
    stamps = [row["time"] for row in (*window["deadlines"], *plan["place"]["limits"])]
    instants = [window["start"], window["end"], *stamps]
    if len({span_at(spans, instant["utc_ms"] / 1000)[0] for instant in instants}) == 1:
        return lambda utc_ms: clock(utc_ms, spans)
    return lambda utc_ms: f"{clock(utc_ms, spans)} {span_at(spans, utc_ms / 1000)[2]}"


def dated(plan: dict[str, Any], spans: Spans, at: Clock) -> Clock:
    """Clock times that carry their weekday where they are not on the date of the night."""
    night = day_number(plan["window"]["night"])

    def write(utc_ms: int) -> str:
        day = local_day(spans, utc_ms / 1000)
        return at(utc_ms) if day == night else f"{day_text(day)[:3]} {at(utc_ms)}"

    return write


def zone_text(plan: dict[str, Any], spans: Spans) -> str:
    """The short name of the zone, or both and when the clocks show the second one first."""
    start_ms, end_ms = (plan["window"][edge]["utc_ms"] for edge in ("start", "end"))
    if not _changes_zone(plan, spans):
        return str(span_at(spans, start_ms / 1000)[2])
    change_ms = span_at(spans, end_ms / 1000)[0] * 1000
    return say("line.zones", {"start": start_ms, "change": change_ms, "end": end_ms}, spans)


def span_line(plan: dict[str, Any], spans: Spans) -> str:
    """The window by the clock; with each date that is not the night's own, and both zones if they change."""
    window = plan["window"]
    args = {"start": window["start"]["utc_ms"], "end": window["end"]["utc_ms"]}
    start_s, end_s = args["start"] / 1000, args["end"] / 1000
    if _changes_zone(plan, spans):
        return say("line.window-zones", args, spans)
    first, last = local_day(spans, start_s), local_day(spans, end_s)
    if first == day_number(window["night"]):
        return say("line.window" if last == first else "line.window-next", args, spans)
    return say("line.window-day" if last == first else "line.window-dates", args, spans)


def _changes_zone(plan: dict[str, Any], spans: Spans) -> bool:
    """Whether the place's clocks change between the first frame and the end."""
    start, end = (span_at(spans, plan["window"][edge]["utc_ms"] / 1000) for edge in ("start", "end"))
    return start != end
