"""The sheet of a date: who is where when, across its shots; then the night by the clock, shots, ways, sky."""

from __future__ import annotations

from base64 import b64decode
from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from fieldsheet.cards import pages, sizes
from fieldsheet.cards.flow import WHOLE, Group, Piece
from fieldsheet.cards.head import stops
from fieldsheet.cards.metrics import measure
from fieldsheet.cards.render import html_of
from fieldsheet.cards.rows import again, heading, note, warning
from fieldsheet.cards.sides import Side, single
from fieldsheet.cards.sizes import Paper
from fieldsheet.sheet.across.day import DayView, day_view
from fieldsheet.sheet.across.day_ink import Paper as Canvas
from fieldsheet.sheet.across.day_ink import draw_hours, draw_lane, draw_light
from fieldsheet.sheet.across.night import Moment
from fieldsheet.sheet.across.shots import NightOf
from fieldsheet.sheet.across.totals import shots_text
from fieldsheet.sheet.glue import NBSP
from fieldsheet.sheet.words import WORDS
from fieldsheet.sky.pack import read_pack
from fieldsheet.sky.sky import Sky

Sheet = Mapping[str, Any]

_PAD = 0.15
"""Above and below a row, in mm: a date should stand on one page, which spreads its rows if it can."""


def night_html(
    catalog: str, night: NightOf, clashes: Sequence[str], packs: Mapping[str, str], paper: Paper
) -> str:
    """The same of a date's shots and what collides in it, in words; `packs`: its sky by year, in base 64.

    What the date brings is looked for in the sky here, which takes time.
    """
    sky = Sky([read_pack(b64decode(letters)) for letters in packs.values()])
    return day_html(catalog, day_view(night, {night.date: clashes}, sky), paper)


def day_html(catalog: str, view: DayView, paper: Paper) -> str:
    """The sheet of a date as the HTML that becomes its PDF; `catalog` is its title.

    Raises NoRoom, in words, where a single text is taller than a page.
    """
    name = f"{view.night.night.title}: who is where, {catalog}"
    return html_of("card.html", title=name, paper=paper, shots=[({}, day_sides(catalog, view, paper))])


def day_sides(catalog: str, view: DayView, paper: Paper) -> list[Side]:
    """Its pages."""
    running = pages.running(view.night.night.title, paper)
    return pages.set_out(_stack(catalog, view, paper), _columns(view, paper.column), paper, running)


def _stack(catalog: str, view: DayView, paper: Paper) -> Iterator[Group]:
    places = " · ".join(light.place for light in view.lights)
    under = f"{shots_text(len(view.night.night.entries))} · {places} · {catalog}"
    yield single(pages.title(view.night.night.title, [under], paper))
    for clash in view.night.clashes:
        yield single(_clash(clash, paper.width))
    yield from pages.headed(WORDS["day.title"], [pages.told(_legend(view), paper)], paper)
    canvas = Canvas(view, measure(sizes.SMALL_PT, False), paper.width)
    hours = pages.drawn(draw_hours(canvas), "hours")
    lanes = tuple(pages.drawn(draw_lane(canvas, lane), lane.who) for lane in view.lanes)
    yield Group(pages.drawn(draw_light(canvas), "light"), hours, lanes)


def _legend(view: DayView) -> str:
    """How the drawing is read, and whose hours it shows."""
    return " ".join(filter(None, (WORDS["day.legend"], view.zone_of)))


def _clash(text: str, room: float) -> Piece:
    """What collides, as weighty as what stops a shot."""
    return warning({"level": "no-go", "word": WORDS["day.clash"], "head": text, "sum": "", "fix": ""}, room)


def _columns(view: DayView, wide: float) -> Iterator[Group]:
    one_place = len(view.lights) == 1
    yield from _group(
        WORDS["day.clock"], [_moment(moment, one_place, wide) for moment in view.night.moments], wide
    )
    ways = [note(text, wide, who, _PAD) for who, text in view.legs]
    ways += [note(text, wide, "", _PAD) for text in view.apart]
    yield from _group(WORDS["day.ways"], ways, wide)
    told: dict[tuple[str, str], str] = {}
    for shot in view.night.night.entries:
        yield _shot(shot.sheet, told, wide)
    lines = [
        note(line["text"], wide, line["name"] if one_place else f"{place}: {line['name']}", _PAD)
        for place, told in view.night.sky.items()
        for line in told
    ]
    yield from _group(WORDS["day.sky"], lines, wide)


def _group(title: str, rows: list[Piece], wide: float) -> Iterator[Group]:
    if rows:
        yield Group(heading(title, "", wide), again(title, "", wide), tuple(rows))


def _moment(moment: Moment, one_place: bool, wide: float) -> Piece:
    """A time, whose rig it concerns, what falls due, and of which shot, or where.

    The only place of a date need not be said, nor the shots where the letters of their rigs tell them.
    """
    is_told = one_place if not moment.letter else " " in moment.letter
    where = "" if is_told else moment.shot
    text = " · ".join(filter(None, (moment.letter, moment.what, where)))
    return note(text, wide, moment.clock, _PAD)


_OF_A_PLACE = ("place", "way in", "permit", "mind")


def _shot(sheet: Sheet, told: dict[tuple[str, str], str], wide: float) -> Group:
    """What a shot is, who is on it, what binds it, how one gets there; what stops it first.

    told: what was said of places, and by which shot; said again, it is only named. What is new goes there.
    """
    bars = [warning(one, wide) for one in sheet["warnings"] if stops(one)]
    people = " · ".join(f"{one['role']} {one['who']}" for one in sheet["crew"]) or WORDS["day.nobody"]
    limits = " · ".join(f"{one['clock']} {one['label']}" for one in sheet["limits"])
    said = {
        "": f"{sheet['span']} · {sheet['rig']} · {sheet['camera']}",
        "people": people,
        "with the rig": sheet["stays"],
        "by the clock": limits,
        "place": " · ".join(filter(None, (sheet["place"], sheet["position"].replace("° ", f"°{NBSP}")))),
        "way in": " · ".join(sheet["access"]),
        "permit": sheet["permit"],
        "mind": " · ".join(sheet["hazards"]),
        "stop if": " · ".join(sheet["abort"]),
        "note": " · ".join(sheet["notes"]),
    }
    title = f"{sheet['letter']} · {sheet['title']}"
    alike: dict[str, list[str]] = {}
    for lead in _OF_A_PLACE:
        first = told.setdefault((lead, said[lead]), title)
        if first != title and said[lead]:
            alike.setdefault(first, []).append(lead)
    again_said = {lead for leads in alike.values() for lead in leads}
    rows = [note(text, wide, lead, _PAD) for lead, text in said.items() if text and lead not in again_said]
    rows += [note(f"as for {first}", wide, ", ".join(leads), _PAD) for first, leads in alike.items()]
    return Group(heading(title, "", wide), again(title, "", wide), (*bars, *rows), WHOLE)
