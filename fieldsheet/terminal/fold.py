"""Lines no wider than the terminal: text that is folded, rows whose columns line up."""

from __future__ import annotations

import os
import shutil
import sys
import unicodedata
from collections.abc import Iterable, Iterator, Sequence
from functools import lru_cache
from typing import TextIO

from fieldsheet.sheet.glue import glued
from fieldsheet.terminal.plain import plain, stand_in

USUAL = 80
NARROWEST, WIDEST = 40, 120  # between these a line is read with ease (common practice, no source)
INDENT = "  "
GAP = "  "
# A last column narrower than that is no longer read as one: it goes under its row.
NARROW = 24
# Holds a figure to its unit while words are parted at blanks, of which NBSP is one; no text has this sign.
_GLUE = "\0"

Part = tuple[str, Sequence[Sequence[str]]]
"""A label, and the rows beside it."""


def width(stream: TextIO | None = None) -> int:
    """Columns to write in: the terminal's; 80 where nobody looks on, so that the bytes stay the same."""
    stream = stream or sys.stdout
    if not stream.isatty():
        return USUAL
    columns = shutil.get_terminal_size((_columns(stream), 24)).columns
    return min(max(columns, NARROWEST), WIDEST)


def message_room(stream: TextIO) -> int | None:
    """Columns to fold a message to; None where no terminal shows it: tools read a line as one message."""
    return width(stream) if stream.isatty() else None


def _columns(stream: TextIO) -> int:
    """Those of the stream's own terminal, where the standard output has none."""
    try:
        return os.get_terminal_size(stream.fileno()).columns
    except (OSError, ValueError):
        return USUAL


def cells(text: str) -> int:
    """How many columns a text takes, with stand-ins for what the terminal's encoding lacks.

    Source: Unicode Standard Annex 11 for what is drawn two wide.
    """
    encoding = sys.stdout.encoding or "utf-8"
    return sum(_cells(sign, encoding) for sign in text)


@lru_cache(1000)
def _cells(sign: str, encoding: str) -> int:
    try:
        sign.encode(encoding)
    except UnicodeEncodeError:
        return len(stand_in(sign))
    if unicodedata.category(sign) in ("Mn", "Me", "Cf"):
        return 0
    return 2 if unicodedata.east_asian_width(sign) in "WF" else 1


def fold(text: str, room: int, hang: str = "") -> list[str]:
    """The words of a text on lines of at most `room` columns, all but the first behind `hang`."""
    lines: list[str] = []
    line = ""
    for word in _pieces(glued(plain(text), _GLUE), room - cells(hang)):
        longer = f"{line} {word}" if line else word
        if line and cells(longer) > room - (cells(hang) if lines else 0):
            lines.append(line)
            line = word
        else:
            line = longer
    parts = [part.replace(_GLUE, " ") for part in (*lines, line)]
    return [part if not n else hang + part for n, part in enumerate(parts)]


def _pieces(text: str, room: int) -> Iterator[str]:
    """Words between blanks; what is wider than the room is cut."""
    for word in text.split():
        piece = ""
        for sign in word:
            if piece and cells(piece + sign) > room:
                yield piece
                piece = ""
            piece += sign
        yield piece


def table(rows: Iterable[Sequence[str]], room: int) -> list[str]:
    """Rows with their columns lined up, the last one folded where they are too wide."""
    return [line for row in lined_up(rows, room) for line in row]


def labelled(parts: Sequence[Part], room: int) -> list[str]:
    """Each part beside its label; their rows line up within a part alone."""
    wide = max(cells(label) for label, _ in parts) + len(GAP)
    lines = []
    for label, rows in parts:
        for n, line in enumerate(table(rows, room - wide)):
            lines.append(("" if n else label).ljust(wide) + line)
    return lines


def lined_up(rows: Iterable[Sequence[str]], room: int, under: int = -1) -> list[list[str]]:
    """The lines of each row, columns lined up; where they are too wide, the column `under` is folded.

    The last column is folded in its place while it keeps room enough, any other one goes under its row.
    """
    rows = [[plain(cell) for cell in row] for row in rows]
    if not rows:
        return []
    under %= len(rows[0])
    widths = [max(map(cells, column)) for column in zip(*rows, strict=True)]
    if sum(widths) + len(GAP) * (len(widths) - 1) <= room:
        return [[_joined(row, widths)] for row in rows]
    left = room - sum(widths[:-1]) - len(GAP) * (len(widths) - 1)
    if under == len(widths) - 1 and left >= NARROW:
        return [list(_beside(row, widths, left)) for row in rows]
    return [list(_below(row, widths, under, room)) for row in rows]


def _joined(row: Sequence[str], widths: Sequence[int]) -> str:
    padded = (cell + " " * (wide - cells(cell)) for cell, wide in zip(row, widths, strict=True))
    return GAP.join(padded).rstrip()


def _beside(row: Sequence[str], widths: Sequence[int], left: int) -> Iterator[str]:
    """The last cell folded beside the others."""
    first, *rest = fold(row[-1], left)
    yield _joined([*row[:-1], first], [*widths[:-1], 0])
    indent = " " * (sum(widths[:-1]) + len(GAP) * (len(widths) - 1))
    yield from (indent + line for line in rest)


def _below(row: Sequence[str], widths: Sequence[int], under: int, room: int) -> Iterator[str]:
    """One cell under the others, which are folded too if they still are too wide."""
    others = [cell for n, cell in enumerate(row) if n != under]
    line = _joined(others, [wide for n, wide in enumerate(widths) if n != under])
    yield from [line] if cells(line) <= room else fold(line, room, INDENT)
    if row[under]:
        yield from (INDENT * 2 + part for part in fold(row[under], room - len(INDENT) * 2))
