"""Lines of text on every paper are as far apart as was published; read from the PDF."""

from __future__ import annotations

import ctypes
from collections.abc import Iterator

import numpy as np
import pypdfium2
import pypdfium2.raw as raw
import pytest
from fontTools.pens.boundsPen import BoundsPen
from fontTools.ttLib import TTFont

from fieldsheet.cards.metrics import font_file
from fieldsheet.cards.sizes import Paper, card_of, sheet_of
from tests.cards.cases import days_on_both_clocks, long_words
from tests.cards.pdf import MM, Sheet, card_pdf, chars, sheet_pdf
from tests.cards.sample import LINK, sample

PAPERS = {size: card_of(size) for size in ("A6", "4x6 in", "A5", "A4", "letter")}
PAPERS |= {f"sheet, {size}": sheet_of(size) for size in ("A4", "letter")}
LEAST = 0.25
"""Degani 1992 (NASA CR-177605), rule 9: 25 to 33 % of the type's size; by way of reviews of it."""


def wordy() -> Sheet:
    """A sheet most of whose texts break: title, sightings, limits, items, labels of numbers."""
    sheet = sample()
    long_words(sheet)
    days_on_both_clocks(sheet)
    sheet["notes"] = ["Bags and coats stay left of the ramp: the lens sees the right, all night long"] * 2
    sheet["checklist"] = sheet["checklist"][:2]
    sheet["crew"] = [{"role": f"operator {n}", "who": "somebody with a long name"} for n in range(4)]
    return sheet


def printed(paper: Paper) -> pypdfium2.PdfDocument:
    return pypdfium2.PdfDocument((card_pdf if paper.is_card else sheet_pdf)(wordy(), LINK, paper))


def based(document: pypdfium2.PdfDocument, number: int) -> Iterator[tuple[float, ...]]:
    """Of every visible character: where its ink begins and ends, its baseline and its size, all in pt."""
    text = document[number].get_textpage()
    visible = iter(chars(document, number))
    for n in range(text.count_chars()):
        if text.get_text_range(n, 1).strip() and not raw.FPDFText_IsGenerated(text.raw, n):
            x, y, one = ctypes.c_double(), ctypes.c_double(), next(visible)
            assert raw.FPDFText_GetCharOrigin(text.raw, n, ctypes.byref(x), ctypes.byref(y))
            yield one.left / MM, one.right / MM, y.value, one.points


def leads(document: pypdfium2.PdfDocument) -> dict[float, float]:
    """By size of type (pt) the least way from one baseline to the next of the same size, in sizes."""
    out: dict[float, float] = {}
    for number in range(len(document)):
        left, right, base, points = np.array(list(based(document, number))).T
        above = np.minimum.outer(right, right) > np.maximum.outer(left, left)
        alike = np.abs(np.subtract.outer(points, points)) < 0.1
        apart = np.abs(np.subtract.outer(base, base)) / points
        near = np.where(above & alike & (apart > 0.2), apart, np.inf).min(axis=1)
        for size, lead in zip(np.round(points, 1), near, strict=True):
            out[float(size)] = min(out.get(float(size), np.inf), float(lead))
    return out


@pytest.mark.parametrize("name", PAPERS)
def test_lines_of_every_size_of_type_are_a_quarter_of_it_apart(name: str) -> None:
    """As space beside the type's size, and so all the more from letter to letter."""
    paper = PAPERS[name]
    found = leads(printed(paper))
    body, headings, title = (round(points * paper.scale, 1) for points in (10, 11.5, 14))
    print(name, {size: round(lead, 3) for size, lead in found.items()})
    # Every size that breaks anywhere was seen to.
    assert max(found[size] for size in (body, headings, title)) < 1.4
    assert min(found.values()) >= 1 + LEAST - 0.005
    assert min(found.values()) - max(span(weight) for weight in (400, 600)) >= LEAST


def span(weight: int) -> float:
    """From the foot of a p to the head of a b, in sizes."""
    font = TTFont(font_file(weight))
    glyphs, names, bounds = font.getGlyphSet(), font.getBestCmap(), {}
    for letter in "pb":
        pen = BoundsPen(glyphs)
        glyphs[names[ord(letter)]].draw(pen)
        bounds[letter] = pen.bounds
    return float((bounds["b"][3] - bounds["p"][1]) / font["head"].unitsPerEm)
