"""The bands of exposure on paper: with room for what was really set, and together."""

from __future__ import annotations

from typing import Any

from fieldsheet.cards.card import card_sides
from fieldsheet.cards.large import large_sides
from fieldsheet.cards.sides import Side
from fieldsheet.cards.sizes import CARD, SHEET
from tests.cards.cases import ramped
from tests.cards.sample import LINK, sample


def exposing(bands: int) -> dict[str, Any]:
    sheet = sample()
    ramped(sheet)
    sheet["exposure"]["bands"] = sheet["exposure"]["bands"][:bands]
    return sheet


def banded(side: Side) -> list[tuple[str, ...]]:
    return [piece.data["cells"] for column in side.columns for piece in column if piece.kind == "band"]


def test_the_bands_of_a_dusk_stand_on_one_side_in_order() -> None:
    sheet = exposing(10)
    (cells,) = [found for side in card_sides(sheet, LINK, CARD) if (found := banded(side))]
    assert cells == [(row["frames"], row["clock"], row["total"]) for row in sheet["exposure"]["bands"]]


def test_more_bands_than_a_side_holds_go_on_on_the_next() -> None:
    sheet = exposing(16)
    cells = [cell for side in card_sides(sheet, LINK, CARD) for cell in banded(side)]
    assert len(cells) == 16 and cells == sorted(cells, key=lambda cell: int(cell[0].split("–")[0]))


def test_every_band_has_a_line_of_its_own_to_write_on() -> None:
    rows = [
        piece
        for side in card_sides(exposing(16), LINK, CARD)
        for column in side.columns
        for piece in column
        if piece.kind == "band"
    ]
    assert all(piece.data["widths"][3] > 18 for piece in rows)


def test_what_only_the_desk_asks_stands_on_the_large_sheet_alone() -> None:
    sheet = exposing(4)
    told = [
        {
            piece.data["lead"]
            for side in sides
            for column in side.columns
            for piece in column
            if piece.kind == "note"
        }
        for sides in (card_sides(sheet, LINK, CARD), large_sides(sheet, LINK, SHEET))
    ]
    assert "bases" not in told[0] and "bases" in told[1]
    assert "star trails" in told[0] & told[1]
