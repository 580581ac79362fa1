"""How a keyframe is driven to: told on the card where it is stored, on the sheet in its own row."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from fieldsheet.cards.card import card_sides
from fieldsheet.cards.large import large_sides
from fieldsheet.cards.sides import Side
from fieldsheet.cards.sizes import CARD, SHEET
from fieldsheet.sheet.sheet import make_sheet
from fieldsheet.terminal.page import plan_page
from tests.cards.sample import LINK


def _pieces(sides: Iterable[Side], kind: str) -> list[Any]:
    stacks = (stack for side in sides for stack in (side.stack, *side.columns))
    return [piece.data for stack in stacks for piece in stack if piece.kind == kind]


def test_each_keyframe_is_approached_the_way_it_runs_wherever_it_is_told(demo_plan: dict[str, Any]) -> None:
    """Set last-to-first, every one of them comes back from beyond; in the order in which they are set."""
    sheet = make_sheet(demo_plan)
    approaches = [sheet["keyframes"][index]["approach"] for index in sheet["set_order"]]
    assert len(approaches) == 3 and all(text.startswith("by way of ") for text in approaches)
    notes = [
        item["note"] for item in _pieces(card_sides(sheet, LINK, CARD), "item") if "by way of" in item["note"]
    ]
    assert [note.partition("by way of")[2] for note in notes] == [
        text.partition("by way of")[2] for text in approaches
    ]
    rows = _pieces(large_sides(sheet, LINK, SHEET), "key")
    assert [row["words"][0].replace("\u00a0", " ") for row in rows] == approaches
    page = plan_page(sheet, {})
    assert all(text in page for text in (*approaches, sheet["set_note"]))
