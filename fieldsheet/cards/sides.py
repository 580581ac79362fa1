"""A printed side, and the code that opens the plan; what a card and the large sheet have in common."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from markupsafe import Markup

from fieldsheet.cards import sizes
from fieldsheet.cards.flow import Group, Piece, flow
from fieldsheet.cards.head import WHICH
from fieldsheet.cards.metrics import lines
from fieldsheet.cards.sizes import Paper
from fieldsheet.exchange.qr import Symbol, draw_code, link_code
from fieldsheet.sheet.glue import NBSP

Sheet = Mapping[str, Any]

BESIDE = ("shutter", "largest_step", "slack", "clip")
"""The numbers beside a card's code, where there is room."""
# A blank at which their lines do not break: any but one behind a comma or a point, or before "at frame 41".
_HELD = re.compile(r"(?<![·,]) (?!at )")
OPENS = f"opens this plan from up to {{}}{NBSP}cm, revision"


@dataclass(frozen=True)
class Code:
    """The link code: its width, and how much of its clear zone lies in the margin, in mm as the flow counts.

    address: what it opens, where the paper is on a screen by a tap on it;
    beside: the labels and numbers beside it; opens: the words under them; height: of it all, with its gap.
    """

    drawing: Markup
    address: str
    width: float
    outside: float
    beside: tuple[tuple[str, str], ...]
    opens: str
    height: float


@dataclass(frozen=True)
class Side:
    """Pieces over the whole width, two columns from `top` mm down, the code, a piece at the foot.

    `air`: what each row of the columns has below it beside its own height.
    """

    stack: tuple[Piece, ...]
    top: float = 0.0
    columns: tuple[tuple[Piece, ...], ...] = ()
    code: Code | None = None
    foot: Piece | None = None
    air: float = 0.0


def symbol_of(address: str, paper: Paper) -> Symbol:
    """The code of an address for the paper's distance, or as large as its columns allow; raises NoRoom."""
    return link_code(address, paper.code_most * paper.scale, paper.read_cm)


def link(sheet: Sheet, address: str, paper: Paper, names: Sequence[str]) -> Code:
    """The code of `address`, with the revision under it and the numbers `names` beside it.

    Raises NoRoom, in words, where the address is too long.
    """
    symbol = symbol_of(address, paper)
    wide, outside = symbol.width_mm / paper.scale, paper.outside(symbol.quiet_mm / paper.scale)
    labels, numbers = sheet["labels"], sheet["numbers"]
    # A figure keeps its unit beside it, wherever the line breaks.
    beside = tuple((labels[name], _HELD.sub(NBSP, numbers[name])) for name in names if numbers[name])
    opens = OPENS.format(symbol.read_cm)
    room = paper.column + outside - wide
    # The number is semibold; the label would be at its widest.
    words = sum(lines(" ".join(pair), room, sizes.SMALL_PT, True) for pair in beside)
    words += lines(opens, room, sizes.SMALL_PT)
    which = lines(WHICH[paper.name], room, sizes.SMALL_PT, True) * sizes.CODE_CAPTION
    high = max(words * sizes.SMALL_LINE + which, wide + sizes.CODE_CAPTION) + sizes.SECTION_GAP
    drawing = draw_code(symbol, f"code that opens this plan, revision {sheet['revision']}", paper.scale)
    return Code(drawing, address, wide, outside, beside, opens, high)


def stacked(groups: Sequence[Group], paper: Paper, running: Piece) -> list[tuple[Piece, ...]]:
    """Groups one below the other over the whole width, on as many sides as they take, with a running head."""
    further = flow(groups, lambda side: paper.height - running.height * bool(side), 1, 1)
    return [tuple([running, *side] if n else side) for n, side in enumerate(further)]


def height_of(pieces: Sequence[Piece]) -> float:
    """What pieces take one below the other."""
    return sum(piece.height for piece in pieces) - (pieces[0].above if pieces else 0.0)


_AIRED = ("item", "note", "fact", "need", "band")


def air_of(columns: Sequence[Sequence[Piece]], rooms: Sequence[float]) -> float:
    """The air for the rows of columns with so much room, alike in all: as much as the fullest one leaves."""
    spare = [
        (room - height_of(pieces)) / count
        for pieces, room in zip(columns, rooms, strict=True)
        if (count := sum(piece.kind in _AIRED for piece in pieces))
    ]
    return max(0.0, min([sizes.AIR_MOST, *spare]))


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
