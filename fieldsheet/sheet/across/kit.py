"""Everything to pack across the catalog: the sheets' pack sections, each thing once."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from typing import Any

from .shots import Shot

NAMED_MOST = 2  # shots named one by one; beyond that they are counted


@dataclass
class Thing:
    """One thing to pack: `shots` are positions in the catalog's order of shots."""

    id: str
    text: str
    note: str
    must: bool = False
    values: list[str] = field(default_factory=list)
    shots: list[int] = field(default_factory=list)


@dataclass(frozen=True)
class KitRow:
    """A thing in words: `needed_by` says for which shots, `shots` is the same as ranges such as "0-3 7"."""

    id: str
    text: str
    note: str
    must: bool
    value: str
    needed_by: str
    shots: str


def kit_of(entries: Sequence[Shot]) -> list[KitRow]:
    """The rows in the order in which the first sheet that needs a thing lists it."""
    things: dict[str, Thing] = {}
    for number, entry in enumerate(entries):
        for item in _packed(entry):
            thing = things.setdefault(item["id"], Thing(item["id"], item["text"], item["note"]))
            thing.must |= item["must"]
            if item["value"] and item["value"] not in thing.values:
                thing.values.append(item["value"])
            if number not in thing.shots:
                thing.shots.append(number)
    return [_row(thing, entries) for thing in things.values()]


def _packed(entry: Shot) -> Iterator[dict[str, Any]]:
    for section in entry.sheet["checklist"]:
        if section["name"] == "pack":
            yield from section["items"]


def _row(thing: Thing, entries: Sequence[Shot]) -> KitRow:
    needed_by = _needed_by([entries[number] for number in thing.shots], len(entries))
    value = " / ".join(thing.values)
    return KitRow(thing.id, thing.text, thing.note, thing.must, value, needed_by, _ranges(thing.shots))


def _needed_by(shots: Sequence[Shot], of: int) -> str:
    """The rigs' letters, then the shots: by name while they are few."""
    if len(shots) == of and of > 1:
        return "every shot"
    letters = " ".join(sorted({entry.sheet["letter"] for entry in shots}))
    if len(shots) > NAMED_MOST:
        return f"{letters} · {len(shots)} shots"
    return f"{letters} · {', '.join(entry.sheet['title'] for entry in shots)}"


def _ranges(numbers: Sequence[int]) -> str:
    """Ascending numbers as "0-3 7"."""
    runs: list[list[int]] = []
    for number in numbers:
        if runs and runs[-1][1] == number - 1:
            runs[-1][1] = number
        else:
            runs.append([number, number])
    return " ".join(str(first) if first == last else f"{first}-{last}" for first, last in runs)
