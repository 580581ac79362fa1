"""What the tests of the sky share: dates, published tables, angles between directions, places."""

from __future__ import annotations

import calendar
import datetime
import json
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from fieldsheet.sky.observe import Site
from fieldsheet.sky.sky import Sky

Floats = NDArray[np.float64]
SkyOf = Callable[..., Sky]
Judge = Callable[[Site, str, Floats], tuple[Floats, Floats, Floats]]

DAY_S = 86400.0
ALMANAC_S = 60.0  # the almanacs print minutes
SITES = {
    "69 N": Site(69.65, 18.96, 0.0),
    "52 N": Site(51.5, 0.0, 0.0),
    "29 N": Site(28.76, -17.88, 0.0),
    "equator": Site(0.0, 179.99, 0.0),
    "23 S": Site(-23.0, -68.0, 0.0),
    "54 S": Site(-54.0, -68.3, 0.0),
}


def published(name: str) -> Any:
    path = Path(__file__).parents[1] / "published" / name
    return json.loads(path.read_text(encoding="utf-8"))


def day_s(date: str) -> float:
    return float(calendar.timegm(datetime.date.fromisoformat(date).timetuple()))


def utc_s(text: str) -> float:
    return float(calendar.timegm(time.strptime(text, "%Y-%m-%dT%H:%M:%S")))


def site_of(row: dict[str, float]) -> Site:
    return Site(row["latitude_deg"], row["longitude_deg"], row.get("elevation_m", 0.0))


def unit(altitude_deg: Floats, azimuth_deg: Floats) -> Floats:
    altitude, azimuth = np.radians(altitude_deg), np.radians(azimuth_deg)
    return np.stack(
        [np.cos(altitude) * np.cos(azimuth), np.cos(altitude) * np.sin(azimuth), np.sin(altitude)]
    )


def angles_deg(a: tuple[Floats, Floats], b: tuple[Floats, Floats]) -> Floats:
    """The angles between pairs of (altitude, azimuth), degrees, by the chord between them."""
    chord: Floats = np.sqrt(((unit(*a) - unit(*b)) ** 2).sum(axis=0))
    return np.degrees(2.0 * np.arcsin(np.minimum(chord / 2.0, 1.0)))


def apart_deg(a: tuple[Floats, Floats], b: tuple[Floats, Floats]) -> float:
    """The greatest of the angles between pairs of (altitude, azimuth), degrees."""
    return float(angles_deg(a, b).max())


def assert_minutes(found_s: list[float], midnight_s: float, expected: str | None) -> float:
    """One event within a minute of "hhmm", or none at all; returns how far it is, in seconds."""
    if expected is None:
        assert found_s == []
        return 0.0
    assert len(found_s) == 1
    away_s = found_s[0] - (midnight_s + int(expected[:2]) * 3600 + int(expected[2:]) * 60)
    assert abs(away_s) < ALMANAC_S
    return away_s
