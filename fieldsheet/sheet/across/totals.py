"""What the shots of a night take together: of the cards of a camera, of the packs of a rig."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from ..words import say
from .shots import NightOf, Shot


@dataclass(frozen=True)
class Total:
    """A line of the kit page: whose cards or packs, what is taken of them, and whether that is too much."""

    name: str
    text: str
    short: bool


def totals_of(nights: Sequence[NightOf]) -> list[tuple[NightOf, list[Total]]]:
    """The nights of whose shots something is known, nothing being emptied or charged in between."""
    told = ((night, [*_cards(night.entries), *_packs(night.entries)]) for night in nights)
    return [(night, totals) for night, totals in told if totals]


def shared(entries: Sequence[Shot], what: str) -> list[list[Shot]]:
    """The shots by what they share, "camera" or "rig", in their order."""
    groups: dict[str, list[Shot]] = {}
    for entry in entries:
        groups.setdefault(entry.plan["brief"][what]["id"], []).append(entry)
    return list(groups.values())


def rig_of(plan: dict[str, Any]) -> dict[str, Any] | None:
    """What the rig takes of its packs, where that is known."""
    return next((supply for supply in plan["power"]["supplies"] if supply["id"] == "rig"), None)


def rig_name(plan: dict[str, Any]) -> str:
    """The rig by its letter and title."""
    return "{letter} · {title}".format_map(plan["brief"]["rig"])


def _cards(entries: Sequence[Shot]) -> Iterator[Total]:
    """Every camera's frames against its cards, in GB."""
    for group in shared([entry for entry in entries if entry.plan["storage"]], "camera"):
        plans = [entry.plan for entry in group]
        needed = sum(plan["storage"]["needed_gb"] for plan in plans)
        has = sum(plans[0]["storage"]["card_gb"])
        yield _total("cards", len(plans), plans[0]["brief"]["camera"]["title"], needed, has)


def _packs(entries: Sequence[Shot]) -> Iterator[Total]:
    """Every rig's watt-hours against what its packs give above their reserve, in the coldest of its shots."""
    for group in shared([entry for entry in entries if rig_of(entry.plan)], "rig"):
        rigs = [rig for entry in group if (rig := rig_of(entry.plan))]
        has = min(sum(pack["usable_wh"] for pack in rig["packs"]) for rig in rigs)
        needed = sum(rig["total_wh"] for rig in rigs)
        yield _total("packs", len(rigs), rig_name(group[0].plan), needed, has)


def _total(kind: str, shots: int, name: str, needed: float, has: float) -> Total:
    args = {"needed": needed, "has": has, "rest": abs(has - needed), "shots": shots_text(shots)}
    short = needed > has
    return Total(name, say(f"total.{kind}-short" if short else f"total.{kind}", args, ()), short)


def shots_text(count: int) -> str:
    """How many shots, in words."""
    return "1 shot" if count == 1 else f"{count} shots"
