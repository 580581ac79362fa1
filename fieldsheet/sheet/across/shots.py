"""The shots of a catalog as whatever looks across them needs them: in order, and gathered by night."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import groupby
from typing import Any


@dataclass(frozen=True)
class Shot:
    """A shot's Plan and Sheet, with what places it in time [ms UTC]."""

    id: str
    plan: dict[str, Any]
    sheet: dict[str, Any]
    start_ms: int
    end_ms: int


@dataclass(frozen=True)
class NightOf:
    """The shots of one date, in order of their first frames."""

    date: str
    title: str
    entries: tuple[Shot, ...]

    @property
    def end_ms(self) -> int:
        """When the last of them ends."""
        return max(entry.end_ms for entry in self.entries)


def shots_of(plans: Mapping[str, dict[str, Any]], sheets: Mapping[str, dict[str, Any]]) -> tuple[Shot, ...]:
    """The shots in order of date, first frame and id, from their plans and sheets by id."""
    found = [
        Shot(
            shot_id, plan, sheets[shot_id], plan["window"]["start"]["utc_ms"], plan["window"]["end"]["utc_ms"]
        )
        for shot_id, plan in plans.items()
    ]
    return tuple(sorted(found, key=in_order))


def in_order(shot: Shot) -> tuple[str, int, str]:
    """By date, first frame and id."""
    return shot.sheet["night_date"], shot.start_ms, shot.id


def nights_of(shots: Sequence[Shot]) -> tuple[NightOf, ...]:
    """The nights in order; `shots` come in order of date."""
    gathered = groupby(shots, key=lambda shot: str(shot.sheet["night_date"]))
    nights = [(date, tuple(group)) for date, group in gathered]
    return tuple(NightOf(date, group[0].sheet["night"], group) for date, group in nights)
