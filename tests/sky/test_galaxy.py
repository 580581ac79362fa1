"""The arch of the Milky Way: against astropy's galactic system, and by what a great circle is."""

from __future__ import annotations

import astropy.units as u
import numpy as np
import pytest
from astropy.coordinates import AltAz, EarthLocation, Galactic, SkyCoord
from astropy.time import Time
from hypothesis import given, settings
from hypothesis import strategies as st

from fieldsheet.sky.galaxy import galactic_arch
from fieldsheet.sky.observe import Air, Site, apparent_altitude_deg, horizontal
from fieldsheet.sky.sky import Sky
from tests.long import tries
from tests.sky.helpers import DAY_S, SITES, SkyOf, day_s, utc_s


@pytest.mark.parametrize("place", SITES)
def test_the_arch_is_that_of_astropys_galactic_plane(sky_2027: Sky, place: str, offline_iers: None) -> None:
    site = SITES[place]
    location = EarthLocation.from_geodetic(site.longitude_deg, site.latitude_deg, site.elevation_m)
    plane = SkyCoord(l=np.arange(0.0, 360.0, 0.02) * u.deg, b=0.0 * u.deg, frame=Galactic)
    worst_deg = 0.0
    for t_s in day_s("2027-02-01") + np.array([0.0, 41.3, 83.9, 140.7]) * DAY_S:
        seen = plane.transform_to(AltAz(obstime=Time(t_s, format="unix"), location=location))
        arch = galactic_arch(sky_2027, site, t_s)
        top = int(np.argmax(seen.alt.deg))
        away_deg = [arch.top_deg - float(apparent_altitude_deg(seen.alt.deg[top]))]
        for azimuth_deg in (arch.left_deg, arch.right_deg):
            # Where astropy's plane is nearest to this point of the horizon.
            point = SkyCoord(azimuth_deg * u.deg, 0.0 * u.deg, frame=seen.frame)
            away_deg.append(float(point.separation(seen).deg.min()))
        worst_deg = max(worst_deg, *map(abs, away_deg))
    print(f"{place}: {worst_deg:.4f} degrees at most from astropy's galactic plane")
    # Aberration moves the plane by 0.006 degrees, astropy's points are 0.02 apart.
    assert worst_deg < 0.017


def test_the_core_lies_on_the_arch_nearly(sky_2027: Sky) -> None:
    # Sagittarius A* lies 0.046 degrees south of the plane. When it culminates at 29 S it is in the zenith:
    # the arch then goes overhead.
    site = Site(-29.0, 0.0, 0.0)
    t_s = utc_s("2027-06-05T00:00:00") + np.arange(0.0, DAY_S, 60.0)
    altitude = horizontal(sky_2027, site, "galactic core", t_s)[0]
    arch = galactic_arch(sky_2027, site, float(t_s[np.argmax(altitude)]))
    assert arch.top_deg > 89.8


def test_thick_air_lifts_a_low_arch_more(sky_2027: Sky) -> None:
    t_s = day_s("2027-06-05")
    times_s = t_s + np.arange(0.0, DAY_S, 600.0)
    lowest_s = min(times_s, key=lambda moment_s: galactic_arch(sky_2027, SITES["29 N"], moment_s).top_deg)
    low, thick = (
        galactic_arch(sky_2027, Site(28.76, -17.88, 0.0, air=air), lowest_s)
        for air in (Air(), Air(1040, -20))
    )
    assert low.top_deg < 20.0
    assert 0.001 < thick.top_deg - low.top_deg < 0.1
    assert thick.left_deg == low.left_deg


@settings(max_examples=tries(100))
@given(
    latitude_deg=st.floats(-90.0, 90.0), longitude_deg=st.floats(-180.0, 180.0), days=st.floats(0.0, 360.0)
)
def test_the_top_stands_square_between_the_ends(
    sky_of: SkyOf, latitude_deg: float, longitude_deg: float, days: float
) -> None:
    site = Site(latitude_deg, longitude_deg, 0.0)
    arch = galactic_arch(sky_of(2027), site, day_s("2027-01-02") + days * DAY_S)
    assert all(0.0 <= azimuth < 360.0 for azimuth in arch[:3])
    assert (arch.top_azimuth_deg - arch.left_deg) % 360.0 == pytest.approx(90.0)
    assert (arch.right_deg - arch.top_azimuth_deg) % 360.0 == pytest.approx(90.0)
    assert 0.0 <= arch.top_deg <= 90.0
