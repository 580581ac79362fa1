"""Flows pieces of known height into columns: nothing shrinks, nothing is cut, what does not fit goes on."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any


@dataclass(frozen=True)
class Piece:
    """Something printed in one go: which template draws it, with what, and the height in mm that it takes."""

    kind: str
    data: Any
    height: float


@dataclass(frozen=True)
class Group:
    """Pieces under a heading; `again` is the heading where they go on in another column. Both may be None."""

    heading: Piece | None
    again: Piece | None
    pieces: tuple[Piece, ...]


Room = Callable[[int], float]
"""The height in mm of the n-th column, from 0."""


def flow(groups: Sequence[Group], room: Room, sides_of: Callable[[int], int]) -> list[list[Piece]]:
    """The columns, first to last: groups kept whole, unless splitting them freely needs fewer sides.

    `sides_of` says how many sides so many columns fill. Raises ValueError, in words, where a piece is taller
    than any column.
    """
    whole, free = (_fill(groups, room, keep) for keep in (True, False))
    return whole if sides_of(len(whole)) <= sides_of(len(free)) else free


def _fill(groups: Sequence[Group], room: Room, keep: bool) -> list[list[Piece]]:
    columns: list[list[Piece]] = [[]]
    for group in groups:
        everything = _height([group.heading, *group.pieces])
        if keep and everything > _left(columns, room) and everything <= room(len(columns)):
            columns.append([])
        for n, piece in enumerate(group.pieces):
            # A heading never stands alone, nor with the first of several items only.
            after = group.pieces[1:2] if n == 0 else ()
            start = [piece] if n else [each for each in (group.heading, piece) if each]
            if _height([*start, *after]) > _left(columns, room):
                start = _open(columns, room, [piece], group.again if n else group.heading)
            columns[-1] += start
    return columns


def _open(columns: list[list[Piece]], room: Room, start: list[Piece], heading: Piece | None) -> list[Piece]:
    """Adds the next column that can take `start` under its heading."""
    start = [heading, *start] if heading else start
    if not columns[-1] and _height(start) <= room(len(columns) - 1):
        return start
    for _ in range(3):
        columns.append([])
        if _height(start) <= room(len(columns) - 1):
            return start
    raise ValueError(f"does not fit on a card, in one piece: {start[-1].data}")


def _left(columns: Sequence[Sequence[Piece]], room: Room) -> float:
    return room(len(columns) - 1) - _height(columns[-1])


def _height(pieces: Sequence[Piece | None]) -> float:
    return sum(piece.height for piece in pieces if piece)
