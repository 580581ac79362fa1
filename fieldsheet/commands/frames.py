"""fieldsheet frames: every frame of a shot as CSV."""

from __future__ import annotations

import argparse
import sys
from typing import TYPE_CHECKING

from fieldsheet.commands.told import FINE
from fieldsheet.commands.typed import shot_options

if TYPE_CHECKING:
    from fieldsheet.commands.typed import Commands


def add(commands: Commands) -> None:
    """How it is typed."""
    one = commands.add_parser("frames", help="every frame of one shot with all axes, as CSV")
    shot_options(one)
    one.set_defaults(run=run, start=None, stopped=None, rolling=None)


def run(typed: argparse.Namespace) -> int:
    """The same bytes as the phone's."""
    from fieldsheet.commands.asked import plan_typed, read_for
    from fieldsheet.exchange.frames import frames_csv

    sys.stdout.write(frames_csv(plan_typed(read_for([typed.shot], typed.catalog), typed)))
    return FINE
