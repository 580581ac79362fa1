"""fieldsheet log: takes that phones saved, planned against actual."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import TYPE_CHECKING

from fieldsheet.commands.told import FINE, tell

if TYPE_CHECKING:
    from fieldsheet.commands.typed import Commands


def add(commands: Commands) -> None:
    """How it is typed."""
    one = commands.add_parser("log", help="planned against actual of the takes that a phone saved")
    one.add_argument("files", type=Path, nargs="+", metavar="FILE", help="as the button JSON saves it")
    one.add_argument("--marks", type=Path, metavar="CSV", help="write the marks here, by run and frame")
    one.set_defaults(run=run)


def run(typed: argparse.Namespace) -> int:
    """Nothing is said or written before all are read."""
    from fieldsheet.exchange.marks import marks_csv
    from fieldsheet.logs import pages, read_takes

    takes = read_takes(typed.files)
    if typed.marks:
        typed.marks.write_text(marks_csv(takes), "utf-8", newline="")
    tell(pages(takes))
    return FINE
