"""fieldsheet table: the shots of a catalog as CSV, and rows of such a table as shots of it."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path
from typing import TYPE_CHECKING

from fieldsheet.commands.told import FINE, count, tell
from fieldsheet.commands.typed import WrongUse

if TYPE_CHECKING:
    from fieldsheet.commands.typed import Commands


def add(commands: Commands) -> None:
    """How it is typed."""
    one = commands.add_parser("table", help="all shots as CSV, or shots from such a table")
    one.add_argument("catalog", type=Path, metavar="CATALOG")
    rows = "take the rows of that table: a new shot is a new file, a row that says what its file says is left"
    one.add_argument("--read", type=Path, metavar="CSV", help=rows)
    lines = "with --read: also change the lines of shots that are there; all other lines stay"
    one.add_argument("--change", action="store_true", help=lines)
    one.set_defaults(run=run)


def run(typed: argparse.Namespace) -> int:
    """Writes the table to the standard output, or nothing but what all rows together come to."""
    if typed.read is not None:
        return _read(typed.catalog, typed.read, typed.change)
    if typed.change:
        raise WrongUse("--change without --read; right: --read CSV --change")
    from fieldsheet.catalog.read import read_catalog
    from fieldsheet.tabled.written import table_csv

    # In UTF-8 whatever the terminal has: it is a file for a spreadsheet.
    table = table_csv(read_catalog(typed.catalog))
    sys.stdout.flush()
    sys.stdout.buffer.write(table.encode())
    return FINE


def _read(folder: Path, table: Path, change: bool) -> int:
    from fieldsheet.problems import CatalogProblems
    from fieldsheet.tabled.landed import land
    from fieldsheet.tabled.merged import merge
    from fieldsheet.tabled.rows import MOST_BYTES, read_rows

    with table.open("rb") as file:
        found = read_rows(str(table), file.read(MOST_BYTES + 1))
    merged = merge(folder, found.rows, str(table), change)
    problems = [*found.problems, *merged.problems]
    if problems:
        raise CatalogProblems(sorted(problems, key=lambda problem: problem.line or 0))
    land(folder, merged)
    for what, files in (("new", merged.new), ("changed", merged.changed)):
        for name in files:
            tell(f"{what}: {name}")
    tell(f"{count(len(merged.new), 'new shot')}, {len(merged.changed)} changed, {merged.same} as they were")
    return FINE
