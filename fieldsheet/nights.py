"""fieldsheet nights: every night of a span for some shots, as a table to read or as JSON."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from itertools import groupby
from typing import Any

from fieldsheet.catalog.read import Catalog
from fieldsheet.plan.nights import grid_for, search
from fieldsheet.sheet.needs import need_text
from fieldsheet.sheet.nights import NightLine, Nights, nights_told, why_not
from fieldsheet.sheet.words import WORDS, day_text
from fieldsheet.sky.ephemeris import YEARS
from fieldsheet.sky.fit import fit_year
from fieldsheet.sky.pack import read_pack
from fieldsheet.sky.sky import Sky

# What a night hangs on may lie that many days from it: see nights_within of plan/anchors.py.
AROUND = timedelta(days=10)
EPOCH = date(1970, 1, 1)


@dataclass(frozen=True)
class ShotNights:
    """A shot with the rows of the search and the same in words."""

    brief: dict[str, Any]
    rows: list[dict[str, Any]]
    told: Nights


def search_shots(catalog: Catalog, shot_ids: Sequence[str], first: date, last: date) -> list[ShotNights]:
    """Every night from the first to the last, for each of the shots; they share one sky.

    Nights that the ephemeris does not reach are rows too, with that as their problem.
    """
    briefs = [catalog.brief(shot_id) for shot_id in shot_ids]
    from_year, to_year = (first - AROUND).year, (last + AROUND).year
    years = range(max(from_year, YEARS[0]), min(to_year, YEARS[1]) + 1)
    sky = Sky([read_pack(fit_year(year)) for year in years])
    grid = grid_for(briefs, sky)
    found = [search(brief, sky, first, last, grid) for brief in briefs]
    return [
        ShotNights(brief, rows, nights_told(brief, rows)) for brief, rows in zip(briefs, found, strict=True)
    ]


def together(shots: Sequence[ShotNights]) -> list[str]:
    """The dates on which every one of the shots is good."""
    good = [{line.date for line in shot.told.good} for shot in shots]
    return sorted(set.intersection(*good)) if good else []


def table(shots: Sequence[ShotNights], first: date, last: date, every: bool) -> str:
    """A block for each shot; of more than one, the nights on which all are good at the end.

    every: the other nights too, each with why it fails.
    """
    lines: list[str] = []
    for shot in shots:
        lines += [*_block(shot, first, last, every), ""]
    if len(shots) > 1:
        dates = together(shots)
        lines += [f"Good for all {len(shots)} shots: {_count(len(dates), 'night')}"]
        lines += [f"  {_date(night)}" for night in dates]
    return "\n".join(lines).rstrip()


def _block(shot: ShotNights, first: date, last: date, every: bool) -> Iterator[str]:
    brief, told = shot.brief, shot.told
    yield f"{brief['rig']['letter']}  {brief['shot']['title']}"
    yield f"{brief['place']['title']} · {_date(first.isoformat())} to {_date(last.isoformat())}"
    if told.needs:
        yield from ("", "Needs", *(f"  {letter}  {name}" for letter, name in told.needs.items()))
    else:
        yield "no needs: every night that can be planned is good"
    yield from ("", "Nights" if every else "Good nights")
    yield from _months(told.lines, every)
    if told.reasons:
        yield from ("", "Why the others fail")
        counts = ([str(many), str(alone), what] for what, many, alone in told.reasons)
        yield from _columns([["nights", "for this alone", ""], *counts])
    yield ""
    planned = sum(not line.why for line in told.lines)
    cannot = len(told.lines) - planned
    yield (
        f"{len(told.good)} good of {_count(len(told.lines), 'night')}"
        f": {planned - len(told.good)} lack a need, {cannot} cannot be planned"
    )


def _months(lines: Sequence[NightLine], every: bool) -> Iterator[str]:
    """Month by month the good nights, then, if they are wanted, the others; empty months in one line."""
    empty: list[str] = []
    for month, group in groupby(lines, key=lambda line: line.month):
        nights = list(group)
        good = [line for line in nights if line.good]
        shown = [*good, *(line for line in nights if not line.good)] if every else good
        if not shown:
            empty.append(month)
            continue
        yield from _none(empty)
        empty = []
        yield f"  {month}"
        yield from ("  " + row for row in _columns(_cells(line, every) for line in shown))
    yield from _none(empty)


def _none(months: Sequence[str]) -> Iterator[str]:
    if months:
        yield f"  {' to '.join(dict.fromkeys((months[0], months[-1])))}: none"


def _cells(line: NightLine, every: bool) -> list[str]:
    core = f"core {line.core}" if line.core else "core none"
    verdict = ["good" if line.good else " ".join(line.unmet) or line.why] if every else []
    return [line.day, line.span or "no plan", line.moon, core, *verdict]


def _columns(rows: Iterable[Sequence[str]]) -> list[str]:
    """Rows with their columns lined up, figures to the right."""
    cells = list(rows)
    widths = [max(map(len, column)) for column in zip(*cells, strict=True)]
    return [
        (
            "  "
            + "  ".join(
                text.rjust(width) if text.isdigit() else text.ljust(width)
                for text, width in zip(row, widths, strict=True)
            )
        ).rstrip()
        for row in cells
    ]


def _count(number: int, noun: str) -> str:
    return f"{number} {noun}" if number == 1 else f"{number} {noun}s"


def _date(iso: str) -> str:
    return day_text((date.fromisoformat(iso) - EPOCH).days)


def as_json(shots: Sequence[ShotNights], first: date, last: date) -> dict[str, Any]:
    """The same for a machine: times in ISO 8601 with offset, units in the names, nothing left out."""
    return {
        "from": first.isoformat(),
        "to": last.isoformat(),
        "shots": [_shot_json(shot) for shot in shots],
        "good_for_all": together(shots),
    }


def _shot_json(shot: ShotNights) -> dict[str, Any]:
    lines = shot.told.lines
    planned = sum(not line.why for line in lines)
    return {
        "id": shot.brief["shot"]["id"],
        "title": shot.brief["shot"]["title"],
        "zone": shot.brief["place"]["zone"]["name"],
        "needs": list(shot.told.needs.values()),
        "count": {"nights": len(lines), "good": len(shot.told.good), "planned": planned},
        "nights": [_night_json(row, shot.brief) for row in shot.rows],
    }


def _night_json(row: Mapping[str, Any], brief: Mapping[str, Any]) -> dict[str, Any]:
    spans = brief["place"]["zone"]["spans"]
    window, moon, problem = row["window"], row["moon"], row["problem"]
    return {
        "night": row["night"],
        "good": row["good"],
        "problem": problem and {"id": problem["id"], "text": why_not(problem, spans)},
        "start": window and window["start"]["local"],
        "end": window and window["end"]["local"],
        "needs": [{"id": need["id"], **need_text(need, spans)} for need in row["needs"]],
        "moon": moon
        and {
            "lit_pct": moon["lit"] * 100,
            "phase": WORDS[moon["phase"]],
            **{key: moon[key] and moon[key]["local"] for key in ("rise", "set")},
        },
        "core_usable_h": row["core_usable_h"],
        "dark_h": row["dark_h"],
    }
