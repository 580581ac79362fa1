"""The codes of a large sheet: every one of the demo's is read from paper, and what none can hold is said."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

import pypdfium2
import pytest
import zxingcpp
from PIL import Image

from fieldsheet.cards.cards import sheet_html
from fieldsheet.cards.render import pdf_of
from fieldsheet.cards.sizes import SHEET, sheet_of
from fieldsheet.catalog.read import Catalog
from fieldsheet.exchange.carrycode import brief_of, carried
from fieldsheet.exchange.plaintext import plain_text
from fieldsheet.press import Planned
from fieldsheet.products import Job
from tests.cards.pdf import picture
from tests.cards.photo import photo

ADDRESS = "https://example.org/saltings/open/#p="
CLEAN_DPI, HARSH_DPI = 150, 300
AROUND = 60  # px at CLEAN_DPI, a centimetre
VIEWS = ("turned", "tilted")
SHOTS = ("clouds", "hoist", "moonrise", "pole-circle", "slipway", "stone-saw")


def sheet_pdf(job: Job, shot: str) -> pypdfium2.PdfDocument:
    html = sheet_html(job.sheet(shot), job.link(shot), SHEET, job.carry(shot))
    return pypdfium2.PdfDocument(pdf_of(html))


def test_every_shot_of_the_demo_is_read(demo: Catalog) -> None:
    assert set(demo.shots) == set(SHOTS)


@pytest.mark.parametrize("shot", SHOTS)
def test_every_code_of_the_demo_is_read_from_paper(demo: Catalog, demo_planned: Planned, shot: str) -> None:
    """Clean at 150 dpi, and at 300 dpi as a camera sees a laminated sheet under a lamp."""
    job = Job(demo, demo_planned)
    document = sheet_pdf(job, shot)
    whole = demo_planned.plans[shot]
    wanted = {job.link(shot), "".join(job.carry(shot)), plain_text(job.sheet(shot))}
    seen = [code for n in range(len(document)) for code in both_ways(document, n, len(shot))]
    for found in zip(*seen, strict=True):
        assert {code.text for code in found} == wanted
        assert {code.ec_level for code in found} == {"Q"}
    digits = "".join(job.carry(shot)).removeprefix(ADDRESS)
    assert brief_of(digits) == carried({**whole["brief"], "revision": whole["revision"]})


def codes_in(image: Image.Image) -> list[zxingcpp.Barcode]:
    return zxingcpp.read_barcodes(image, formats=zxingcpp.BarcodeFormats(zxingcpp.BarcodeFormat.QRCode))


def both_ways(
    document: pypdfium2.PdfDocument, number: int, seed: int
) -> Iterator[tuple[zxingcpp.Barcode, ...]]:
    """Each code of a page: clean, and turned and tilted under a gleam, with a centimetre around it."""
    codes = codes_in(picture(document, number, CLEAN_DPI))
    page = picture(document, number, HARSH_DPI) if codes else Image.new("L", (1, 1))
    for clean in codes:
        corners = [getattr(clean.position, name) for name in ("top_left", "bottom_right")]
        left, top, right, bottom = (
            HARSH_DPI // CLEAN_DPI * (value + side)
            for corner, side in zip(corners, (-AROUND, AROUND), strict=True)
            for value in (corner.x, corner.y)
        )
        cut = page.crop((left, top, right, bottom))
        middle = (cut.width / 2, cut.height / 2)
        harsh = [codes_in(photo(cut, HARSH_DPI, middle, view, seed)) for view in VIEWS]
        assert [len(found) for found in harsh] == [1, 1], clean.text
        yield (clean, *(found[0] for found in harsh))


def text_of(sheet: Mapping[str, Any], carry: Sequence[str], size: str = "A4") -> str:
    return sheet_html(sheet, "https://example.org/s/#r=K3F7Q2", sheet_of(size), carry)


def test_a_plan_that_no_code_holds_is_said_and_none_is_drawn(demo: Catalog, demo_planned: Planned) -> None:
    sheet = demo_planned.sheets["stone-saw"]
    assert "This plan is too long for a code that can be read from paper" in text_of(sheet, (ADDRESS, ""))
    assert "This plan is too long for a code that can be read from paper" in text_of(
        sheet, (ADDRESS, "7" * 4500)
    )
    assert "This plan is too long" not in text_of(sheet, (ADDRESS, "7" * 2900), "letter")


def test_numbers_that_no_code_holds_are_said(demo: Catalog, demo_planned: Planned) -> None:
    sheet = {**demo_planned.sheets["stone-saw"], "abort": ["gusts " * 60] * 6}
    assert "The numbers are too many for a code" in text_of(sheet, (ADDRESS, ""))


def test_a_long_plan_makes_no_code_for_its_sheet(demo: Catalog, demo_planned: Planned) -> None:
    plan = demo_planned.plans["stone-saw"]
    long = {**plan, "brief": {**plan["brief"], "zero_sighting": "\u96e8" * 900}}
    job = Job(
        demo, Planned(demo_planned.packs, {**demo_planned.plans, "stone-saw": long}, demo_planned.sheets)
    )
    assert job.carry("stone-saw") == (ADDRESS, "")
