"""The back of a card: what stops the shot, what is still open, what to do, the code that opens the plan."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from markupsafe import Markup

from fieldsheet.cards import sizes
from fieldsheet.cards.flow import Group, Piece, flow
from fieldsheet.cards.front import Sheet, running_height, stops
from fieldsheet.cards.metrics import lines, width
from fieldsheet.exchange.qr import MODULE_MM, QUIET, draw_code, link_code, width_mm

NBSP = "\u00a0"


@dataclass(frozen=True)
class Code:
    """The link code, its width in mm, and the lines of the words beside it."""

    drawing: Markup
    width: float
    beside: tuple[str, ...]


@dataclass(frozen=True)
class Back:
    """One side: abort lines, two columns of pieces from `top` mm down, the code, a strip at its foot."""

    abort: tuple[str, ...]
    top: float
    columns: tuple[tuple[Piece, ...], ...]
    code: Code | None
    strip: Piece | None


def backs(sheet: Sheet, link: str, strip: Piece | None) -> list[Back]:
    """The sides behind the front, as many as it takes; the code, and the strip if there is one, on the first.

    Raises ValueError, in words, where the link is too long or a single text taller than a side.
    """
    code, code_height = _code(sheet, link)
    foot = strip.height + sizes.SECTION_GAP if strip else 0.0
    aborts = _abort_boxes(sheet["abort"])
    further = running_height(sheet)
    tops = [further * bool(n) + _abort_height(some) for n, some in enumerate(aborts)]

    def top(side: int) -> float:
        return tops[side] if side < len(tops) else further

    def room(column: int) -> float:
        taken = (foot if column < 2 else 0.0) + (code_height if column == 1 else 0.0)
        return sizes.HEIGHT - top(column // 2) - taken

    columns = flow(list(_groups(sheet)), room, 2, len(tops))
    columns += [[] for _ in range(max(2 * len(tops) - len(columns), len(columns) % 2))]
    pairs = [(tuple(columns[n]), tuple(columns[n + 1])) for n in range(0, len(columns), 2)]
    return [
        Back(aborts[n] if n < len(aborts) else (), top(n), pair, None if n else code, None if n else strip)
        for n, pair in enumerate(pairs)
    ]


def _code(sheet: Sheet, link: str) -> tuple[Code, float]:
    """The link code and the height that it takes, with the revision under it and the gap above."""
    modules, version = link_code(link, sizes.CODE_MOST)
    wide = width_mm(version)
    labels, numbers = sheet["labels"], sheet["numbers"]
    # A figure keeps its unit beside it, wherever the line breaks.
    beside = tuple(
        f"{labels[name]} {numbers[name].replace(' ', NBSP).replace(f'·{NBSP}', '· ')}"
        for name in ("largest_step", "slack", "clip")
    )
    # The clear zone at the right of the code lies in the margin.
    room = sizes.COLUMN + QUIET * MODULE_MM - wide
    high = (
        sum(lines(line, room, sizes.SMALL_PT) for line in beside) * sizes.SMALL_LINE + 2 * sizes.CODE_CAPTION
    )
    drawing = draw_code(modules, f"code that opens this plan, revision {sheet['revision']}")
    return Code(drawing, wide, beside), max(high, wide + sizes.CODE_CAPTION) + sizes.SECTION_GAP


def _abort_boxes(abort: Sequence[str]) -> list[tuple[str, ...]]:
    """The abort lines, in as many boxes as keep each to a part of its side; the first may be empty."""
    boxes: list[tuple[str, ...]] = [()]
    for line in abort:
        if boxes[-1] and _abort_height((*boxes[-1], line)) > sizes.ABORT_MOST:
            boxes.append(())
        boxes[-1] = (*boxes[-1], line)
    return boxes


def _abort_height(abort: Sequence[str]) -> float:
    """The box with the gap below it."""
    if not abort:
        return 0.0
    room = sizes.WIDTH - sizes.BAR - 2 * sizes.BAR_PAD - sizes.ABORT_RULE
    count = lines("Stop if: " + " · ".join(abort), room, sizes.HEAD_PT)
    return count * sizes.ABORT_LINE + 2 * (sizes.ABORT_PAD + sizes.ABORT_RULE) + sizes.ABORT_GAP


def _groups(sheet: Sheet) -> Iterator[Group]:
    """Warnings still open come first, so that they stand on the first back whatever follows."""
    if sheet["warnings"]:
        stops_first = sorted(sheet["warnings"], key=lambda warning: not stops(warning))
        yield Group(None, None, tuple(_warning(warning) for warning in stops_first))
    for section in sheet["checklist"]:
        title, manner = section["title"], section["manner"]
        yield Group(
            _heading(title, manner),
            _heading(title, "continued"),
            tuple(_item(item) for item in section["items"]),
        )
    if sheet["notes"]:
        notes = tuple(_note(note) for note in sheet["notes"])
        yield Group(_heading("Notes", ""), _heading("Notes", "continued"), notes)


def _heading(title: str, manner: str) -> Piece:
    beside = width(title, sizes.HEAD_PT, True) + width(manner, sizes.SMALL_PT) + sizes.BOX_GAP <= sizes.COLUMN
    count = lines(title, sizes.COLUMN, sizes.HEAD_PT, True)
    under = 0.0 if beside or not manner else lines(manner, sizes.COLUMN, sizes.SMALL_PT) * sizes.SMALL_LINE
    height = sizes.SECTION_GAP + count * sizes.HEAD_LINE + under + sizes.SECTION_RULE + sizes.ITEM_PAD
    return Piece("heading", {"title": title, "manner": manner, "beside": beside}, height)


def _item(item: Mapping[str, Any]) -> Piece:
    """A tick box, the words, and the value at the row's end; a long value takes lines of its own."""
    room = sizes.COLUMN - sizes.BOX - sizes.BOX_GAP
    value = item["value"] or ""
    wide = width(value, sizes.ITEM_PT, True) if value else 0.0
    beside = wide <= sizes.VALUE_MOST
    text_room = room - wide - sizes.BOX_GAP if value and beside else room
    height = lines(item["text"], text_room, sizes.ITEM_PT, item["must"]) * sizes.ITEM_LINE
    height += 0.0 if beside else lines(value, room, sizes.ITEM_PT, True) * sizes.ITEM_LINE
    height += lines(item["note"], room, sizes.SMALL_PT) * sizes.SMALL_LINE if item["note"] else 0.0
    words = min(text_room, width(item["text"], sizes.ITEM_PT, item["must"]) + 0.2)
    data = {
        "must": item["must"],
        "text": item["text"],
        "note": item["note"] or "",
        "value": value,
        "beside": beside,
        "text_width": words,
        "value_width": wide,
    }
    return Piece("item", data, max(height, sizes.BOX) + 2 * sizes.ITEM_PAD)


def _warning(warning: Mapping[str, Any]) -> Piece:
    """The level in a word before the consequence; what stops the shot has the heavier bar."""
    room = sizes.COLUMN - sizes.BAR - sizes.BAR_PAD
    head = f"{warning['word']}: {warning['head']}"
    small = sum(lines(warning[key], room, sizes.SMALL_PT) for key in ("sum", "fix") if warning[key])
    height = lines(head, room, sizes.ITEM_PT, True) * sizes.ITEM_LINE + small * sizes.SMALL_LINE
    data = {"head": head, "sum": warning["sum"], "fix": warning["fix"], "stops": stops(warning)}
    return Piece("warning", data, height + sizes.WARNING_GAP)


def _note(note: str) -> Piece:
    return Piece(
        "note", note, lines(note, sizes.COLUMN, sizes.SMALL_PT) * sizes.SMALL_LINE + 2 * sizes.ITEM_PAD
    )
