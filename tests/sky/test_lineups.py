"""A body behind a landmark: Skyfield's positions decide how near it comes, and when it is nearest."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fieldsheet.sky.lineups import horizon_deg, line_ups, nearest_in_sight
from fieldsheet.sky.observe import Site, apparent_altitude_deg, horizontal
from fieldsheet.sky.sky import Sky
from tests.long import tries
from tests.sky.helpers import DAY_S, Floats, Judge, SkyOf, angles_deg, day_s

YEAR = (day_s("2027-01-02"), day_s("2027-12-30"))
QUAY = Site(28.1, -15.4, 12.0)


def judged_deg(judge: Judge, site: Site, body: str, direction: tuple[float, float], t_s: Floats) -> Floats:
    """Degrees between a body by Skyfield, lifted by our refraction, and (azimuth, apparent altitude)."""
    altitude, azimuth, _ = judge(site, body, t_s)
    towards = (np.full(t_s.size, direction[1]), np.full(t_s.size, direction[0]))
    return angles_deg((apparent_altitude_deg(altitude, site.air), azimuth), towards)


@pytest.mark.parametrize(
    ("body", "azimuth_deg", "altitude_deg", "within_deg", "least"),
    [
        ("moon", 101.5, 3.2, 1.0, 5),
        ("sun", 250.0, 0.6, 1.0, 2),
        ("venus", 262.0, 10.0, 1.0, 3),
        ("galactic core", 180.0, 33.0, 0.5, 360),
    ],
)
def test_every_passage_is_found_where_and_when_skyfield_has_it(
    sky_2027: Sky,
    skyfield_horizontal: Judge,
    body: str,
    azimuth_deg: float,
    altitude_deg: float,
    within_deg: float,
    least: int,
) -> None:
    found = line_ups(sky_2027, QUAY, body, azimuth_deg, altitude_deg, *YEAR, within_deg)
    direction = (azimuth_deg, altitude_deg)
    moments_s = np.array([one.moment_s for one in found])
    judged = judged_deg(skyfield_horizontal, QUAY, body, direction, moments_s)
    away_deg = np.abs(judged - [one.apart_deg for one in found]).max()
    print(f"{body}: {moments_s.size} passages, {away_deg:.1e} degrees at most from Skyfield")
    assert moments_s.size >= least
    assert away_deg < 3e-5  # the pack's 0.00002 degrees
    # Half a minute earlier or later it is farther: nothing moves less than 0.1 degrees in that time here.
    for later_s in (-30.0, 30.0):
        assert (judged_deg(skyfield_horizontal, QUAY, body, direction, moments_s + later_s) > judged).all()
    # Brute force over the year, every two minutes, that is half a degree: no passage is lost.
    steps_s = np.arange(YEAR[0], YEAR[1], 120.0)
    altitude, azimuth, _ = horizontal(sky_2027, QUAY, body, steps_s)
    towards = (np.full(steps_s.size, altitude_deg), np.full(steps_s.size, azimuth_deg))
    near = angles_deg((apparent_altitude_deg(altitude), azimuth), towards) <= within_deg
    nearest_s = np.abs(steps_s[near][:, np.newaxis] - moments_s).min(axis=1)
    assert nearest_s.size > 0
    assert nearest_s.max() < 600.0


def test_the_place_given_back_is_the_one_that_is_seen(sky_2027: Sky) -> None:
    for one in line_ups(sky_2027, QUAY, "moon", 101.5, 3.2, *YEAR, 2.0):
        altitude, azimuth, _ = horizontal(sky_2027, QUAY, "moon", one.moment_s)
        assert (one.azimuth_deg, one.altitude_deg) == (float(azimuth), float(apparent_altitude_deg(altitude)))
        assert abs(one.azimuth_deg - 101.5) < 2.1
        assert abs(one.altitude_deg - 3.2) < 2.1


def test_a_direction_that_a_body_never_passes_has_no_passage(sky_2027: Sky) -> None:
    # The moon never stands in the north as low as this at 28 N.
    assert line_ups(sky_2027, QUAY, "moon", 0.0, 5.0, *YEAR, 5.0) == []


def test_thin_air_shifts_the_passage_of_something_low(sky_2027: Sky) -> None:
    # At 0.6 degrees the air lifts by 0.4; with a tenth of it the sun must stand higher to be seen there.
    thin = Site(28.1, -15.4, 12.0, air=type(QUAY.air)(pressure_hpa=101.0))
    (near,) = line_ups(sky_2027, QUAY, "sun", 118.3, 0.6, day_s("2027-12-20"), day_s("2027-12-21"), 2.0)
    (far,) = line_ups(sky_2027, thin, "sun", 118.3, 0.6, day_s("2027-12-20"), day_s("2027-12-21"), 2.0)
    assert 60.0 < far.moment_s - near.moment_s < 180.0


def test_a_moment_outside_the_sky_is_refused_in_words(sky_2027: Sky) -> None:
    with pytest.raises(ValueError, match="the sky carried here is that of 2027"):
        line_ups(sky_2027, QUAY, "moon", 100.0, 5.0, YEAR[0], YEAR[1] + 10 * DAY_S, 1.0)


@settings(max_examples=tries(40))
@given(
    latitude_deg=st.floats(-70.0, 70.0),
    offset_s=st.floats(0.0, 300.0 * DAY_S),
    body=st.sampled_from(["moon", "sun", "jupiter"]),
)
def test_a_body_lines_up_with_where_it_stands(
    sky_of: SkyOf, latitude_deg: float, offset_s: float, body: str
) -> None:
    # Whatever the moment: towards where the body then stands it comes within nothing, just then. About a
    # minimum the angle is symmetric.
    sky, site, t_s = sky_of(2027), Site(latitude_deg, 20.0, 0.0), YEAR[0] + DAY_S + offset_s
    altitude, azimuth, _ = horizontal(sky, site, body, t_s)
    seen_deg = float(apparent_altitude_deg(altitude))
    found = line_ups(sky, site, body, float(azimuth), seen_deg, t_s - DAY_S / 3, t_s + DAY_S / 3, 0.01)
    assert len(found) == 1
    assert abs(found[0].moment_s - t_s) < 0.1
    assert found[0].apart_deg < 0.0005


def test_the_nearest_in_sight_is_no_farther_than_any_moment_in_sight(sky_2027: Sky) -> None:
    ridge = ((0.0, 5.0), (90.0, 2.0), (180.0, 8.0), (270.0, 4.0))
    month = (day_s("2027-03-01"), day_s("2027-04-01"))
    for site in (QUAY, Site(28.1, -15.4, 12.0, ridge=ridge)):
        for direction in ((270.0, 1.0), (0.0, 5.0), (180.0, 70.0)):
            one = nearest_in_sight(sky_2027, site, "moon", *direction, *month, 0.26)
            assert one is not None
            steps_s = np.arange(*month, 60.0)
            altitude, azimuth, _ = horizontal(sky_2027, site, "moon", steps_s)
            seen = apparent_altitude_deg(altitude, site.air)
            in_sight = seen + 0.26 >= horizon_deg(site, azimuth)
            towards = (np.full(steps_s.size, direction[1]), np.full(steps_s.size, direction[0]))
            least = angles_deg((seen, azimuth), towards)[in_sight].min()
            assert least - 0.3 < one.apart_deg < least + 0.001
            assert one.altitude_deg + 0.26 >= float(horizon_deg(site, one.azimuth_deg)) - 1e-9


def test_what_is_never_in_sight_has_no_nearest(sky_2027: Sky) -> None:
    month = (day_s("2027-03-01"), day_s("2027-04-01"))
    assert nearest_in_sight(sky_2027, Site(60.0, 0.0, 0.0), "canopus", 180.0, 5.0, *month, 0.0) is None


def test_in_the_dark_the_nearest_is_no_farther_than_any_dark_moment(sky_2027: Sky) -> None:
    month = (day_s("2027-03-01"), day_s("2027-04-01"))
    steps_s = np.arange(*month, 60.0)
    altitude, azimuth, _ = horizontal(sky_2027, QUAY, "venus", steps_s)
    seen = apparent_altitude_deg(altitude, QUAY.air)
    dark = horizontal(sky_2027, QUAY, "sun", steps_s)[0] < -6.0
    towards = (np.full(steps_s.size, 20.0), np.full(steps_s.size, 200.0))
    apart = angles_deg((seen, azimuth), towards)
    least = apart[(seen >= horizon_deg(QUAY, azimuth)) & dark].min()
    one = nearest_in_sight(sky_2027, QUAY, "venus", 200.0, 20.0, *month, 0.0, -6.0)
    assert one is not None and least - 0.3 < one.apart_deg < least + 0.001
    assert float(horizontal(sky_2027, QUAY, "sun", one.moment_s)[0]) < -6.0
    by_day = nearest_in_sight(sky_2027, QUAY, "venus", 200.0, 20.0, *month, 0.0)
    assert by_day is not None and by_day.apart_deg < one.apart_deg - 5.0
