"""fieldsheet schema: what a kind of file may hold, and what `plan --json` prints."""

from __future__ import annotations

import argparse
import sys
from typing import TYPE_CHECKING

from fieldsheet.commands.told import FINE, tell
from fieldsheet.commands.typed import WrongUse

if TYPE_CHECKING:
    from fieldsheet.commands.typed import Commands

FILES = ("catalog", "place", "rig", "camera", "shot")
PLAN = "plan"


def add(commands: Commands) -> None:
    """How it is typed."""
    one = commands.add_parser("schema", help="what a kind of file may hold, as JSON Schema or in words")
    kinds = f"the kind of file: {', '.join(FILES)}; or {PLAN}: what plan --json prints"
    one.add_argument("of", choices=[*FILES, PLAN], metavar="KIND", help=kinds)
    one.add_argument("--text", action="store_true", help="every key in words, with an example")
    one.set_defaults(run=run)


def run(typed: argparse.Namespace) -> int:
    """As JSON Schema, or as a page."""
    from fieldsheet.catalog.keypage import key_page
    from fieldsheet.catalog.schema import schema_text
    from fieldsheet.exchange.planjson import plan_schema

    if typed.of == PLAN and typed.text:
        raise WrongUse(f"--text is for files; right: one of {', '.join(FILES)}")
    if typed.text:
        tell(key_page(typed.of))
    else:
        sys.stdout.write(plan_schema() if typed.of == PLAN else schema_text(typed.of))
    return FINE
