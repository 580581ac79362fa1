"""The front of a card, in the hand's order: set the keyframes, key in the program, then watch the strip."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from fieldsheet.cards import sizes
from fieldsheet.cards.flow import Group, Piece, flow
from fieldsheet.cards.metrics import lines, measure, width
from fieldsheet.sheet.strip import draw_strip

Sheet = Mapping[str, Any]
Side = tuple[Piece, ...]


def fronts(sheet: Sheet) -> tuple[list[Side], Piece | None]:
    """The front's pieces, on as many sides as they need, and the strip where it is left for the back.

    Three keyframes with short sightings, the program and the strip fill one side. Where only the strip is too
    much, it goes to the foot of the back, so that the front stays one side.
    """
    strip = _strip(sheet)
    groups = [Group(None, None, (_header(sheet),)), _keys(sheet), Group(None, None, (_program(sheet),))]
    further = running_height(sheet)
    short, full = _sides(groups, further), _sides([*groups, Group(None, None, (strip,))], further)
    return (short, strip) if len(short) == 1 < len(full) else (full, None)


def running_height(sheet: Sheet) -> float:
    """The line at the top of every further side, which says what card it is; in mm."""
    return lines(sheet["title"], sizes.RUNNING_TITLE, sizes.SMALL_PT) * sizes.SMALL_LINE + sizes.RUNNING_GAP


def _sides(groups: Sequence[Group], further: float) -> list[Side]:
    columns = flow(groups, lambda side: sizes.HEIGHT - further * bool(side), lambda sides: sides)
    return [tuple(side) for side in columns]


@dataclass(frozen=True)
class Columns:
    """Widths in mm: of the keyframes' words, of the facts in their first line, and of each axis."""

    words: float
    facts: tuple[float, ...]
    axes: tuple[float, ...]


def columns(sheet: Sheet) -> Columns:
    """Columns as wide as the keyframes of this sheet need them; the words have what is left."""
    keys = sheet["keyframes"]
    axes = tuple(
        max(
            sizes.BLANK_LEAST,
            width(f"{axis['letter']} {axis['unit']}", sizes.SMALL_PT),
            *(width(key["axes"][axis["name"]], sizes.FIGURE_PT, True) for key in keys),
        )
        + sizes.FIGURE_GAP
        for axis in sheet["axes"]
    )
    chips = 2 * sizes.CHIP_PAD + sizes.NAME_GAP
    facts = (
        max(width(key["key"] + key["name"], sizes.SMALL_PT, True) for key in keys) + chips,
        max(width(f"on rig: {key['on_rig']}", sizes.SMALL_PT, True) for key in keys),
        max(width(f"frame {key['frame']}", sizes.SMALL_PT) for key in keys),
        max(width(key["clock"], sizes.SMALL_PT) for key in keys),
    )
    words = sizes.WIDTH - sum(axes) - sizes.STORED_WIDTH
    least, most = sizes.FACT_GAPS
    gap = min(most, max(least, (words - sum(facts)) / len(facts)))
    return Columns(words, tuple(fact + gap for fact in facts), axes)


def _header(sheet: Sheet) -> Piece:
    room = sizes.WIDTH - sizes.LETTER - sizes.ZERO_WIDTH - 6.0
    words = [sheet["when"] + " · " + sheet["place"], sheet["span"] + " · " + sheet["numbers"]["duration"]]
    left = lines(sheet["title"], room, sizes.TITLE_PT, True) * sizes.TITLE_LINE
    left += sum(lines(line, room, sizes.SMALL_PT) for line in words) * sizes.SMALL_LINE
    right = 2.1 * sizes.SMALL_LINE + lines(sheet["rail"], sizes.ZERO_WIDTH, sizes.SMALL_PT) * sizes.SMALL_LINE
    return Piece("header", {"lines": words, "room": room}, max(left, right, sizes.LETTER) + sizes.HEADER_GAP)


def _keys(sheet: Sheet) -> Group:
    """The keyframes in the order in which they are set."""
    wide = columns(sheet)
    note = lines(sheet["set_note"], wide.words, sizes.SMALL_PT)
    heading = Piece("keys_head", sheet["set_note"], sizes.KEYS_HEAD + (note - 1) * sizes.SMALL_LINE)
    return Group(heading, heading, tuple(_key(sheet["keyframes"][n], wide) for n in sheet["set_order"]))


def _key(key: Mapping[str, Any], wide: Columns) -> Piece:
    """A keyframe's row, two lines high at least: figures, and under them blanks for what the rig showed.

    The aim is printed where there is no sighting.
    """
    words = key["sighting"] or key["aim"] or ""
    first = len(_rows(wide.facts, wide.words, 0.0))
    high = (
        first * sizes.FIGURE_LINE
        + lines(words, wide.words - sizes.WORDS_PAD, sizes.SMALL_PT) * sizes.SMALL_LINE
    )
    return Piece(
        "key",
        {"key": key, "words": words},
        max(high, sizes.FIGURE_LINE + sizes.BLANK_LINE) + 2 * sizes.KEY_PAD + sizes.KEYS_RULE,
    )


def _program(sheet: Sheet) -> Piece:
    """The values in the rig's own menu order, then the two clocks, set out over the card's width."""
    names = [*sheet["program"], "first_frame", "last_closes"]
    cells = [{"label": sheet["labels"][name], "value": sheet["numbers"][name]} for name in names]
    widths = [
        max(width(cell["label"], sizes.SMALL_PT), width(cell["value"], sizes.VALUE_PT, True))
        for cell in cells
    ]
    rows = []
    for row in _rows(widths, sizes.WIDTH, sizes.PROGRAM_AIR):
        air = (sizes.WIDTH - sum(widths[n] for n in row)) / max(1, len(row) - 1)
        rows.append([cells[n] | {"width": widths[n] + air * (n != row[-1])} for n in row])
    height = len(rows) * (sizes.PROGRAM_LABEL + sizes.PROGRAM_VALUE + 2 * sizes.PROGRAM_PAD)
    return Piece("program", rows, height + 2 * sizes.PROGRAM_RULE + sizes.PROGRAM_GAP)


def _rows(widths: Sequence[float], room: float, air: float) -> list[list[int]]:
    """Which cells stand in which row: as few rows as `room` mm allows, with `air` between cells."""
    rows: list[list[int]] = [[]]
    for n, wide in enumerate(widths):
        if rows[-1] and sum(widths[m] + air for m in rows[-1]) + wide > room:
            rows.append([])
        rows[-1].append(n)
    return rows


def _strip(sheet: Sheet) -> Piece:
    title = "The shot by frame number: " + "; ".join(
        f"{moment['label']} {moment['clock']}" for moment in sheet["strip"]["moments"]
    )
    drawing = draw_strip(sheet["strip"], measure(sizes.SMALL_PT, False), sizes.WIDTH, title)
    return Piece("strip", drawing.markup, drawing.height)
