"""The shots of a catalog as every page needs them: in order of their nights, and gathered by night."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import groupby
from typing import Any, TypedDict


class SiteShot(TypedDict):
    """One shot as the site needs it."""

    plan: dict[str, Any]
    sheet: dict[str, Any]


@dataclass(frozen=True)
class Entry:
    """A shot with what places it in time [ms UTC] and what is printed of it."""

    id: str
    plan: dict[str, Any]
    sheet: dict[str, Any]
    start_ms: int
    end_ms: int
    has_card: bool
    has_sheet: bool


@dataclass(frozen=True)
class NightOf:
    """The shots of one date, in order of their first frames."""

    date: str
    title: str
    entries: tuple[Entry, ...]

    @property
    def end_ms(self) -> int:
        """When the last of them ends."""
        return max(entry.end_ms for entry in self.entries)


def entries_of(
    shots: Sequence[SiteShot], cards: Mapping[str, bytes], sheets: Mapping[str, bytes]
) -> tuple[Entry, ...]:
    """The shots in order of date, first frame and id."""
    found = [_entry(shot["plan"], shot["sheet"], cards, sheets) for shot in shots]
    return tuple(sorted(found, key=lambda entry: (entry.sheet["night_date"], entry.start_ms, entry.id)))


def _entry(
    plan: dict[str, Any], sheet: dict[str, Any], cards: Mapping[str, bytes], sheets: Mapping[str, bytes]
) -> Entry:
    window, shot_id = plan["window"], plan["shot"]["id"]
    return Entry(
        id=shot_id,
        plan=plan,
        sheet=sheet,
        start_ms=window["start"]["utc_ms"],
        end_ms=window["end"]["utc_ms"],
        has_card=shot_id in cards,
        has_sheet=shot_id in sheets,
    )


def nights_of(entries: Sequence[Entry]) -> tuple[NightOf, ...]:
    """The nights in order; `entries` come in order of date."""
    gathered = groupby(entries, key=lambda entry: str(entry.sheet["night_date"]))
    nights = [(date, tuple(group)) for date, group in gathered]
    return tuple(NightOf(date, group[0].sheet["night"], group) for date, group in nights)
