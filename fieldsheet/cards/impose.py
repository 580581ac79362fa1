"""Several cards on a sheet: where each stands, and where it is cut.

A sheet stands upright and is turned over on its long edge, as a page of a book is. So the back of what stands
at the left stands at the right, and a card that is turned a quarter one way in front is turned the other way
behind: every card is turned over sideways, whichever way it stands on the sheet.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from fieldsheet.cards.render import html_of
from fieldsheet.cards.sides import Side
from fieldsheet.cards.sizes import Paper, sheet_of
from fieldsheet.cards.spec import PrintSpec

Shots = Sequence[tuple[Mapping[str, Any], Sequence[Side]]]
Line = tuple[float, float, float, float]
"""x and y of a stroke's ends, mm from the sheet's top left corner."""

GAP = 6.0
"""Between two cards where the sheet has room for it: each is cut by marks of its own."""
OUTSIDE = 9.0
"""What marks outside the cards take of a margin: MARK and its distance from the card, and what a printer
leaves free.
"""
UNPRINTED = 5.0
"""What a printer may leave free along the edges (common practice, no source)."""
MARK, OFF = 3.0, 1.0
"""Length of a cut mark; how far one outside the cards keeps from them."""
NO_CUT = 1.5
"""A card that ends this near to the sheet's edge is not cut there; ISO 216 lets a side of up to 150 mm be
off by as much.
"""


@dataclass(frozen=True)
class Slot:
    """Where a card stands: its top left corner and size in mm of the sheet; a quarter turned or not."""

    left: float
    top: float
    width: float
    height: float
    is_turned: bool


@dataclass(frozen=True)
class Printed:
    """A side on a sheet: its slot there, the quarter turns in degrees; what the templates number it by."""

    slot: Slot
    turn_deg: int
    sheet: Mapping[str, Any]
    side: Side
    number: int
    count: int


@dataclass(frozen=True)
class Face:
    """One face of a sheet of paper."""

    printed: tuple[Printed, ...]
    marks: tuple[Line, ...]


def imposed_html(title: str, shots: Shots, spec: PrintSpec) -> str:
    """The cards of shots, cut from sheets, as the HTML that becomes the PDF.

    Raises ValueError, in words, where not even one card stands on the sheet.
    """
    assert spec.on is not None, "cards are cut from something"
    paper, on = spec.paper, sheet_of(spec.on)
    return html_of("imposed.html", title=title, paper=paper, on=on, faces=faces(shots, paper, on, spec.sides))


def faces(shots: Shots, paper: Paper, on: Paper, sides: int) -> list[Face]:
    """The faces of all sheets in the order of print; with two sides each sheet has its back behind it."""
    slots = slots_of(paper.page, on.page)
    cards = list(_cards(shots, sides))
    out = []
    for first in range(0, len(cards), len(slots)):
        together = cards[first : first + len(slots)]
        for behind in range(sides):
            placed = [mirrored(slot, on.page) if behind else slot for slot in slots[: len(together)]]
            printed = [
                Printed(slot, (-90 if behind else 90) * slot.is_turned, *card[behind])
                for slot, card in zip(placed, together, strict=True)
                if behind < len(card)
            ]
            out.append(Face(tuple(printed), tuple(cut_marks(placed, on.page))))
    return out


def slots_of(card: tuple[float, float], page: tuple[float, float]) -> list[Slot]:
    """As many lying or turned cards as stand on an upright sheet, row by row; at best with room between them.

    Raises ValueError, in words, where none does.
    """
    wide, high = card
    ways = [
        (size, turned, gap, margin)
        for gap, margin in ((GAP, OUTSIDE), (0.0, 0.0))
        for size, turned in (((wide, high), False), ((high, wide), True))
    ]
    best = max(ways, key=lambda way: _number(way[0], page, way[2], way[3]))
    if not _number(best[0], page, best[2], best[3]):
        raise ValueError(f"cards of {wide:g} by {high:g} mm on a sheet of {page[0]:g} by {page[1]:g} mm")
    size, turned, gap, margin = best
    across, down = (_fitting(size[n], page[n], gap, margin) for n in (0, 1))
    left, top = ((page[n] - many * (size[n] + gap) + gap) / 2 for n, many in ((0, across), (1, down)))
    return [
        Slot(left + column * (size[0] + gap), top + row * (size[1] + gap), *size, turned)
        for row in range(down)
        for column in range(across)
    ]


def mirrored(slot: Slot, page: tuple[float, float]) -> Slot:
    """The same slot as seen from behind, the sheet turned over on its long edge."""
    return Slot(page[0] - slot.left - slot.width, slot.top, slot.width, slot.height, slot.is_turned)


def cut_marks(slots: Sequence[Slot], page: tuple[float, float]) -> Iterator[Line]:
    """Where to cut: strokes at both ends of every edge, outside the cards where there is room.

    Cards without room between them share their cuts, whose marks then stand on these: at the sheet's edge as
    near as printers come, and across each other where two cuts meet.
    """
    for axis in (0, 1):
        low, high = min(_from(slot, 1 - axis) for slot in slots), max(_to(slot, 1 - axis) for slot in slots)
        cuts = {round(edge(slot, axis), 3) for slot in slots for edge in (_from, _to)}
        crossed = {round(_to(slot, 1 - axis), 3) for slot in slots}
        crossed &= {round(_from(slot, 1 - axis), 3) for slot in slots}
        for at in sorted(cuts):
            if NO_CUT < at < page[axis] - NO_CUT:
                begin, end = _outer(low)
                strokes = [(begin, end)]
                begin, end = _outer(page[1 - axis] - high)
                strokes.append((page[1 - axis] - end, page[1 - axis] - begin))
                strokes += [(where - MARK, where + MARK) for where in sorted(crossed)]
                for begin, end in strokes:
                    yield (at, begin, at, end) if axis == 0 else (begin, at, end, at)


def _outer(margin: float) -> tuple[float, float]:
    """From where to where a mark reaches, from the sheet's edge in, beside cards that begin at `margin`."""
    end = margin - OFF if margin >= OUTSIDE else UNPRINTED + MARK
    return end - MARK, end


def _from(slot: Slot, axis: int) -> float:
    return (slot.left, slot.top)[axis]


def _to(slot: Slot, axis: int) -> float:
    return (slot.left + slot.width, slot.top + slot.height)[axis]


def _number(size: tuple[float, float], page: tuple[float, float], gap: float, margin: float) -> int:
    return _fitting(size[0], page[0], gap, margin) * _fitting(size[1], page[1], gap, margin)


def _fitting(length: float, room: float, gap: float, margin: float) -> int:
    """How many of a length stand in a row, the margin at both ends."""
    return max(0, int((room - 2 * margin + gap + 1e-6) // (length + gap)))


def _cards(shots: Shots, sides: int) -> Iterator[list[tuple[Mapping[str, Any], Side, int, int]]]:
    """Each card with its one or two sides, the last of a shot perhaps without a back."""
    for sheet, printed in shots:
        numbered = [(sheet, side, n, len(printed)) for n, side in enumerate(printed, start=1)]
        for first in range(0, len(numbered), sides):
            yield numbered[first : first + sides]
