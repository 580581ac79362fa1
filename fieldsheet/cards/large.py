"""The sides of the large sheet: everything of a shot, on as few pages as it takes.

First over the whole width what is set, keyed in and watched; then in two columns what is read and ticked.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from fieldsheet.cards import bands, groups, head, sizes
from fieldsheet.cards.flow import Group, flow
from fieldsheet.cards.keys import keys
from fieldsheet.cards.rows import warning
from fieldsheet.cards.sides import Side, height_of, in_pairs, link, single, stacked
from fieldsheet.cards.sizes import SHEET

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


def large_sides(sheet: Sheet, address: str) -> list[Side]:
    """Every page of a shot's large sheet; the code stands on the first one with columns that has room for it.

    Raises ValueError, in words, where the link is too long or a single text taller than a page.
    """
    running = head.running(sheet, SHEET)
    stacks = stacked(list(_stack(sheet)), SHEET, running)
    code = link(sheet, address, SHEET, ())
    left = max(0.0, SHEET.height - height_of(stacks[-1]) - sizes.SECTION_GAP)
    further = SHEET.height - running.height
    coded = 0 if left >= code.height else 1

    def room(column: int) -> float:
        high = further if column > 1 else left
        return high - (code.height if column == 2 * coded + 1 else 0.0)

    columns = flow(list(_columns(sheet)), room, 2, coded + 1)
    columns += [[]] * (2 * coded + 2 - len(columns))
    pairs = in_pairs(columns)
    first = Side(stacks[-1], SHEET.height - left, pairs[0], None if coded else code)
    rest = [
        Side((running,), running.height, pair, code if n == coded else None)
        for n, pair in enumerate(pairs[1:], start=1)
    ]
    return [*(Side(stack) for stack in stacks[:-1]), first, *rest]


def _stack(sheet: Sheet) -> Iterator[Group]:
    """What stands over the whole width, down to the picture of the shot."""
    yield single(head.header(sheet, SHEET))
    stops_first = sorted(sheet["warnings"], key=lambda one: not head.stops(one))
    yield from (single(warning(one, SHEET.width)) for one in stops_first)
    yield from (single(piece) for box in head.limits(sheet, SHEET) for piece in box)
    yield from (single(piece) for piece in head.deadlines(sheet, SHEET))
    yield from keys(sheet, SHEET, sizes.BLANKS[0])
    yield single(bands.program(sheet, SHEET, (*bands.beside_gap(sheet), *MORE)))
    yield single(bands.strip(sheet, SHEET, False))


def _columns(sheet: Sheet) -> Iterator[Group]:
    wide = SHEET.column
    yield from groups.exposure(sheet, wide, True)
    yield from groups.way_in(sheet, wide)
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
