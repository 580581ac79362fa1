"""The pieces of a column, each with the height that it takes in `room` mm of width."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from markupsafe import Markup

from fieldsheet.cards import sizes
from fieldsheet.cards.flow import Piece
from fieldsheet.cards.head import stops
from fieldsheet.cards.metrics import lines, measure, width
from fieldsheet.sheet import svg
from fieldsheet.sheet.view_ink import draw_view


def heading(title: str, manner: str, room: float) -> Piece:
    """A section's title, and at the end of its line, or under it, who does it and in what manner."""
    beside = width(title, sizes.HEAD_PT, True) + width(manner, sizes.SMALL_PT) + sizes.BOX_GAP <= room
    count = lines(title, room, sizes.HEAD_PT, True)
    under = 0.0 if beside or not manner else lines(manner, room, sizes.SMALL_PT) * sizes.SMALL_LINE
    height = sizes.SECTION_GAP + count * sizes.HEAD_LINE + under + sizes.SECTION_RULE + sizes.ITEM_PAD
    return Piece("heading", {"title": title, "manner": manner, "beside": beside}, height, sizes.SECTION_GAP)


def again(title: str, who: str, room: float) -> Piece:
    """What stands over a section's rest in another column."""
    text = " · ".join(filter(None, (f"{title}, continued", who)))
    return Piece("again", text, lines(text, room, sizes.SMALL_PT) * sizes.SMALL_LINE + sizes.ITEM_PAD)


def item(one: Mapping[str, Any], room: float) -> Piece:
    """A tick box, the words, and the value at the row's end or a line to write one on.

    Dots lead from the words to the value: CAP 676, Issue 3 (2006), asks for them, Degani 1992 for a small gap
    between challenge and response. A long value takes lines of its own, and so does one that the words leave
    no room for in their only line, or a line to write on. What a keyframe is set to stands in the table of
    the keyframes, with its blanks, and is not said twice.
    """
    inner = room - sizes.BOX - sizes.BOX_GAP
    tabled = one["path"].startswith("keyframes.") and one["path"].endswith(".line")
    value, blank = ("", "") if tabled else (one["value"], one["blank"])
    must = one["must"]
    note = " · ".join(filter(None, (one["role"], one["note"])))
    wide = width(value, sizes.ITEM_PT, True) if value else 0.0
    text_room = inner - wide - sizes.BOX_GAP
    beside = bool(value) and wide <= sizes.VALUE_MOST
    beside = beside and lines(one["text"], text_room, sizes.ITEM_PT, must) == 1
    text_room = text_room if beside else inner
    text = width(one["text"], sizes.ITEM_PT, must)
    write = width(blank, sizes.ITEM_PT) if blank else 0.0
    joined = bool(blank) and not value and text + write + sizes.WRITE_LEAST + 2 * sizes.BOX_GAP <= inner
    height = lines(one["text"], text_room, sizes.ITEM_PT, must) * sizes.ITEM_LINE
    height += lines(value, inner, sizes.ITEM_PT, True) * sizes.ITEM_LINE if value and not beside else 0.0
    height += 0.0 if joined or not blank else sizes.ITEM_LINE
    height += sizes.BLANK_ABOVE if blank else 0.0
    height += lines(note, inner, sizes.SMALL_PT) * sizes.SMALL_LINE if note else 0.0
    data = {
        "must": must,
        "text": one["text"],
        "note": note,
        "value": value,
        "beside": beside,
        "blank": blank,
        "joined": joined,
        "text_width": min(text_room, text + 0.2),
        "value_width": wide,
        "blank_width": write,
    }
    return Piece("item", data, max(height, sizes.BOX) + 2 * sizes.ITEM_PAD)


def warning(one: Mapping[str, Any], room: float) -> Piece:
    """The level in a word before the consequence; what stops the shot has the heavier bar."""
    inner = room - sizes.BAR - sizes.BAR_PAD
    head = f"{one['word']}: {one['head']}"
    small = sum(lines(one[key], inner, sizes.SMALL_PT) for key in ("sum", "fix") if one[key])
    height = lines(head, inner, sizes.ITEM_PT, True) * sizes.ITEM_LINE + small * sizes.SMALL_LINE
    data = {"head": head, "sum": one["sum"], "fix": one["fix"], "stops": stops(one)}
    return Piece("warning", data, height + sizes.WARNING_GAP)


def note(text: str, room: float, lead: str = "", pad: float = sizes.ITEM_PAD) -> Piece:
    """A plain line, after a semibold word that says what it is about.

    pad: what it has above and below it, in mm.
    """
    whole = f"{lead}n {text}" if lead else text
    height = lines(whole, room, sizes.SMALL_PT) * sizes.SMALL_LINE + 2 * pad
    return Piece("note", {"lead": lead, "text": text, "pad": pad}, height)


def fact(label: str, value: str, room: float) -> Piece:
    """A label and, at the row's end or below it, its value."""
    beside = width(label, sizes.ITEM_PT) + width(value, sizes.ITEM_PT, True) + sizes.BOX_GAP <= room
    count = lines(label, room, sizes.ITEM_PT)
    count += 0 if beside else lines(value, room, sizes.ITEM_PT, True)
    data = {"label": label, "value": value, "beside": beside}
    return Piece("fact", data, count * sizes.ITEM_LINE + 2 * sizes.ITEM_PAD)


def need(one: Mapping[str, Any], room: float) -> Piece:
    """A fact about the night after the mark of its verdict: met, not met or not known, told by its shape."""
    plain = fact(one["name"], one["verdict"], room - sizes.BOX - sizes.BOX_GAP)
    return Piece("need", {**plain.data, "mark": verdict_mark(one["met"])}, plain.height)


def verdict_mark(met: bool | None) -> Markup:
    """A tick; a cross on a black block; an empty ring. As large as a box to tick."""
    size, middle, stroke = sizes.BOX, sizes.BOX / 2, 0.6
    if met is None:
        ring = svg.tag(
            "circle",
            cx=middle,
            cy=middle,
            r=middle - stroke,
            fill="none",
            stroke="#000",
            stroke_width=stroke,
        )
        return svg.svg(size, size, "not known", [ring])
    if met:
        points = [(0.1, 0.55), (0.38, 0.83), (0.9, 0.17)]
        return svg.svg(size, size, "met", [svg.line([(x * size, y * size) for x, y in points], stroke)])
    near, far = 0.9, size - 0.9
    cross = [[(near, near), (far, far)], [(near, far), (far, near)]]
    block = svg.block(0.2, 0.2, size - 0.4, size - 0.4, "#000")
    return svg.svg(size, size, "not met", [block, *(svg.line(arm, stroke, "#fff") for arm in cross)])


def view(marks: Mapping[str, Any], room: float) -> Piece:
    """A keyframe's frame as it will be seen, under its caption."""
    caption = marks["caption"]
    text = measure(sizes.SMALL_PT, False)
    drawing, height = draw_view(marks, text, min(room, sizes.VIEW_HIGHEST * marks["aspect"]), caption)
    words = lines(caption, room, sizes.SMALL_PT, True) * sizes.SMALL_LINE
    data = {"text": caption, "drawing": drawing}
    return Piece("view", data, words + height + sizes.VIEW_GAP)


_LOGGED = ("clock", "frame", "file", "rig", "camera")


def log_widths(some: Sequence[Mapping[str, Any]], room: float) -> tuple[float, ...]:
    """The columns of a log: three printed ones, two to write in, which share what is left of `room` mm."""
    printed = [
        max(width(text, sizes.SMALL_PT) for text in (name, *(one[name] for one in some))) + sizes.LOG_AIR
        for name in _LOGGED[:3]
    ]
    written = (room - sum(printed)) / 2
    return (*printed, written, written)


def log_heading(head: Piece, widths: tuple[float, ...], columns: tuple[str, ...] = _LOGGED) -> Piece:
    """The heading of a table to write in, or of its rest, with the names of its columns under it."""
    names = {"names": columns, "widths": widths}
    data = {**head.data, "again": ""} if head.kind == "heading" else {"title": head.data, "again": head.data}
    return Piece("log_head", {**data, **names}, head.height + sizes.SMALL_LINE, head.above)


def log_row(one: Mapping[str, Any], widths: tuple[float, ...]) -> Piece:
    """A time at which to look, what is due then, and two lines to write on."""
    cells = (one["clock"], one["frame"], one["file"])
    return Piece("log", {"cells": cells, "widths": widths}, sizes.LOG_ROW)


BANDED = ("frames", "from", "total", "actual")
"""The columns of the bands of exposure."""


def band_widths(some: Sequence[Mapping[str, Any]], room: float) -> tuple[float, ...]:
    """Three printed columns of the bands, and one to write in, which takes what is left of `room` mm."""
    printed = [
        max(width(name, sizes.SMALL_PT), *(width(one[key], sizes.SMALL_PT, True) for one in some))
        + 2 * sizes.LOG_AIR
        for name, key in zip(BANDED, ("frames", "clock", "total"), strict=False)
    ]
    return (*printed, room - sum(printed))


def band_row(one: Mapping[str, Any], widths: tuple[float, ...], room: float) -> Piece:
    """A band of clicks: where it begins, a line to write on, and under them what is turned."""
    cells = (one["frames"], one["clock"], one["total"])
    does = one["does"]
    height = sizes.LOG_ROW + lines(does, room, sizes.SMALL_PT) * sizes.SMALL_LINE
    return Piece("band", {"cells": cells, "widths": widths, "text": does}, height)
