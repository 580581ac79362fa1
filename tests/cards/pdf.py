"""Reads a finished card with an independent PDF library."""

from __future__ import annotations

import ctypes
from dataclasses import dataclass

import pypdfium2
import pypdfium2.raw as raw
from PIL import Image

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


def chars(document: pypdfium2.PdfDocument, number: int) -> list[Char]:
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
    return out


def words(document: pypdfium2.PdfDocument) -> str:
    """All text of a card with every kind of space squeezed out: what it says, wherever its lines break."""
    return "".join("".join(page.get_textpage().get_text_range().split()) for page in document)


def picture(document: pypdfium2.PdfDocument, number: int, dpi: int) -> Image.Image:
    """A page as it prints, in grey."""
    image: Image.Image = document[number].render(scale=dpi / 72).to_pil().convert("L")
    return image
