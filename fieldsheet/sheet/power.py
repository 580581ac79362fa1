"""Power and storage in words.  Twin: app/core/sheet-power.js."""

from __future__ import annotations

from collections.abc import Iterator
from math import ceil, floor
from typing import Any

from ..plan.supplies import added
from .times import Clock
from .words import WORDS, say

Line = dict[str, Any]


def power_lines(plan: dict[str, Any], swap: str, at: Clock) -> list[Line]:
    """{name, text, brief} of what is known of power and storage; brief: of those that the small card tells.

    swap: the number of that name, in words.
    """
    lines: list[Line] = []
    for supply in plan["power"]["supplies"]:
        if supply["id"] == "rig":
            lines += _rig(plan, supply, swap, at)
        else:
            lines.append(_own(plan, supply, at))
    lines += _cards(plan["storage"], at)
    return [*lines, *_cabin(plan["power"]["supplies"])]


def lasts(plan: dict[str, Any], at: Clock) -> str:
    """How long the pack lasts that the run begins with; "" where nothing is known of it."""
    rig = next((supply for supply in plan["power"]["supplies"] if supply["id"] == "rig"), None)
    return _fate(rig["reserve"], at) if rig else ""


def swap_texts(plan: dict[str, Any], at: Clock) -> list[str]:
    """Of every pack after the first, those that a stop left behind too, what is to be said of its swap."""
    way = plan["changes"].get("way") or {}
    gone = WORDS["power.swapped" if way.get("after", {}).get("swapped") else "power.over"]
    return [*[gone] * packs_gone(plan), *swaps_ahead(plan, at)]


def packs_gone(plan: dict[str, Any]) -> int:
    """How many of the rig's packs were done with before frame 1, where the shot goes on after a stop."""
    rig = next((supply for supply in plan["power"]["supplies"] if supply["id"] == "rig"), None)
    return len(plan["brief"]["rig"]["power"]["packs"]) - len(rig["packs"]) if rig else 0


def swaps_ahead(plan: dict[str, Any], at: Clock) -> list[str]:
    """Of every pack after the one that frame 1 begins with its range in words, or that it is not needed.

    One text at least: "" where nothing is known of packs, or where all of them do not last.
    """
    rig = next((supply for supply in plan["power"]["supplies"] if supply["id"] == "rig"), None)
    texts = [_swap(swap, at) for swap in plan["power"]["changes"]]
    spare = len(rig["packs"]) - 1 - len(texts) if rig else 0
    idle = WORDS["power.no-swap"] if rig and (texts or rig["reserve"] is None) else ""
    return [*texts, *[idle] * spare] or [""]


def stored(storage: dict[str, Any] | None) -> str:
    """What the frames take of the cards; "" where that is not known."""
    if storage is None:
        return ""
    return say("power.stored", {"needed": storage["needed_gb"], "cards": added(storage["card_gb"])}, ())


def _rig(plan: dict[str, Any], supply: dict[str, Any], swap: str, at: Clock) -> Iterator[Line]:
    phases = supply["phases"]
    whole = {phase: added(draws.values()) for phase, draws in phases.items()}
    draws = {
        name: added(phase[name + "_wh"] for phase in phases.values())
        for name in ("electronics", "holding", "moving")
    }
    before_wh = supply["before_wh"]
    args = {**whole, "before": before_wh, "total": supply["total_wh"]}
    yield _line("rig", "rig-on" if before_wh else "rig", args)
    yield _line("draws", "draws", draws)
    if supply["lift_wh"] is not None:
        yield _line("lift", "lift", {"lift": supply["lift_wh"]})
    if supply["peak_w"] is not None:
        least_w = min(pack["output_w"] for pack in supply["packs"])
        yield _line("peak", "peak", {"peak": supply["peak_w"], "output": least_w})
    for n, pack in enumerate(supply["packs"]):
        yield _rig_pack(plan, supply, n, at, {**_held(pack, plan), "runs": pack["runs"]})
    if swap:
        enough, args = supply["enough_mah"], {"swap": swap, "enough": supply["enough_mah"]}
        text = swap if enough is None else say("power.swap-or", args, ())
        yield {"name": WORDS["power.name.swap"], "text": text, "brief": False}
    if plan["power"]["rest"] is not None:
        rest, name = plan["power"]["rest"], supply["packs"][0]["name"]
        args = {"needed": rest["needed_wh"], "name": name, "fate": _fate(rest["reserve"], at)}
        yield _line("rest", "rest", args)


def _rig_pack(
    plan: dict[str, Any], supply: dict[str, Any], number: int, at: Clock, args: dict[str, Any]
) -> Line:
    """A pack, and how long it lasts: from the first drive, or put in as early as can be."""
    changes = plan["power"]["changes"]
    if not number:
        return _line("pack", "pack-fate", {**args, "fate": _fate(supply["reserve"], at)}, True)
    if number > len(changes):
        return _line("pack", "pack", args, True)
    swap = changes[number - 1]
    more = {"at": ceil(swap["from"]["frame"]), "fate": _fate(swap["reserve"], at)}
    return _line("pack", "pack-in", {**args, **more}, True)


def _swap(swap: dict[str, Any], at: Clock) -> str:
    """The range of frames inside a swap's, first to last, with their clock times."""
    args = {
        "first": ceil(swap["from"]["frame"]),
        "last": floor(swap["until"]["frame"]),
        "from": at(swap["from"]["time"]["utc_ms"]),
        "until": at(swap["until"]["time"]["utc_ms"]),
    }
    return say("value.swap", args, ())


def _own(plan: dict[str, Any], supply: dict[str, Any], at: Clock) -> Line:
    """A camera's battery or a heater's pack: what is taken, of what, and how long it lasts."""
    needs = {name.removesuffix("_wh"): wh for name, wh in supply["phases"]["shooting"].items()}
    held = _held(supply["packs"][0], plan)
    args = {**needs, **held, "total": supply["total_wh"], "fate": _fate(supply["reserve"], at)}
    on = "-on" if supply["before_wh"] else ""
    return _line(supply["id"], supply["id"] + on, {**args, "before": supply["before_wh"]}, True)


def _cards(storage: dict[str, Any] | None, at: Clock) -> Iterator[Line]:
    if storage is None:
        return
    args = {"needed": storage["needed_gb"], "cards": added(storage["card_gb"])}
    if storage["full"] is not None:
        full = {"frame": storage["full"]["frame"], "clock": at(storage["full"]["time"]["utc_ms"])}
        yield _line("cards", "cards-full", {**args, **full}, True)
        return
    # A card is never full later than that.
    fill_ms = floor(storage["fill_ms"] / 60_000) * 60_000
    more = {"spare": storage["spare_gb"], "fit": storage["fit"], "fill": fill_ms}
    yield _line("cards", "cards", {**args, **more}, True)


def _cabin(supplies: list[dict[str, Any]]) -> Iterator[Line]:
    """How the packs may fly: those of a kind together."""
    kinds: dict[str, list[str]] = {}
    for supply in supplies:
        for pack in supply["packs"]:
            kinds.setdefault(pack["cabin"], []).append(pack["name"] or WORDS["power.name." + supply["id"]])
    for cabin, names in kinds.items():
        yield _line("cabin", "airline", {"names": ", ".join(names), "cabin": cabin})


def _line(name: str, text: str, args: dict[str, Any], brief: bool = False) -> Line:
    return {
        "name": say("power.name." + name, args, ()),
        "text": say("power." + text, args, ()),
        "brief": brief,
    }


def _held(pack: dict[str, Any], plan: dict[str, Any]) -> dict[str, Any]:
    held = {"usable": pack["usable_wh"], "rated": pack["rated_wh"], "degrees": plan["power"]["temperature_c"]}
    return {**held, "name": pack["name"]}


def _fate(reserve: dict[str, Any] | None, at: Clock) -> str:
    if reserve is None:
        return WORDS["power.lasts"]
    return say("power.reserve", {"frame": reserve["frame"], "clock": at(reserve["time"]["utc_ms"])}, ())
