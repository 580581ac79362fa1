"""The page of a year: the good nights of a shot that has needs, and every night in calendars by month."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from itertools import groupby
from typing import Any

from ..plan.nights import A_YEAR, search
from ..plan.sights import grid_for
from ..sheet.nights import NightLine, Nights, nights_told
from ..sky.sky import Sky
from .entries import Entry

WEEK = 7
MOONS = 8  # lengths of the bar of moonlight, beside none at all
KINDS = {"good": "good", "open": "open", "none": "none"}


@dataclass(frozen=True)
class Day:
    """One night in the calendar of its month.

    kind: "good", "open", "near" (one need alone is unmet), "fails" (more are), "none" (no plan); letters: of
    what an open or near one lacks; moon: how long the bar of her light is, 0 to MOONS.
    """

    number: int
    kind: str
    letters: str
    moon: int


@dataclass(frozen=True)
class Month:
    """A month in weeks from Monday, with None where it has no night, or none that lies in the year."""

    name: str
    weeks: list[list[Day | None]]


@dataclass(frozen=True)
class YearView:
    """What the page shows: the nights in words, and the calendars."""

    nights: Nights
    months: list[Month]


def year_views(entries: Sequence[Entry], sky: Sky) -> Iterator[tuple[Entry, YearView]]:
    """Each shot that has needs, with its year from the night that it is planned for; they share one sky."""
    briefs = {entry.id: entry.plan["brief"] for entry in entries if entry.plan["brief"]["needs"]}
    if not briefs:
        return
    grid = grid_for(list(briefs.values()), sky)
    for entry in entries:
        if entry.id in briefs:
            first = date.fromisoformat(entry.plan["window"]["night"])
            rows = search(briefs[entry.id], sky, first, first + A_YEAR, grid)
            yield entry, year_view(briefs[entry.id], rows)


def year_view(brief: dict[str, Any], rows: Sequence[dict[str, Any]]) -> YearView:
    """The rows of a search, in calendars."""
    told = nights_told(brief, rows)
    by_month = groupby(told.lines, key=lambda line: line.month)
    return YearView(told, [_month(name, list(lines)) for name, lines in by_month])


def _month(name: str, lines: Sequence[NightLine]) -> Month:
    first = date.fromisoformat(lines[0].date).weekday()
    days = [*[None] * first, *map(_day, lines)]
    days += [None] * (-len(days) % WEEK)
    return Month(name, [days[start : start + WEEK] for start in range(0, len(days), WEEK)])


def _day(line: NightLine) -> Day:
    kind = KINDS.get(line.verdict) or ("near" if len(line.unmet) == 1 else "fails")
    letters = line.lacks if kind in ("open", "near") else ""
    return Day(int(line.date[-2:]), kind, letters, int(line.lit * MOONS + 0.5))
