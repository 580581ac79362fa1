"""A brief without what it says of light, power and its own rig, for tests of everything else."""

from __future__ import annotations

from typing import Any


def plain(brief: dict[str, Any]) -> dict[str, Any]:
    """The brief, its exposure, watt-hours, heater, dew, cards and legs taken out; altered in place."""
    brief |= {"exposure": None, "heater": None, "dew": None}
    brief["rig"] |= {"power": None, "lens_over_rail_mm": None, "legs": []}
    brief["camera"] |= {"battery": None, "cards": None}
    return brief
