"""What is empty or full before the last frame: message ids, arguments.  Twin: app/core/shortages.js."""

from __future__ import annotations

from collections.abc import Iterator
from math import ceil, floor
from typing import Any

from .planned import Caution, Planned, caution
from .supplies import CABIN_WH
from .swaps import (
    LATEST_SHARE,
    LEAST_MS,
    STEEP_MS,
    is_steep,
    last_frame,
    pack_reserve,
    swapped_at,
    together_wh,
)


def _rig_of(planned: Planned) -> dict[str, Any] | None:
    return next((supply for supply in planned.power["supplies"] if supply["id"] == "rig"), None)


def _pack_setup(planned: Planned) -> Iterator[Caution]:
    """Set-up and way back leave nothing of the first pack, or too little to change it in good time."""
    rig = _rig_of(planned)
    if rig is not None and _spent_by_setup(planned, rig):
        pack = rig["packs"][0]
        args = {"name": pack["name"], "usable": pack["usable_wh"], "setup": rig["used_wh"][0]}
        yield caution("no-go", "pack-setup", {**args, **_enough(rig)})


def _pack_empty(planned: Planned) -> Iterator[Caution]:
    """The rig's pack at its reserve before the end, and no swap for it that lets all of them last."""
    rig = _rig_of(planned)
    if rig is None or rig["reserve"] is None or planned.power["changes"] or _spent_by_setup(planned, rig):
        return
    pack, many = rig["packs"][0], planned.brief["rig"]["power"]["can_swap"]
    usable_wh = together_wh(rig["packs"]) if many else pack["usable_wh"]
    args = {"name": pack["name"], "usable": usable_wh, "needed": rig["total_wh"], **_enough(rig)}
    args |= {**_moment(rig["reserve"]), "count": len(rig["packs"])}
    yield caution("no-go", "packs-empty" if many else "pack-empty", args)


def _spent_by_setup(planned: Planned, rig: dict[str, Any]) -> bool:
    """Whether the first pack would have to be changed before the first frames are over."""
    if rig["reserve"] is None:
        return False
    share = LATEST_SHARE if planned.brief["rig"]["power"]["can_swap"] else 1.0
    return last_frame(rig["used_wh"], rig["packs"][0]["usable_wh"] * share) == 1


def _enough(rig: dict[str, Any]) -> dict[str, Any]:
    """The first pack that would last to the end, and whether it may ride in the cabin."""
    pack = rig["packs"][0]
    cell_wh = pack["rated_wh"] * rig["total_wh"] / pack["usable_wh"]
    return {"enough": rig["enough_mah"], "cabin": "cabin.within" if cell_wh <= CABIN_WH else "cabin.over"}


def _swap_against_packs(planned: Planned) -> Iterator[Caution]:
    """A range that a person gave, where a pack does not last over all of it, and is not changed again."""
    rig, swap = _rig_of(planned), planned.swap
    if rig is None or swap is None or len(rig["packs"]) < 2:
        return
    first, second = rig["packs"][:2]
    used, until, timing = rig["used_wh"], floor(swap["until"]["frame"]), planned.timing
    tight = rig["reserve"] is not None and swapped_at(used, until) > first["usable_wh"] * LATEST_SHARE
    best = until
    if tight and not _spent_by_setup(planned, rig):
        best = last_frame(used, first["usable_wh"] * LATEST_SHARE)
        late = swapped_at(used, until) > first["usable_wh"]
        args = {"until": until, "clock": swap["until"]["time"]["utc_ms"], "name": first["name"]}
        args |= {"reserve": rig["reserve"]["frame"], "reserve_clock": rig["reserve"]["time"]["utc_ms"]}
        args["latest"] = best
        yield caution("no-go" if late else "mind", "swap-late" if late else "swap-tight", args)
    if len(planned.power["changes"]) > 1:
        return
    at = ceil(swap["from"]["frame"])
    ends, at_best = pack_reserve(rig, 1, at), pack_reserve(rig, 1, best)
    if at_best is not None:
        args = {"name": second["name"], "at": best, "frame": at_best, "clock": timing.ms_of(at_best)}
        yield caution("no-go", "swap-short", {**args, "usable": second["usable_wh"]})
    elif ends is not None:
        early = next(n for n in range(at, until + 1) if pack_reserve(rig, 1, n) is None)
        args = {"name": second["name"], "at": at, "frame": ends, "clock": timing.ms_of(ends)}
        yield caution("mind", "swap-early", {**args, "earliest": early})


def _swap_steep(planned: Planned) -> Iterator[Caution]:
    """A range that a person gave, in which the exposure is clicked all the time."""
    swap = planned.swap
    if swap is None:
        return
    part = ceil(swap["from"]["frame"]), floor(swap["until"]["frame"])
    if is_steep(planned.timing, part, planned.exposure):
        yield caution(
            "mind", "swap-steep", {"from": part[0], "until": part[1], "click": STEEP_MS, "least": LEAST_MS}
        )


def _own_empty(planned: Planned) -> Iterator[Caution]:
    """The camera's battery or the heater's pack at its reserve before the end."""
    for supply in planned.power["supplies"]:
        if supply["id"] != "rig" and supply["reserve"] is not None:
            needed = {"usable": supply["packs"][0]["usable_wh"], "needed": supply["total_wh"]}
            args = {**needed, **_moment(supply["reserve"])}
            yield caution("no-go" if supply["id"] == "camera" else "mind", supply["id"] + "-empty", args)


def _peak(planned: Planned) -> Iterator[Caution]:
    """Peak current kills first: a pack that cannot give it switches off."""
    rig = _rig_of(planned)
    if rig is None or rig["peak_w"] is None:
        return
    weak = [pack for pack in rig["packs"] if pack["output_w"] < rig["peak_w"]]
    if weak:
        args = {"name": weak[0]["name"], "peak": rig["peak_w"], "output": weak[0]["output_w"]}
        yield caution("no-go", "peak-over", args)


def _too_cold(planned: Planned) -> Iterator[Caution]:
    """Below what was measured nobody knows what a pack gives."""
    degrees = planned.power["temperature_c"]
    for supply in planned.power["supplies"]:
        coldest = max(pack["coldest_c"] for pack in supply["packs"])
        if degrees < coldest:
            args = {"what": "supply." + supply["id"], "degrees": degrees, "coldest": coldest}
            yield caution("no-go", "packs-cold", args)


def _heavier(planned: Planned) -> Iterator[Caution]:
    """The rig carries more than when its figures were measured."""
    power, rail = planned.brief["rig"]["power"], planned.brief["rail"]
    if power is None or rail is None or None in (power["payload_kg"], rail["payload_kg"]):
        return
    if rail["payload_kg"] > power["payload_kg"]:
        args = {"payload": rail["payload_kg"], "measured": power["payload_kg"]}
        yield caution("mind", "payload-measured", args)


def _cards_full(planned: Planned) -> Iterator[Caution]:
    storage = planned.storage
    if storage is None or storage["full"] is None:
        return
    args = {"frames": planned.timing.frames, "fit": storage["fit"], "short": -storage["spare_gb"]}
    args |= {"frame_mb": storage["frame_mb"], "needed": storage["needed_gb"]}
    yield caution("no-go", "cards-full", {**args, **_moment(storage["full"])})


def _moment(at: dict[str, Any]) -> dict[str, Any]:
    return {"frame": at["frame"], "clock": at["time"]["utc_ms"]}


CHECKS = (
    _pack_setup,
    _pack_empty,
    _swap_against_packs,
    _swap_steep,
    _own_empty,
    _peak,
    _too_cold,
    _heavier,
    _cards_full,
)
