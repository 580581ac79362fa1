"""Which time zones a place may have: those of the nearest cities that name one."""

from __future__ import annotations

import re
from functools import cache
from heapq import nsmallest
from importlib import resources

from fieldsheet.plan.spot import distance_m

_POSITION = re.compile(r"([+-])(\d{2})(\d{2})(\d{2})?([+-])(\d{3})(\d{2})(\d{2})?")

Position = dict[str, float]


def nearest_zones(latitude_deg: float, longitude_deg: float) -> list[tuple[str, float]]:
    """The two nearest, each with the metres to its city; to be confirmed, for borders are not known."""
    here = {"latitude_deg": latitude_deg, "longitude_deg": longitude_deg}
    zones = ((zone, distance_m(here, city)) for city, zone in _cities())
    return nsmallest(2, zones, key=lambda zone: zone[1])


@cache
def _cities() -> list[tuple[Position, str]]:
    """Where the cities lie that zones are named by, from the pinned tzdata package."""
    table = (resources.files("tzdata") / "zoneinfo" / "zone.tab").read_text("utf-8")
    rows = [row.split("\t") for row in table.splitlines() if not row.startswith("#")]
    return [(_position(row[1]), row[2]) for row in rows]


def _position(text: str) -> Position:
    """Latitude and longitude of +DDMM+DDDMM, with seconds or without (ISO 6709, as the table has it)."""
    parts = _POSITION.fullmatch(text)
    assert parts is not None, "the table gives positions alone"
    halves = (parts.groups()[:4], parts.groups()[4:])
    latitude, longitude = (
        (-1 if sign == "-" else 1) * (int(degrees) + int(minutes) / 60 + int(seconds or 0) / 3600)
        for sign, degrees, minutes, seconds in halves
    )
    return {"latitude_deg": latitude, "longitude_deg": longitude}
