"""What the commands say, the only way out for words, and how they end."""

from __future__ import annotations

import os
import sys
from collections.abc import Callable, Iterable
from typing import TextIO

from fieldsheet.problems import CatalogProblems, Problem
from fieldsheet.terminal.plain import plain

FINE, PROBLEMS, WRONG_USE, INTERRUPTED = 0, 1, 2, 130


def tell(text: str, stream: TextIO | None = None) -> None:
    """Escapes are stripped; flushed, so that an address shows through a pipe."""
    print(plain(text), file=stream or sys.stdout, flush=True)


def tell_message(text: str, stream: TextIO | None = None) -> None:
    """A message of one line, which a terminal shows folded."""
    from fieldsheet.terminal.fold import INDENT, fold, message_room

    room = message_room(stream or sys.stdout)
    tell(text if room is None else "\n".join(fold(text, room, INDENT * 2)), stream)


def count(number: int, noun: str) -> str:
    """How many of it, in words."""
    return f"{number} {noun}" if number == 1 else f"{number} {noun}s"


def tell_problems(found: CatalogProblems, behind: Callable[[Problem], Iterable[str]] | None = None) -> int:
    """A line for each problem, and how many there are; returns the exit status.

    behind: more lines of each.
    """
    for problem in found.problems:
        tell_message(" ".join(str(problem).splitlines()), sys.stderr)
        for line in behind(problem) if behind else ():
            tell(line, sys.stderr)
    tell(count(len(found.problems), "problem"), sys.stderr)
    return PROBLEMS


def complain(message: str, status: int) -> int:
    """One message of what is in the way; returns the exit status that it was given."""
    tell_message(f"fieldsheet: {message}", sys.stderr)
    return status


def refused(error: OSError) -> int:
    """Says what the disk or the network refused; returns the exit status."""
    reason = error.strerror or str(error)
    return complain(f"{reason}: {error.filename}" if error.filename is not None else reason, PROBLEMS)


def hang_up() -> int:
    """Who read along has gone: the flush at exit must not complain. Returns the exit status."""
    os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
    return FINE


def can_show(text: str) -> bool:
    """Whether the encoding of what is said has these characters."""
    try:
        text.encode(sys.stdout.encoding or "ascii")
    except UnicodeEncodeError:
        return False
    return True
