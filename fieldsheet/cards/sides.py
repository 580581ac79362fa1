"""A printed side, and the code that opens the plan; what a card and the large sheet have in common."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from markupsafe import Markup

from fieldsheet.cards import sizes
from fieldsheet.cards.flow import Group, Piece, flow
from fieldsheet.cards.metrics import NBSP, lines
from fieldsheet.cards.sizes import Paper
from fieldsheet.exchange.qr import MODULE_MM, QUIET, draw_code, link_code, width_mm

Sheet = Mapping[str, Any]

BESIDE = ("shutter", "largest_step", "slack", "clip")
"""The numbers beside a card's code, where there is room."""


@dataclass(frozen=True)
class Code:
    """The link code, its width in mm, the lines of the words beside it, the height of it all with its gap."""

    drawing: Markup
    width: float
    beside: tuple[str, ...]
    height: float


@dataclass(frozen=True)
class Side:
    """Pieces over the whole width, two columns from `top` mm down, the code, a piece at the foot."""

    stack: tuple[Piece, ...]
    top: float = 0.0
    columns: tuple[tuple[Piece, ...], ...] = ()
    code: Code | None = None
    foot: Piece | None = None


def link(sheet: Sheet, address: str, paper: Paper, names: Sequence[str]) -> Code:
    """The code of `address`, with the revision under it and the numbers `names` beside it.

    Raises ValueError, in words, where the address is too long.
    """
    modules, version = link_code(address, sizes.CODE_MOST)
    wide = width_mm(version)
    labels, numbers = sheet["labels"], sheet["numbers"]
    # A figure keeps its unit beside it, wherever the line breaks.
    beside = tuple(
        f"{labels[name]} {numbers[name].replace(' ', NBSP).replace(f'·{NBSP}', '· ')}"
        for name in names
        if numbers[name]
    )
    room = paper.column + paper.outside(QUIET * MODULE_MM) - wide
    words = sum(lines(line, room, sizes.SMALL_PT) for line in beside) * sizes.SMALL_LINE
    high = max(words + 2 * sizes.CODE_CAPTION, wide + sizes.CODE_CAPTION) + sizes.SECTION_GAP
    drawing = draw_code(modules, f"code that opens this plan, revision {sheet['revision']}")
    return Code(drawing, wide, beside, high)


def stacked(groups: Sequence[Group], paper: Paper, running: Piece) -> list[tuple[Piece, ...]]:
    """Groups one below the other over the whole width, on as many sides as they take, with a running head."""
    further = flow(groups, lambda side: paper.height - running.height * bool(side), 1, 1)
    return [tuple([running, *side] if n else side) for n, side in enumerate(further)]


def height_of(pieces: Sequence[Piece]) -> float:
    """What pieces take one below the other."""
    return sum(piece.height for piece in pieces) - (pieces[0].above if pieces else 0.0)


def whole(group: Group) -> tuple[Piece, ...]:
    """A group that is not broken: its heading and its pieces."""
    return (group.heading, *group.pieces) if group.heading else group.pieces


def single(piece: Piece) -> Group:
    """A piece on its own."""
    return Group(None, None, (piece,))


def with_back(sides: Sequence[Side]) -> list[Side]:
    """With an empty back where the last card has none, so that double-sided print keeps the cards apart."""
    return [*sides, *([Side(())] if len(sides) % 2 else [])]


def in_pairs(columns: Sequence[Sequence[Piece]]) -> list[tuple[tuple[Piece, ...], ...]]:
    """The columns two to a side; the last side may have an empty one."""
    whole = [*columns, *([[]] if len(columns) % 2 else [])]
    return [(tuple(whole[n]), tuple(whole[n + 1])) for n in range(0, len(whole), 2)]
