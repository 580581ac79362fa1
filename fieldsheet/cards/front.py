"""The front of a card, in the hand's order: set the keyframes, key in the program, then watch the strip."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import product
from typing import Any

from fieldsheet.cards import sizes
from fieldsheet.cards.flow import Group, Piece, flow
from fieldsheet.cards.metrics import lines, measure, width
from fieldsheet.sheet.strip import draw_strip

Sheet = Mapping[str, Any]
Side = tuple[Piece, ...]


def fronts(sheet: Sheet) -> tuple[list[Side], Piece | None]:
    """The front's pieces, on as many sides as they need, and the strip where it is left for the back.

    One side, if it can be. Then the strip stands on it where the lowest drawing of it fits; then the blanks
    are high enough to write in; what height is still free goes to them.
    """
    airy, low = _strip(sheet, False), _strip(sheet, True)
    roomy = [blank for blank in sizes.BLANKS if blank >= sizes.BLANK_ROOMY]
    ways = [*product([airy, low], roomy), *product([low], sizes.BLANKS), *product([None], sizes.BLANKS)]
    for strip, blank in ways:
        sides = _sides(sheet, strip, blank)
        if len(sides) == 1:
            return sides, None if strip else airy
    return _sides(sheet, airy, sizes.BLANKS[-1]), None


def stops(warning: Mapping[str, Any]) -> bool:
    """Whether a warning is of the level that should stop the shot."""
    return bool(warning["level"] == "no-go")


def running_height(sheet: Sheet) -> float:
    """The line at the top of every further side, which says what card it is; in mm."""
    return lines(sheet["title"], sizes.RUNNING_TITLE, sizes.SMALL_PT) * sizes.SMALL_LINE + sizes.RUNNING_GAP


def _sides(sheet: Sheet, strip: Piece | None, blank: float) -> list[Side]:
    last = [Group(None, None, (piece,)) for piece in (_program(sheet), strip) if piece]
    groups = [Group(None, None, (_header(sheet),)), _keys(sheet, blank), *last]
    further = running_height(sheet)
    columns = flow(groups, lambda side: sizes.HEIGHT - further * bool(side), 1, 1)
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
    """Title, night and clock beside the zero, the rail and the card's number, set where they take least."""
    numbered = not _note_has_room(sheet)
    return min(
        (_header_at(sheet, zero, numbered) for zero in sizes.ZERO_WIDTHS), key=lambda piece: piece.height
    )


def _note_has_room(sheet: Sheet) -> bool:
    """Whether revision and number of the card cost no line beside the set note: over the axes' heads."""
    wide = columns(sheet)
    number = width(f"{sheet['revision']}\u2003card 1 of 99", sizes.SMALL_PT, True)
    return _note_lines(sheet, wide) > 1 and number <= sizes.WIDTH - wide.words


def _note_lines(sheet: Sheet, wide: Columns) -> int:
    return lines(sheet["set_note"], wide.words - sizes.WORDS_PAD, sizes.SMALL_PT)


def _header_at(sheet: Sheet, zero: float, numbered: bool) -> Piece:
    room = sizes.WIDTH - sizes.LETTER - sizes.HEADER_AIR - zero
    words = [sheet["when"] + " · " + sheet["place"], sheet["span"] + " · " + sheet["numbers"]["duration"]]
    left = lines(sheet["title"], room, sizes.TITLE_PT, True) * sizes.TITLE_LINE
    left += sum(lines(line, room, sizes.SMALL_PT) for line in words) * sizes.SMALL_LINE
    rail = lines(sheet["rail"], zero, sizes.SMALL_PT) if sheet["rail"] else 0
    right = sizes.ZERO_LINE + (rail + numbered) * sizes.SMALL_LINE
    stop = sum(stops(warning) for warning in sheet["warnings"])
    height = (
        max(left, right, sizes.LETTER) + sizes.HEADER_GAP + (sizes.STOP_BAR + sizes.STOP_GAP) * bool(stop)
    )
    return Piece(
        "header", {"lines": words, "room": room, "zero": zero, "numbered": numbered, "stop": stop}, height
    )


def _keys(sheet: Sheet, blank: float) -> Group:
    """The keyframes in the order in which they are set."""
    wide = columns(sheet)
    deep = sizes.KEYS_HEAD + (_note_lines(sheet, wide) - 1) * sizes.SMALL_LINE
    heading = Piece("keys_head", sheet["set_note"], deep)
    return Group(
        heading, heading, tuple(_key(sheet["keyframes"][n], wide, blank) for n in sheet["set_order"])
    )


def _key(key: Mapping[str, Any], wide: Columns, blank: float) -> Piece:
    """A keyframe's row: figures, and under them blanks, `blank` mm high, for what the rig showed.

    The aim is printed where there is no sighting.
    """
    words = key["sighting"] or key["aim"] or ""
    high = len(_rows(wide.facts, wide.words, 0.0)) * sizes.FIGURE_LINE
    high += lines(words, wide.words - sizes.WORDS_PAD, sizes.SMALL_PT) * sizes.SMALL_LINE if words else 0.0
    high = max(high, sizes.FIGURE_LINE + blank + sizes.BLANK_FOOT)
    data = {"key": key, "words": words, "blank": high - sizes.FIGURE_LINE - sizes.BLANK_FOOT}
    return Piece("key", data, high + 2 * sizes.KEY_PAD + sizes.KEYS_RULE)


def _program(sheet: Sheet) -> Piece:
    """The values in the rig's own menu order, then the two clocks; long labels break where that is lower."""
    names = [*sheet["program"], "first_frame", "last_closes"]
    cells = [(sheet["labels"][name], sheet["numbers"][name]) for name in names]
    return min((_program_at(cells, broken) for broken in (False, True)), key=lambda piece: piece.height)


def _program_at(cells: Sequence[tuple[str, str]], broken: bool) -> Piece:
    """Set out over the card's width; `broken`: a label may take two lines."""
    set_labels = [_halves(label) if broken else [label] for label, _ in cells]
    widths = [
        max(width(value, sizes.VALUE_PT, True), *(width(line, sizes.SMALL_PT) for line in label))
        for label, (_, value) in zip(set_labels, cells, strict=True)
    ]
    rows, height = [], 2 * sizes.PROGRAM_RULE + sizes.PROGRAM_GAP
    for row in _rows(widths, sizes.WIDTH, sizes.PROGRAM_AIR):
        air = (sizes.WIDTH - sum(widths[n] for n in row)) / max(1, len(row) - 1)
        rows.append(
            [
                {"label": set_labels[n], "value": cells[n][1], "width": widths[n] + air * (n != row[-1])}
                for n in row
            ]
        )
        deep = max(len(set_labels[n]) for n in row)
        height += deep * sizes.PROGRAM_LABEL + sizes.PROGRAM_VALUE + 2 * sizes.PROGRAM_PAD
    return Piece("program", rows, height)


def _halves(label: str) -> list[str]:
    """A label in its two most even lines; a single word stays one."""
    words = label.split(" ")
    ways = [[" ".join(words[:n]), " ".join(words[n:])] for n in range(1, len(words))]
    return min(ways, key=lambda way: max(width(line, sizes.SMALL_PT) for line in way), default=[label])


def _rows(widths: Sequence[float], room: float, air: float) -> list[list[int]]:
    """Which cells stand in which row: as few rows as `room` mm allows, with `air` between cells."""
    rows: list[list[int]] = [[]]
    for n, wide in enumerate(widths):
        if rows[-1] and sum(widths[m] + air for m in rows[-1]) + wide > room:
            rows.append([])
        rows[-1].append(n)
    return rows


def _strip(sheet: Sheet, low: bool) -> Piece:
    title = "The shot by frame number: " + "; ".join(
        f"{moment['label']} {moment['clock']}" for moment in sheet["strip"]["moments"]
    )
    drawing = draw_strip(sheet["strip"], measure(sizes.SMALL_PT, False), sizes.WIDTH, title, low)
    return Piece("strip", drawing.markup, drawing.height)
