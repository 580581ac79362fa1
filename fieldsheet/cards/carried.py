"""The codes of a large sheet that hold the plan itself: for a phone with this site, and for one with nothing.

A code that is wider than its column is left out and said to be: modules never get smaller.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from fieldsheet.cards import sizes
from fieldsheet.cards.flow import LOOSE, Group, Piece
from fieldsheet.cards.metrics import lines
from fieldsheet.cards.rows import heading
from fieldsheet.exchange.plaintext import plain_text
from fieldsheet.exchange.qr import Modules, draw_code, plan_code, text_code, width_mm
from fieldsheet.sheet.words import WORDS

Sheet = Mapping[str, Any]


def carried(sheet: Sheet, carry: Sequence[str], wide: float) -> Iterator[Group]:
    """Both codes, one below the other; carry: an address and its digits, "" where none hold the plan."""
    address, digits = carry
    opens = plan_code(address, digits, wide) if digits else None
    yield _group("opens", opens, wide)
    yield _group("reads", text_code(plain_text(sheet), wide), wide)


def _group(kind: str, code: tuple[Modules, int] | None, wide: float) -> Group:
    title = WORDS[f"carried.{kind}.title"]
    if code is None:
        piece = _told(WORDS[f"carried.{kind}.too-wide"], wide)
    else:
        piece = _drawn(code, title, WORDS[f"carried.{kind}.note"], wide)
    return Group(heading(title, "", wide), None, (piece,), LOOSE)


def _told(text: str, wide: float) -> Piece:
    return Piece("carried", {"text": text, "drawing": "", "width": 0}, _height(text, wide))


def _drawn(code: tuple[Modules, int], title: str, note: str, wide: float) -> Piece:
    modules, version = code
    side = width_mm(version)
    data = {"text": note, "drawing": draw_code(modules, title), "width": side}
    return Piece("carried", data, side + _height(note, wide))


def _height(text: str, wide: float) -> float:
    return lines(text, wide, sizes.SMALL_PT) * sizes.SMALL_LINE + sizes.DUE_GAP
