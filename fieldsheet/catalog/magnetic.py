"""Where a compass points: the World Magnetic Model's declination at a place on a date.

WMM2025 by NOAA NCEI and the British Geological Survey, valid from 2025.0 to 2030.0, from the coefficients
in the package pygeomag.  Declination is positive to the east: true = magnetic + declination.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from functools import cache

from pygeomag import GeoMag

COEFFICIENTS = "wmm/WMM_2025.COF"
FIRST_YEAR, LAST_YEAR = 2025.0, 2030.0
# Horizontal intensity below which the model's report gives compasses up, or warns of them (from memory).
BLACKOUT_NT, CAUTION_NT = 2000.0, 6000.0


@dataclass(frozen=True)
class Field:
    """Declination [deg, east positive] and horizontal intensity [nT] of the model."""

    declination_deg: float
    horizontal_nt: float


@dataclass(frozen=True)
class Declination:
    """deg: east positive, None where none can be given; lacks: then "dates" or "pole" says why.

    weak: a compass is sluggish there, and the model less sure.
    """

    deg: float | None
    weak: bool = False
    lacks: str | None = None


def declination(latitude_deg: float, longitude_deg: float, elevation_m: float, day: date) -> Declination:
    """What a compass shows beside true north at a place [deg, deg, m above the sea] on a date."""
    year = _decimal_year(day)
    if not FIRST_YEAR <= year <= LAST_YEAR:
        return Declination(None, lacks="dates")
    field = field_at(latitude_deg, longitude_deg, elevation_m, year)
    if field.horizontal_nt < BLACKOUT_NT:
        return Declination(None, lacks="pole")
    return Declination(field.declination_deg, weak=field.horizontal_nt < CAUTION_NT)


def field_at(latitude_deg: float, longitude_deg: float, height_m: float, year: float) -> Field:
    """The model's field at a height [m], in a decimal year; raises ValueError outside its five years."""
    found = _model().calculate(glat=latitude_deg, glon=longitude_deg, alt=height_m / 1000, time=year)
    return Field(found.d, found.h)


@cache
def _model() -> GeoMag:
    return GeoMag(coefficients_file=COEFFICIENTS)


def _decimal_year(day: date) -> float:
    first, after = date(day.year, 1, 1), date(day.year + 1, 1, 1)
    return day.year + (day - first) / (after - first)
