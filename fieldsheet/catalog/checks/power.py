"""Whether what a rig says of watts is whole: half of it gives no plan."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from ...problems import Problem
from ..document import Document
from ..draft import Draft, keys_of
from ..models.pairs import Pair
from ..models.power import OF_CAPACITY, OUTPUT, RATE, RATES, WATTS, Pack, Power
from ..models.shot import Rail
from ..words import one_of, show

BY_UNIT = {unit: key for unit, (key, _) in RATES.items()}
# What says nothing of a rig without a slide.
OF_THE_RAIL = ("incline_factor", "incline_factor_down", "holding_factor", "measured_payload_kg")
FIGURES = ("electronics_w", "holding_w", *BY_UNIT.values(), *OF_THE_RAIL, "peak_w")
CURVES = ("incline_factor", "incline_factor_down", "holding_factor")


def check_power(rig: Document) -> Iterator[Problem]:
    """What a rig's [power] lacks, once it says anything of watts or of milliampere-hours."""
    power = _power(rig)
    if power is None:
        return
    packs = _packs(rig, power)
    written = [key for key in FIGURES if key in power.given]
    if not written and not any("capacity_mah" in pack.given for pack in packs):
        return
    axes = _units(rig)
    yield from _lacking(rig, power, packs, axes)
    yield from _idle(rig, power, axes)
    yield from _check_rates(rig, power, axes)
    yield from _check_peak(rig, power, packs)


def check_incline(shot: Document, rig: Document | None) -> Iterator[Problem]:
    """The energy ratios of the rig cover the incline of this shot's rail."""
    raw = shot.draft.raw.get("rail") if shot.draft else None
    power = _power(rig) if rig is not None else None
    if rig is None or power is None or not isinstance(raw, dict):
        return
    incline = Draft(Rail, raw, shot.lines, []).get("incline_deg")
    if not incline or power.get("electronics_w") is None:
        return
    if "incline_factor" not in power.given:
        found = f"{show(incline)}°, but [power] of {rig.file} has no incline_factor"
        yield shot.problem(("rail", "incline_deg"), found, "incline_factor there, as measured on that rig")
    for key in CURVES:
        pairs: list[Pair] | None = power.get(key)
        if pairs and abs(incline) > pairs[-1][0]:
            found = f"{show(incline)}°, but {key} of {rig.file} was measured to {show(pairs[-1][0])}°"
            yield shot.problem(("rail", "incline_deg"), found, "a flatter rail, or the ratio measured there")


def _power(rig: Document) -> Draft | None:
    raw = rig.draft.raw.get("power") if rig.draft else None
    if not isinstance(raw, dict):
        return None
    power = Draft(Power, raw, rig.lines, [])
    # A misspelt key may be the one that would be missed.
    return power if power.given <= set(keys_of(Power)) else None


def _packs(rig: Document, power: Draft) -> list[Draft]:
    raw = power.raw.get("pack")
    return [
        Draft(Pack, pack, rig.lines, [])
        for pack in (raw if isinstance(raw, list) else [])
        if isinstance(pack, dict)
    ]


def _units(rig: Document) -> dict[str, Any]:
    """The unit of each axis that the file means to give, by its name."""
    raw = rig.draft.raw.get("axis") if rig.draft else None
    axes = raw.items() if isinstance(raw, dict) else ()
    return {name: axis.get("unit") for name, axis in axes if isinstance(axis, dict)}


def _lacking(rig: Document, power: Draft, packs: list[Draft], axes: dict[str, Any]) -> Iterator[Problem]:
    """What the watt-hours cannot be counted without."""
    wanted = {"electronics_w": WATTS}
    if axes:
        wanted["holding_w"] = f"{WATTS}, 0 for motors that let go"
    wanted |= {key: RATE for unit, key in BY_UNIT.items() if unit in axes.values()}
    for key, right in wanted.items():
        if key not in power.given:
            yield rig.problem(("power", key), "nothing", f"{right}; or nothing at all of watts and mAh")
    if not power.raw.get("pack"):
        yield rig.problem(("power", "pack"), "no pack", "a [[power.pack]] with capacity_mah")
    for index, pack in enumerate(packs):
        # What else it gives is told by itself.
        if not pack.given & {"capacity_mah", *OF_CAPACITY}:
            right = "what is printed on it in mAh; or nothing at all of watts and mAh"
            yield rig.problem(("power", "pack", index, "capacity_mah"), "nothing", right)


def _idle(rig: Document, power: Draft, axes: dict[str, Any]) -> Iterator[Problem]:
    """What nothing would read of a rig with these axes."""
    idle = {} if axes else {"holding_w": "axis"}
    idle |= {key: f"axis in {unit}" for unit, key in BY_UNIT.items() if unit not in axes.values()}
    idle |= {} if "slide" in axes else dict.fromkeys(OF_THE_RAIL, "[axis.slide]")
    for key, what in idle.items():
        if key in power.given:
            yield rig.problem(
                ("power", key), f"{key} for a rig without an {what}".replace("an [", "["), f"no {key}"
            )
    for key in CURVES[1:]:
        if key in power.given and "slide" in axes and "incline_factor" not in power.given:
            yield rig.problem(("power", key), f"{key} alone", "incline_factor too")


def _check_rates(rig: Document, power: Draft, axes: dict[str, Any]) -> Iterator[Problem]:
    """A table of rates names every axis of its unit, and no other."""
    for unit, key in BY_UNIT.items():
        rates, here = power.get(key), [name for name in axes if axes[name] == unit]
        if rates and "" not in rates and here and set(rates) != set(here):
            found = f"a table with {one_of(list(rates), 'and')}"
            yield rig.problem(("power", key), found, f"one with {one_of(here, 'and')}")


def _check_peak(rig: Document, power: Draft, packs: list[Draft]) -> Iterator[Problem]:
    """The peak is measured against what the packs can give: one says nothing without the other."""
    outputs = ["output_w" in pack.given for pack in packs]
    if "peak_w" not in power.given and any(outputs):
        right = "the most that the rig draws in watts, or no output_w"
        yield rig.problem(("power", "peak_w"), "nothing, but a pack has output_w", right)
    for index, given in enumerate(outputs):
        if "peak_w" in power.given and not given:
            yield rig.problem(("power", "pack", index, "output_w"), "nothing, but there is peak_w", OUTPUT)
