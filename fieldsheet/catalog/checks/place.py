"""What a place's file says against itself."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from ...problems import Problem
from ..document import Document, tables
from ..models.place import Landmark, Tide
from ..names import TIDES
from ..words import Loc, show


def check_place(place: Document) -> Iterator[Problem]:
    """Tides by date, landmarks by name, and no hour that hangs on a tide which the table does not give."""
    dates: list[Any] = []
    for index, tide in enumerate(tables(place, "tide", Tide)):
        date = tide.get("date")
        if date is not None and dates and date <= max(dates):
            found = f"{show(date)} {'twice' if date in dates else f'after {show(max(dates))}'}"
            yield place.problem(("tide", index, "date"), found, "one table a date, in the order of dates")
        elif date is not None:
            dates.append(date)
    names: list[str] = []
    for index, mark in enumerate(tables(place, "landmark", Landmark)):
        name = mark.get("name")
        if name in names:
            yield place.problem(("landmark", index, "name"), f"{show(name)} twice", "each name once")
        elif name is not None:
            names.append(name)
    yield from _check_hours(place)


def check_tide(teller: Document, loc: Loc, anchor: Any, place: Document) -> Iterator[Problem]:
    """Whether the table of a place gives the tide that an anchor (or position, or None) hangs on."""
    event = anchor.get("event") if isinstance(anchor, dict) else None
    tides = place.get("tide")
    if event not in TIDES or tides is None or any(getattr(tide, TIDES[event]) for tide in tides):
        return
    found = f"'{event}', but {place.file} has no {'such time in its [[tide]]' if tides else '[[tide]]'}"
    yield teller.problem(
        loc, found, f"its times from the official table, as {TIDES[event]}, or another moment"
    )


def _check_hours(place: Document) -> Iterator[Problem]:
    check_in = place.get("check_in")
    hours = {
        ("turn_back",): place.get("turn_back"),
        ("gate_closes",): place.get("gate_closes"),
        ("check_in", "at"): check_in.at if check_in else None,
    }
    for loc, anchor in hours.items():
        yield from check_tide(place, loc, anchor, place)
