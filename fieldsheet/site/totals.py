"""What the shots of a night take together: of the cards of a camera, of the packs of a rig."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from ..sheet.words import say
from .entries import Entry, NightOf


@dataclass(frozen=True)
class Total:
    """A line of the kit page: whose cards or packs, and what is taken of them."""

    name: str
    text: str


def totals_of(nights: Sequence[NightOf]) -> list[tuple[NightOf, list[Total]]]:
    """The nights of whose shots something is known, nothing being emptied or charged in between."""
    told = ((night, [*_cards(night.entries), *_packs(night.entries)]) for night in nights)
    return [(night, totals) for night, totals in told if totals]


def _cards(entries: Sequence[Entry]) -> Iterator[Total]:
    """Every camera's frames against its cards, in GB."""
    for plans in _shared([entry.plan for entry in entries if entry.plan["storage"]], "camera"):
        needed = sum(plan["storage"]["needed_gb"] for plan in plans)
        yield _total(
            "cards", plans, plans[0]["brief"]["camera"]["title"], needed, sum(plans[0]["storage"]["card_gb"])
        )


def _packs(entries: Sequence[Entry]) -> Iterator[Total]:
    """Every rig's watt-hours against what its packs give above their reserve, in the coldest of its shots."""
    for plans in _shared([entry.plan for entry in entries if _rig(entry.plan)], "rig"):
        rigs = [rig for plan in plans if (rig := _rig(plan))]
        has = min(sum(pack["usable_wh"] for pack in rig["packs"]) for rig in rigs)
        title = "{letter} · {title}".format_map(plans[0]["brief"]["rig"])
        yield _total("packs", plans, title, sum(rig["total_wh"] for rig in rigs), has)


def _shared(plans: Sequence[dict[str, Any]], what: str) -> list[list[dict[str, Any]]]:
    """The plans by what they share, "camera" or "rig"."""
    groups: dict[str, list[dict[str, Any]]] = {}
    for plan in plans:
        groups.setdefault(plan["brief"][what]["id"], []).append(plan)
    return list(groups.values())


def _rig(plan: dict[str, Any]) -> dict[str, Any] | None:
    return next((supply for supply in plan["power"]["supplies"] if supply["id"] == "rig"), None)


def _total(kind: str, plans: Sequence[Any], name: str, needed: float, has: float) -> Total:
    args = {
        "needed": needed,
        "has": has,
        "rest": abs(has - needed),
        "shots": "1 shot" if len(plans) == 1 else f"{len(plans)} shots",
    }
    return Total(name, say(f"total.{kind}" if needed <= has else f"total.{kind}-short", args, ()))
