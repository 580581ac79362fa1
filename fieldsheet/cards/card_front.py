"""The front of a card: what is set and keyed in, in the hand's order; the picture of the shot if it fits."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import product
from typing import Any

from fieldsheet.cards import bands, head, sizes
from fieldsheet.cards.flow import Group, Piece
from fieldsheet.cards.keys import keys
from fieldsheet.cards.sides import Side, height_of, single, stacked, whole
from fieldsheet.cards.sizes import CARD

Sheet = Mapping[str, Any]
Strips = tuple[Piece, Piece]
"""The drawing of the shot, airy and as low as can be."""

LATE = ("lost",)
"""What stands on the front only where the strip does not."""


@dataclass(frozen=True)
class Front:
    """Its sides; whether strip and deadlines stand on them; the height in mm that is left on a single one."""

    sides: list[Side]
    pictured: bool
    dated: bool
    left: float


def front(sheet: Sheet, strips: Strips) -> Front:
    """One side, if it can be, with as much on it as fits.

    The strip stands on it where the lowest drawing of it fits, also instead of where the targets stand when
    they are set; then the blanks are high enough to write in, and the deadlines stand there too; what is
    still free goes to the blanks.
    """
    airy, low = strips
    due = head.deadlines(sheet, CARD)
    roomy = [blank for blank in sizes.BLANKS if blank >= sizes.BLANK_ROOMY]
    ways = [
        *product([due], [airy, low], roomy, [True]),
        *product([[]], [airy, low], roomy, [True, False]),
        *product([[]], [low], sizes.BLANKS, [True, False]),
        *product([due, []], [None], sizes.BLANKS, [True]),
    ]
    pieces = _pieces(sheet)
    for dues, strip, blank, waits in ways:
        groups = _groups(sheet, pieces, dues, strip, keys(sheet, CARD, blank, waits))
        left = CARD.height - height_of([piece for group in groups for piece in whole(group)])
        if left >= 0:
            return Front(_set(sheet, groups), strip is not None, dues == due, left)
    return whole_front(sheet, strips)


def whole_front(sheet: Sheet, strips: Strips) -> Front:
    """With the strip and the deadlines, on as many sides as that takes."""
    # Alone on a side behind the first, under the running line; as low as can be only where it has to be.
    high = CARD.height - head.running(sheet, CARD).height
    strip = next((strip for strip in strips if strip.height <= high), strips[-1])
    rows = keys(sheet, CARD, sizes.BLANKS[-1])
    groups = _groups(sheet, _pieces(sheet), head.deadlines(sheet, CARD), strip, rows)
    return Front(_set(sheet, groups), True, True, 0.0)


@dataclass(frozen=True)
class _Pieces:
    """What stands on every front: its top, and the program with a strip below it and without."""

    top: tuple[Piece, ...]
    program: Piece
    program_alone: Piece


def _pieces(sheet: Sheet) -> _Pieces:
    # A rig that keys the gap shows no interval in its menu: the hand should know it all the same.
    more = ("interval", "swap") if "gap" in sheet["program"] else ("swap",)
    return _Pieces(
        (head.header(sheet, CARD), *head.stop_bar(sheet)),
        bands.program(sheet, CARD, more),
        bands.program(sheet, CARD, (*more, *LATE)),
    )


def _groups(
    sheet: Sheet, pieces: _Pieces, due: Sequence[Piece], strip: Piece | None, rows: Sequence[Group]
) -> list[Group]:
    # The header and what belongs to it stay on one side.
    top = Group(None, None, (*pieces.top, *due))
    below = (pieces.program, strip) if strip else (pieces.program_alone,)
    return [top, *rows, *(single(piece) for piece in below)]


def _set(sheet: Sheet, groups: Sequence[Group]) -> list[Side]:
    return [Side(stack) for stack in stacked(groups, CARD, head.running(sheet, CARD))]
