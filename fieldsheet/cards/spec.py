"""How cards are printed: what `[print]` asks for, and what is typed at a build before that."""

from __future__ import annotations

from dataclasses import dataclass

from fieldsheet.cards import sizes
from fieldsheet.cards.sizes import Paper


@dataclass(frozen=True)
class PrintSpec:
    """Sizes by name; 24 or 12 hours of a clock on paper; mm kept free along every edge of a card.

    sides: 2 where a card has a back, 1 where each side is a card of its own; hole: the short edge of a front
    that keeps a circle free, "left", "right" or "none"; on: the paper that several cards are cut from, None
    where a card is a page; read_at_cm: from how far the codes are to be read.
    """

    card: str
    sheet: str
    sides: int
    clock_h: int
    seal_mm: float
    hole: str
    on: str | None
    read_at_cm: float

    @property
    def paper(self) -> Paper:
        """The card that is laid out; one cut from a sheet is turned over sideways."""
        mirrored = self.sides == 2 and self.on is not None
        return sizes.card_of(self.card, self.seal_mm, self.hole, mirrored, self.sides, self.read_at_cm)

    @property
    def large(self) -> Paper:
        """The large sheet that is laid out."""
        return sizes.sheet_of(self.sheet, self.read_at_cm)
