"""The numbers that are keyed in, as the card sets them."""

from __future__ import annotations

import pytest

from fieldsheet.cards.bands import program
from fieldsheet.cards.metrics import width
from fieldsheet.cards.sizes import CARD, SHEET, VALUE_PT, Paper
from tests.cards.sample import sample

ONCE = "18 s, from frame 481 (22:00) 25 s"
LATER = "from frame 149 (20:53) 20 s, from frame 241 (21:23) 24 s, from frame 300 (21:40) 28 s"


@pytest.mark.parametrize("paper", [CARD, SHEET])
@pytest.mark.parametrize(
    ("interval", "large", "below"),
    [("18 s", "18 s", ""), (ONCE, ONCE, ""), (f"14 s, {LATER}", "14 s …", LATER)],
)
def test_an_interval_that_changes_too_often_goes_on_below(
    paper: Paper, interval: str, large: str, below: str
) -> None:
    sheet = sample()
    sheet["numbers"]["interval"] = interval
    piece = program(sheet, paper, ())
    values = [cell["value"] for row in piece.data["rows"] for cell in row]
    further = [pair["value"] for line in piece.data["more"] for pair in line["pairs"]]
    whole = width(interval, VALUE_PT, True) <= paper.width
    assert (interval if whole else large) in values and "14 s" in values
    assert further == ([] if whole or not below else [below])
    assert max(width(value, VALUE_PT, True) for value in values) <= paper.width


def test_two_intervals_stand_whole_on_the_small_card() -> None:
    assert width(ONCE, VALUE_PT, True) <= CARD.width < width(f"14 s, {LATER}", VALUE_PT, True)
