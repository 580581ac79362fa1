"""The printed card: what is on it and where, and that nothing is cut, covered or too small."""

from __future__ import annotations

import copy
import io
from collections.abc import Callable, Iterator

import pypdfium2
import pytest
import zxingcpp

from fieldsheet.cards.cards import card_html, card_pdf
from tests.cards.cases import (
    CASES,
    SIDES,
    Sheet,
    days_on_both_clocks,
    five_keys,
    long_words,
    many_items,
    plain,
    slope,
    stopped,
    unbroken,
)
from tests.cards.pdf import MM, Char, chars, picture, words
from tests.cards.sample import LINK, sample

ALLOWANCE_MM = 0.05
EDGE_MM = 5.0


@pytest.fixture(scope="module", params=CASES, ids=lambda case: case.__name__)
def card(request: pytest.FixtureRequest) -> Iterator[tuple[str, Sheet, pypdfium2.PdfDocument]]:
    sheet = copy.deepcopy(sample())
    request.param(sheet)
    document = pypdfium2.PdfDocument(card_pdf(sheet, LINK))
    yield request.param.__name__, sheet, document
    document.close()


Card = tuple[str, Sheet, pypdfium2.PdfDocument]


def test_every_side_is_a6_landscape(card: Card) -> None:
    name, _, document = card
    assert len(document) >= 2
    assert len(document) == SIDES.get(name, len(document))
    for page in document:
        assert page.get_width() * MM == pytest.approx(148, abs=0.1)
        assert page.get_height() * MM == pytest.approx(105, abs=0.1)


def test_every_side_is_one_page(card: Card) -> None:
    """What the flow measured is what the renderer took; else a side would break over two pages."""
    _, sheet, document = card
    assert card_html(sheet, LINK).count('<section class="side">') == len(document)


def test_nothing_is_smaller_than_ten_point(card: Card) -> None:
    for number in range(len(card[2])):
        assert min(char.points for char in chars(card[2], number)) >= 9.99


def test_no_text_reaches_the_sealed_edge(card: Card) -> None:
    for number in range(len(card[2])):
        for char in chars(card[2], number):
            assert char.left >= EDGE_MM and char.right <= 148 - EDGE_MM, char
            assert char.top >= EDGE_MM and char.bottom <= 105 - EDGE_MM, char


def test_no_ink_reaches_the_sealed_edge(card: Card) -> None:
    for number in range(len(card[2])):
        image = picture(card[2], number, 150)
        inset = int(EDGE_MM / 25.4 * 150)
        middle = image.crop((inset, inset, image.width - inset, image.height - inset))
        paper = image.copy()
        paper.paste(255, (inset, inset, inset + middle.width, inset + middle.height))
        assert paper.getextrema() == (255, 255)
        assert middle.getextrema()[0] == 0


def test_no_text_covers_another(card: Card) -> None:
    """Ink boxes of any two characters are apart, but for the hair by which neighbours are kerned."""
    for number in range(len(card[2])):
        found = chars(card[2], number)
        for n, a in enumerate(found):
            for b in found[n + 1 :]:
                wide = min(a.right, b.right) - max(a.left, b.left)
                high = min(a.bottom, b.bottom) - max(a.top, b.top)
                assert wide <= 0.4 or high <= ALLOWANCE_MM, (a, b)


def test_white_paper_lies_between_the_columns_of_a_checklist() -> None:
    sheet = sample()
    many_items(sheet)
    unbroken(sheet)
    document = pypdfium2.PdfDocument(card_pdf(sheet, LINK))
    below = [char for number in range(2, len(document)) for char in chars(document, number) if char.top > 20]
    assert len(below) > 500
    assert not [char for char in below if char.right > 71.1 and char.left < 76.9]


def _page_bytes(document: pypdfium2.PdfDocument, number: int) -> bytes:
    one = pypdfium2.PdfDocument.new()
    one.import_pages(document, [number])
    out = io.BytesIO()
    one.save(out)
    return out.getvalue()


def _side(document: pypdfium2.PdfDocument, number: int) -> str:
    return words(pypdfium2.PdfDocument(_page_bytes(document, number)))


def test_every_text_of_the_sheet_is_printed(card: Card) -> None:
    _, sheet, document = card
    printed = words(document)
    for text in _texts(sheet):
        assert "".join(text.split()) in printed, text


def _texts(sheet: Sheet) -> Iterator[str]:
    yield from (
        sheet[key] for key in ("letter", "title", "place", "when", "span", "pan_zero", "rail", "set_note")
    )
    yield from sheet["numbers"].values()
    yield from sheet["abort"]
    yield from sheet["notes"]
    for axis in sheet["axes"]:
        yield f"{axis['letter']} {axis['unit']}"
    for key in sheet["keyframes"]:
        yield from (
            f"{key['key']}{key['name']}",
            f"on rig: {key['on_rig']}",
            f"frame {key['frame']}",
            key["clock"],
        )
        yield from (*key["axes"].values(), key["sighting"])
    for one in sheet["strip"]["moments"]:
        yield from (one["label"], one["clock"], one["detail"])
    yield from (str(number) for number in sheet["strip"]["ruler"])
    for section in sheet["checklist"]:
        yield section["title"]
        yield section["manner"]
        for each in section["items"]:
            yield from (each["text"], each["note"], each["value"])
    for warning in sheet["warnings"]:
        yield from (warning["head"], warning["sum"], warning["fix"])


def test_keyframes_stand_in_the_order_in_which_they_are_set(card: Card) -> None:
    _, sheet, document = card
    printed = words(document)
    at = [
        printed.index(f"{sheet['keyframes'][n]['key']}{sheet['keyframes'][n]['name']}")
        for n in sheet["set_order"]
    ]
    assert at == sorted(at)


def test_the_program_stands_in_the_order_of_the_rigs_menu() -> None:
    sheet = sample() | {"program": ["frames", "ease", "hold", "dwell", "interval"]}
    printed = words(pypdfium2.PdfDocument(card_pdf(sheet, LINK)))
    assert "frames766ease40frhold1frdwell14sinterval18sfirstframe19:30lastshutter23:20" in printed


@pytest.mark.parametrize("dpi", [300, 150])
def test_the_code_on_the_first_back_opens_this_revision(card: Card, dpi: int) -> None:
    """An independent decoder, on the clean page."""
    found = [
        (number, code.text)
        for number in range(len(card[2]))
        for code in zxingcpp.read_barcodes(picture(card[2], number, dpi))
    ]
    ((number, text),) = found
    assert text == LINK and text.endswith("#r=" + card[1]["revision"])
    printed = _side(card[2], number)
    assert card[1]["revision"] in printed and "opensthisplan" in printed


def test_further_cards_are_numbered(card: Card) -> None:
    _, sheet, document = card
    cards = (len(document) + 1) // 2
    for number in range(2, len(document)):
        side = _side(document, number)
        assert f"card{number // 2 + 1}of{cards}" in side and sheet["revision"] in side


def test_the_first_front_says_revision_and_card(card: Card) -> None:
    """So that the cards of two nights are not mixed up."""
    _, sheet, document = card
    front = _side(document, 0)
    assert f"{sheet['revision']}card1of{(len(document) + 1) // 2}" in front


def test_the_number_on_the_front_costs_no_line() -> None:
    """It stands on a line that is there anyway: the set note's first, or the rail's third."""
    for case in (plain, slope, long_words):
        sheet = sample()
        case(sheet)
        document = pypdfium2.PdfDocument(card_pdf(sheet, LINK))
        found = chars(document, 0)
        number = next(n for n in range(len(found)) if _from(found, n).startswith("K3F7Q2card1of"))
        neighbours = [one for one in found if abs(one.bottom - found[number].bottom) < 0.6 and one.left < 90]
        assert len(neighbours) > 20, case


def _from(found: list[Char], n: int) -> str:
    return "".join(one.char for one in found[n : n + 20])


def test_what_stops_the_shot_is_said_on_the_front_in_a_black_bar() -> None:
    sheet = sample()
    stopped(sheet)
    document = pypdfium2.PdfDocument(card_pdf(sheet, LINK))
    assert "NOGO:2open,seeback" in _side(document, 0)
    found = chars(document, 0)
    letter = next(one for n, one in enumerate(found) if _from(found, n).startswith("NOGO:2"))
    note = next(one for n, one in enumerate(found) if _from(found, n).startswith("SetK3"))
    assert 18 < letter.top < letter.bottom < note.top
    dpi = 150
    y, left, right = ((mm * dpi / 25.4) for mm in (letter.top - 0.8, 7.5, 140.5))
    row = picture(document, 0, dpi).crop((int(left), int(y), int(right), int(y) + 1))
    assert max(row.tobytes()) < 40


def test_what_is_only_to_be_minded_makes_no_bar_on_the_front() -> None:
    document = pypdfium2.PdfDocument(card_pdf(sample(), LINK))
    assert "NO GO" not in words(document) and "Mind:Thelast40frames" in _side(document, 1)


def test_the_back_names_the_level_of_a_warning_and_what_stops_comes_first() -> None:
    sheet = sample()
    stopped(sheet)
    document = pypdfium2.PdfDocument(card_pdf(sheet, LINK))
    assert all(text in _side(document, 1) for text in ("Nogo:Theinterval", "Nogo:K3isoutside"))
    printed = words(document)
    assert printed.index("Nogo:Theinterval") < printed.index("Nogo:K3is") < printed.index("Mind:Thelast40")


def test_the_strip_stays_on_the_front_where_its_lowest_drawing_fits() -> None:
    sheet = sample()
    slope(sheet)
    front = _side(pypdfium2.PdfDocument(card_pdf(sheet, LINK)), 0)
    assert "sunset19:10" in front and "alsocivil19:11,frame31" in front


@pytest.mark.parametrize("case", [plain, slope, days_on_both_clocks, unbroken])
def test_a_gloved_hand_has_five_millimetres_under_each_figure(case: Callable[[Sheet], None]) -> None:
    sheet = sample()
    case(sheet)
    document = pypdfium2.PdfDocument(card_pdf(sheet, LINK))
    dpi = 300
    page = picture(document, 0, dpi)
    figures = [char for char in chars(document, 0) if 13.9 < char.points < 14.1 and char.top > 25]
    assert len(figures) > 15
    for char in figures:
        box = (char.left, char.bottom + 0.2, char.right, char.bottom + 4.9)
        left, top, right, bottom = (int(mm * dpi / 25.4) for mm in box)
        assert min(page.crop((left, top, right, bottom)).tobytes()) > 200, char


def test_a_rig_without_dwell_has_none_on_the_front() -> None:
    sheet = sample() | {"program": ["interval", "frames", "hold", "ease"]}
    assert "dwell" not in _side(pypdfium2.PdfDocument(card_pdf(sheet, LINK)), 0)


def test_long_labels_of_the_program_break_rather_than_cost_a_row() -> None:
    sheet = sample()
    days_on_both_clocks(sheet)
    found = chars(pypdfium2.PdfDocument(card_pdf(sheet, LINK)), 0)
    values = [char for char in found if 16.9 < char.points < 17.1]
    assert len({round(char.bottom) for char in values if char.char.isdigit()}) == 1


def test_a_strip_that_the_front_cannot_hold_stands_on_the_first_back() -> None:
    sheet = sample()
    five_keys(sheet)
    document = pypdfium2.PdfDocument(card_pdf(sheet, LINK))
    first, second = (_side(document, n) for n in (0, 1))
    assert "sunset20:45" not in first and "sunset20:45" in second and "opensthisplan" in second


def test_warnings_still_open_are_on_the_first_back() -> None:
    sheet = sample()
    many_items(sheet)
    document = pypdfium2.PdfDocument(card_pdf(sheet, LINK))
    second = _side(document, 1)
    assert "".join(sheet["warnings"][0]["head"].split()) in second


def test_a_text_taller_than_a_card_is_refused_in_words() -> None:
    sheet = sample()
    sheet["checklist"][0]["items"][0]["text"] = "a very long job " * 100
    with pytest.raises(ValueError, match="a very long job.* does not fit on one side of a card"):
        card_pdf(sheet, LINK)


def test_a_link_too_long_for_the_code_is_refused_in_words() -> None:
    with pytest.raises(ValueError, match="shorten base_url"):
        card_pdf(sample(), "https://example.org/" + "a" * 300)
