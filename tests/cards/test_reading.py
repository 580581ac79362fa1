"""Codes are as large as the distance asks for that they are read from, and tell it; read from rasters.

A camera that sees a page from farther away has as many pixels for more of it: so the page is drawn with
fewer dots, in proportion to the distance that the code tells.
"""

from __future__ import annotations

import re
from typing import NamedTuple

import pypdfium2
import pytest
import zxingcpp

from fieldsheet.cards.cards import card_html, sheet_html
from fieldsheet.cards.render import pdf_of
from fieldsheet.cards.sizes import CODE_BESIDE, card_of, sheet_of
from fieldsheet.catalog.read import Catalog
from fieldsheet.exchange.plaintext import plain_text
from fieldsheet.exchange.qr import read_from
from fieldsheet.press import Planned
from fieldsheet.products import Job
from tests.cards.pdf import card_pdf, picture, side_of
from tests.cards.photo import photo
from tests.cards.sample import LINK, sample

CLEAN_DPI, HARSH_DPI, SEEN_DPI = 150, 300, 200
"""At 30 cm; on which codes are looked for."""
COLUMN = 89.0
"""Of an A4 sheet, in mm."""
CARDS = [
    # Asked and told, cm. The symbol has 41 modules, 49 with the clear zone, for which a column of A6 has
    # 65.5 mm without 22 for words.
    ("A6", 15, 20),
    ("A6", 100, 36),
    ("letter", 60, 60),
]


class Seen(NamedTuple):
    """What a code holds, its middle on a raster of SEEN_DPI (px), its width without clear zone (mm)."""

    text: str
    middle: tuple[float, float]
    width: float


def seen(document: pypdfium2.PdfDocument, number: int) -> list[Seen]:
    found = []
    for code in read(picture(document, number, SEEN_DPI)):
        first, last = code.position.top_left, code.position.bottom_right
        middle = ((first.x + last.x) / 2, (first.y + last.y) / 2)
        found.append(Seen(code.text, middle, (last.x - first.x) / SEEN_DPI * 25.4))
    return found


def read(image: object) -> list[zxingcpp.Barcode]:
    return zxingcpp.read_barcodes(image, formats=zxingcpp.BarcodeFormats(zxingcpp.BarcodeFormat.QRCode))


def assert_read(document: pypdfium2.PdfDocument, number: int, code: Seen, told: int) -> None:
    """From the distance that is told: clean, and turned and tilted under a gleam."""
    clean, harsh = (round(dpi * 30 / told) for dpi in (CLEAN_DPI, HARSH_DPI))
    assert code.text in [one.text for one in read(picture(document, number, clean))]
    page = picture(document, number, harsh)
    x, y = (at * harsh / SEEN_DPI for at in code.middle)
    reach = (code.width / 2 + 12) / 25.4 * harsh
    cut = page.crop((int(x - reach), int(y - reach), int(x + reach), int(y + reach)))
    for view in ("turned", "tilted"):
        (one,) = read(photo(cut, harsh, (reach, reach), view, told))
        assert one.text == code.text


def told_on(document: pypdfium2.PdfDocument, number: int) -> list[int]:
    return [int(cm) for cm in re.findall(r"fromupto(\d+)cm", side_of(document, number))]


@pytest.mark.parametrize(("size", "asked", "told"), CARDS)
def test_the_code_of_a_card_is_read_from_as_far_as_it_tells(size: str, asked: float, told: int) -> None:
    paper = card_of(size, read_cm=asked)
    document = pypdfium2.PdfDocument(card_pdf(sample(), LINK, paper))
    (number,) = (n for n in range(len(document)) if told_on(document, n))
    assert told_on(document, number) == [told]
    (code,) = seen(document, number)
    assert code.text == LINK
    assert_large_enough(code, 41, told)
    assert_read(document, number, code, told)


def test_who_asks_for_more_is_given_no_less(demo: Catalog, demo_planned: Planned) -> None:
    """A full shot in a wide seal has no room for the largest code: then for the next smaller one."""
    sheet = Job(demo, demo_planned).sheet("slipway")
    papers = (card_of("A6", seal=10, read_cm=asked) for asked in (30, 35, 60, 80, 100))
    told = [max(read_from(card_html(sheet, LINK, paper))) for paper in papers]
    assert told == sorted(told) and told[0] == 30


@pytest.mark.parametrize("slack", ["−12.4 s at frame 1204, Sun 12:48 am", f"{'1' * 40} s"])
def test_no_words_beside_a_code_drive_it_off_the_paper(slack: str) -> None:
    sheet = sample()
    sheet["numbers"]["slack"] = slack
    document = pypdfium2.PdfDocument(card_pdf(sheet, LINK, card_of("A6", hole="left", read_cm=100)))
    (number,) = (n for n in range(len(document)) if told_on(document, n))
    assert [code.text for code in seen(document, number)] == [LINK]
    assert "spareperinterval" + slack.replace(" ", "") in side_of(document, number)


def assert_large_enough(code: Seen, modules: int, told: int) -> None:
    """Half a millimetre a module at the least, and in proportion from 30 cm on; a tenth of the distance."""
    assert code.width / modules > 0.5 * max(1, told / 30) - 0.01
    assert code.width > told - 0.4


def test_the_codes_of_a_sheet_take_their_columns_and_tell_what_comes_of_it(
    demo: Catalog, demo_planned: Planned
) -> None:
    """None has the room to be read from 60 cm; that of the page leaves some for its words."""
    job, shot = Job(demo, demo_planned), "clouds"
    html = sheet_html(job.sheet(shot), job.link(shot), sheet_of("A4", 60), job.carry(shot))
    document = pypdfium2.PdfDocument(pdf_of(html))
    found: dict[str, tuple[int, Seen]] = {}
    for number in range(len(document)):
        told = told_on(document, number)
        codes = sorted(seen(document, number) if told else [], key=lambda code: code.middle[::-1])
        found |= {code.text: (cm, code) for cm, code in zip(told, codes, strict=True)}
        for cm, code in zip(told, codes, strict=True):
            assert_read(document, number, code, cm)
    assert set(found) == {job.link(shot), "".join(job.carry(shot)), plain_text(job.sheet(shot))}
    assert found.pop(job.link(shot))[0] == int((COLUMN - CODE_BESIDE) * 37 / 45)
    for cm, code in found.values():
        assert 30 < cm < 60 and 0.9 * COLUMN < code.width < COLUMN
