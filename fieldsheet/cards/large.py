"""The sides of the large sheet: everything of a shot, on as few pages as it takes.

First over the whole width what is set, keyed in and watched, and how it moves, though that may stand on the
second page; then in two columns what is read and ticked.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from fieldsheet.cards import bands, groups, head, sizes
from fieldsheet.cards.carried import carried
from fieldsheet.cards.flow import Group, Piece
from fieldsheet.cards.keys import keys
from fieldsheet.cards.metrics import lines, measure
from fieldsheet.cards.pages import headed, set_out
from fieldsheet.cards.rows import warning
from fieldsheet.cards.sides import Side, link, single
from fieldsheet.cards.sizes import Paper
from fieldsheet.sheet.curves_ink import draw_curves
from fieldsheet.sheet.words import WORDS

Sheet = Mapping[str, Any]

MORE = (
    "swap",
    "lost",
    "shutter",
    "duration",
    "clip",
    *("largest_step", "top_speed", "joins", "pace", "change", "blur", "slack"),
    "view",
    "aim_error",
)


def large_sides(sheet: Sheet, address: str, paper: Paper, carry: Sequence[str] | None = None) -> list[Side]:
    """Every page of a shot's large sheet; the code stands on the first one with columns that has room for it.

    carry: what `carried` makes the codes of that hold the plan itself; None leaves them out.

    Raises NoRoom, in words, where the link is too long or a single text taller than a page.
    """
    code = link(sheet, address, paper, ())
    codes = [] if carry is None else carried(sheet, carry, paper.column, paper.read_cm)
    columns = [*_columns(sheet, paper), *codes]
    stack, curves = _stack(sheet, paper), _curves(sheet, paper)
    return set_out(stack, columns, paper, head.running(sheet, paper), code, curves)


def _stack(sheet: Sheet, paper: Paper) -> Iterator[Group]:
    """What stands over the whole width, down to the picture of the shot."""
    yield single(head.header(sheet, paper))
    stops_first = sorted(sheet["warnings"], key=lambda one: not head.stops(one))
    yield from (single(warning(one, paper.width)) for one in stops_first)
    yield from (single(piece) for box in head.limits(sheet, paper) for piece in box)
    yield from (single(piece) for piece in head.deadlines(sheet, paper))
    yield from keys(sheet, paper, sizes.BLANK_WANTED)
    yield single(bands.program(sheet, paper, (*bands.beside_gap(sheet), *MORE)))
    yield single(bands.strip(sheet, paper, False))


def _curves(sheet: Sheet, paper: Paper) -> list[Group]:
    """Where each axis stands and how far it goes, along the same frames as the picture of the shot."""
    if not sheet["curves"]:
        return []
    title, legend = WORDS["curve.title"], WORDS["curve.legend"]
    text = measure(sizes.SMALL_PT, False)
    drawing, height = draw_curves(sheet["curves"], sheet["strip"]["ruler"], text, paper.width, title)
    high = lines(legend, paper.width, sizes.SMALL_PT) * sizes.SMALL_LINE + sizes.VIEW_GAP + height
    piece = Piece("curves", {"text": legend, "drawing": drawing}, high)
    return headed(title, [piece], paper)


def _columns(sheet: Sheet, paper: Paper) -> Iterator[Group]:
    wide = paper.column
    yield from groups.exposure(sheet, wide, True)
    yield from groups.way_in(sheet, wide, head.unboxed(sheet, paper))
    yield from groups.sky(sheet, wide, *sheet["arch_lines"])
    yield from groups.events(sheet, wide)
    yield from groups.needs(sheet, wide)
    yield from groups.frames(sheet, wide)
    yield from groups.better(sheet, wide)
    yield from groups.power(sheet, wide, True)
    yield from groups.air(sheet, wide)
    for name in dict.fromkeys(section["name"] for section in sheet["checklist"]):
        yield from groups.sections(sheet, wide, name)
    yield from groups.log(sheet, wide)
