"""Sets pieces of known height into columns: nothing shrinks, nothing is cut, what does not fit goes on.

Of all ways to break the columns it takes one with the fewest sides, and of those the most even one that
splits few groups. Dynamic programming over the breaks (from memory).
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import cache
from math import inf
from typing import Any


@dataclass(frozen=True)
class Piece:
    """Something printed in one go: which template draws it, with what, and the height in mm that it takes."""

    kind: str
    data: Any
    height: float

    @property
    def text(self) -> str:
        """What a reader would call it: its text or title."""
        data = self.data if isinstance(self.data, dict) else {"text": str(self.data)}
        return str(next((data[key] for key in ("text", "head", "title", "key") if data.get(key)), self.kind))


@dataclass(frozen=True)
class Group:
    """Pieces under a heading; `again` is the heading where they go on in another column. Both may be None."""

    heading: Piece | None
    again: Piece | None
    pieces: tuple[Piece, ...]


Room = Callable[[int], float]
"""The height in mm of the n-th column, from 0."""

# What a break inside a group costs, in mm2 of uneven white: in sight, over the edge, leaving one item alone.
_SPLIT, _TURN, _ALONE = 900.0, 2500.0, 3000.0


@dataclass(frozen=True)
class _Way:
    """How the rest is set: sides in all, its cost in mm2, the index after the last piece of each column."""

    sides: float
    cost: float
    ends: tuple[int, ...]


def flow(groups: Sequence[Group], room: Room, across: int, least: int) -> list[list[Piece]]:
    """The columns, first to last, `across` to a side, on `least` sides or more.

    Raises ValueError, in words, where a piece is taller than any column.
    """
    run = [(group, n) for group in groups for n in range(len(group.pieces))]
    most = len(run) + across * (least + 1)

    @cache
    def best(first: int, column: int) -> _Way:
        if first == len(run):
            sides = max(least, -(-column // across))
            return _Way(sides, sum(_white(room(n)) for n in range(column, sides * across)), ())
        if column == most:
            return _Way(inf, inf, ())
        ways = []
        for end, left in _fits(run, first, room(column)) or [(first, room(column))]:
            rest = best(end, column + 1)
            cost = rest.cost + _white(left) + _break(run, first, end, (column + 1) % across == 0)
            ways.append(_Way(rest.sides, cost, (end, *rest.ends)))
        return min(ways, key=lambda way: (way.sides, way.cost))

    way = best(0, 0)
    if way.sides == inf:
        tallest = max((group.pieces[n] for group, n in run), key=lambda piece: piece.height)
        raise ValueError(f"'{tallest.text}' does not fit on one side of a card")
    starts = (0, *way.ends)
    return [_column(run, first, end) for first, end in zip(starts, way.ends, strict=False)]


Run = Sequence[tuple[Group, int]]


def _fits(run: Run, first: int, room: float) -> list[tuple[int, float]]:
    """Every end for a column that begins with piece `first`, with the height that is left below it."""
    out = []
    for end in range(first + 1, len(run) + 1):
        left = room - sum(piece.height for piece in _column(run, first, end))
        if left < 0:
            break
        out.append((end, left))
    return out


def _column(run: Run, first: int, end: int) -> list[Piece]:
    """The pieces with their headings; a group that was begun before goes on under its second heading."""
    out: list[Piece] = []
    for at in range(first, end):
        group, n = run[at]
        heading = group.heading if n == 0 else group.again if at == first else None
        out += [each for each in (heading, group.pieces[n]) if each]
    return out


def _white(left: float) -> float:
    return max(0.0, left) ** 2


def _break(run: Run, first: int, end: int, turns: bool) -> float:
    """What it costs to begin the next column with piece `end`."""
    if end in (first, len(run)) or run[end][1] == 0:
        return 0.0
    group, n = run[end]
    alone = n == 1 or n == len(group.pieces) - 1
    return (_TURN if turns else _SPLIT) + _ALONE * alone
