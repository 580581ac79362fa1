"""The pieces at the top of a side, over its whole width: header, running line, deadlines, limits."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import product
from math import ceil
from typing import Any

from fieldsheet.cards import sizes
from fieldsheet.cards.flow import Piece
from fieldsheet.cards.keys import note_has_room
from fieldsheet.cards.metrics import in_rows, lines, width
from fieldsheet.cards.sizes import Paper
from fieldsheet.sheet.glue import NBSP

Sheet = Mapping[str, Any]

WHICH = {"card": "card 99 of 99, front", "sheet": "page 99 of 99"}
"""The widest that a side is called, by kind of paper."""


def stops(warning: Mapping[str, Any]) -> bool:
    """Whether a warning is of the level that should stop the shot."""
    return bool(warning["level"] == "no-go")


def header(sheet: Sheet, paper: Paper, sighted: bool = True) -> Piece:
    """Title, night and clock beside zero, rail and number of the page, set where they take least.

    Of the ways that take least, one with the zero by compass beside its figure, as near as can be to the
    usual width: so that the cards of a night look alike.  `sighted`: with what the zero is sighted on even
    where it costs a line.
    """
    numbered = not note_has_room(sheet, paper)
    rail = sheet["rail_short" if paper.is_card else "rail"]
    told = [(sheet["zero_sighting"], rail), *([] if sighted else [(rail,)])]
    figure = width(sheet["zero_label"] + " ", sizes.SMALL_PT) + width(sheet["pan_zero"], sizes.ZERO_PT, True)
    ways = []
    for words, magnetic, texts in product(_when_and_where(sheet), _magnetic_at(sheet), told):
        beside, under = magnetic
        last = width(beside, sizes.SMALL_PT) if beside else 0.0
        zero = _Zero(beside, last, " · ".join(filter(None, (under, *texts))), numbered)
        least = figure + last + sizes.ZERO_AIR * bool(beside)
        rooms = (least, *range(ceil(least), int(paper.width * sizes.ZERO_SHARE)))
        ways += [_header_at(sheet, paper, zero, room, words) for room in rooms]
    return min(ways, key=_unlike)


def _unlike(header: Piece) -> tuple[float, bool, int, float]:
    """What makes one header worse than another: its height, then what sets it apart from other cards'."""
    data = header.data
    return header.height, not data["zero"].beside, data["count"], abs(data["width"] - sizes.ZERO_USUAL)


@dataclass(frozen=True)
class _Zero:
    """The right of the header: what stands at the end of the zero's line and how wide that is (mm), what
    under it, and whether the number of the page does.
    """

    beside: str
    last: float
    said: str
    numbered: bool


def _magnetic_at(sheet: Sheet) -> list[tuple[str, str]]:
    """The zero by compass: beside its figure, or under it."""
    magnetic = sheet["zero_magnetic"]
    return [(magnetic, ""), ("", magnetic)] if magnetic else [("", "")]


def _when_and_where(sheet: Sheet) -> tuple[list[str], list[str]]:
    """Night, place, clock and length in two lines: paired by what they say, or the other way round."""
    when, place, span = sheet["when"], sheet["place"], sheet["span"]
    long = sheet["numbers"]["duration"].replace(" ", NBSP)
    return [f"{when} · {place}", f"{span} · {long}"], [f"{when} · {span}", f"{place} · {long}"]


def _header_at(sheet: Sheet, paper: Paper, zero: _Zero, right: float, words: list[str]) -> Piece:
    room = paper.width - sizes.LETTER - sizes.HEADER_AIR - right
    words = [*words, *([] if paper.is_card else [f"{sheet['rig']} · {sheet['camera']}"])]
    high = sizes.HEADER_FIRST + (lines(sheet["title"], room, sizes.TITLE_PT, True) - 1) * sizes.TITLE_LINE
    count = sum(lines(line, room, sizes.SMALL_PT) for line in words)
    high += count * sizes.SMALL_LINE
    under = lines(zero.said, right, sizes.SMALL_PT) if zero.said else 0
    beside = sizes.HEADER_FIRST + (under + zero.numbered) * sizes.SMALL_LINE
    data = {"lines": words, "room": room, "width": right, "zero": zero, "count": count + under}
    return Piece("header", data, max(high, beside, sizes.LETTER) + sizes.HEADER_GAP)


def stop_bar(sheet: Sheet) -> list[Piece]:
    """On a card's front: how many warnings stop the shot, in a black bar; nothing where none does."""
    count = sum(stops(warning) for warning in sheet["warnings"])
    return [Piece("stop", count, sizes.STOP_BAR + sizes.STOP_GAP)] if count else []


def running(sheet: Sheet, paper: Paper) -> Piece:
    """The line at the top of every further side: letter, title, revision, and which side it is."""
    which = width(f"{sheet['revision']}\u2003{WHICH[paper.name]}", sizes.SMALL_PT, True)
    room = paper.width - sizes.RUNNING_LEFT - which - sizes.RUNNING_AIR
    height = lines(sheet["title"], room, sizes.SMALL_PT) * sizes.SMALL_LINE + sizes.RUNNING_GAP
    return Piece("running", {"room": room}, height)


def deadlines(sheet: Sheet, paper: Paper) -> list[Piece]:
    """When to have done what, worked back from frame 1, over the width of the side; nothing without any."""
    due = sheet["deadlines"]
    if not due:
        return []
    widths = [
        width(one["label"], sizes.SMALL_PT) + sizes.DUE_WORD + width(one["clock"], sizes.HEAD_PT, True)
        for one in due
    ]
    spread = (paper.width - sum(widths)) / max(1, len(widths) - 1)
    # In one line they are spread over the width; in more they stand left, like a text.
    air = spread if spread >= sizes.DUE_AIR else sizes.DUE_APART
    rows = [
        [{**due[n], "width": widths[n] + air * (n != row[-1])} for n in row]
        for row in in_rows(widths, paper.width + 0.01, air)
    ]
    return [Piece("due", rows, sizes.DUE_RULE + len(rows) * sizes.DUE_LINE + sizes.DUE_GAP)]


def limits(sheet: Sheet, paper: Paper) -> list[list[Piece]]:
    """What stops the shot or binds it to a clock, in boxes: a list for each side, [] for no box."""
    return [
        [Piece("limits", _paragraphs(box, paper), _box_height(box, paper) + sizes.ABORT_GAP)] if box else []
        for box in _boxed(sheet, paper)[0]
    ]


def unboxed(sheet: Sheet, paper: Paper) -> list[str]:
    """What of people and place has no room in these boxes: it stops nothing, and stands with the way in."""
    return _boxed(sheet, paper)[1]


def _boxed(sheet: Sheet, paper: Paper) -> tuple[list[dict[str, list[str]]], list[str]]:
    """The boxes, and the lines on people and place that none has room for.

    The clocks have the first claim on the first box; any other line stands in the first box that has room.
    """
    said = _said(sheet)
    boxes: list[dict[str, list[str]]] = [{}]
    left = []
    for kind in _FILLED:
        at = 0
        for entry in said[kind]:
            while boxes[at] and _box_height(_with(boxes[at], kind, entry), paper) > sizes.ABORT_MOST:
                at += 1
                boxes += [{}] * (at == len(boxes))
            if kind == "people" and at and not boxes[at]:
                left.append(entry)
            else:
                boxes[at] = _with(boxes[at], kind, entry)
    return [box for n, box in enumerate(boxes) if box or not n], left


_FILLED = ("clocks", "abort", "notes", "mind", "people")
_PRINTED = {"abort": "Stop if: ", "clocks": "", "notes": "Note: ", "mind": "Mind: ", "people": ""}
"""Kinds of lines in the order in which they are printed, and the words before them."""

Box = Mapping[str, Sequence[str]]


def _said(sheet: Sheet) -> dict[str, list[str]]:
    places = (("with the rig:", "stays"), ("permit:", "permit"), ("position", "position"))
    return {
        "abort": list(sheet["abort"]),
        # The clock first: a label may end in a figure of its own.
        "clocks": [f"{one['clock']} {one['label']}" for one in sheet["limits"]],
        "notes": list(sheet["notes"]),
        "mind": list(sheet["hazards"]),
        "people": [
            *(f"{one['role']}: {one['who']}" for one in sheet["crew"]),
            *(f"{name} {sheet[key]}" for name, key in places if sheet[key]),
        ],
    }


def _with(box: Box, kind: str, entry: str) -> dict[str, list[str]]:
    return {name: [*box.get(name, ()), *([entry] if name == kind else [])] for name in {*box, kind}}


def _paragraphs(box: Box, paper: Paper) -> list[dict[str, Any]]:
    room = paper.width - sizes.BAR - 2 * sizes.BAR_PAD - sizes.ABORT_RULE
    out = []
    for kind, lead in _PRINTED.items():
        if kind in box:
            text, small = " · ".join(box[kind]), kind in ("mind", "people")
            points, line = (sizes.SMALL_PT, sizes.SMALL_LINE) if small else (sizes.HEAD_PT, sizes.ABORT_LINE)
            # The lead is semibold: it counts as a character more.
            count = lines(lead + "n" * bool(lead) + text, room, points, kind == "clocks")
            out.append({"lead": lead, "text": text, "kind": kind, "height": count * line})
    return out


def _box_height(box: Box, paper: Paper) -> float:
    inside = sum(float(paragraph["height"]) for paragraph in _paragraphs(box, paper))
    return inside + 2 * (sizes.ABORT_PAD + sizes.ABORT_RULE)
