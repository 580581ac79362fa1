"""The program as it is called: words in, words out, no computing. Each command is a file in commands/.

Exit status: 0 fine, 1 problems in the catalog or refused by the disk, 2 wrong use.
"""

from __future__ import annotations

import argparse
import io
import sys
from collections.abc import Iterable, Sequence
from typing import Any, NoReturn

from fieldsheet import __version__
from fieldsheet.commands import (
    add,
    build,
    check,
    frames,
    lineups,
    log,
    new,
    nights,
    plan,
    schema,
    serve,
    table,
    why,
)
from fieldsheet.commands.told import INTERRUPTED, WRONG_USE, complain, hang_up, refused, tell_problems
from fieldsheet.commands.typed import WrongUse
from fieldsheet.problems import CatalogProblems
from fieldsheet.terminal.plain import STAND_INS, plain

COMMANDS = (
    build,
    check,
    why,
    plan,
    frames,
    nights,
    lineups,
    table,
    log,
    new,
    add,
    serve,
    schema,
)  # as help lists them


def main(arguments: Sequence[str] | None = None) -> int:
    """Runs one command and returns its exit status; argparse raises SystemExit(2) for wrong use."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors=STAND_INS, newline="")
    words = sys.argv[1:] if arguments is None else arguments
    parser = _parser()
    if not words:
        parser.print_help(sys.stderr)
        return WRONG_USE
    typed = parser.parse_args(words)
    try:
        status: int = typed.run(typed)
        sys.stdout.flush()
        return status
    except CatalogProblems as problems:
        return tell_problems(problems)
    except WrongUse as error:
        return complain(str(error), WRONG_USE)
    except BrokenPipeError:
        return hang_up()
    except OSError as error:
        return refused(error)
    except KeyboardInterrupt:
        return INTERRUPTED


def _parser() -> argparse.ArgumentParser:
    parser = _Parser(prog="fieldsheet", description="Field sheets for motion-control time-lapse.")
    parser.add_argument("--version", action="version", version=f"fieldsheet {__version__}")
    commands = parser.add_subparsers(title="commands", metavar="COMMAND", required=True)
    for command in COMMANDS:
        command.add(commands)
    return parser


class _Parser(argparse.ArgumentParser):
    """Shows typed words without their escapes, like every other text; refuses what is left over."""

    def parse_known_args(
        self, args: Iterable[str] | None = None, namespace: Any = None
    ) -> tuple[Any, list[str]]:
        """The command that a word is no option of says so itself, for its usage is the one to look at."""
        typed, left = super().parse_known_args(None if args is None else list(args), namespace)
        if left:
            self.error(f"found {' '.join(left)}, which it does not take; right: see {self.prog} --help")
        return typed, left

    def error(self, message: str) -> NoReturn:
        super().error(plain(message))
