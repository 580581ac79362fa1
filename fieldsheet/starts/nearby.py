"""Which time zone a place probably has: that of the nearest city that names one."""

from __future__ import annotations

import re
from functools import cache
from importlib import resources

from fieldsheet.plan.spot import distance_m

_POSITION = re.compile(r"([+-])(\d{2})(\d{2})(\d{2})?([+-])(\d{3})(\d{2})(\d{2})?")

Position = dict[str, float]


def nearest_zone(latitude_deg: float, longitude_deg: float) -> str:
    """A zone by its name, to be confirmed: near a border it may be the neighbour's."""
    here = {"latitude_deg": latitude_deg, "longitude_deg": longitude_deg}
    return min(_cities(), key=lambda city: distance_m(here, city[0]))[1]


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
