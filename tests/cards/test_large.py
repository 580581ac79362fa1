"""What the large sheet tells beside its strip: each event once, each need with its verdict."""

from __future__ import annotations

import numpy as np
import pytest

from fieldsheet.cards.groups import frames
from fieldsheet.cards.large import large_sides
from fieldsheet.cards.rows import verdict_mark
from fieldsheet.cards.sizes import BOX, SHEET
from tests.cards.pdf import chars, made, picture, sheet_pdf, side_of, words
from tests.cards.sample import LINK, sample

_DRAWN = ("horizon", "skyline", "plane", "band", "bodies", "path", "meant")
COLUMNS = (SHEET.margin[0], SHEET.margin[0] + SHEET.column + SHEET.gutter)
"""Left edges, mm."""


def test_an_event_of_the_shot_is_told_once_at_the_strip_with_its_frame() -> None:
    printed = words(made(sheet_pdf, sample()))
    assert "sunset20:45frame251" in printed and "frame353civil21:16" in printed
    assert printed.count("20:45") == printed.count("21:16") == 1


@pytest.mark.parametrize(("notes", "page"), [(0, 0), (22, 1)])
def test_where_the_curves_go_on_to_the_next_page_the_columns_begin_before_them(notes: int, page: int) -> None:
    sheet = sample()
    sheet["notes"] = ["the lens sees the right edge, where bags and coats lie"] * notes
    sides = large_sides(sheet, LINK, SHEET)
    kinds = [{piece.kind for piece in side.stack} for side in sides]
    assert "strip" in kinds[0] and "curves" in kinds[page]
    assert all(any(side.columns) for side in sides)


def test_an_event_outside_the_shot_stands_below_the_strip() -> None:
    printed = words(made(sheet_pdf, sample()))
    assert "Beforeandaftersunbehindtheridge19:12·beforeframe1corehighest02:31·aftertheend" in printed
    sheet = sample()
    sheet["sky"] = [one for one in sheet["sky"] if one["name"] == "sunset"]
    assert "Beforeandafter" not in words(made(sheet_pdf, sheet))


@pytest.mark.parametrize(
    ("met", "name", "share"),
    [(True, "moondown", (0.1, 0.35)), (False, "darkfor", (0.55, 0.85)), (None, "lowtide3h", (0.3, 0.6))],
    ids=["met", "not met", "not known"],
)
def test_a_need_shows_its_verdict_by_a_shape(met: bool | None, name: str, share: tuple[float, float]) -> None:
    """A stroke; a black block with a white cross; a ring with nothing in it."""
    document = made(sheet_pdf, sample())
    dpi = 300
    number = next(n for n in range(len(document)) if name in side_of(document, n))
    found = chars(document, number)
    said = "".join(char.char for char in found)
    first = found[said.index(name)]
    # The mark stands at the column's edge, its top 3.1 mm above the baseline.
    left = max(edge for edge in COLUMNS if edge < first.left)
    top = first.bottom - 3.1
    box = [int(mm * dpi / 25.4) for mm in (left, top, left + BOX, top + BOX)]
    ink = np.asarray(picture(document, number, dpi).crop((box[0], box[1], box[2], box[3]))) < 128
    assert share[0] < ink.mean() < share[1]
    third = len(ink) // 3
    assert ink[third:-third, third:-third].any() == (met is not None)


def test_frames_are_drawn_unless_all_are_empty() -> None:
    """One that is empty between others says so; the lines stand in any case."""
    sheet = sample()
    views = sheet["views"] * 2
    nothing = [{**one, **dict.fromkeys(_DRAWN, [])} for one in views]
    counts = []
    for each in (views, [*views[:1], *nothing[1:]], nothing):
        (group,) = frames({**sheet, "views": each}, SHEET.column)
        counts.append([sum(piece.kind == kind for piece in group.pieces) for kind in ("view", "note")])
    told = len(sheet["picture"])
    assert counts == [[len(views), told + 1], [len(views), told + 1], [0, told]]


def test_the_three_verdicts_have_names_for_those_who_hear_them() -> None:
    names = [str(verdict_mark(met)).split("<title>")[1].split("</title>")[0] for met in (True, False, None)]
    assert names == ["met", "not met", "not known"]
