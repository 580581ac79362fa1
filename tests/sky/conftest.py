"""Skies for the tests, each year fitted once a session, and Skyfield itself as the arbiter."""

from __future__ import annotations

import functools
from collections.abc import Callable, Iterator
from typing import Any

import numpy as np
import pytest
from astropy.utils import iers
from skyfield.api import Star, load, wgs84

from fieldsheet.sky.bodies import STARS
from fieldsheet.sky.ephemeris import open_kernel, target_of
from fieldsheet.sky.fit import fit_year
from fieldsheet.sky.observe import Site
from fieldsheet.sky.pack import read_pack
from fieldsheet.sky.sky import Sky
from tests.sky.helpers import DAY_S, Floats, Judge, SkyOf


@functools.cache
def _fitted(year: int) -> bytes:
    return fit_year(year)


@pytest.fixture(scope="session")
def pack_bytes() -> Callable[[int], bytes]:
    """The fitted pack of a year."""
    return _fitted


@pytest.fixture(scope="session")
def sky_of() -> SkyOf:
    """The sky of some years."""

    @functools.cache
    def sky_of(*years: int) -> Sky:
        return Sky([read_pack(_fitted(year)) for year in years])

    return sky_of


@pytest.fixture(scope="session")
def sky_2027(sky_of: SkyOf) -> Sky:
    return sky_of(2027)


@pytest.fixture
def offline_iers() -> Iterator[None]:
    """astropy with the tables of its own package, whatever their age, and no network."""
    with iers.conf.set_temp("auto_max_age", None), iers.conf.set_temp("auto_download", False):
        yield


@pytest.fixture(scope="session")
def skyfield_horizontal() -> Iterator[Judge]:
    """Skyfield's own altitude, azimuth (degrees), distance (km): its UTC, its observer, its apparent()."""
    scale = load.timescale(builtin=True)

    def time_of(t_s: Floats) -> Any:
        # By calendar day and second of the day, so that Skyfield's own leap seconds are used.
        days = np.floor(t_s / DAY_S)
        return scale.utc(1970, 1, 1 + days, 0, 0, t_s - days * DAY_S)

    def star_of(body: str) -> Star:
        row = STARS[body]
        return Star(
            ra_hours=row["ra_deg"] / 15.0,
            dec_degrees=row["dec_deg"],
            ra_mas_per_year=row["pm_ra_mas"],
            dec_mas_per_year=row["pm_dec_mas"],
            epoch=scale.J(1991.25),
        )

    with open_kernel() as kernel:

        def judge(site: Site, body: str, t_s: Floats) -> tuple[Floats, Floats, Floats]:
            place = wgs84.latlon(site.latitude_deg, site.longitude_deg, site.elevation_m)
            target = star_of(body) if body in STARS else target_of(kernel, body)
            seen = (kernel["earth"] + place).at(time_of(t_s)).observe(target).apparent()
            altitude, azimuth, distance = seen.altaz()
            return altitude.degrees, azimuth.degrees, distance.km

        yield judge
