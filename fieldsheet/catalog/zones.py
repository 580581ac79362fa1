"""Time zones from the pinned tzdata package, as spans of one offset and one short name each."""

from __future__ import annotations

import re
from datetime import UTC, datetime, timedelta
from functools import cache
from importlib import resources
from zoneinfo import ZoneInfo

Span = tuple[int, int, str]

# No two changes of a zone since 1900 lie closer than 6.9 days (counted over all of tzdata 2026f).
_STEP_S = 2 * 86400
_YEARS_BEFORE = 1
_YEARS_AFTER = 3
_MARGIN_S = 2 * 86400
_EPOCH = datetime(1970, 1, 1, tzinfo=UTC)
_NUMERIC = re.compile(r"[+-][0-9]{2}(?:[0-9]{2}){0,2}")


@cache
def names() -> tuple[str, ...]:
    """Every zone of the package, sorted."""
    return tuple(sorted((resources.files("tzdata") / "zones").read_text("utf-8").split()))


@cache
def places() -> tuple[str, ...]:
    """The zones that are in use today, each named by a place, in the order of their countries."""
    table = (resources.files("tzdata") / "zoneinfo" / "zone.tab").read_text("utf-8")
    return tuple(row.split("\t")[2] for row in table.splitlines() if not row.startswith("#"))


@cache
def zone(name: str) -> ZoneInfo:
    """The zone of the package, never the machine's; raises KeyError for a name that it does not list."""
    if name not in names():
        raise KeyError(name)
    with (resources.files("tzdata") / "zoneinfo").joinpath(*name.split("/")).open("rb") as file:
        return ZoneInfo.from_file(file, key=name)


@cache
def spans(name: str, year: int, last_year: int | None = None) -> tuple[Span, ...]:
    """(from_utc_s, offset_s, short name), ascending, from before year - 1 to after year + 3.

    last_year: of more years than one the last, and then to after that + 3.
    """
    start_s = _utc_s(year - _YEARS_BEFORE) - _MARGIN_S
    end_s = until_s(last_year or year) + _MARGIN_S
    found = [(start_s, *_state(name, start_s))]
    for instant_s in range(start_s, end_s, _STEP_S):
        state = _state(name, instant_s + _STEP_S)
        if state != found[-1][1:]:
            found.append((_change(name, instant_s, instant_s + _STEP_S), *state))
    return tuple(found)


def until_s(year: int) -> int:
    """The instant [s UTC] up to which the spans of a year tell every change."""
    return _utc_s(year + _YEARS_AFTER + 1)


def short_name(name: str, offset_s: int) -> str:
    """The zone's own short name; a numeric one becomes "UTC−3", "UTC+5:45" (true minus)."""
    if not _NUMERIC.fullmatch(name):
        return name
    if offset_s == 0:
        return "UTC"
    hours, minutes = divmod(abs(offset_s) // 60, 60)
    sign = "\u2212" if offset_s < 0 else "+"
    return f"UTC{sign}{hours}:{minutes:02d}" if minutes else f"UTC{sign}{hours}"


def _utc_s(year: int) -> int:
    return int((datetime(year, 1, 1, tzinfo=UTC) - _EPOCH).total_seconds())


def _state(name: str, utc_s: int) -> tuple[int, str]:
    local = (_EPOCH + timedelta(seconds=utc_s)).astimezone(zone(name))
    offset = local.utcoffset()
    assert offset is not None, "a zone always has an offset"
    offset_s = int(offset.total_seconds())
    return offset_s, short_name(local.tzname() or "", offset_s)


def _change(name: str, before_s: int, after_s: int) -> int:
    """The first second in the state of after_s, by halving."""
    state = _state(name, after_s)
    while after_s - before_s > 1:
        middle_s = (before_s + after_s) // 2
        if _state(name, middle_s) == state:
            after_s = middle_s
        else:
            before_s = middle_s
    return after_s
