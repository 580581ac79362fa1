"""fieldsheet plan: one shot, with the defaults it uses."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING

from fieldsheet.commands.told import FINE, PROBLEMS, tell
from fieldsheet.commands.typed import shot_options, typed_clock, typed_frame

if TYPE_CHECKING:
    from fieldsheet.commands.typed import Commands


def add(commands: Commands) -> None:
    """How it is typed."""
    one = commands.add_parser("plan", help="show one shot, with the defaults it uses")
    shot_options(one)
    # How the night goes otherwise; clock times are the place's.
    one.add_argument("--start", type=typed_clock, metavar="CLOCK", help="another first frame, such as 20:15")
    one.add_argument("--stopped", type=typed_frame, metavar="FRAME", help="it stopped after that frame")
    one.add_argument("--rolling", type=typed_clock, metavar="CLOCK", help="and rolls again then")
    one.add_argument("--json", action="store_true", help="the whole plan, for a machine")
    one.set_defaults(run=run)


def run(typed: argparse.Namespace) -> int:
    """As a page for the terminal, or as JSON."""
    from fieldsheet.catalog.taken import assumed_by_line, defaults_by_file
    from fieldsheet.commands.asked import StartFails, plan_typed, read_for
    from fieldsheet.exchange.planjson import plan_json
    from fieldsheet.sheet.sheet import make_sheet
    from fieldsheet.terminal.fold import width
    from fieldsheet.terminal.page import late_page, plan_page

    catalog = read_for([typed.shot], typed.catalog)
    try:
        whole = plan_typed(catalog, typed)
    except StartFails as fails:
        if typed.json:
            raise
        tell(late_page(make_sheet(fails.whole), fails.told, width()))
        return PROBLEMS
    if typed.json:
        tell(plan_json(whole))
    else:
        assumed = assumed_by_line(catalog, typed.shot)
        tell(plan_page(make_sheet(whole), defaults_by_file(catalog, typed.shot), assumed, width()))
    return FINE
