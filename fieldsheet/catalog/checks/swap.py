"""Whether the pack can be swapped while the shot runs: in which part of it, and with what the rig has."""

from __future__ import annotations

from collections.abc import Iterator

from ...problems import Problem
from ..document import Document
from ..draft import Draft, keys_of
from ..models.power import Power
from ..models.shot import Swap
from .order import Stop, check_order


def check_swap(shot: Document, rig: Document | None) -> Iterator[Problem]:
    """Problems of a shot's swap, by itself and against what its rig lives on."""
    if rig is not None and rig.draft is not None and shot.written(("swap",)):
        for lack, right in _lacking(rig):
            yield shot.problem(("swap",), f"a swap, but {rig.file} {lack}", f"{right}, or no swap")
    raw = shot.draft.raw.get("swap") if shot.draft else None
    if not isinstance(raw, dict):
        return
    swap = Draft(Swap, raw, shot.lines, [])
    stops = [
        Stop(("swap", key), key, swap.get(name), raw[key])
        for key, name in (("from", "from_"), ("until", "until"))
        if swap.get(name) is not None
    ]
    yield from check_order(shot, stops, "a moment after it")


def _lacking(rig: Document) -> Iterator[tuple[str, str]]:
    """(what a rig's file lacks for a swap, what would be right); nothing where its own faults hide it."""
    if not rig.given(("power",)):
        yield "has no [power]", "[power] with the two packs there"
        return
    raw = rig.draft.raw.get("power") if rig.draft else None
    if not isinstance(raw, dict):
        return
    power = Draft(Power, raw, rig.lines, [])
    # A misspelt table may be the other pack.
    packs = power.get("pack") if power.given <= set(keys_of(Power)) else None
    if packs is not None and len(packs) < 2:
        found = "has one [[power.pack]]" if packs else "has no [[power.pack]]"
        yield found, "a [[power.pack]] there for each of the two"
    # Without the lead the rig stands without power for a moment, and forgets where it stands.
    if rig.get("position_after_power_loss") == "lost" and power.get("isolating_lead") is False:
        found = "loses its position without power, and has no isolating lead"
        yield found, "isolating_lead = true there if one is made for it"
