"""fieldsheet lineups: when something of the sky stands behind a landmark."""

from __future__ import annotations

import argparse
import json
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from fieldsheet.commands.told import FINE, tell
from fieldsheet.commands.typed import (
    MOST_NEAR_DEG,
    WrongUse,
    a_year_on,
    check_reach,
    check_span,
    typed_altitude,
    typed_body,
    typed_date,
    typed_degrees,
    typed_near,
)

if TYPE_CHECKING:
    from fieldsheet.catalog.read import Catalog
    from fieldsheet.commands.typed import Commands
    from fieldsheet.lineups import Mark


MOST_LINEUP_DAYS = 3 * 365  # over which the clock changes of a place are carried


def add(commands: Commands) -> None:
    """How it is typed."""
    what = "find when sun, moon or a star stands behind a landmark"
    one = commands.add_parser("lineups", help=what, description=f"{what.capitalize()}, as seen from a place.")
    add = one.add_argument
    add("catalog", type=Path, metavar="CATALOG", help="its folder")
    add("place", metavar="PLACE", help="name of its file, without .toml")
    add("landmark", metavar="LANDMARK", nargs="?", help="name of a [[landmark]] of the place")
    bearing = "instead of a landmark: a true bearing"
    add("--bearing", type=typed_degrees, metavar="DEG", help=bearing)
    height = "with --bearing: the height over the level horizon, as seen from the place"
    add("--altitude", type=typed_altitude, metavar="DEG", help=height)
    body = "what stands behind it: sun, moon, a planet, a star, 'galactic core' (default: moon)"
    add("--target", type=typed_body, default="moon", metavar="BODY", help=body)
    add("--from", type=typed_date, dest="first", metavar="DATE", help="first date (default: today)")
    add("--to", type=typed_date, dest="last", metavar="DATE", help="last date (default: a year on)")
    near = f"list what passes no farther off than that (default: 1, at most {MOST_NEAR_DEG})"
    add("--within", type=typed_near, default=1.0, metavar="DEG", help=near)
    add("--json", action="store_true", help="every figure as JSON, for a machine")
    one.set_defaults(run=run)


def run(typed: argparse.Namespace) -> int:
    """As a table, or as JSON."""
    from fieldsheet.catalog.placed import place_of
    from fieldsheet.commands.asked import read_for
    from fieldsheet.lineups import Search, as_json, found, found_nearest, page
    from fieldsheet.press import fit_packs, sky_of

    first = typed.first or date.today()
    check_reach("--from" if typed.first else "today,", first)
    last = typed.last or a_year_on(first)
    check_span(first, last, "--from" if typed.first else "today,", MOST_LINEUP_DAYS)
    catalog = read_for([], typed.catalog)
    if typed.place not in catalog.places:
        raise WrongUse(f"no place '{typed.place}' in {typed.catalog}; there are: {', '.join(catalog.places)}")
    place = place_of(typed.place, catalog.places[typed.place], first)
    search = Search(typed.target, _mark(catalog, typed, first), first, last, typed.within)
    sky = sky_of(fit_packs([first, last]))
    rows = found(place, sky, search)
    near = None if rows else found_nearest(place, sky, search)
    if typed.json:
        tell(json.dumps(as_json(place, search, rows, near), ensure_ascii=True, indent=1))
    else:
        tell(page(place, search, rows, near))
    return FINE


def _mark(catalog: Catalog, typed: argparse.Namespace, first: date) -> Mark:
    """The landmark that was named, or the direction that was given instead; raises WrongUse.

    first: the date whose declination holds.
    """
    from fieldsheet.lineups import Mark, marks

    given = [value for value in (typed.bearing, typed.altitude) if value is not None]
    if typed.landmark is None and len(given) == 2:
        return Mark("", typed.bearing % 360, typed.altitude, None)
    if typed.landmark is None or given:
        raise WrongUse("give a LANDMARK of the place, or --bearing and --altitude")
    known = marks(catalog, typed.place, first)
    if typed.landmark not in known:
        names = ", ".join(f"'{name}'" for name in known) or "none"
        raise WrongUse(f"no landmark '{typed.landmark}' at {typed.place}; there are: {names}")
    return known[typed.landmark]
