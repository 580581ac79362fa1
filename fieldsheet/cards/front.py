"""The front of a card, in the hand's order: set the keyframes, key in the program, then watch the strip."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from fieldsheet.cards import sizes
from fieldsheet.cards.flow import Group, Piece, flow
from fieldsheet.cards.metrics import lines, measure, width
from fieldsheet.sheet.strip import draw_strip

Sheet = Mapping[str, Any]
Side = tuple[Piece, ...]


def fronts(sheet: Sheet) -> list[Side]:
    """The front's pieces, on as many sides as they need: one for three keyframes with short sightings."""
    groups = [Group(None, None, (_header(sheet),)), _keys(sheet),
              Group(None, None, (_program(sheet),)), Group(None, None, (_strip(sheet),))]
    sides = flow(groups, lambda side: sizes.HEIGHT - sizes.RUNNING * bool(side), lambda count: count)
    return [tuple(side) for side in sides]


def sight_width(axes: int) -> float:
    """What the other columns of the keyframes leave for the sighting, in mm."""
    fixed = sizes.KEY_WIDTH + sizes.FRAME_WIDTH + sizes.AS_SET_WIDTH + sizes.STORED_WIDTH
    return sizes.WIDTH - fixed - sizes.AXIS_WIDTH * axes


def _header(sheet: Sheet) -> Piece:
    room = sizes.WIDTH - sizes.LETTER - sizes.ZERO_WIDTH - 6.0
    words = [sheet["when"] + " · " + sheet["place"], sheet["span"] + " · " + sheet["numbers"]["duration"]]
    left = lines(sheet["title"], room, sizes.TITLE_PT, True) * sizes.TITLE_LINE
    left += sum(lines(line, room, sizes.SMALL_PT) for line in words) * sizes.SMALL_LINE
    right = 2.1 * sizes.SMALL_LINE + lines(sheet["rail"], sizes.ZERO_WIDTH, sizes.SMALL_PT) * sizes.SMALL_LINE
    return Piece("header", {"lines": words, "room": room}, max(left, right, sizes.LETTER) + sizes.HEADER_GAP)


def _keys(sheet: Sheet) -> Group:
    """The keyframes in the order in which they are set."""
    room = sight_width(len(sheet["axes"]))
    note = lines(sheet["set_note"], sizes.KEY_WIDTH + sizes.FRAME_WIDTH + room, sizes.SMALL_PT)
    heading = Piece("keys_head", sheet["set_note"],
                    sizes.KEYS_HEAD + (note - 1) * sizes.SMALL_LINE + sizes.KEYS_RULE)
    keys = tuple(_key(sheet["keyframes"][n], room) for n in sheet["set_order"])
    return Group(heading, heading, keys)


def _key(key: Mapping[str, Any], room: float) -> Piece:
    """A keyframe's row: two lines high at least, for the figures and, under them, the blanks for what the rig showed.

    The aim is printed where there is no sighting, and where the sighting leaves a line of the row empty.
    """
    seen = key["sighting"] or ""
    count = lines(seen, room - 2.0, sizes.SMALL_PT) if seen else 0
    aim = key["aim"] or ""
    spare = 2 - count
    aimed = lines(aim, room - 2.0, sizes.SMALL_PT) if aim else 0
    shows = bool(aim) and (not seen or aimed <= spare)
    high = max((count + aimed * shows) * sizes.SMALL_LINE, sizes.FIGURE_LINE + sizes.BLANK_LINE)
    return Piece("key", {"key": key, "aim": aim if shows else ""}, high + 2 * sizes.KEY_PAD + sizes.KEYS_RULE)


def _program(sheet: Sheet) -> Piece:
    """The values in the rig's own menu order, then the two clocks; in rows as wide as the card."""
    names = [*sheet["program"], "first_frame", "last_closes"]
    cells = [(sheet["labels"][name], sheet["numbers"][name], name in sheet["program"]) for name in names]
    rows = _rows([max(width(label, sizes.SMALL_PT), width(value, sizes.VALUE_PT, True)) for label, value, _ in cells])
    height = len(rows) * (sizes.PROGRAM_LABEL + sizes.PROGRAM_VALUE + 2 * sizes.PROGRAM_PAD)
    return Piece("program", [[cells[n] for n in row] for row in rows],
                 height + 2 * sizes.PROGRAM_RULE + 2 * sizes.PROGRAM_GAP)


def _rows(widths: Sequence[float]) -> list[list[int]]:
    rows: list[list[int]] = [[]]
    used = 0.0
    for n, wide in enumerate(widths):
        if rows[-1] and used + 3.0 + wide > sizes.WIDTH:
            rows.append([])
            used = 0.0
        used += wide + (3.0 if rows[-1] else 0.0)
        rows[-1].append(n)
    return rows


def _strip(sheet: Sheet) -> Piece:
    title = "The shot by frame number: " + "; ".join(
        f"{moment['label']} {moment['clock']}" for moment in sheet["strip"]["moments"])
    drawing = draw_strip(sheet["strip"], measure(sizes.SMALL_PT, False), sizes.WIDTH, title)
    return Piece("strip", drawing.markup, drawing.height)
