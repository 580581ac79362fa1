"""The page of a year: the good nights of a shot that has needs, and every night in calendars by month."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from functools import cache, partial
from itertools import groupby
from typing import Any

from ..plan.anchors import nights_within
from ..plan.civil import day_number, iso_date
from ..plan.nights import search
from ..plan.sights import grid_for
from ..sheet.nights import NightLine, Nights, nights_told
from ..sheet.words import day_text
from ..sky.grid import Grid
from ..sky.sky import Sky
from .content import bytes_of
from .entries import Entry
from .kept import Keep, unkept

WEEK = 7
MOONS = 8  # lengths of the bar of moonlight, beside none at all
MOST_LETTERS = 3  # that a day of the calendar has room for
KINDS = {"good": "good", "open": "open", "none": "none"}
NO_PLAN = "×"
NO_GO = "!"


@dataclass(frozen=True)
class Day:
    """One night in the calendar of its month.

    kind: "good", "open", "near" (one need alone is unmet), "fails" (more are), "none" (no plan); letters: of
    what it lacks, "a c +2" where they are more than three, or the sign of one without a plan; moon: how long
    the bar of her light is, 0 to MOONS.
    """

    number: int
    kind: str
    letters: str
    moon: int


@dataclass(frozen=True)
class Month:
    """A month in weeks from Monday, with None beside its days."""

    name: str
    weeks: list[list[Day | None]]


@dataclass(frozen=True)
class YearView:
    """What the page shows: the nights in words, the first and the last of them, and the calendars."""

    nights: Nights
    first: str
    last: str
    months: list[Month]


def year_rows(entries: Sequence[Entry], sky: Sky, keep: Keep = unkept) -> Iterator[tuple[Entry, str]]:
    """Each shot that has needs, with the rows (JSON) of the twelve months from that of its night on.

    They share one sky; keep: has the searches that were made under it before.
    """
    briefs = {entry.id: entry.plan["brief"] for entry in entries if entry.plan["brief"]["needs"]}
    grid = cache(lambda: grid_for(list(briefs.values()), sky))
    for entry in entries:
        if entry.id in briefs:
            first, last = _whole_months(date.fromisoformat(entry.plan["window"]["night"]), sky)
            brief = briefs[entry.id]
            key = json.dumps(["year of nights", brief, str(first), str(last)], sort_keys=True)
            rows = keep(key, partial(_searched, brief, sky, first, last, grid))
            yield entry, bytes_of(rows).decode()


def _searched(brief: dict[str, Any], sky: Sky, first: date, last: date, grid: Callable[[], Grid]) -> bytes:
    """The rows of a search are JSON values alone."""
    return json.dumps(search(brief, sky, first, last, grid())).encode()


def _whole_months(night: date, sky: Sky) -> tuple[date, date]:
    """The month of a night, as far as the sky reaches back, and the eleven after it: first and last day."""
    first = night.replace(day=1)
    reached = date.fromisoformat(iso_date(nights_within(sky.span_s)[0]))
    return max(first, reached), first.replace(year=first.year + 1) - timedelta(days=1)


def year_view(brief: dict[str, Any], rows: Sequence[dict[str, Any]]) -> YearView:
    """The rows of a search, in calendars."""
    told = nights_told(brief, rows)
    by_month = groupby(told.lines, key=lambda line: line.month)
    first, last = (day_text(day_number(told.lines[at].date)) for at in (0, -1))
    return YearView(told, first, last, [_month(name, list(lines)) for name, lines in by_month])


def _month(name: str, lines: Sequence[NightLine]) -> Month:
    first = date.fromisoformat(lines[0].date).weekday()
    days = [*[None] * first, *map(_day, lines)]
    days += [None] * (-len(days) % WEEK)
    return Month(name, [days[start : start + WEEK] for start in range(0, len(days), WEEK)])


def _day(line: NightLine) -> Day:
    kind = KINDS.get(line.verdict) or ("near" if len(line.unmet) == 1 else "fails")
    lacks = _shortened(line.lacks.split()) or (NO_GO if line.why else "")
    letters = NO_PLAN if kind == "none" else lacks
    return Day(int(line.date[-2:]), kind, letters, int(line.lit * MOONS + 0.5))


def _shortened(letters: Sequence[str]) -> str:
    """As many as there is room for, and how many more there are."""
    if len(letters) <= MOST_LETTERS:
        return " ".join(letters)
    shown = letters[: MOST_LETTERS - 1]
    return " ".join([*shown, f"+{len(letters) - len(shown)}"])
