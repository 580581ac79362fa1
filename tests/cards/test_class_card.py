"""The card for a class: its values are blank, the answers stand on a second card."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pypdfium2
import pytest

from fieldsheet.cards.card import card_sides
from fieldsheet.cards.cards import class_html
from fieldsheet.cards.class_card import AROUND, BLANK, answers, blank, blanked
from fieldsheet.cards.render import pdf_of
from fieldsheet.cards.sizes import CARD
from fieldsheet.cards.spec import PrintSpec
from fieldsheet.sheet.glue import NBSP
from fieldsheet.sheet.words import WORDS, say
from tests.cards.pdf import codes, side_of
from tests.cards.sample import LINK, crowded, sample

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


def test_the_way_back_to_the_first_keyframe_does_not_give_it_away() -> None:
    past = say("set.back", {"past": "by way of P −27.0° · T +10.0°"}, ())
    before, after = "Set K1 first, K3 last, then drive back to K1: about 41 s.", WORDS["set.reversed"]
    note = {"set_note": f"{before} {past} {after}"}
    assert blanked(sample() | note)["set_note"] == f"{before} {after}"
    assert answers(sample() | note)["set_note"] == note["set_note"]


def test_what_stops_the_shot_is_on_the_card_that_is_worked_on(cards: Cards) -> None:
    sheet, asked, _, _ = cards
    stops = [*sheet["abort"], *(one["clock"] + one["label"] for one in sheet["limits"]), *AROUND]
    assert all("".join(one.split()) in asked for one in stops)


def test_whoever_works_a_card_out_has_a_line_for_the_name(cards: Cards) -> None:
    _, asked, told, _ = cards
    assert f"workedoutby:{BLANK * 3}" in asked and "workedoutby" not in told


def test_the_code_which_opens_the_answers_stands_beside_them(cards: Cards) -> None:
    _, asked, told, document = cards
    found = [n for n in range(len(document)) if codes(document, n, 150)]
    assert len(found) == 1 and "answers" in side_of(document, found[0] - found[0] % 2)
    assert "opensthisplan" in told and "opensthisplan" not in asked


def test_the_card_with_the_blanks_is_one_and_keeps_no_room_for_a_code(cards: Cards) -> None:
    _, asked, _, document = cards
    assert "card1of1" in asked and "position" not in asked
    sheet = sample()
    for count in range(12):
        sheet["access"] = ["by the lifeboat house, then along the wall"] * count
        bare, coded = (card_sides(sheet, address, CARD) for address in (None, LINK))
        assert len(bare) <= len(coded) and not any(side.code for side in bare)


@pytest.mark.parametrize(
    ("value", "left"),
    [("18 s", f"{BLANK} s"), ("766", BLANK), ("19:30", BLANK), ("40 fr", f"{BLANK} fr"), ("+72.1°", BLANK)],
)
def test_a_blank_keeps_its_unit(value: str, left: str) -> None:
    assert blank(value) == left


@pytest.mark.parametrize("size", ["A5", "A4", "letter", "4x6 in"])
def test_it_comes_in_every_size(size: str) -> None:
    html = class_html(crowded(), LINK, replace(SPEC, card=size)).replace(NBSP, " ")
    assert html.count("to work out</h1>") == html.count("answers</h1>") == 1
