"""What the air and the sea do to the horizon: refraction at other pressures and temperatures, and the dip."""

from __future__ import annotations

import astropy.units as u
import numpy as np
import pytest
from astropy.coordinates import AltAz, EarthLocation
from astropy.time import Time
from hypothesis import given
from hypothesis import strategies as st
from skyfield.earthlib import refract

from fieldsheet.sky.events import EVENTS, NAMED_EVENTS, Crossing
from fieldsheet.sky.find import find_events
from fieldsheet.sky.observe import Air, Site, apparent_altitude_deg, horizontal, refraction_deg
from fieldsheet.sky.sky import Sky
from tests.sky.helpers import DAY_S, day_s

AIRS = [Air(), Air(1030.0, -25.0), Air(640.0, -18.5), Air(995.0, 38.0)]


def test_thin_air_bends_as_in_the_published_example() -> None:
    # Reda and Andreas, NREL/TP-560-34302 (2008), the worked example: 820 hPa, 11 C, 39.872046 degrees.
    found_deg = float(refraction_deg(39.872046, Air(820.0, 11.0)))
    print(f"{found_deg:.6f} degrees where the example has 0.016332")
    assert found_deg == pytest.approx(0.016332, abs=2e-6)


@pytest.mark.parametrize("air", AIRS, ids=str)
def test_apparent_altitudes_are_those_of_skyfield(air: Air) -> None:
    # Skyfield turns Bennett's formula round, within 3e-5 degrees; Meeus (chapter 16) has the two formulas
    # agree within 4 arcseconds. Bennett's is scaled for other air where a thing is seen, ours where it
    # stands: nominal and other air lift it to heights that differ, and on the way its own value changes.
    altitudes_deg = np.linspace(-0.5, 89.0, 400)
    theirs = refract(altitudes_deg, air.temperature_c, air.pressure_hpa)
    away_arcsec = np.abs(apparent_altitude_deg(altitudes_deg, air) - theirs) * 3600.0
    nominal_deg = refraction_deg(altitudes_deg)
    slope = np.abs(np.gradient(nominal_deg, apparent_altitude_deg(altitudes_deg)))
    scaled_arcsec = air.factor * abs(air.factor - 1.0) * nominal_deg * slope * 3600.0
    high_arcsec = away_arcsec[altitudes_deg > 5.0].max()
    print(air, f"{away_arcsec.max():.2f} arcseconds from Skyfield, {high_arcsec:.2f} above 5 degrees")
    assert (away_arcsec < 4.2 * air.factor + 1.1 * scaled_arcsec).all()


@pytest.mark.parametrize("air", AIRS, ids=str)
def test_high_up_refraction_is_that_of_astropy(air: Air, offline_iers: None) -> None:
    # Its model (ERFA refco: two terms in the tangent of the zenith distance) is meant for above 15 degrees
    # or so; green light, dry air. A formula made for the horizon is a twentieth too much up here.
    altitudes_deg = np.array([20.0, 30.0, 45.0, 60.0, 80.0])
    at = {"obstime": Time("2027-06-05"), "location": EarthLocation.from_geodetic(-17.9, 28.8, 2396.0)}
    upright = AltAz(alt=altitudes_deg * u.deg, az=120.0 * u.deg, **at)
    bent = upright.transform_to(
        AltAz(
            pressure=air.pressure_hpa * u.hPa,
            temperature=air.temperature_c * u.deg_C,
            obswl=0.55 * u.micron,
            **at,
        )
    )
    away_arcsec = np.abs(bent.alt.deg - apparent_altitude_deg(altitudes_deg, air)) * 3600.0
    print(air, "arcseconds from astropy at 20 to 80 degrees:", np.round(away_arcsec, 2))
    assert (away_arcsec < 0.05 * refraction_deg(altitudes_deg, air) * 3600.0).all()


@given(st.floats(-90.0, 90.0), st.floats(300.0, 1100.0), st.floats(-60.0, 60.0))
def test_in_any_air_nothing_jumps_and_dense_air_bends_more(
    altitude_deg: float, pressure_hpa: float, temperature_c: float
) -> None:
    air = Air(pressure_hpa, temperature_c)
    step_deg = 1e-4
    ends = apparent_altitude_deg(np.array([altitude_deg, altitude_deg + step_deg]), air)
    assert 0.0 < ends[1] - ends[0] < 2.0 * step_deg
    here = refraction_deg(altitude_deg)
    bent = refraction_deg(altitude_deg, air)
    assert float(bent) == pytest.approx(float(here) * air.factor, abs=1e-12)


@pytest.mark.parametrize(
    ("metres", "arcminutes"),
    # 1.76 times the root of the metres, which is 0.97 times that of the feet (Nautical Almanac, Altitude
    # Correction Tables, dip; the feet's form read, the metres' worked out from it).
    [(2.0, 2.49), (10.0, 5.57), (100.0, 17.60), (1000.0, 55.66)],
)
def test_the_dip_is_the_almanacs(metres: float, arcminutes: float) -> None:
    found = Site(0.0, 0.0, 0.0, sea_horizon_m=metres).dip_deg * 60.0
    by_feet = 0.97 * np.sqrt(metres / 0.3048)
    print(f"{metres:.0f} m: {found:.3f}' of {arcminutes}', {abs(found - by_feet):.3f}' from the feet's form")
    assert found == pytest.approx(arcminutes, abs=0.006)
    assert found == pytest.approx(by_feet, rel=0.003)


def test_no_dip_is_the_level_horizon() -> None:
    assert Site(28.76, -17.88, 2396.0).dip_deg == 0.0


def test_over_the_sea_what_rises_comes_earlier_by_the_dip_and_twilights_stay(sky_2027: Sky) -> None:
    level, above = Site(28.76, -17.88, 0.0), Site(28.76, -17.88, 0.0, sea_horizon_m=400.0)
    window = (day_s("2027-06-05"), day_s("2027-06-06"))
    horizon = (
        "sunrise",
        "sunset",
        "moonrise",
        "moonset",
        "core rise",
        "core set",
        "jupiter rise",
        "vega set",
    )
    every: dict[str, object] = {**EVENTS, **NAMED_EVENTS}
    for name in (*horizon, "civil dusk", "astronomical dawn"):
        (there_s,), (here_s,) = (find_events(sky_2027, site, name, *window) for site in (level, above))
        event = every[name]
        assert isinstance(event, Crossing)
        heights = horizontal(sky_2027, level, event.body, np.array([there_s, here_s]))[0]
        lower_deg = 1.76 * 20.0 / 60.0 if name in horizon else 0.0
        # The moon's radius changes by 0.00004 degrees with her distance meanwhile.
        assert heights[0] - heights[1] == pytest.approx(lower_deg, abs=2e-4), name
        assert (there_s - here_s) * event.direction >= 0.0, name


def test_from_a_height_by_the_sea_the_midnight_sun_lasts_longer(sky_2027: Sky) -> None:
    # 1.76' x sqrt(400) is 0.59 degrees, and in July the sun's declination falls by that in some two days.
    nights = []
    for site in (Site(69.65, 18.96, 0.0), Site(69.65, 18.96, 0.0, sea_horizon_m=400.0)):
        first_s = find_events(sky_2027, site, "sunset", day_s("2027-06-21"), day_s("2027-09-01"))[0]
        nights.append((first_s - day_s("2027-06-21")) / DAY_S)
    print("first sunset after midsummer, days:", nights)
    assert 1.5 < nights[1] - nights[0] < 4.5
