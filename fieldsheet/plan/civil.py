"""Dates and clock times of a place, from the zone spans that the brief carries.  Twin: app/core/civil.js.

A span is [from_utc_s, offset_s, name]: from that instant on, local time = UTC + offset and is called name.
Nothing here asks the machine for a zone, so that both languages give the same clock.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence
from datetime import UTC, date, datetime, timedelta
from math import floor
from typing import Any

DAY_S = 86400
_EPOCH = date(1970, 1, 1).toordinal()

Spans = Sequence[Sequence[Any]]


def day_number(iso_date: str) -> int:
    """Days since 1970-01-01 of a date written YYYY-MM-DD."""
    return date.fromisoformat(iso_date).toordinal() - _EPOCH


def iso_date(day: int) -> str:
    """The date YYYY-MM-DD of a day number."""
    return date.fromordinal(day + _EPOCH).isoformat()


def span_at(spans: Spans, utc_s: float) -> Sequence[Any]:
    """The zone span in force at an instant [s UTC]; before the first one, the first."""
    index = bisect_right([span[0] for span in spans], utc_s) - 1
    return spans[max(index, 0)]


def local_day(spans: Spans, utc_s: float) -> int:
    """Day number of the local date at an instant [s UTC]."""
    return int(floor((utc_s + span_at(spans, utc_s)[1]) / DAY_S))


def clock_of(spans: Spans, utc_s: float) -> int:
    """What the place's clock shows at an instant, in whole seconds after midnight."""
    return int(floor(utc_s + span_at(spans, utc_s)[1])) % DAY_S


def clock_instants(spans: Spans, day: int, clock_s: int) -> list[int]:
    """Instants [s UTC] at which the place's clock shows clock_s on that day: none, one or two."""
    local = day * DAY_S + clock_s
    offsets = sorted({span[1] for span in spans}, reverse=True)
    return [local - offset for offset in offsets if span_at(spans, local - offset)[1] == offset]


def noon(spans: Spans, day: int) -> int:
    """Instant [s UTC] of local noon of a day."""
    return _first_instant(spans, day, DAY_S // 2)


def midnight(spans: Spans, day: int) -> int:
    """Instant [s UTC] at which a local day begins."""
    return _first_instant(spans, day, 0)


def _first_instant(spans: Spans, day: int, clock_s: int) -> int:
    """As clock_instants, but a skipped clock time gives the instant of the skip itself."""
    instants = clock_instants(spans, day, clock_s)
    if instants:
        return instants[0]
    after = day * DAY_S + clock_s - min(span[1] for span in spans)
    return int(span_at(spans, after)[0])


def stamp(spans: Spans, utc_ms: int) -> dict[str, Any]:
    """An instant as the plan holds it: UTC milliseconds and ISO 8601 local time with offset."""
    offset_s = span_at(spans, utc_ms / 1000)[1]
    sign = "-" if offset_s < 0 else "+"
    hours, minutes = divmod(abs(offset_s) // 60, 60)
    local = datetime.fromtimestamp(0, UTC) + timedelta(milliseconds=utc_ms + offset_s * 1000)
    text = local.isoformat(timespec="milliseconds").removesuffix("+00:00")
    return {"utc_ms": utc_ms, "local": f"{text}{sign}{hours:02d}:{minutes:02d}"}
