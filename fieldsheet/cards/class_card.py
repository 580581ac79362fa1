"""A class card: a shot's card with blanks for what is worked out, and a second card with the answers.

It keeps what the hand is to point at, the sky's moments and all that stops a shot or binds it to a clock;
what follows from these by reckoning is blank. How one gets there, and the lists for packing and rigging, stay
on the shot's own cards.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from typing import Any

from fieldsheet.cards.bands import CLOCKS
from fieldsheet.cards.card import card_sides
from fieldsheet.cards.head import stops
from fieldsheet.cards.sides import Side, with_back
from fieldsheet.cards.sizes import Paper
from fieldsheet.sheet.glue import NBSP
from fieldsheet.sheet.strip_marks import named
from fieldsheet.sheet.words import WORDS

Sheet = Mapping[str, Any]

BLANK = "_____"
"""Something to write a value on, wherever a value stands."""
AROUND = ("one pair of hands on the rig at a time", "a line on the ground: no lamp is lit beyond it")
"""How a class stands around a rig (common practice, no source)."""
NAMED = {"role": "worked out by", "who": BLANK * 3}
"""Where those write who worked a card out, which a teacher collects."""

_READ = ("rolling",)
"""Sections of the checklist that are read on it; by the others a class works, from the shot's own cards."""
_GIVEN = ("view",)
"""Numbers of a shot that are no answer."""
_BACK = re.compile(" {}.*?{}(?= |$)".format(*map(re.escape, WORDS["set.back"].split("{past}"))))
"""A sentence that all but tells where the first keyframe is."""
_ON_THE_FIRST = ("abort", "notes", "hazards", "limits", "crew", "checklist")
_ON_NEITHER = ("access", "sky_lines", "power", "rolling")
"""Lists that stand on the card with the blanks alone; those that are of no use to a class."""


def class_cards(sheet: Sheet, address: str, paper: Paper) -> list[tuple[Sheet, list[Side]]]:
    """The card with the blanks, then the one with the answers: each with the sheet that it shows.

    The code, which opens the answers, stands on the second alone. Raises as `card_sides` does.
    """
    asked, told = blanked(sheet), answers(sheet)
    sides = card_sides(asked, None, paper)
    whole = with_back(sides) if paper.sides == 2 else sides
    return [(asked, whole), (told, card_sides(told, address, paper))]


def blanked(sheet: Sheet) -> dict[str, Any]:
    """The sheet with blanks for what is worked out; what would give an answer away is left out."""
    sky, _ = named(sheet["strip"]["moments"], sheet["hangs_on"])
    return {
        **_without(sheet, _ON_NEITHER),
        "title": f"{sheet['title']}: to work out",
        "position": "",
        "set_note": _BACK.sub("", sheet["set_note"]),
        "span": f"from {BLANK} to {BLANK}",
        "numbers": _asked_numbers(sheet),
        "keyframes": [_asked_key(key) for key in sheet["keyframes"]],
        "deadlines": [{**one, "clock": BLANK} for one in sheet["deadlines"]],
        "strip": {**sheet["strip"], "ruler": [], "moments": sky},
        "hangs_on": [],
        "exposure": None,
        "warnings": [one for one in sheet["warnings"] if stops(one)],
        "notes": [*sheet["notes"], *AROUND],
        "crew": [NAMED, *sheet["crew"]],
        "checklist": [_asked_section(one) for one in sheet["checklist"] if one["name"] in _READ],
    }


def answers(sheet: Sheet) -> dict[str, Any]:
    """The sheet with its values, without what the card with the blanks has."""
    left_out = dict.fromkeys(("permit", "stays", "position"), "")
    return {**_without(sheet, _ON_THE_FIRST + _ON_NEITHER), **left_out, "title": f"{sheet['title']}: answers"}


def blank(value: str) -> str:
    """A blank for a value, before its unit."""
    unit = value.rpartition(" ")[2]
    return f"{BLANK} {unit}" if unit.isalpha() and unit != value else BLANK


def _without(sheet: Sheet, lists: Sequence[str]) -> dict[str, Any]:
    return {**sheet, **{name: [] for name in lists}}


def _asked_numbers(sheet: Sheet) -> dict[str, str]:
    asked = {*sheet["program"], *CLOCKS}
    kept = {name: value if name in _GIVEN else "" for name, value in sheet["numbers"].items()}
    blanks = {name: blank(value) for name, value in sheet["numbers"].items() if value and name in asked}
    return {**kept, **blanks, "duration": f"lasts {BLANK}"}


def _asked_key(key: Mapping[str, Any]) -> dict[str, Any]:
    axes = dict.fromkeys(key["axes"], BLANK)
    return {**key, "axes": axes, "frame": BLANK, "clock": BLANK, "waits": "", "approach": ""}


def _asked_section(section: Mapping[str, Any]) -> dict[str, Any]:
    return {**section, "items": [_asked_item(one) for one in section["items"]]}


def _asked_item(one: Mapping[str, Any]) -> Mapping[str, Any]:
    """With a line to write on instead of its value."""
    if not one["value"]:
        return one
    unit = blank(one["value"]).removeprefix(BLANK).strip()
    return {**one, "value": "", "blank": one["blank"] or unit or NBSP}
