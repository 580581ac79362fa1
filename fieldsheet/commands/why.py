"""fieldsheet why: what is behind a warning or a problem, whether it arises or not."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING

from fieldsheet.commands.told import FINE, tell
from fieldsheet.commands.typed import WrongUse

if TYPE_CHECKING:
    from fieldsheet.commands.typed import Commands


def add(commands: Commands) -> None:
    """How it is typed."""
    one = commands.add_parser("why", help="explain a warning: where it comes from, what ends it")
    what = "its name, or a part of it, such as 'swap'; without one, all names are listed"
    one.add_argument("name", nargs="?", metavar="NAME", help=what)
    one.set_defaults(run=run)


def run(typed: argparse.Namespace) -> int:
    """One after the other, where a part of a name means several."""
    from fieldsheet.explain import all_names, explained_alone, named, short_name
    from fieldsheet.terminal.fold import INDENT, labelled, table, width

    room = width()
    if typed.name is None:
        tell("\n".join(table(all_names(), room)))
        return FINE
    ids = named(typed.name.strip().lower())
    if not ids:
        raise WrongUse(f"no warning is named '{typed.name}'; fieldsheet why lists all names")
    blocks = []
    for id in ids:
        lines = (INDENT + line for line in labelled(explained_alone(id), room - len(INDENT)))
        blocks.append("\n".join([short_name(id), *lines]))
    tell("\n\n".join(blocks))
    return FINE
