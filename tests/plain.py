"""A brief without what it says of light and power, for tests of everything else."""

from __future__ import annotations

from typing import Any


def plain(brief: dict[str, Any]) -> dict[str, Any]:
    """The brief, its exposure, watt-hours, heater and cards taken out; altered in place."""
    brief |= {"exposure": None, "heater": None}
    brief["rig"]["power"] = None
    brief["camera"] |= {"battery": None, "cards": None}
    return brief
