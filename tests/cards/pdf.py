"""Reads a finished card with an independent PDF library; prints and reads each one only once."""

from __future__ import annotations

import ctypes
import json
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import cache
from typing import Any

import pypdfium2
import pypdfium2.raw as raw
import zxingcpp
from PIL import Image

from fieldsheet.cards.cards import Shot, card_html, combined_html, sheet_html
from fieldsheet.cards.render import pdf_of
from fieldsheet.cards.sizes import CARD, SHEET, Paper
from tests.cards.sample import LINK

MM = 25.4 / 72
# Fira Sans: ascent 935, descent 265 of 1000 units, read from its hhea table.
EM_PER_LOOSE_HEIGHT = 1000 / (935 + 265)


@dataclass(frozen=True)
class Char:
    """A printed character: its ink in mm from the page's top left corner, and its size in pt."""

    char: str
    left: float
    top: float
    right: float
    bottom: float
    points: float


Sheet = dict[str, Any]
Press = Callable[[Sheet, str], bytes]
"""`card_pdf` or `sheet_pdf`."""


def card_pdf(sheet: Sheet, link: str, paper: Paper = CARD) -> bytes:
    """The cards of one shot."""
    return pdf_of(card_html(sheet, link, paper))


def sheet_pdf(sheet: Sheet, link: str, paper: Paper = SHEET) -> bytes:
    """The large sheet of one shot."""
    return pdf_of(sheet_html(sheet, link, paper))


def combined_pdf(title: str, shots: Sequence[Shot], paper: Paper = CARD) -> bytes:
    """The cards of many shots in one file."""
    return pdf_of(combined_html(title, shots, paper))


_made: dict[tuple[Press, str], pypdfium2.PdfDocument] = {}


def made(press: Press, sheet: Sheet, link: str = LINK) -> pypdfium2.PdfDocument:
    """What is printed of a sheet, shared by all tests that print the same: it is always the same bytes."""
    key = press, json.dumps([sheet, link], sort_keys=True)
    if key not in _made:
        _made[key] = pypdfium2.PdfDocument(press(sheet, link))
    return _made[key]


@cache
def chars(document: pypdfium2.PdfDocument, number: int) -> tuple[Char, ...]:
    """Every visible character of a page."""
    page = document[number]
    height = page.get_height()
    text = page.get_textpage()
    out = []
    for n in range(text.count_chars()):
        char = text.get_text_range(n, 1)
        if not char.strip() or raw.FPDFText_IsGenerated(text.raw, n):
            continue
        left, bottom, right, top = text.get_charbox(n)
        loose = raw.FS_RECTF()
        assert raw.FPDFText_GetLooseCharBox(text.raw, n, ctypes.byref(loose))
        out.append(
            Char(
                char,
                left * MM,
                (height - top) * MM,
                right * MM,
                (height - bottom) * MM,
                (loose.top - loose.bottom) * EM_PER_LOOSE_HEIGHT,
            )
        )
    return tuple(out)


def inks(document: pypdfium2.PdfDocument, number: int) -> set[tuple[int, ...]]:
    """What the visible characters of a page are printed in: red, green and blue, each 0 to 255."""
    text = document[number].get_textpage()
    found = set()
    for n in range(text.count_chars()):
        if text.get_text_range(n, 1).strip() and not raw.FPDFText_IsGenerated(text.raw, n):
            parts = [ctypes.c_uint() for _ in range(4)]
            assert raw.FPDFText_GetFillColor(text.raw, n, *map(ctypes.byref, parts))
            found.add(tuple(part.value for part in parts[:3]))
    return found


@cache
def side_of(document: pypdfium2.PdfDocument, number: int) -> str:
    """All text of a page with every kind of space squeezed out."""
    return "".join(document[number].get_textpage().get_text_range().split())


def words(document: pypdfium2.PdfDocument) -> str:
    """All text of a card with every kind of space squeezed out: what it says, wherever its lines break."""
    return "".join(side_of(document, number) for number in range(len(document)))


@cache
def codes(document: pypdfium2.PdfDocument, number: int, dpi: int) -> list[zxingcpp.Barcode]:
    """The codes on a clean page, as an independent decoder sees it."""
    return zxingcpp.read_barcodes(picture(document, number, dpi))


def opened(document: pypdfium2.PdfDocument, number: int) -> set[tuple[str, tuple[float, ...]]]:
    """The addresses that a tap on a page opens, with left, top, right and bottom of where, in mm."""
    page = document[number]
    out, at, link = set(), ctypes.c_int(0), raw.FPDF_LINK()
    while raw.FPDFLink_Enumerate(page.raw, ctypes.byref(at), ctypes.byref(link)):
        action, box = raw.FPDFLink_GetAction(link), raw.FS_RECTF()
        address = ctypes.create_string_buffer(raw.FPDFAction_GetURIPath(document.raw, action, None, 0))
        raw.FPDFAction_GetURIPath(document.raw, action, address, len(address))
        assert raw.FPDFLink_GetAnnotRect(link, ctypes.byref(box))
        ends = sorted((page.get_height() - box.top, page.get_height() - box.bottom))
        where = (box.left, ends[0], box.right, ends[1])
        out.add((address.value.decode(), tuple(round(end * MM) for end in where)))
    return out


def picture(document: pypdfium2.PdfDocument, number: int, dpi: int) -> Image.Image:
    """A page as it prints, in grey."""
    image: Image.Image = document[number].render(scale=dpi / 72).to_pil().convert("L")
    return image
