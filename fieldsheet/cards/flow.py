"""Sets pieces of known height into columns: nothing shrinks, nothing is cut, what does not fit goes on.

Of all ways to break the columns it takes one with the fewest sides, of those one that tears the fewest whole
groups, first over the edge of a side and then within it, and of those the most even one that splits few of
the others. A group that is never to be torn over an edge comes before the number of sides. Dynamic
programming over the breaks (from memory).
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import cache
from math import ceil, inf
from textwrap import shorten
from typing import Any, NamedTuple

from fieldsheet.problems import NoRoom


@dataclass(frozen=True)
class Piece:
    """Something printed in one go: which template draws it, with what, and the height in mm that it takes.

    `above`: the part of it that keeps it from what stands over it; at the head of a column it takes none.
    """

    kind: str
    data: Any
    height: float
    above: float = 0.0

    @property
    def text(self) -> str:
        """What a reader would call it: its text or title."""
        data = self.data if isinstance(self.data, dict) else {"text": str(self.data)}
        return str(next((data[key] for key in ("text", "head", "title", "key") if data.get(key)), self.kind))


LOOSE, WHOLE, FAST = range(3)


@dataclass(frozen=True)
class Group:
    """Pieces under a heading; `again` is the heading where they go on in another column. Both may be None.

    `bound`: torn wherever it suits (LOOSE), only to save a side (WHOLE), over an edge not even so (FAST).
    """

    heading: Piece | None
    again: Piece | None
    pieces: tuple[Piece, ...]
    bound: int = LOOSE


Room = Callable[[int], float]
"""The height in mm of the n-th column, from 0."""

# What a break inside a group costs, in mm2 of uneven white: in sight, over the edge, leaving one item alone.
_SPLIT, _TURN, _ALONE = 900.0, 2500.0, 3000.0


class _Way(NamedTuple):
    """How the rest is set, what weighs most coming first, so that ways compare as they stand.

    fast: FAST groups torn over an edge; sides; turned: other groups torn so; seen: groups torn in sight; cost
    in mm2; left: of the height of the first column; end: of that column; rest: how it goes on.
    """

    fast: int
    sides: int
    turned: int
    seen: int
    cost: float
    left: float
    end: int
    rest: _Way | None


def flow(groups: Sequence[Group], room: Room, across: int, least: int) -> list[list[Piece]]:
    """The columns, first to last, `across` to a side, on `least` sides or more.

    Raises NoRoom where a piece is taller than any column.
    """
    run = tuple((group, n) for group in groups for n in range(len(group.pieces)))
    most = len(run) // across + least + 2
    need = _needed(run, max(room(column) for column in range(most * across)))
    fewest = max(least, ceil(min(need[0], most) / across))
    # What tears no FAST group on as few sides as can be is not bettered by any way with more.
    for sides in (fewest, fewest + 1, most):
        way = _set(run, room, across, (least, min(sides, most)), need)
        if way is not None and not way.fast:
            break
    if way is None:
        tallest = max((group.pieces[n] for group, n in run), key=lambda piece: piece.height)
        named = shorten(tallest.text, 60, placeholder=" …")
        raise NoRoom(f"'{named}' does not fit on one side of the paper")
    columns, first = [], 0
    while way.rest is not None:
        columns.append(_column(run, first, way.end))
        first, way = way.end, way.rest
    return columns


Run = Sequence[tuple[Group, int]]


def _set(run: Run, room: Room, across: int, sides: tuple[int, int], need: Sequence[float]) -> _Way | None:
    """The best way on so many sides, from least to most; None where there is none.

    need: as `_needed` has it; it leaves out what cannot end in time.
    """
    least, most = sides

    @cache
    def fits(first: int, high: float) -> list[tuple[int, float]]:
        return _fits(run, first, high) or [(first, high)]

    @cache
    def best(first: int, column: int) -> _Way | None:
        if first == len(run):
            return _Way(0, max(least, -(-column // across)), 0, 0, 0.0, room(column), first, None)
        found = None
        turns = (column + 1) % across == 0
        for end, left in fits(first, room(column)):
            rest = best(end, column + 1) if column + 1 + need[end] <= most * across else None
            if rest is None:
                continue
            # The last side keeps what is left over; its columns need only be even.
            last = column // across == rest.sides - 1
            uneven = 0.0 if last and turns else left - rest.left if last else left
            cost = rest.cost + uneven**2 + _break(run, first, end, turns)
            fast, turned, seen = _torn(run, first, end, turns)
            price = (rest.fast + fast, rest.sides, rest.turned + turned, rest.seen + seen, cost)
            if found is None or price < found[:5]:
                found = _Way(*price, left, end, rest)
        return found

    return best(0, 0)


def _needed(run: Run, high: float) -> list[float]:
    """For each piece the fewest columns of that height from it on; inf where one does not fit."""
    need = [inf] * len(run) + [0.0]
    for first in range(len(run) - 1, -1, -1):
        need[first] = 1 + min((need[end] for end, _ in _fits(run, first, high)), default=inf)
    return need


def _fits(run: Run, first: int, room: float) -> list[tuple[int, float]]:
    """Every end for a column that begins with piece `first`, with the height that is left below it."""
    out, left = [], room
    for at in range(first, len(run)):
        group, n = run[at]
        heading = _heading(group, n, at == first)
        left -= group.pieces[n].height + (heading.height if heading else 0.0)
        left += (heading or group.pieces[n]).above if at == first else 0.0
        if left < 0:
            break
        out.append((at + 1, left))
    return out


def _heading(group: Group, n: int, opens: bool) -> Piece | None:
    """What stands over the n-th piece of a group; `opens`: it is the first of its column."""
    return group.heading if n == 0 else group.again if opens else None


def _column(run: Run, first: int, end: int) -> list[Piece]:
    """The pieces with their headings; a group that was begun before goes on under its second heading."""
    out: list[Piece] = []
    for at in range(first, end):
        group, n = run[at]
        out += [each for each in (_heading(group, n, at == first), group.pieces[n]) if each]
    return out


def _torn(run: Run, first: int, end: int, turns: bool) -> tuple[int, int, int]:
    """What a column from one piece up to another tears at its end: as `_Way` counts it."""
    if end in (first, len(run)) or run[end][1] == 0 or run[end][0].bound == LOOSE:
        return 0, 0, 0
    if not turns:
        return 0, 0, 1
    return (1, 0, 0) if run[end][0].bound == FAST else (0, 1, 0)


def _break(run: Run, first: int, end: int, turns: bool) -> float:
    """What it costs to begin the next column with piece `end`."""
    if end in (first, len(run)) or run[end][1] == 0:
        return 0.0
    group, n = run[end]
    alone = n == 1 or n == len(group.pieces) - 1
    return (_TURN if turns else _SPLIT) + _ALONE * alone
