"""The keyframes over the width of a side, in the order of setting, with room for what the rig shows."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from fieldsheet.cards import sizes
from fieldsheet.cards.flow import Group, Piece
from fieldsheet.cards.metrics import in_rows, lines, width
from fieldsheet.cards.sizes import Paper

Sheet = Mapping[str, Any]


@dataclass(frozen=True)
class Columns:
    """Widths in mm: of the keyframes' words, of the facts in their first line, and of each axis."""

    words: float
    facts: tuple[float, ...]
    axes: tuple[float, ...]


def columns(sheet: Sheet, paper: Paper) -> Columns:
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
        max((width(key["key"] + key["name"], sizes.SMALL_PT, True) for key in keys), default=0.0) + chips,
        max((width(f"on rig: {key['on_rig']}", sizes.SMALL_PT, True) for key in keys), default=0.0),
        max((width(f"frame {key['frame']}", sizes.SMALL_PT) for key in keys), default=0.0),
        max((width(key["clock"], sizes.SMALL_PT, True) for key in keys), default=0.0),
    )
    words = paper.width - sum(axes) - sizes.STORED_WIDTH
    least, most = sizes.FACT_GAPS
    gap = min(most, max(least, (words - sum(facts)) / len(facts)))
    return Columns(words, tuple(fact + gap for fact in facts), axes)


def note_has_room(sheet: Sheet, paper: Paper) -> bool:
    """Whether revision and number of the page cost no line beside the set note: over the axes' heads."""
    if not sheet["keyframes"]:
        return False
    wide = columns(sheet, paper)
    number = width(f"{sheet['revision']}\u2003card 1 of 99", sizes.SMALL_PT, True)
    return _note_lines(sheet, wide) > 1 and number <= paper.width - wide.words


def keys(sheet: Sheet, paper: Paper, blank: float, waits: bool = True) -> list[Group]:
    """The keyframes, each with blanks `blank` mm high, under the note that says which to set first.

    `waits`: with where the target stands when the keyframe is set.
    """
    wide = columns(sheet, paper)
    note = sheet["set_note"]
    if not sheet["keyframes"]:
        high = lines(note, paper.width, sizes.SMALL_PT) * sizes.SMALL_LINE + sizes.DUE_GAP
        return [Group(None, None, (Piece("words", note, high),))] if note else []
    deep = sizes.KEYS_HEAD + (_note_lines(sheet, wide) - 1) * sizes.SMALL_LINE
    heading = Piece("keys_head", wide, deep)
    by_hand = all(axis["name"] != "tilt" for axis in sheet["axes"])
    rows = []
    for key in (sheet["keyframes"][n] for n in sheet["set_order"]):
        said = _card_words(key, waits, by_hand) if paper.is_card else _words(key)
        rows.append(_key(key, said, wide, blank))
    return [Group(heading, heading, tuple(rows))]


def _note_lines(sheet: Sheet, wide: Columns) -> int:
    return lines(sheet["set_note"], wide.words - sizes.WORDS_PAD, sizes.SMALL_PT)


def _key(key: Mapping[str, Any], words: list[str], wide: Columns, blank: float) -> Piece:
    """A keyframe's row: figures, and under them blanks for what the rig showed."""
    room = wide.words - sizes.WORDS_PAD
    high = len(in_rows(wide.facts, wide.words, 0.0)) * sizes.FIGURE_LINE
    high += sum(lines(line, room, sizes.SMALL_PT) for line in words) * sizes.SMALL_LINE
    high = max(high, sizes.FIGURE_LINE + blank + sizes.BLANK_FOOT)
    data = {"key": key, "words": words, "blank": high - sizes.FIGURE_LINE - sizes.BLANK_FOOT}
    return Piece("key", data, high + 2 * sizes.KEY_PAD + sizes.KEYS_RULE)


def _card_words(key: Mapping[str, Any], waits: bool, by_hand: bool) -> list[str]:
    """What to point at, in one paragraph; the aim where there is no sighting.

    `by_hand`: the rig has no tilt; then the aim, which tells it, stands there in any case.
    """
    said = [key["sighting"], *([key["aim"]] if by_hand or not key["sighting"] else []), key["meant"]]
    said += [key["waits"]] if waits else []
    return list(filter(None, [" · ".join(filter(None, said))]))


def _words(key: Mapping[str, Any]) -> list[str]:
    """What to point at, and what it is: a line each."""
    return list(
        filter(None, (key["approach"], key["there"], key["sighting"], key["waits"], key["aim"], key["also"]))
    )
