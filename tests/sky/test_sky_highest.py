"""The moments at which bodies stand highest, and every event's manners at places where nothing happens."""

from __future__ import annotations

import numpy as np
import pytest
from skyfield import almanac
from skyfield.api import load, wgs84

from fieldsheet.sky.ephemeris import open_kernel, target_of
from fieldsheet.sky.events import EVENTS, NAMED_EVENTS, Highest, event_named
from fieldsheet.sky.find import find_events
from fieldsheet.sky.observe import Site, horizontal
from fieldsheet.sky.sky import Sky
from tests.sky.helpers import DAY_S, SITES, day_s

SIDEREAL_DAY_S = 86164.0905  # IAU 1982 mean sidereal day
HIGHEST = {
    "sun": "sun highest",
    "moon": "moon highest",
    "galactic core": "core highest",
    "venus": "venus highest",
    "jupiter": "jupiter highest",
}


@pytest.mark.parametrize("place", SITES)
def test_transits_are_skyfields_where_the_body_is_up(sky_2027: Sky, place: str) -> None:
    site, scale = SITES[place], load.timescale(builtin=True)
    window_s = (day_s("2027-05-01"), day_s("2027-07-15"))
    t0, t1 = scale.utc(2027, 5, 1), scale.utc(2027, 7, 15)
    away_s, hidden = [], 0
    with open_kernel() as kernel:
        observer = kernel["earth"] + wgs84.latlon(site.latitude_deg, site.longitude_deg, site.elevation_m)
        for body, name in HIGHEST.items():
            times = almanac.find_transits(observer, target_of(kernel, body), t0, t1)
            event = event_named(name)
            assert isinstance(event, Highest)
            edge_deg = event.rule.altitude_deg
            up = observer.at(times).observe(target_of(kernel, body)).apparent().altaz()[0].degrees > edge_deg
            hidden += int((~up).sum())
            judged_s = (times.tt - 2440587.5)[up] * DAY_S - 32.184 - 37.0
            found_s = np.array(find_events(sky_2027, site, name, *window_s))
            # The moon's limb may be up where her centre is not.
            assert found_s.size - judged_s.size in ((0, 1, 2, 3) if body == "moon" else (0,))
            nearest = np.abs(found_s[:, np.newaxis] - judged_s).min(axis=0) if judged_s.size else [0.0]
            away_s += list(nearest)
    print(
        place, len(away_s), "transits, at most", max(away_s), "s from Skyfield;", hidden, "below the horizon"
    )
    assert len(away_s) > 140
    assert max(away_s) < 0.1


def test_a_star_is_highest_then_and_a_sidereal_day_later(sky_2027: Sky) -> None:
    site = SITES["23 S"]
    for body in ("antares", "polaris", "acrux", "vega", "sirius"):
        found = np.array(
            find_events(sky_2027, site, f"{body} highest", day_s("2027-03-01"), day_s("2027-04-01"))
        )
        if body == "polaris":
            assert found.size == 0  # never up at 23 S
            continue
        assert found.size in (31, 32)
        assert np.abs(np.diff(found) - SIDEREAL_DAY_S).max() < 0.1
        heights = np.array(
            [horizontal(sky_2027, site, body, found + gap_s)[0] for gap_s in (-60.0, 0.0, 60.0)]
        )
        assert (heights[1] > heights[0]).all()
        assert (heights[1] > heights[2]).all()


def test_polaris_is_highest_once_a_sidereal_day_above_the_pole(sky_2027: Sky) -> None:
    site = SITES["69 N"]
    found = np.array(find_events(sky_2027, site, "polaris highest", day_s("2027-03-01"), day_s("2027-04-01")))
    assert found.size == 31
    altitude = horizontal(sky_2027, site, "polaris", found)[0]
    assert ((altitude > site.latitude_deg + 0.6) & (altitude < site.latitude_deg + 0.65)).all()


def test_the_core_is_highest_where_geometry_has_it(sky_2027: Sky) -> None:
    # Altitude on the meridian: 90 - |latitude - declination|; declination -29.01 at Sagittarius A*.
    for site in SITES.values():
        found = find_events(sky_2027, site, "core highest", day_s("2027-06-05"), day_s("2027-06-06"))
        expected_deg = 90.0 - abs(site.latitude_deg + 29.01)
        assert len(found) == (1 if expected_deg > -0.5 else 0)
        for moment_s in found:
            assert abs(float(horizontal(sky_2027, site, "galactic core", moment_s)[0]) - expected_deg) < 0.01


def test_the_sun_of_polar_night_is_never_highest_and_that_of_midnight_sun_daily(sky_2027: Sky) -> None:
    site = SITES["69 N"]
    dark, bright = (day_s("2027-12-10"), day_s("2027-12-20")), (day_s("2027-06-10"), day_s("2027-06-20"))
    assert find_events(sky_2027, site, "sun highest", *dark) == []
    assert len(find_events(sky_2027, site, "sun highest", *bright)) == 10
    assert find_events(sky_2027, site, "sunset", *bright) == []


ALL = [*EVENTS, *NAMED_EVENTS]


def test_names_that_are_known_and_names_that_are_not() -> None:
    assert len(ALL) == len(set(ALL)) == 15 + 2 + 3 * (5 + 27)
    for name in (
        "moon rise",
        "sun set",
        "galactic core rise",
        "north pole highest",
        "high tide",
        "jupiter",
        "",
    ):
        with pytest.raises(KeyError):
            event_named(name)


@pytest.mark.parametrize(
    "site",
    [Site(90.0, 0.0, 0.0), Site(-90.0, 0.0, 2835.0), Site(78.2, 15.6, 0.0), Site(-77.8, 166.7, 0.0)],
    ids=lambda site: f"{site.latitude_deg:+.0f}",
)
def test_near_the_poles_every_event_has_an_answer(sky_2027: Sky, site: Site) -> None:
    window_s = (day_s("2027-06-10"), day_s("2027-06-12"))
    counts = {name: len(find_events(sky_2027, site, name, *window_s)) for name in ALL}
    assert max(counts.values()) <= 3
    # In June the sun neither rises nor sets at any of these places.
    assert counts["sunrise"] == counts["sunset"] == 0
    northern = site.latitude_deg > 0.0
    assert counts["polaris rise"] == counts["polaris set"] == counts["acrux rise"] == counts["acrux set"] == 0
    assert (counts["polaris highest"] > 0) == northern
    assert (counts["acrux highest"] > 0) == (not northern)
    assert (counts["sun highest"] > 0) == northern
    if northern:
        assert counts["core usable"] == counts["core unusable"] == counts["core highest"] == 0
