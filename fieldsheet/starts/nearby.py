"""Which time zone a place probably has: that of the nearest city that names one."""

from __future__ import annotations

import re
from functools import cache
from importlib import resources
from math import cos, radians, sin

_POSITION = re.compile(r"([+-])(\d{2})(\d{2})(\d{2})?([+-])(\d{3})(\d{2})(\d{2})?")

Direction = tuple[float, float, float]


def nearest_zone(latitude_deg: float, longitude_deg: float) -> str:
    """A zone by its name, to be confirmed: near a border it may be the neighbour's."""
    here = _direction(latitude_deg, longitude_deg)
    return max(_cities(), key=lambda city: sum(a * b for a, b in zip(here, city[0], strict=True)))[1]


@cache
def _cities() -> list[tuple[Direction, str]]:
    """Where the cities lie that zones are named by, from the pinned tzdata package."""
    table = (resources.files("tzdata") / "zoneinfo" / "zone.tab").read_text("utf-8")
    rows = [row.split("\t") for row in table.splitlines() if not row.startswith("#")]
    return [(_direction(*_degrees(row[1])), row[2]) for row in rows]


def _degrees(position: str) -> tuple[float, float]:
    """Latitude and longitude of +DDMM+DDDMM, with seconds or without (ISO 6709, as the table has it)."""
    parts = _POSITION.fullmatch(position)
    assert parts is not None, "the table gives positions alone"
    halves = (parts.groups()[:4], parts.groups()[4:])
    latitude, longitude = (
        (-1 if sign == "-" else 1) * (int(degrees) + int(minutes) / 60 + int(seconds or 0) / 3600)
        for sign, degrees, minutes, seconds in halves
    )
    return latitude, longitude


def _direction(latitude_deg: float, longitude_deg: float) -> Direction:
    latitude, longitude = radians(latitude_deg), radians(longitude_deg)
    return cos(latitude) * cos(longitude), cos(latitude) * sin(longitude), sin(latitude)
