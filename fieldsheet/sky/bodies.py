"""The bodies one can aim at or wait for, by the words of the catalog.

twin: site_templates/app/core/bodies.js

Stars: the Hipparcos Catalogue (ESA SP-1200, 1997), as printed there: ICRS, where they stood at J1991.25, the
proper motion in right ascension already times cos(declination); V magnitude. They are the brightest of both
hemispheres, and beside them Polaris, the middle of Orion's belt (Alnilam) and the brightest of the Pleiades
(Alcyone). Parallax is left out: at most 0.0002 degrees (Rigil Kentaurus).
"""

from __future__ import annotations

import json
from importlib.resources import files
from math import cos, radians, sin
from typing import NamedTuple, TypedDict

Triple = tuple[float, float, float]


class StarRow(TypedDict):
    """A star as the catalogue has it: degrees, milliarcseconds a year, V magnitude."""

    name: str
    magnitude: float
    ra_deg: float
    dec_deg: float
    pm_ra_mas: float
    pm_dec_mas: float


class StarPlace(NamedTuple):
    """Where a star stands: a vector along the ICRS axes at the catalogue's epoch, and its change a second."""

    place: Triple
    motion_per_s: Triple


STARS: dict[str, StarRow] = json.loads(files(__package__).joinpath("stars.json").read_text("utf-8"))
PLANETS = ("mercury", "venus", "mars", "jupiter", "saturn")
POLES: dict[str, Triple] = {"north pole": (0.0, 0.0, 1.0), "south pole": (0.0, 0.0, -1.0)}
"""The celestial poles of date, along the axes of a pack."""

BODIES = ("sun", "moon", "galactic core", *PLANETS, *POLES, *STARS)
"""Every body that a sky knows, in the order in which they are listed."""

STAR_EPOCH_TAI_S = 670598967.816
"""J1991.25 (JD 2448349.0625 TT) in TAI seconds since 1970-01-01 TAI."""

_RAD_PER_S_OF_MAS_PER_YEAR = radians(1.0 / 3600000.0) / (365.25 * 86400.0)


def star_place(row: StarRow) -> StarPlace:
    """The vectors of a star's row; the place has length one."""
    sin_ra, cos_ra = sin(radians(row["ra_deg"])), cos(radians(row["ra_deg"]))
    sin_dec, cos_dec = sin(radians(row["dec_deg"])), cos(radians(row["dec_deg"]))
    east = row["pm_ra_mas"] * _RAD_PER_S_OF_MAS_PER_YEAR
    north = row["pm_dec_mas"] * _RAD_PER_S_OF_MAS_PER_YEAR
    return StarPlace(
        (cos_dec * cos_ra, cos_dec * sin_ra, sin_dec),
        (
            -sin_ra * east - sin_dec * cos_ra * north,
            cos_ra * east - sin_dec * sin_ra * north,
            cos_dec * north,
        ),
    )


STAR_PLACES = {name: star_place(row) for name, row in STARS.items()}
