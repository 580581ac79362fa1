"""fieldsheet nights: on which nights the shots are good."""

from __future__ import annotations

import argparse
import json
from pathlib import Path
from typing import TYPE_CHECKING

from fieldsheet.commands.told import FINE, tell
from fieldsheet.commands.typed import a_year_on, check_reach, check_span, typed_date

if TYPE_CHECKING:
    from fieldsheet.commands.typed import Commands


MOST_NIGHTS = 10 * 366  # of one search


def add(commands: Commands) -> None:
    """How it is typed."""
    what = "find the nights on which shots have what they need"
    one = commands.add_parser("nights", help=what, description=f"{what.capitalize()}; see [needs].")
    add = one.add_argument
    add("catalog", type=Path, metavar="CATALOG", help="its folder")
    add("shot", metavar="SHOT", nargs="?", help="name of its file, without .toml; else every shot")
    own = "first night (default: the shot's own, of several shots the earliest)"
    add("--from", type=typed_date, dest="first", metavar="DATE", help=own)
    add("--to", type=typed_date, dest="last", metavar="DATE", help="last night (default: a year on)")
    add("--all", action="store_true", help="also the other nights, with what each lacks")
    add("--json", action="store_true", help="every night as JSON, for a machine")
    one.set_defaults(run=run)


def run(typed: argparse.Namespace) -> int:
    """As a table, or as JSON."""
    from fieldsheet.commands.asked import read_for
    from fieldsheet.nights import as_json, search_shots, table
    from fieldsheet.press import night_of

    catalog = read_for([typed.shot] if typed.shot else [], typed.catalog)
    shot_ids = [typed.shot] if typed.shot else list(catalog.shots)
    own = min(night_of(catalog.brief(shot_id)) for shot_id in shot_ids)
    first = typed.first or own
    # Before anything is added to it: the calendar ends, too.
    check_reach("--from" if typed.first else "the first night", first)
    last = typed.last or a_year_on(first)
    begins = "--from" if typed.first else "the shot's own night," if typed.shot else "the first shot's night,"
    check_span(first, last, begins, MOST_NIGHTS)
    found = search_shots(catalog, shot_ids, first, last)
    if typed.json:
        tell(json.dumps(as_json(found, first, last), ensure_ascii=True, indent=1))
    else:
        tell(table(found, first, last, typed.all))
    return FINE
