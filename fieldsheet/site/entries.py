"""The shots of a catalog as every page needs them: in order of their nights, with what is printed of them."""

from __future__ import annotations

from collections.abc import Container, Sequence
from dataclasses import dataclass
from typing import Any, TypedDict

from ..sheet.across.shots import Shot, in_order
from .beside import card_of, sheet_of


class SiteShot(TypedDict):
    """One shot as the site needs it."""

    plan: dict[str, Any]
    sheet: dict[str, Any]


@dataclass(frozen=True)
class Entry(Shot):
    """A shot, and what is printed of it."""

    has_card: bool
    has_sheet: bool


def entries_of(shots: Sequence[SiteShot], beside: Container[str]) -> tuple[Entry, ...]:
    """The shots in order of date, first frame and id; `beside`: the paths of the files beside the pages."""
    found = [_entry(shot["plan"], shot["sheet"], beside) for shot in shots]
    return tuple(sorted(found, key=in_order))


def _entry(plan: dict[str, Any], sheet: dict[str, Any], beside: Container[str]) -> Entry:
    window, shot_id = plan["window"], plan["shot"]["id"]
    return Entry(
        id=shot_id,
        plan=plan,
        sheet=sheet,
        start_ms=window["start"]["utc_ms"],
        end_ms=window["end"]["utc_ms"],
        has_card=card_of(shot_id) in beside,
        has_sheet=sheet_of(shot_id) in beside,
    )
