"""The back of a card: what stops the shot, what is still open, what to do, and the code that opens the plan."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from markupsafe import Markup

from fieldsheet.cards import sizes
from fieldsheet.cards.flow import Group, Piece, flow
from fieldsheet.cards.metrics import lines, width
from fieldsheet.exchange.qr import draw_code, link_code, width_mm

Sheet = Mapping[str, Any]


@dataclass(frozen=True)
class Back:
    """One side: the abort lines at its top, two columns of pieces from `top` mm down, and the code, or None."""

    abort: tuple[str, ...]
    top: float
    columns: tuple[tuple[Piece, ...], ...]
    code: Markup | None
    code_width: float


def backs(sheet: Sheet, link: str) -> list[Back]:
    """The sides behind the front, as many as it takes; the code stands on the first.

    Raises ValueError, in words, where the link is too long or a single text taller than a side.
    """
    modules, version = link_code(link, sizes.CODE_MOST)
    code_width = width_mm(version)
    aborts = _abort_boxes(sheet["abort"])
    tops = [sizes.RUNNING * bool(n) + _abort_height(some) for n, some in enumerate(aborts)]

    def top(side: int) -> float:
        return tops[side] if side < len(tops) else sizes.RUNNING

    def room(column: int) -> float:
        full = sizes.HEIGHT - top(column // 2)
        return full - (code_width + sizes.CODE_CAPTION + sizes.SECTION_GAP if column == 1 else 0.0)

    columns = flow(list(_groups(sheet)), room, lambda count: max(len(tops), (count + 1) // 2))
    columns += [[] for _ in range(2 * len(tops) - len(columns))]
    columns += [[]] * (len(columns) % 2)
    title = f"Code that opens this plan, revision {sheet['revision']}"
    return [Back(aborts[n] if n < len(aborts) else (), top(n), (tuple(columns[2 * n]), tuple(columns[2 * n + 1])),
                 None if n else draw_code(modules, title), code_width)
            for n in range(len(columns) // 2)]


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
        yield Group(None, None, tuple(_warning(warning) for warning in sheet["warnings"]))
    for section in sheet["checklist"]:
        title, manner = section["title"], section["manner"]
        yield Group(_heading(title, manner), _heading(f"{title}, continued", manner),
                    tuple(_item(item) for item in section["items"]))
    if sheet["notes"]:
        yield Group(_heading("Notes", ""), _heading("Notes, continued", ""), tuple(_note(n) for n in sheet["notes"]))


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
    data = {"must": item["must"], "text": item["text"], "note": item["note"] or "", "value": value,
            "beside": beside, "text_width": words, "value_width": wide}
    return Piece("item", data, max(height, sizes.BOX) + 2 * sizes.ITEM_PAD)


def _warning(warning: Mapping[str, Any]) -> Piece:
    room = sizes.COLUMN - sizes.BAR - sizes.BAR_PAD
    small = sum(lines(warning[key], room, sizes.SMALL_PT) for key in ("sum", "fix") if warning[key])
    height = lines(warning["head"], room, sizes.ITEM_PT, True) * sizes.ITEM_LINE + small * sizes.SMALL_LINE
    return Piece("warning", warning, height + sizes.WARNING_GAP)


def _note(note: str) -> Piece:
    return Piece("note", note, lines(note, sizes.COLUMN, sizes.SMALL_PT) * sizes.SMALL_LINE + 2 * sizes.ITEM_PAD)
