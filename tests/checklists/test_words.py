"""Every text of the checklist, said: with exactly its arguments, and short enough for a red lamp at 60 cm."""

from __future__ import annotations

import re
from typing import Any

import pytest

from fieldsheet.cards.metrics import lines
from fieldsheet.checklists.checklist import checklist
from fieldsheet.checklists.words import WORDS
from fieldsheet.sheet.words import say
from tests.checklists.shots import SHOTS, items, slots

ROOM_MM, SIZE_PT = 58.0, 10
"""Beside the tick box, in the narrowest column that a card has."""


def _said(item: dict[str, Any]) -> tuple[str, str]:
    note = say(item["note"], item["args"], (), WORDS) if item["note"] else ""
    return say(item["message"], item["args"], (), WORDS), note


def _named(part: dict[str, Any]) -> set[str]:
    """Every message that a part of the checklist names."""
    ids = {part["title"], part["manner"]}
    return ids | {item[key] for item in part["items"] for key in ("message", "note", "blank") if item[key]}


def test_every_message_is_there_and_none_is_idle() -> None:
    used = {name for each in SHOTS.values() for part in checklist(*each) for name in _named(part)}
    kinds = ("item.", "section.", "manner.", "blank.")
    assert used == {name for name in WORDS if name.startswith(kinds)} - {"section.part"}


@pytest.mark.parametrize("name", SHOTS)
def test_an_item_carries_exactly_the_arguments_that_its_words_name(name: str) -> None:
    for item in items(*SHOTS[name]):
        assert item["args"].keys() == slots(item["message"], item["note"]), item["message"]


@pytest.mark.parametrize("name", SHOTS)
def test_every_item_can_be_said(name: str) -> None:
    for item in items(*SHOTS[name]):
        text, note = _said(item)
        assert text.strip() and not re.search(r"[{}]|None", text + note)


@pytest.mark.parametrize("name", SHOTS)
def test_a_row_is_read_at_a_glance(name: str) -> None:
    """Two lines of words and two of notes in a column of the card at 10 pt (common practice, no source)."""
    for item in items(*SHOTS[name]):
        text, note = _said(item)
        assert lines(text, ROOM_MM, SIZE_PT, item["must"]) <= 2, text
        assert lines(note, ROOM_MM, SIZE_PT) <= 2, note


@pytest.mark.parametrize("name", SHOTS)
def test_no_two_rows_say_the_same(name: str) -> None:
    said = [_said(item) for item in items(*SHOTS[name])]
    assert len(set(said)) == len(said)


def test_an_item_states_the_state_and_never_that_it_was_checked() -> None:
    """Degani & Wiener 1990, NASA CR-177549, appendix A, rule 4."""
    texts = [text for name, text in WORDS.items() if name.startswith("item.")]
    assert not [
        text for text in texts if re.search(r"(?i)\bchecked(?! out)\b|\bcheck\b|\bensure\b|\bOK\b", text)
    ]
