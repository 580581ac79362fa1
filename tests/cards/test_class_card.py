"""The card for a class: its values are blank, the answers stand on a second card."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pypdfium2
import pytest

from fieldsheet.cards.cards import class_html
from fieldsheet.cards.class_card import AROUND, BLANK, blank
from fieldsheet.cards.render import pdf_of
from fieldsheet.cards.spec import PrintSpec
from tests.cards.pdf import codes, side_of
from tests.cards.sample import LINK, crowded

SPEC = PrintSpec("A6", "A4", 2, 24, 5.0, "none", None, 30.0)


@pytest.fixture(scope="module")
def cards() -> tuple[dict[str, Any], str, str, pypdfium2.PdfDocument]:
    """The sheet, what the sides with blanks say, what those with answers say, and the PDF."""
    sheet = crowded()
    document = pypdfium2.PdfDocument(pdf_of(class_html(sheet, LINK, SPEC)))
    sides = [side_of(document, number) for number in range(len(document))]
    second = next(n for n, side in enumerate(sides) if n and side.startswith("A") and "answers" in side)
    assert second % 2 == 0
    return sheet, "".join(sides[:second]), "".join(sides[second:]), document


Cards = tuple[dict[str, Any], str, str, pypdfium2.PdfDocument]


def test_what_is_worked_out_is_on_the_second_card_alone(cards: Cards) -> None:
    sheet, asked, told, _ = cards
    figures = [value for key in sheet["keyframes"] for value in (*key["axes"].values(), key["clock"])]
    figures += [sheet["labels"][name] + sheet["numbers"][name] for name in sheet["program"]]
    figures += [one["label"] + one["clock"] for one in sheet["deadlines"]]
    for figure in ("".join(one.split()) for one in figures if len(one) > 3):
        assert figure in told and figure not in asked, figure
    assert all(key["sighting"].replace(" ", "") in asked for key in sheet["keyframes"])


def test_what_stops_the_shot_is_on_the_card_that_is_worked_on(cards: Cards) -> None:
    sheet, asked, _, _ = cards
    stops = [*sheet["abort"], *(one["label"] + one["clock"] for one in sheet["limits"]), *AROUND]
    assert all("".join(one.split()) in asked for one in stops)


def test_the_code_which_opens_the_answers_stands_beside_them(cards: Cards) -> None:
    _, asked, told, document = cards
    found = [n for n in range(len(document)) if codes(document, n, 150)]
    assert len(found) == 1 and "answers" in side_of(document, found[0] - found[0] % 2)
    assert "opensthisplan" in told and "opensthisplan" not in asked


@pytest.mark.parametrize(
    ("value", "left"),
    [("18 s", f"{BLANK} s"), ("766", BLANK), ("19:30", BLANK), ("40 fr", f"{BLANK} fr"), ("+72.1°", BLANK)],
)
def test_a_blank_keeps_its_unit(value: str, left: str) -> None:
    assert blank(value) == left


@pytest.mark.parametrize("size", ["A5", "A4", "letter", "4x6 in"])
def test_it_comes_in_every_size(size: str) -> None:
    html = class_html(crowded(), LINK, replace(SPEC, card=size))
    assert html.count("to work out</h1>") == html.count("answers</h1>") == 1
