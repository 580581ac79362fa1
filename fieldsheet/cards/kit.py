"""The kit list on paper: each thing once, with a box to tick; then what cards and packs have to hold."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from fieldsheet.cards import pages
from fieldsheet.cards.flow import Group, Piece
from fieldsheet.cards.render import html_of
from fieldsheet.cards.rows import again, heading, item, note, warning
from fieldsheet.cards.sides import Side, single
from fieldsheet.cards.sizes import Paper
from fieldsheet.sheet.across.kit import KitRow
from fieldsheet.sheet.across.shots import NightOf
from fieldsheet.sheet.across.totals import Total, shots_text
from fieldsheet.sheet.words import WORDS


@dataclass(frozen=True)
class Kit:
    """What the list says: of how many shots, things, totals by the title of a night, and between shots."""

    shots: int
    rows: tuple[KitRow, ...]
    by_night: tuple[tuple[str, tuple[Total, ...]], ...]
    between: tuple[Total, ...]


def kit_said(
    shots: int,
    rows: Sequence[KitRow],
    totals: Sequence[tuple[NightOf, Sequence[Total]]],
    between: Sequence[Total],
) -> Kit:
    """From the rows and totals of sheet/across, without their shots."""
    return Kit(
        shots, tuple(rows), tuple((night.title, tuple(some)) for night, some in totals), tuple(between)
    )


def kit_html(catalog: str, kit: Kit, paper: Paper) -> str:
    """The list as the HTML that becomes its PDF; `catalog` is its title.

    Raises NoRoom, in words, where a single text is taller than a page.
    """
    name = f"{WORDS['day.kit']}: {catalog}"
    return html_of("card.html", title=name, paper=paper, shots=[({}, kit_sides(catalog, kit, paper))])


def kit_sides(catalog: str, kit: Kit, paper: Paper) -> list[Side]:
    """Its pages."""
    title = pages.title(WORDS["day.kit"], [f"{shots_text(kit.shots)} · {catalog}"], paper)
    running = pages.running(WORDS["day.kit"], paper)
    return pages.set_out([single(title)], _columns(kit, paper.column), paper, running)


def _columns(kit: Kit, wide: float) -> Iterator[Group]:
    yield from _group(WORDS["day.pack"], [_thing(row, wide) for row in kit.rows], wide)
    by_night = [_total(f"{night}, {one.name}", one, wide) for night, some in kit.by_night for one in some]
    yield from _group(WORDS["day.totals"], by_night, wide)
    yield from _group(WORDS["day.between"], [_total(one.name, one, wide) for one in kit.between], wide)


def _group(title: str, rows: list[Piece], wide: float) -> Iterator[Group]:
    if rows:
        yield Group(heading(title, "", wide), again(title, "", wide), tuple(rows))


def _thing(row: KitRow, wide: float) -> Piece:
    said = " · ".join(filter(None, (row.note, row.needed_by)))
    one = {"path": "", "blank": "", "role": "", "must": row.must, "text": row.text, "value": row.value}
    return item({**one, "note": said}, wide)


def _total(name: str, total: Total, wide: float) -> Piece:
    """Where it is too much, with a bar."""
    if not total.short:
        return note(total.text, wide, name)
    return warning({"level": "mind", "word": name, "head": total.text, "sum": "", "fix": ""}, wide)
