"""One file of everything: contents, for each date its sheet and those of its shots, at the end the kit."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from fieldsheet.cards import pages, sizes
from fieldsheet.cards.day import day_sides
from fieldsheet.cards.flow import Group, Piece
from fieldsheet.cards.kit import Kit, kit_sides
from fieldsheet.cards.large import large_sides
from fieldsheet.cards.metrics import lines
from fieldsheet.cards.render import html_of
from fieldsheet.cards.sides import Side, single
from fieldsheet.cards.sizes import Paper
from fieldsheet.sheet.across.day import DayView
from fieldsheet.sheet.words import WORDS

Codes = Mapping[str, tuple[str, Sequence[str] | None]]
"""Shot id -> the address that its printed code opens, and what its codes of the plan hold or None."""


@dataclass(frozen=True)
class _Part:
    """Pages under one line of the contents; `under`: one level below the date that they belong to."""

    text: str
    under: bool
    sheet: Mapping[str, Any]
    sides: Sequence[Side]


def everything_html(catalog: str, days: Sequence[DayView], codes: Codes, kit: Kit, paper: Paper) -> str:
    """All as the HTML that becomes the PDF; `catalog` is its title, `days` come in order.

    Raises NoRoom, in words, where a single text is taller than a page.
    """
    parts = [*(part for day in days for part in _of_day(catalog, day, codes, paper))]
    parts.append(_Part(WORDS["day.kit"], False, {}, kit_sides(catalog, kit, paper)))
    contents = _contents(catalog, parts, paper)
    whole = [_Part(WORDS["day.contents"], False, {}, contents), *parts]
    return html_of("everything.html", title=f"{catalog}: everything", paper=paper, parts=whole)


def _of_day(catalog: str, day: DayView, codes: Codes, paper: Paper) -> Iterator[_Part]:
    night = day.night.night
    yield _Part(night.title, False, {}, day_sides(catalog, day, paper))
    for shot in night.entries:
        sheet = shot.sheet
        text = f"{sheet['letter']} · {sheet['title']} · {sheet['span']}"
        link, carry = codes[shot.id]
        yield _Part(text, True, sheet, large_sides(sheet, link, paper, carry))


def _contents(catalog: str, parts: Sequence[_Part], paper: Paper) -> list[Side]:
    """The pages of the contents; how many they are decides where everything after them begins."""
    count = len(_listed(catalog, parts, 0, paper))
    return _listed(catalog, parts, count, paper)


def _listed(catalog: str, parts: Sequence[_Part], before: int, paper: Paper) -> list[Side]:
    """The contents where `before` pages come before the first part."""
    rows, page = [], before + 1
    for part in parts:
        rows.append(single(_row(part, page, paper)))
        page += len(part.sides)
    return pages.set_out(
        [single(pages.title(catalog, [WORDS["day.contents"]], paper)), *rows],
        list[Group](),
        paper,
        pages.running(catalog, paper),
    )


def _row(part: _Part, page: int, paper: Paper) -> Piece:
    """A line that leads to a page, and names it at its end."""
    room = paper.width - sizes.CONTENTS_PAGE - sizes.CONTENTS_IN * part.under
    high = lines(part.text, room, sizes.ITEM_PT, not part.under) * sizes.ITEM_LINE + sizes.CONTENTS_PAD
    data = {"text": part.text, "page": page, "under": part.under, "room": room}
    return Piece("entry", data, high)
