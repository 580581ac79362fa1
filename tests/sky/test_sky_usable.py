"""The windows in which the core can be photographed: dark, the core up, the moon down, all at once."""

from __future__ import annotations

import numpy as np
import pytest

from fieldsheet.sky.find import find_events
from fieldsheet.sky.observe import Site, apparent_altitude_deg, horizontal
from fieldsheet.sky.ridge import skyline_deg
from fieldsheet.sky.sky import Sky
from tests.sky.helpers import DAY_S, SITES, Floats, Judge, day_s, utc_s

# A ridge with a gap to the south-east, and a tooth in it.
GAPPED = (
    (0.0, 8.0),
    (60.0, 22.0),
    (110.0, 35.0),
    (140.0, 12.0),
    (150.0, 4.0),
    (154.0, 31.0),
    (158.0, 5.0),
    (200.0, 26.0),
    (240.0, 18.0),
    (300.0, 11.0),
)

Look = Judge  # (site, body, t_s) -> altitude, azimuth, distance


def usable(look: Look, site: Site, t_s: Floats) -> np.ndarray:
    """The conditions as a person would write them down, at each moment."""
    sun, (core, azimuth, _) = look(site, "sun", t_s)[0], look(site, "galactic core", t_s)
    moon, _, moon_km = look(site, "moon", t_s)
    limb = moon + np.degrees(np.arcsin(1737.4 / moon_km))
    state = (sun < -15.0) & (core >= 10.0) & (limb < -34.0 / 60.0)
    return state & (apparent_altitude_deg(core) > skyline_deg(site.ridge, azimuth)) if site.ridge else state


def found(sky: Sky, site: Site, t0_s: float, t1_s: float) -> tuple[list[float], list[float]]:
    begin, end = (find_events(sky, site, name, t0_s, t1_s) for name in ("core usable", "core unusable"))
    return begin, end


@pytest.mark.parametrize(
    ("site", "from_"),
    [
        (SITES["29 N"], "2027-06-10"),
        (SITES["23 S"], "2027-05-25"),
        (Site(-45.9, 170.5, 10.0), "2027-03-08"),
        (Site(48.5, -4.5, 0.0), "2027-06-20"),  # the core is above 10 degrees for three hours at most
        (Site(29.0, -17.0, 900.0, ridge=GAPPED), "2027-06-10"),
        (Site(-34.0, 21.0, 300.0, ridge=GAPPED), "2027-05-25"),
    ],
    ids=["29 N", "23 S", "46 S", "48 N", "29 N behind a ridge", "34 S behind a ridge"],
)
def test_usable_windows_are_those_of_skyfields_altitudes(
    sky_2027: Sky, skyfield_horizontal: Judge, site: Site, from_: str
) -> None:
    step_s = 300.0
    t_s = day_s(from_) + np.arange(0.0, 15 * DAY_S + 1.0, step_s)
    state = usable(skyfield_horizontal, site, t_s)
    counts = []
    for moments, turned in zip(
        found(sky_2027, site, t_s[0], t_s[-1]),
        (state[1:] & ~state[:-1], state[:-1] & ~state[1:]),
        strict=True,
    ):
        ends_s, found_s = t_s[1:][turned], np.array(moments)
        assert found_s.size == ends_s.size
        assert ((found_s >= ends_s - step_s) & (found_s <= ends_s)).all()
        # By the second: on one side of the moment it is usable, on the other it is not.
        before, after = (usable(skyfield_horizontal, site, found_s + gap_s) for gap_s in (-1.0, 1.0))
        assert (before != after).all()
        counts.append(ends_s.size)
    print(f"{site.latitude_deg:+.1f} from {from_}:", counts, "windows;", state.sum() / 12.0, "hours in all")
    assert min(counts) > 6


def shortest_window(sky: Sky, at: Site, other: Site, t0_s: float, t1_s: float) -> tuple[Site, float, float]:
    """Between a place with one window and one with none, a place where it lasts seconds, by halving.

    Goes on far beyond that: begin and end must come together at whatever length.
    """
    with_, without, seconds = at, other, at
    for _ in range(40):
        middle = Site((with_.latitude_deg + without.latitude_deg) / 2.0, 0.0, 0.0)
        begin, end = found(sky, middle, t0_s, t1_s)
        assert len(begin) == len(end) <= 1
        with_, without = (middle, without) if begin else (with_, middle)
        if begin and end[0] - begin[0] > 2.0:
            seconds = middle
    ((begin_s,), (end_s,)) = found(sky, seconds, t0_s, t1_s)
    return seconds, begin_s, end_s


@pytest.mark.parametrize(
    ("at", "other", "from_", "hours"),
    [
        # The core only just reaches 10 degrees: it turns back there.
        (Site(50.0, 0.0, 0.0), Site(52.0, 0.0, 0.0), "2027-06-09T22:00:00", 5.0),
        # The core reaches 10 degrees just before the moon rises or the day dawns.
        (Site(28.0, 0.0, 0.0), Site(45.0, 0.0, 0.0), "2027-02-04T03:00:00", 4.0),
    ],
    ids=["turning back", "between two crossings"],
)
def test_windows_of_seconds_are_found(sky_2027: Sky, at: Site, other: Site, from_: str, hours: float) -> None:
    t0_s = utc_s(from_)
    site, begin_s, end_s = shortest_window(sky_2027, at, other, t0_s, t0_s + hours * 3600.0)
    print(f"{site.latitude_deg:.8f} N: usable for {end_s - begin_s:.3f} s")
    assert 0.0 < end_s - begin_s < 20.0
    # Brute force, four times a second: nothing else is usable within an hour of it.
    t_s = begin_s + np.arange(-3600.0, 3600.0, 0.25)
    state = usable(lambda site, body, t_s: horizontal(sky_2027, site, body, t_s), site, t_s)
    assert abs(t_s[state].size - (end_s - begin_s) / 0.25) <= 1.0
    assert ((t_s[state] >= begin_s - 1e-3) & (t_s[state] <= end_s + 1e-3)).all()


@pytest.mark.parametrize(
    ("site", "date"),
    [
        (SITES["69 N"], "2027-12-01"),  # the core never rises
        (SITES["52 N"], "2027-06-20"),  # no dark night, and the core below 10 degrees
        (SITES["54 S"], "2027-12-20"),  # never darker than 15 degrees below
    ],
)
def test_no_window_is_an_answer(sky_2027: Sky, site: Site, date: str) -> None:
    assert found(sky_2027, site, day_s(date), day_s(date) + 5 * DAY_S) == ([], [])
