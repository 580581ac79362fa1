"""fieldsheet nights: every night of a span for some shots, as a table to read or as JSON."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from itertools import groupby
from typing import Any

from fieldsheet.catalog.placed import zone_of
from fieldsheet.catalog.read import Catalog
from fieldsheet.plan.nightrows import VERDICTS
from fieldsheet.plan.nights import search
from fieldsheet.plan.sights import grid_for
from fieldsheet.sheet.needs import need_text
from fieldsheet.sheet.nights import UNJUDGED, NightLine, Nights, letter, nights_told, why_not
from fieldsheet.sheet.words import WORDS, day_text, say
from fieldsheet.sky.ephemeris import YEARS
from fieldsheet.sky.fit import fit_year
from fieldsheet.sky.pack import read_pack
from fieldsheet.sky.sky import Sky

# What a night hangs on may lie that many days from it: see nights_within of plan/anchors.py.
AROUND = timedelta(days=10)
EPOCH = date(1970, 1, 1)
MARKS = {"good": "*", "open": "?"}


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
    briefs = [_brief(catalog, shot_id, first, last) for shot_id in shot_ids]
    from_year, to_year = (first - AROUND).year, (last + AROUND).year
    years = range(max(from_year, YEARS[0]), min(to_year, YEARS[1]) + 1)
    sky = Sky([read_pack(fit_year(year)) for year in years])
    grid = grid_for(briefs, sky)
    found = [search(brief, sky, first, last, grid) for brief in briefs]
    return [
        ShotNights(brief, rows, nights_told(brief, rows)) for brief, rows in zip(briefs, found, strict=True)
    ]


def _brief(catalog: Catalog, shot_id: str, first: date, last: date) -> dict[str, Any]:
    """The brief of a shot, with the clock changes of its place in the years of the search."""
    brief = catalog.brief(shot_id)
    zone = zone_of(brief["place"]["zone"]["name"], first, last)
    return {**brief, "place": {**brief["place"], "zone": zone}}


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
        yield from ("", "Needs", *_columns([name, what] for name, what in told.needs.items()))
    else:
        yield "no needs: every night that can be planned is good"
    if told.needs or every:
        yield from ("", *_heading(told, every))
        yield from _months(told.lines, every)
    if told.reasons:
        yield from ("", "What keeps the others from being good", *_reasons(told))
    yield from ("", _summary(told))


def _heading(told: Nights, every: bool) -> Iterator[str]:
    """What the nights below are, and how their marks and letters are read."""
    if not every:
        yield "Good nights"
        return
    opened = ", ? open: nothing fails it, but something is not known" if told.count("open") else ""
    yield f"Nights: * good{opened}"
    if told.needs:
        asked = ", with ? that it is not known" if any(one.unknown for one in told.reasons) else ""
        yield f"  a letter says that a need is not met{asked}"


def _months(lines: Sequence[NightLine], every: bool) -> Iterator[str]:
    """Month by month the good nights, or every night in its order; months without any in one line."""
    empty: list[str] = []
    for month, group in groupby(lines, key=lambda line: line.month):
        shown = [line for line in group if every or line.verdict == "good"]
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
    moon = f"moon {line.moon}" if line.moon else ""
    core = "" if not line.moon else f"core usable {line.core}" if line.core else "core not usable"
    cells = [line.day, line.span or "no plan", moon, f"{core}  {line.unsaid}".rstrip()]
    if not every:
        return cells
    verdict = "good" if line.verdict == "good" else "; ".join(filter(None, (line.why, line.lacks)))
    return [MARKS.get(line.verdict, ""), *cells, verdict]


def _reasons(told: Nights) -> Iterator[str]:
    """A table of how often each need fails, and why there is no plan; what is not known where anything is."""
    heads = ["nights it fails", "the only thing wrong"]
    counts = [[str(one.nights), str(one.alone)] for one in told.reasons]
    if any(one.unknown for one in told.reasons):
        heads.append("not known")
        counts = [[*row, str(one.unknown)] for row, one in zip(counts, told.reasons, strict=True)]
    names = ([one.letter, one.what] for one in told.reasons)
    yield from _columns([[*heads, "", ""], *([*row, *name] for row, name in zip(counts, names, strict=True))])
    if told.unjudged:
        yield f"  {UNJUDGED}"


def _summary(told: Nights) -> str:
    opened = f"{told.count('open')} open, " if told.count("open") else ""
    forbidden = sum(line.verdict == "fails" and bool(line.why) for line in told.lines)
    return (
        f"{told.count('good')} good of {_count(len(told.lines), 'night')}: "
        f"{opened}{told.count('fails') - forbidden} lack a need, "
        + (f"{forbidden} are no go, " if forbidden else "")
        + f"{told.count('none')} cannot be planned"
    )


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
    told = shot.told
    return {
        "id": shot.brief["shot"]["id"],
        "title": shot.brief["shot"]["title"],
        "zone": shot.brief["place"]["zone"]["name"],
        "needs": told.needs,
        "count": {"nights": len(told.lines), **{verdict: told.count(verdict) for verdict in VERDICTS}},
        "nights": [_night_json(row, shot.brief) for row in shot.rows],
    }


def _night_json(row: Mapping[str, Any], brief: Mapping[str, Any]) -> dict[str, Any]:
    spans = brief["place"]["zone"]["spans"]
    window, moon, problem = row["window"], row["moon"], row["problem"]
    return {
        "night": row["night"],
        "verdict": row["verdict"],
        "problem": problem and {"id": problem["id"], "key": problem["key"], "text": why_not(row, spans)},
        "limits_unknown": row["limits_unknown"],
        "no_go": [say(one["id"] + ".head", one["args"], spans) for one in row["no_go"]],
        "start": window and window["start"]["local"],
        "end": window and window["end"]["local"],
        "needs": [
            {"letter": letter(index), "id": need["id"], **need_text(need, spans)}
            for index, need in enumerate(row["needs"])
        ],
        "moon": moon
        and {
            "lit_pct": moon["lit"] * 100,
            "phase": WORDS[moon["phase"]],
            **{key: moon[key] and moon[key]["local"] for key in ("rise", "set")},
        },
        "core_usable_h": row["core_usable_h"],
        "dark_h": row["dark_h"],
    }
