"""The measured skyline: when sun, moon and core come over it and go behind it."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fieldsheet.sky.events import RIDGE_EVENTS, event_named
from fieldsheet.sky.find import find_events
from fieldsheet.sky.observe import Air, Site, apparent_altitude_deg, horizontal
from fieldsheet.sky.ridge import skyline_deg
from fieldsheet.sky.sky import Sky
from tests.long import tries
from tests.sky.helpers import DAY_S, SITES, Floats, Judge, SkyOf, day_s

Ridge = tuple[tuple[float, float], ...]

SUN_RADIUS_DEG = 16.0 / 60.0  # the almanacs' semidiameter (USNO)
BODIES = {"sun": "sun", "moon": "moon", "core": "galactic core"}

VALLEY: Ridge = (
    (5.0, 6.0),
    (60.0, 14.0),
    (110.0, 3.5),
    (200.0, 9.0),
    (250.0, 1.0),
    (300.0, 12.0),
    (355.0, 8.0),
)
SAW: Ridge = tuple((float(azimuth), 4.0 + 3.0 * (azimuth // 6 % 2)) for azimuth in range(0, 360, 6))


def by_hand_deg(ridge: Ridge, azimuth_deg: float) -> float:
    """The skyline between the two sights about an azimuth, as one would read it off a drawing."""
    around = [(ridge[-1][0] - 360.0, ridge[-1][1]), *ridge, (ridge[0][0] + 360.0, ridge[0][1])]
    for (a, low), (b, high) in pairwise(around):
        if a <= azimuth_deg <= b:
            return low + (high - low) * (azimuth_deg - a) / (b - a)
    raise AssertionError("azimuths lie on the circle")


def clear(look: Judge, site: Site, word: str, t_s: Floats) -> np.ndarray:
    """Whether the upper limb shows over the skyline, at each moment."""
    altitude, azimuth, distance = look(site, BODIES[word], t_s)
    radius = np.degrees(np.arcsin(1737.4 / distance)) if word == "moon" else SUN_RADIUS_DEG * (word == "sun")
    skyline = np.array([by_hand_deg(site.ridge, float(one)) for one in azimuth])
    return np.asarray(apparent_altitude_deg(altitude + radius, site.air) >= skyline)


def test_the_skyline_is_straight_between_sights_and_through_north() -> None:
    ridge: Ridge = ((10.0, 2.0), (100.0, 5.0), (350.0, 4.0))
    assert skyline_deg(ridge, [10.0, 100.0, 350.0]).tolist() == [2.0, 5.0, 4.0]
    assert skyline_deg(ridge, [0.0, 355.0, 5.0, 55.0, 225.0]) == pytest.approx([3.0, 3.5, 2.5, 3.5, 4.5])


@given(
    st.lists(st.tuples(st.floats(0.0, 359.9), st.floats(-5.0, 60.0)), min_size=3, max_size=40),
    st.floats(0.0, 359.99),
)
def test_the_skyline_is_the_one_of_a_drawing(pairs: list[tuple[float, float]], azimuth_deg: float) -> None:
    ridge = tuple(sorted({azimuth: (azimuth, altitude) for azimuth, altitude in pairs}.values()))
    assert float(skyline_deg(ridge, azimuth_deg)) == pytest.approx(by_hand_deg(ridge, azimuth_deg), abs=1e-6)


def test_a_place_without_a_ridge_has_no_such_events(sky_2027: Sky) -> None:
    window = (day_s("2027-06-01"), day_s("2027-07-01"))
    for name in RIDGE_EVENTS:
        assert find_events(sky_2027, SITES["29 N"], name, *window) == []


@pytest.mark.parametrize("word", BODIES)
@pytest.mark.parametrize(
    "site",
    [
        Site(46.5, 8.0, 1200.0, ridge=VALLEY),
        Site(-23.0, -68.0, 2400.0, ridge=SAW, air=Air(760.0, -5.0)),
        # The sun passes due north here, low, behind the ridge and out again.
        Site(
            69.65,
            18.96,
            0.0,
            ridge=((0.0, 2.0), (40.0, 9.0), (90.0, 4.0), (180.0, 0.5), (260.0, 3.0), (330.0, 4.0)),
        ),
    ],
    ids=["valley", "saw", "midnight sun"],
)
def test_ridge_events_are_those_of_skyfields_altitudes(
    sky_2027: Sky, skyfield_horizontal: Judge, site: Site, word: str
) -> None:
    step_s = 30.0
    t_s = day_s("2027-06-14") + np.arange(0.0, 4 * DAY_S + 1.0, step_s)
    state = clear(skyfield_horizontal, site, word, t_s)
    turned = {"over": state[1:] & ~state[:-1], "behind": state[:-1] & ~state[1:]}
    for way, changes in turned.items():
        ends_s = t_s[1:][changes]
        found_s = np.array(find_events(sky_2027, site, f"{word} {way} ridge", t_s[0], t_s[-1]))
        assert found_s.size == ends_s.size, (way, found_s, ends_s)
        assert ((found_s >= ends_s - step_s) & (found_s <= ends_s)).all()
        # By the half second: the pack's 2e-5 degrees are 0.005 s here, and five times that along a slope.
        before, after = (clear(skyfield_horizontal, site, word, found_s + gap_s) for gap_s in (-0.5, 0.5))
        assert (before != after).all()
    print(
        word, site.latitude_deg, {way: int(changes.sum()) for way, changes in turned.items()}, "in four days"
    )


@pytest.mark.parametrize("half_width_deg", [1.0, 0.1, 0.02])
def test_a_pole_hides_the_core_however_thin_it_is(sky_2027: Sky, half_width_deg: float) -> None:
    # Thinner than the scan's step by far: 0.02 degrees take the sky five seconds.
    pole: Ridge = (
        (90.0, 0.0),
        (180.0 - half_width_deg, 0.0),
        (180.0, 60.0),
        (180.0 + half_width_deg, 0.0),
        (270.0, 0.0),
    )
    site = Site(28.76, -17.88, 0.0, ridge=pole)
    window = (day_s("2027-06-05"), day_s("2027-06-10"))
    behind, over = (find_events(sky_2027, site, f"core {way} ridge", *window) for way in ("behind", "over"))
    (transit_s, *_) = find_events(sky_2027, site, "core highest", *window)
    hidden = [(a, b) for a in behind for b in over if 0.0 < b - a < 600.0]
    print(f"{half_width_deg} degrees: hidden for", [round(b - a, 1) for a, b in hidden], "s")
    assert len(hidden) == 5
    assert all(
        abs((a + b) / 2.0 - transit_s - round((a - transit_s) / 86164.1) * 86164.1) < 1.0 for a, b in hidden
    )
    # A pole of 60 degrees is half as wide where the core culminates, at 32.3; the sky turns there by
    # 15 degrees an hour and the cosine of the core's declination.
    height_deg = 90.0 - 28.76 - 29.0
    expected_s = 2.0 * half_width_deg * (1.0 - height_deg / 60.0) * np.cos(np.radians(height_deg))
    expected_s *= 240.0 / np.cos(np.radians(29.0))
    assert all(b - a == pytest.approx(expected_s, rel=0.02, abs=0.3) for a, b in hidden)


def test_a_level_ridge_at_the_horizon_is_about_sunset(sky_2027: Sky) -> None:
    # The almanacs' horizon lets 34' of air in, Saemundsson's formula for the same limb 33.7'.
    level: Ridge = ((0.0, 0.0), (120.0, 0.0), (240.0, 0.0))
    window = (day_s("2027-03-01"), day_s("2027-03-20"))
    place = SITES["52 N"]
    sunsets = find_events(sky_2027, place, "sunset", *window)
    behind = find_events(
        sky_2027, Site(place.latitude_deg, 0.0, 0.0, ridge=level), "sun behind ridge", *window
    )
    away_s = np.array(behind) - np.array(sunsets)
    print("behind a level ridge", away_s.min(), "to", away_s.max(), "s after sunset")
    assert np.abs(away_s).max() < 8.0


def test_dense_air_keeps_the_sun_longer(sky_2027: Sky) -> None:
    window = (day_s("2027-06-14"), day_s("2027-06-15"))
    moments = []
    for air in (Air(640.0, 20.0), Air(), Air(1040.0, -30.0)):
        site = Site(46.5, 8.0, 1200.0, ridge=VALLEY, air=air)
        moments += find_events(sky_2027, site, "sun behind ridge", *window)
    assert len(moments) == 3
    assert moments == sorted(moments)


ridges = st.lists(
    st.tuples(st.integers(0, 359), st.floats(-2.0, 25.0)),
    min_size=3,
    max_size=60,
    unique_by=lambda pair: pair[0],
).map(lambda pairs: tuple(sorted((float(azimuth), altitude) for azimuth, altitude in pairs)))


@settings(max_examples=tries(40))
@given(
    ridge=ridges,
    latitude_deg=st.floats(-89.0, 89.0),
    longitude_deg=st.floats(-180.0, 180.0),
    day=st.floats(2.0, 350.0),
    word=st.sampled_from(sorted(BODIES)),
)
def test_on_any_skyline_no_pair_is_lost_or_made_up(
    sky_of: SkyOf, ridge: Ridge, latitude_deg: float, longitude_deg: float, day: float, word: str
) -> None:
    sky, site = sky_of(2027), Site(latitude_deg, longitude_deg, 0.0, ridge=ridge)
    t0_s = day_s("2027-01-01") + day * DAY_S
    t1_s = t0_s + DAY_S
    kinds: dict[float, str] = {}
    for way in ("over", "behind"):
        whole = find_events(sky, site, f"{word} {way} ridge", t0_s, t1_s)
        middle_s = t0_s + 0.37 * DAY_S
        parts = [
            find_events(sky, site, f"{word} {way} ridge", *ends)
            for ends in ((t0_s, middle_s), (middle_s, t1_s))
        ]
        assert whole == sorted(set(whole)) == parts[0] + parts[1]
        kinds |= dict.fromkeys(whole, way)
    ways = [kinds[moment_s] for moment_s in sorted(kinds)]
    assert all(one != following for one, following in pairwise(ways))
    # Between its events a body is on one side all the time, but for what a tenth of a degree decides.
    t_s = np.arange(t0_s, t1_s, 20.0)
    altitude, azimuth, distance = horizontal(sky, site, BODIES[word], t_s)
    radius = np.degrees(np.arcsin(1737.4 / distance)) if word == "moon" else SUN_RADIUS_DEG * (word == "sun")
    heights = apparent_altitude_deg(altitude + radius) - skyline_deg(ridge, azimuth)
    moments_s = np.array(sorted(kinds))
    first_up = ways[0] == "behind" if ways else heights[0] >= 0.0
    expected = (np.searchsorted(moments_s, t_s, side="right") % 2 == 0) == first_up
    assert ((heights >= 0.0) == expected).all()


def test_event_named_knows_the_ridge() -> None:
    assert {event_named(name) for name in RIDGE_EVENTS} == set(RIDGE_EVENTS.values())
