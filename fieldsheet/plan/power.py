"""Watt-hours to the last frame: supplies, their packs, and the swap.  Twin: app/core/power.js."""

from __future__ import annotations

from typing import Any

from .anchors import Night
from .move import Path
from .supplies import camera_supply, heater_supply, rig_supply
from .swaps import Found, advised_swap
from .timing import Timing


def power_of(
    brief: dict[str, Any], night: Night, timing: Timing, path: Path, found: Found, own: dict[str, Any] | None
) -> dict[str, Any]:
    """{swap, advised, temperature_c, supplies}: a person's own swap goes before the one that is advised.

    The supplies are those that the files say something of, with used_wh at every frame; `thinned` has them
    as the plan keeps them.
    """
    supplies = supplies_of(brief, night, timing, path)
    rig, advised = brief["rig"]["power"], None
    if rig and rig["can_swap"]:
        keyframes = [setting.frame for setting in path.settings]
        advised = advised_swap(night, timing, found, keyframes, supplies[0])
    return {
        "swap": own or advised,
        "advised": advised,
        "temperature_c": brief["temperature_c"],
        "supplies": supplies,
    }


def supplies_of(brief: dict[str, Any], night: Night, timing: Timing, path: Path) -> list[dict[str, Any]]:
    """The supplies that the files say something of, the rig's first; no sky is asked."""
    supplies = [
        rig_supply(brief, night, timing, path),
        camera_supply(brief, night, timing),
        heater_supply(brief, night, timing),
    ]
    return [supply for supply in supplies if supply]
