"""The page of a year: every night of a shot that has needs, drawn by month, and the good ones in a list."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from itertools import groupby
from typing import Any

from ..plan.nights import A_YEAR, grid_for, search
from ..sheet.nights import NightLine, Nights, nights_told
from ..sky.sky import Sky
from .entries import Entry

# In units of the drawing, which is as wide as a small phone: a month is two rows of up to 16 nights.
ROW_NIGHTS = 16
STEP, MARK, LEFT = 18, 14, 50
ROW_HEIGHT, MONTH_GAP = 25, 10
BAR_BELOW, LEAST_BAR = 4, 0.1
WIDTH = LEFT + ROW_NIGHTS * STEP


@dataclass(frozen=True)
class Mark:
    """One night in the drawing: where its mark stands, what is written in it, how long its bar is.

    kind: "good", "near" (one need is unmet), "fails" (more are), "none" (no plan).  told: the night in words.
    """

    x: int
    y: int
    kind: str
    text: str
    bar: float
    told: str


@dataclass(frozen=True)
class Month:
    """The nights of a month: its name, its marks, and the height and label of each of its rows."""

    name: str
    marks: list[Mark]
    rows: list[tuple[int, str]]

    @property
    def bars(self) -> str:
        """The moon's light under every mark, as one path."""
        drawn = (mark for mark in self.marks if mark.bar >= LEAST_BAR)
        return "".join(f"M{mark.x} {mark.y + MARK + BAR_BELOW}h{mark.bar:.1f}" for mark in drawn)


@dataclass(frozen=True)
class YearView:
    """What the page shows: the nights in words, and the drawing with its size."""

    nights: Nights
    months: list[Month]
    width: int
    height: int
    mark: int


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
    """The rows of a search, drawn."""
    told = nights_told(brief, rows)
    months: list[Month] = []
    y = 0
    for name, lines in groupby(told.lines, key=lambda line: line.month):
        month = _month(name, list(lines), y)
        months.append(month)
        y = max(mark.y for mark in month.marks) + ROW_HEIGHT + MONTH_GAP
    return YearView(told, months, WIDTH, y, MARK)


def _month(name: str, lines: Sequence[NightLine], y: int) -> Month:
    """Its nights from the 1st to the 16th and from the 17th on, as far as the year reaches into it."""
    halves = sorted({_half(line) for line in lines})
    tops = {half: y + ROW_HEIGHT * place for place, half in enumerate(halves)}
    marks = [_mark(line, tops[_half(line)]) for line in lines]
    first = f"{name[:3]} {name[-4:]}" if name.startswith("January") else name[:3]
    labels = [first, "17"] if 0 in halves else [f"{name[:3]} 17"]
    return Month(name, marks, list(zip(tops.values(), labels, strict=False)))


def _half(line: NightLine) -> int:
    return (int(line.date[-2:]) - 1) // ROW_NIGHTS


def _mark(line: NightLine, y: int) -> Mark:
    number = int(line.date[-2:])
    kind = "good" if line.good else "none" if line.why else "near" if len(line.unmet) == 1 else "fails"
    text = {"good": str(number), "near": "".join(line.unmet)}.get(kind, "")
    verdict = "good" if line.good else line.why or f"not met: {' '.join(line.unmet)}"
    told = " · ".join(filter(None, (f"{line.day} {line.month}", verdict, line.moon)))
    return Mark(LEFT + (number - 1) % ROW_NIGHTS * STEP, y, kind, text, MARK * line.lit, told)
