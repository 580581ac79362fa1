"""Cards cut from sheets: front and back coincide when a sheet is turned over on its long edge."""

from __future__ import annotations

from decimal import Decimal
from itertools import pairwise

import numpy as np
import pypdfium2
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.typing import NDArray

from fieldsheet.cards.cards import all_printed_html
from fieldsheet.cards.impose import GAP, NO_CUT, Line, Slot, cut_marks, faces, mirrored, slots_of
from fieldsheet.cards.render import pdf_of
from fieldsheet.cards.sides import Side
from fieldsheet.cards.sizes import card_of, sheet_of
from fieldsheet.cards.spec import PrintSpec
from fieldsheet.catalog.models.printing import Printing, asked_of
from fieldsheet.catalog.names import CUT_CARDS, PRINT_CARDS, PRINT_SHEETS
from tests.cards.sample import LINK, sample

BOTH = [(card, on) for card in CUT_CARDS for on in PRINT_SHEETS]
DPI = 300
DOT = 25.4 / DPI
Gray = NDArray[np.bool_]


def spec(**asked: object) -> PrintSpec:
    return PrintSpec(**asked_of(Printing(), asked))


@pytest.mark.parametrize(
    ("card", "on", "count"),
    # ISO 216: each size is half of the next; the others by division.
    [
        ("A6", "A4", 4),
        ("A5", "A4", 2),
        ("4x6 in", "A4", 2),
        ("A6", "letter", 2),
        ("A5", "letter", 1),
        ("4x6 in", "letter", 2),
    ],
)
def test_as_many_stand_on_a_sheet_as_go_on_it(card: str, on: str, count: int) -> None:
    assert len(slots_of(card_of(card).page, sheet_of(on).page)) == count


def test_every_card_that_may_be_cut_and_no_other_can_be_laid_out() -> None:
    for card in PRINT_CARDS:
        assert spec(card=card).paper.page == card_of(card).page
    for card in set(PRINT_CARDS) - set(CUT_CARDS):
        with pytest.raises(ValueError, match="right: cards of 'A6', 'A5' or '4x6 in'"):
            spec(card=card, on="A4")
    with pytest.raises(ValueError, match="cards of 297 by 210 mm on a sheet of 215"):
        slots_of(card_of("A4").page, sheet_of("letter").page)


def inside(slot: Slot, line: Line, by: float) -> bool:
    """Whether a stroke comes farther than `by` mm into a card."""
    x1, y1, x2, y2 = line
    across = min(x2, slot.left + slot.width - by) - max(x1, slot.left + by)
    down = min(y2, slot.top + slot.height - by) - max(y1, slot.top + by)
    return across >= 0 and down >= 0


@given(
    st.floats(60, 210),
    st.floats(50, 297),
    st.sampled_from(PRINT_SHEETS),
)
def test_slots_lie_on_the_sheet_apart_and_their_marks_on_their_edges(
    width: float, height: float, on: str
) -> None:
    page = sheet_of(on).page
    try:
        slots = slots_of((width, height), page)
    except ValueError:
        assert width > page[0] or height > page[1]
        return
    for slot in slots:
        assert slot.left >= -1e-6
        assert slot.top >= -1e-6
        assert slot.left + slot.width <= page[0] + 1e-6
        assert slot.top + slot.height <= page[1] + 1e-6
        assert sorted((slot.width, slot.height)) == sorted((width, height))
    for one, other in pairwise(slots):
        apart = (other.left - one.left - one.width, other.top - one.top - one.height)
        assert max(apart) == pytest.approx(0, abs=1e-6) or max(apart) == pytest.approx(GAP)
    for face in (slots, [mirrored(slot, page) for slot in slots]):
        marks = list(cut_marks(face, page))
        for slot in face:
            for axis, low, long in ((0, slot.left, slot.width), (1, slot.top, slot.height)):
                for edge in (low, low + long):
                    along = [line[axis] for line in marks if line[axis] == line[axis + 2]]
                    near = min((abs(edge - at) for at in along), default=99.0)
                    assert near < 0.01 or not NO_CUT < edge < page[axis] - NO_CUT
        assert not [1 for line in marks for slot in face if inside(slot, line, 0.01)]


@given(st.integers(1, 9), st.sampled_from(BOTH), st.sampled_from((1, 2)))
def test_behind_each_side_stands_its_own_back(sides: int, size: tuple[str, str], both: int) -> None:
    card, on = size
    asked = spec(card=card, on=on, sides=both)
    page = sheet_of(on).page
    out = faces([({}, [Side(())] * sides)], asked.paper, sheet_of(on), both)
    numbers = [one.number for face in out for one in face.printed]
    assert sorted(numbers) == list(range(1, sides + 1))
    if both == 1:
        assert numbers == sorted(numbers)
        assert {one.turn_deg for face in out for one in face.printed} in ({0}, {90})
        return
    assert len(out) % 2 == 0
    for front, back in zip(out[::2], out[1::2], strict=True):
        stood = {one.number: one for one in front.printed}
        for one in back.printed:
            partner = stood[one.number - 1]
            assert mirrored(partner.slot, page) == one.slot
            assert one.turn_deg == -partner.turn_deg
        turned = {rounded((page[0] - x2, y1, page[0] - x1, y2)) for x1, y1, x2, y2 in front.marks}
        assert turned == {rounded(line) for line in back.marks}


def rounded(line: Line) -> tuple[float, ...]:
    return tuple(round(one, 3) + 0.0 for one in line)


def ink(document: pypdfium2.PdfDocument, number: int) -> Gray:
    return np.asarray(document[number].render(scale=DPI / 72, grayscale=True).to_numpy()).squeeze() < 160


def ends(dark: Gray, line: Line) -> tuple[float, float]:
    """Where the ink of a mark begins and how far it lies to the right of or below the paper's edge, in mm."""
    x1, y1, x2, y2 = line
    near = 1.0
    left, right = (round(x / DOT) for x in (x1 - near, x2 + near))
    top, bottom = (round(y / DOT) for y in (y1 - near, y2 + near))
    rows, columns = np.nonzero(dark[top : bottom + 1, left : right + 1])
    return (left + columns.mean() + 0.5) * DOT, (top + rows.mean() + 0.5) * DOT


@pytest.mark.parametrize(("card", "on"), [("A6", "A4"), ("4x6 in", "letter")])
def test_marks_of_front_and_turned_back_coincide_on_the_page(card: str, on: str) -> None:
    """Measured on pages of 300 dots an inch: every mark within 0.2 mm of where it is cut, on both faces."""
    asked = spec(card=card, on=on, hole="left", clock_h=12)
    slots = slots_of(asked.paper.page, sheet_of(on).page)
    document = pypdfium2.PdfDocument(
        pdf_of(all_printed_html("two", [(sample(), LINK)] * (len(slots) // 2), asked))
    )
    page = sheet_of(on).page
    front, back = ink(document, 0), ink(document, 1)
    for line in cut_marks(slots, page):
        x1, y1, x2, y2 = line
        seen = ends(front, line)
        behind = ends(back[:, ::-1], line)
        assert seen == pytest.approx(((x1 + x2) / 2, (y1 + y2) / 2), abs=0.2)
        assert behind == pytest.approx(seen, abs=0.2)
    free = round((asked.seal_mm - 0.1) / DOT)
    worst = 0
    for face in (front, back[:, ::-1]):
        for slot in slots:
            left, top = round(slot.left / DOT), round(slot.top / DOT)
            right, bottom = round((slot.left + slot.width) / DOT), round((slot.top + slot.height) / DOT)
            on_card = face[top:bottom, left:right].copy()
            # The marks of shared cuts stand on the very edge of a card: a stroke of 0.2 mm.
            rim = round(0.25 / DOT)
            on_card = on_card[rim:-rim, rim:-rim]
            on_card[free - rim : rim - free, free - rim : rim - free] = False
            worst = max(worst, int(on_card.sum()))
            # The card's left end is up where it is turned; there a circle is kept free.
            middle = (
                (slot.left + slot.width / 2, slot.top + 7)
                if slot.is_turned
                else (slot.left + 7, slot.top + slot.height / 2)
            )
            down, across = np.ogrid[: face.shape[0], : face.shape[1]]
            assert not face[np.hypot(across * DOT - middle[0], down * DOT - middle[1]) < 4.9].any()
    assert worst == 0


def test_what_is_typed_goes_before_the_catalog_and_defaults_fill_the_rest() -> None:
    printing = Printing(card="A5", seal_mm=Decimal(6), hole="right", read_at_cm=Decimal(45))
    typed = {"card": "A6", "hole": None, "sides": 1}
    expected = PrintSpec("A6", "A4", 1, 24, 6.0, "right", None, 45.0)
    assert PrintSpec(**asked_of(printing, typed)) == expected
