"""What is empty or full before the last frame: message ids, arguments.  Twin: app/core/shortages.js."""

from __future__ import annotations

from collections.abc import Iterator
from math import ceil, floor
from typing import Any

from .planned import Caution, Planned, caution
from .supplies import CABIN_WH
from .swaps import LATEST_SHARE, latest_frame, second_reserve, swapped_at


def _rig_of(planned: Planned) -> dict[str, Any] | None:
    return next((supply for supply in planned.power["supplies"] if supply["id"] == "rig"), None)


def _pack_empty(planned: Planned) -> Iterator[Caution]:
    """The rig's pack at its reserve before the end, and nothing swapped for it."""
    rig = _rig_of(planned)
    if rig is None or rig["reserve"] is None or planned.power["swap"] is not None:
        return
    pack, enough = rig["packs"][0], rig["enough_mah"]
    args = {"name": pack["name"], "usable": pack["usable_wh"], "needed": rig["total_wh"], "enough": enough}
    cell_wh = pack["rated_wh"] * rig["total_wh"] / pack["usable_wh"]
    cabin = "cabin.within" if cell_wh <= CABIN_WH else "cabin.over"
    yield caution("no-go", "pack-empty", {**args, **_moment(rig["reserve"]), "cabin": cabin})


def _swap_against_packs(planned: Planned) -> Iterator[Caution]:
    """A range that a person gave, where one of the packs does not last over all of it."""
    rig, swap = _rig_of(planned), planned.swap
    if rig is None or swap is None or len(rig["packs"]) < 2:
        return
    first, second = rig["packs"][:2]
    used, until, timing = rig["used_wh"], floor(swap["until"]["frame"]), planned.timing
    if rig["reserve"] is not None and swapped_at(used, until) > first["usable_wh"] * LATEST_SHARE:
        late = swapped_at(used, until) > first["usable_wh"]
        args = {"until": until, "clock": swap["until"]["time"]["utc_ms"], "name": first["name"]}
        args |= {"reserve": rig["reserve"]["frame"], "reserve_clock": rig["reserve"]["time"]["utc_ms"]}
        args["latest"] = latest_frame(rig)
        yield caution("no-go" if late else "mind", "swap-late" if late else "swap-tight", args)
    at = ceil(swap["from"]["frame"])
    ends, at_best = second_reserve(rig, at), second_reserve(rig, until)
    if at_best is not None:
        args = {"name": second["name"], "at": until, "frame": at_best, "clock": timing.ms_of(at_best)}
        yield caution("no-go", "swap-short", {**args, "usable": second["usable_wh"]})
    elif ends is not None:
        early = next(n for n in range(at, until + 1) if second_reserve(rig, n) is None)
        args = {"name": second["name"], "at": at, "frame": ends, "clock": timing.ms_of(ends)}
        yield caution("mind", "swap-early", {**args, "earliest": early})


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


CHECKS = (_pack_empty, _swap_against_packs, _own_empty, _peak, _too_cold, _heavier, _cards_full)
