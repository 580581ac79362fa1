"""What of a sheet stands in columns, in groups under their headings, for cards and the large sheet alike."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from fieldsheet.cards.flow import FAST, WHOLE, Group, Piece
from fieldsheet.cards.head import stops
from fieldsheet.cards.rows import (
    BANDED,
    again,
    band_row,
    band_widths,
    fact,
    heading,
    item,
    log_heading,
    log_row,
    log_widths,
    need,
    note,
    view,
    warning,
)
from fieldsheet.sheet.words import WORDS

Sheet = Mapping[str, Any]


def warnings(sheet: Sheet, room: float, stopping: bool) -> list[Group]:
    """Those that stop the shot, or the others; without a heading, since each has its bar."""
    some = tuple(warning(one, room) for one in sheet["warnings"] if stops(one) == stopping)
    return [Group(None, None, some)] if some else []


def sections(sheet: Sheet, room: float, name: str, untold: Sequence[str] = ()) -> list[Group]:
    """The checklist's sections of a name: more than one where it is parted for its length, by `checklists`.

    `untold`: what of a keyframe the item by which it is stored tells, since no row does.
    """
    told = sheet["keyframes"] if name == "keyframes" else []
    said = {
        f"keyframes.{n}.line": " · ".join(filter(None, (key[what] for what in untold)))
        for n, key in enumerate(told)
    }
    return [_section(section, said, room) for section in sheet["checklist"] if section["name"] == name]


def _section(section: Mapping[str, Any], said: Mapping[str, str], room: float) -> Group:
    title, role = section["title"], section["role"]
    # The manner is said once, over the first part of a section that is parted for its length.
    manner = " · ".join(filter(None, (role, "" if section["part"] > 1 else section["manner"])))
    items = tuple(item(_told(one, said), room) for one in section["items"])
    bound = FAST if section["name"] == "ready" else WHOLE
    return Group(heading(title, manner, room), again(title, role, room), items, bound)


def _told(one: Mapping[str, Any], said: Mapping[str, str]) -> Mapping[str, Any]:
    more = said.get(one["path"], "")
    return {**one, "note": " · ".join(filter(None, (one["note"], more)))} if more else one


def way_in(sheet: Sheet, room: float, unboxed: Sequence[str]) -> list[Group]:
    """How one gets there, and of people and place what stands in no box (`head.unboxed`)."""
    told = ("Way in", sheet["access"]), ("People and place", unboxed)
    return [
        group for title, some in told for group in _plain(title, [note(line, room) for line in some], room)
    ]


def sky(sheet: Sheet, room: float, *further: Mapping[str, str]) -> list[Group]:
    """Moon, core, planets and what further lines there is room for: a line each."""
    lines = [*sheet["sky_lines"], *further]
    return _plain("Sky", [note(one["text"], room, one["name"]) for one in lines], room)


def power(sheet: Sheet, room: float, in_full: bool) -> list[Group]:
    """What packs and cards give, in full or in what a small card tells."""
    lines = [one for one in sheet["power"] if in_full or one["brief"]]
    return _plain("Power and storage", [note(one["text"], room, one["name"]) for one in lines], room)


def air(sheet: Sheet, room: float) -> list[Group]:
    """The air as it is expected, and whether glass stays dry in it."""
    return _plain("Dew", [note(one["text"], room, one["name"]) for one in sheet["dew"]], room)


AT_THE_DESK = {WORDS["exposed." + name] for name in ("light", "bases", "longest", "rules")}
"""Of the lines on exposure those that nobody needs beside the rig."""


def exposure(sheet: Sheet, room: float, whole: bool = False) -> list[Group]:
    """What is set at frame 1, how the exposure is turned, and the bands with room for what was really set.

    `whole`: with what only the desk asks.
    """
    exposed = sheet["exposure"]
    if exposed is None:
        return []
    told = [one for one in exposed["lines"] if whole or one["name"] not in AT_THE_DESK]
    facts = _plain("Exposure", [note(one["text"], room, one["name"]) for one in told], room)
    widths = band_widths(exposed["bands"], room)
    heads = (heading("Clicks", "total: since frame 1", room), again("Clicks", "", room))
    first, further = (log_heading(head, widths, BANDED) for head in heads)
    rows = tuple(band_row(one, widths, room) for one in exposed["bands"])
    return [*facts, Group(first, further, rows, WHOLE)]


def events(sheet: Sheet, room: float) -> list[Group]:
    """When what happens outside the shot; the rest is told by the strip, with its frames."""
    outside = (WORDS["line.before"], WORDS["line.after"])
    rows = [
        fact(one["name"], f"{one['clock']} · {one['frame']}", room)
        for one in sheet["sky"]
        if one["frame"] in outside
    ]
    return _plain("Before and after", rows, room)


def needs(sheet: Sheet, room: float) -> list[Group]:
    """What the night must have, and what it has."""
    return _plain("Needs", [need(one, room) for one in sheet["needs"]], room)


def figures(sheet: Sheet, room: float, names: Iterable[str]) -> list[Group]:
    """Numbers that nobody keys in, as far as this shot has them."""
    numbers, labels = sheet["numbers"], sheet["labels"]
    return _plain(
        "Figures", [fact(labels[name], numbers[name], room) for name in names if numbers[name]], room
    )


_SEEN = ("horizon", "skyline", "plane", "band", "bodies", "path", "meant")
"""What is drawn in a frame, by sheet/view.py."""


def frames(sheet: Sheet, room: float) -> list[Group]:
    """What is in the frame, in lines and in a drawing of each keyframe's, if there is anything in one."""
    seen = any(marks[name] for marks in sheet["views"] for name in _SEEN)
    drawn = [view(marks, room) for marks in sheet["views"]] if seen else []
    follows = any(marks["meant"] or marks["path"] for marks in sheet["views"])
    said = [WORDS["view.legend"], *([WORDS["view.target"]] if follows else [])]
    legend = [note(" ".join(said), room)] if drawn else []
    told = [note(one["text"], room, one["name"]) for one in sheet["picture"]]
    return _plain(WORDS["view.title"], [*told, *legend, *drawn], room)


def better(sheet: Sheet, room: float) -> list[Group]:
    """Keyframes with less drift than one's own."""
    lines = [note(one["text"], room, one["name"]) for one in sheet["better"]]
    return _plain(WORDS["better.title"], lines, room)


def log(sheet: Sheet, room: float) -> list[Group]:
    """A line for each time at which the counts of rig and camera are compared."""
    if not sheet["rolling"]:
        return []
    widths = log_widths(sheet["rolling"], room)
    rows = tuple(log_row(one, widths) for one in sheet["rolling"])
    first, further = heading("Counts", "file: after the first", room), again("Counts", "", room)
    return [Group(log_heading(first, widths), log_heading(further, widths), rows)]


def _plain(title: str, rows: Sequence[Piece], room: float) -> list[Group]:
    if not rows:
        return []
    return [Group(heading(title, "", room), again(title, "", room), tuple(rows))]
