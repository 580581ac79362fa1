"""Where what stops a shot stands, and who and what goes with the way in instead."""

from __future__ import annotations

import pytest

from fieldsheet.cards.card import card_sides
from fieldsheet.cards.sides import Side
from fieldsheet.cards.sizes import card_of
from tests.cards.cases import still
from tests.cards.sample import LINK, sample

ABORT = "gusts above 10 m/s at the wall, or a wave over the second ring: carry the rig up, then the bags"
PERMIT = "slip of the harbour office, for the week, in the lid of the second case"


def boxes(sides: list[Side]) -> list[tuple[int, set[str]]]:
    """Of every box: its side, from 0, and the kinds of lines in it."""
    return [
        (n, {line["kind"] for line in piece.data})
        for n, side in enumerate(sides)
        for piece in side.stack
        if piece.kind == "limits"
    ]


@pytest.mark.parametrize(("size", "side"), [("A6", 1), ("4x6 in", 1), ("A4", 0), ("letter", 0)])
def test_what_stops_a_shot_stands_on_the_front_where_that_has_room(size: str, side: int) -> None:
    """A shot of three keyframes fills the front of a small card; one of none, that of no card."""
    sheet = sample()
    assert [n for n, _ in boxes(card_sides(sheet, LINK, card_of(size)))] == [side]
    still(sheet)
    assert [n for n, _ in boxes(card_sides(sheet, LINK, card_of(size)))] == [0]


@pytest.mark.parametrize("lines", range(1, 12))
def test_people_and_place_have_no_box_of_their_own(lines: int) -> None:
    sheet = sample() | {"abort": [ABORT] * lines, "permit": PERMIT}
    sheet["crew"] = [{"role": "operator", "who": "Ida"}, {"role": "rigger", "who": "Jon"}]
    sides = card_sides(sheet, LINK, card_of("A6", hole="left"))
    found = boxes(sides)
    assert found and {"people"} not in [kinds for _, kinds in found]
    said = [
        line["text"]
        for side in sides
        for piece in side.stack
        if piece.kind == "limits"
        for line in piece.data
    ]
    said += [piece.text for side in sides for column in side.columns for piece in column]
    for text in ("operator: Ida", "rigger: Jon", f"permit: {PERMIT}"):
        assert sum(text in one for one in said) == 1


def test_where_nothing_stops_a_shot_its_people_stand_in_the_box() -> None:
    sheet = sample() | {"abort": [], "notes": [], "hazards": [], "limits": []}
    sheet["crew"] = [{"role": "operator", "who": "Ida"}]
    assert boxes(card_sides(sheet, LINK, card_of("A6"))) == [(1, {"people"})]
