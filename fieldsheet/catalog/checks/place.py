"""What a place's file says against itself."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from ...problems import Problem
from ..document import Document, tables
from ..draft import Draft
from ..landmarks import stand
from ..models.place import Landmark, Tide
from ..names import RIDGE_EVENTS, TIDES
from ..words import Loc, show

# Nearer, a step aside turns the bearing; from farther off no mountain on Earth is seen.
NEAREST_M, FARTHEST_M = 20.0, 500_000.0


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
        yield from _check_away(place, index, mark)
    yield from _check_hours(place)


def _check_away(place: Document, index: int, mark: Draft) -> Iterator[Problem]:
    """A landmark by its position lies off the place, and where it may be seen from it."""
    here, there = (
        [of.get(key) for key in ("latitude_deg", "longitude_deg", "elevation_m")] for of in (place, mark)
    )
    if None in here or None in there:
        return
    at = [float(value) for value in (*here, *there)]
    away_m = stand((at[0], at[1]), at[2], (at[3], at[4]), at[5]).distance_m
    if not NEAREST_M <= away_m <= FARTHEST_M:
        away = f"{int(away_m)} m" if away_m < 1000 else f"{int(away_m / 1000)} km"
        found = f"a landmark {away} from the place"
        right = f"{int(NEAREST_M)} m to {int(FARTHEST_M / 1000)} km: east and north are positive"
        yield place.problem(("landmark", index, "latitude_deg"), found, right)


def check_known(teller: Document, loc: Loc, anchor: Any, place: Document) -> Iterator[Problem]:
    """Whether a place knows what an anchor (or position, or None) hangs on: a tide, the ridge."""
    event = anchor.get("event") if isinstance(anchor, dict) else None
    if event in TIDES:
        yield from _check_tide(teller, loc, event, place)
    elif event in RIDGE_EVENTS and place.draft is not None and not place.given(("horizon",)):
        found = f"'{event}', but {place.file} has no horizon"
        yield teller.problem(loc, found, "a horizon measured there, or another moment")


def _check_tide(teller: Document, loc: Loc, event: str, place: Document) -> Iterator[Problem]:
    """Whether the table of a place gives a tide."""
    tides = place.get("tide")
    if tides is None or any(getattr(tide, TIDES[event]) for tide in tides):
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
        yield from check_known(place, loc, anchor, place)
