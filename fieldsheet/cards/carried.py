"""The codes of a large sheet that hold the plan itself: for a phone with this site, and for one with nothing.

What each is read from stands under it; one that no module of the smallest size brings into its column is
left out, and said to be.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from fieldsheet.cards import sizes
from fieldsheet.cards.flow import LOOSE, Group, Piece
from fieldsheet.cards.metrics import lines
from fieldsheet.cards.rows import heading
from fieldsheet.exchange.plaintext import plain_text
from fieldsheet.exchange.qr import Symbol, draw_code, plan_code, text_code
from fieldsheet.sheet.glue import NBSP
from fieldsheet.sheet.words import WORDS

Sheet = Mapping[str, Any]


READ = f"Read from up to {{}}{NBSP}cm."


def carried(sheet: Sheet, carry: Sequence[str], wide: float, read_cm: float) -> Iterator[Group]:
    """Both codes, one below the other, to be read from that far where `wide` mm allow it.

    carry: an address and its digits, "" where none hold the plan.
    """
    address, digits = carry
    opens = plan_code(address, digits, wide, read_cm) if digits else None
    yield _group("opens", opens, wide)
    yield _group("reads", text_code(plain_text(sheet), wide, read_cm), wide)


def _group(kind: str, code: Symbol | None, wide: float) -> Group:
    title = WORDS[f"carried.{kind}.title"]
    if code is None:
        piece = _told(WORDS[f"carried.{kind}.too-wide"], wide)
    else:
        piece = _drawn(code, title, WORDS[f"carried.{kind}.note"], wide)
    return Group(heading(title, "", wide), None, (piece,), LOOSE)


def _told(text: str, wide: float) -> Piece:
    return Piece("carried", {"text": text, "drawing": "", "width": 0}, _height(text, wide))


def _drawn(code: Symbol, title: str, note: str, wide: float) -> Piece:
    text = f"{READ.format(code.read_cm)} {note}"
    data = {"text": text, "drawing": draw_code(code, title), "width": code.width_mm}
    return Piece("carried", data, code.width_mm + _height(text, wide))


def _height(text: str, wide: float) -> float:
    return lines(text, wide, sizes.SMALL_PT) * sizes.SMALL_LINE + sizes.DUE_GAP
