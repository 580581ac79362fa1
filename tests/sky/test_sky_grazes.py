"""Where sun or moon all but touches a threshold: reported, and never a rise without its set."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fieldsheet.sky.events import Crossing, event_named
from fieldsheet.sky.find import find_events
from fieldsheet.sky.grazes import GRAZE_DEG, Graze, find_grazes
from fieldsheet.sky.observe import Site
from fieldsheet.sky.sky import Sky
from tests.long import tries
from tests.sky.helpers import DAY_S, SITES, Floats, Judge, SkyOf, day_s, utc_s

PAIRS = {
    "sunrise": "sunset",
    "civil dawn": "civil dusk",
    "nautical dawn": "nautical dusk",
    "astronomical dawn": "astronomical dusk",
    "moonrise": "moonset",
}


def judged_deg(judge: Judge, site: Site, name: str, t_s: Floats) -> Floats:
    """Degrees above the threshold of an event by Skyfield's altitudes."""
    event = event_named(name)
    assert isinstance(event, Crossing)
    altitude, _, distance = judge(site, event.body, t_s)
    limb = np.degrees(np.arcsin(1737.4 / distance)) if event.body == "moon" else 0.0
    return altitude + limb - event.rule.altitude_deg


def both(sky: Sky, site: Site, rise: str, t0_s: float, t1_s: float) -> list[tuple[float, str]]:
    """Rises and sets, in order of time."""
    return sorted(
        (moment, name) for name in (rise, PAIRS[rise]) for moment in find_events(sky, site, name, t0_s, t1_s)
    )


def test_the_moon_that_all_but_sets_is_a_graze_and_no_set(sky_2027: Sky, skyfield_horizontal: Judge) -> None:
    # At 69.65 N on 23 August 2027 Skyfield's own search tells a moonset that its altitudes do not have.
    site, t0_s = SITES["69 N"], day_s("2027-08-23")
    (graze,) = find_grazes(sky_2027, site, "moonset", t0_s, t0_s + DAY_S)
    t_s = t0_s + np.arange(0.0, DAY_S, 20.0)
    heights = judged_deg(skyfield_horizontal, site, "moonset", t_s)
    lowest = int(np.argmin(heights))
    print(f"turns {graze.margin_deg:.5f} degrees above, by Skyfield {heights[lowest]:.5f}")
    assert heights[lowest] > 0.0
    # Skyfield's apparent distance is longer or shorter by aberration's ten-thousandth, and so is her radius.
    assert graze.margin_deg == pytest.approx(float(heights[lowest]), abs=5e-5)
    assert abs(graze.moment_s - t_s[lowest]) < 120.0
    assert both(sky_2027, site, "moonrise", t0_s, t0_s + DAY_S) == []


def test_a_moon_of_42_minutes_is_no_graze(sky_2027: Sky) -> None:
    # On 2 December 2027 she climbs well above a hundredth of a degree: rise and set are to be relied on.
    site, t0_s = SITES["69 N"], day_s("2027-12-02")
    assert find_grazes(sky_2027, site, "moonrise", t0_s, t0_s + DAY_S) == []
    found = both(sky_2027, site, "moonrise", t0_s, t0_s + DAY_S)
    assert [name for _, name in found] == ["moonrise", "moonset"]
    assert 41 * 60 < found[1][0] - found[0][0] < 43 * 60


@pytest.mark.parametrize(
    ("rise", "date", "low_deg", "high_deg"),
    [
        ("sunrise", "2027-12-21", 60.0, 75.0),  # the sun at noon, from below
        ("sunrise", "2027-06-21", 60.0, 75.0),  # the sun at midnight, from above
        ("astronomical dawn", "2027-06-10", 40.0, 56.0),
        ("nautical dawn", "2027-12-20", -60.0, -50.0),
        ("moonrise", "2027-11-15", 55.0, 75.0),
    ],
)
def test_on_either_side_of_a_touch_it_is_told(
    sky_2027: Sky, skyfield_horizontal: Judge, rise: str, date: str, low_deg: float, high_deg: float
) -> None:
    """Along a meridian, between where rise and set come and where they do not, lies a graze."""
    t0_s = utc_s(f"{date}T12:00:00") - DAY_S
    t1_s = t0_s + 1.5 * DAY_S

    def pairs(latitude_deg: float) -> int:
        return len(both(sky_2027, Site(latitude_deg, 0.0, 0.0), rise, t0_s, t1_s))

    low_count = pairs(low_deg)
    assert low_count != pairs(high_deg)
    for _ in range(45):
        middle_deg = (low_deg + high_deg) / 2.0
        low_deg, high_deg = (
            (middle_deg, high_deg) if pairs(middle_deg) == low_count else (low_deg, middle_deg)
        )
    # A hair's breadth to either side: within a hundredth of a degree, and the two differ by that pair only.
    for away_deg in (-0.008, 0.0, 0.008):
        site = Site(low_deg + away_deg, 0.0, 0.0)
        grazes = find_grazes(sky_2027, site, rise, t0_s, t1_s)
        assert find_grazes(sky_2027, site, PAIRS[rise], t0_s, t1_s) == grazes
        assert len(grazes) >= 1
        for graze in grazes:
            around_s = graze.moment_s + np.arange(-900.0, 900.0, 10.0)
            heights = judged_deg(skyfield_horizontal, site, rise, around_s)
            nearest = np.abs(heights - graze.margin_deg).min()
            assert nearest < 5e-5
        found = both(sky_2027, site, rise, t0_s, t1_s)
        assert all(a[1] != b[1] and a[0] < b[0] for a, b in pairwise(found))
    for away_deg in (-0.2, 0.2):
        assert find_grazes(sky_2027, Site(low_deg + away_deg, 0.0, 0.0), rise, t0_s, t1_s) == []


def test_what_is_no_crossing_has_no_grazes(sky_2027: Sky) -> None:
    for name in ("core highest", "core usable", "sun over ridge"):
        with pytest.raises(ValueError, match="no crossing"):
            find_grazes(sky_2027, SITES["29 N"], name, day_s("2027-06-01"), day_s("2027-06-02"))
    with pytest.raises(KeyError):
        find_grazes(sky_2027, SITES["29 N"], "tea time", day_s("2027-06-01"), day_s("2027-06-02"))
    with pytest.raises(ValueError, match="the sky carried here is that of 2027"):
        find_grazes(sky_2027, SITES["29 N"], "sunset", day_s("2029-06-01"), day_s("2029-06-02"))


@settings(max_examples=tries(20))
@given(
    latitude_deg=st.one_of(st.floats(-89.0, 89.0), st.floats(65.0, 72.0), st.floats(-72.0, -65.0)),
    longitude_deg=st.floats(-180.0, 180.0),
    day=st.floats(2.0, 320.0),
    rise=st.sampled_from(sorted(PAIRS)),
)
def test_up_to_89_degrees_the_height_agrees_with_rises_sets_and_grazes(
    sky_of: SkyOf,
    skyfield_horizontal: Judge,
    latitude_deg: float,
    longitude_deg: float,
    day: float,
    rise: str,
) -> None:
    sky, site = sky_of(2027), Site(latitude_deg, longitude_deg, 0.0)
    t0_s = day_s("2027-01-01") + day * DAY_S
    t1_s = t0_s + 5 * DAY_S
    found = both(sky, site, rise, t0_s, t1_s)
    assert all(a[1] != b[1] and a[0] < b[0] for a, b in pairwise(found))
    t_s = np.arange(t0_s, t1_s, 120.0)
    heights = judged_deg(skyfield_horizontal, site, rise, t_s)
    first_up = found[0][1] != rise if found else heights[0] >= 0.0
    moments = [moment for moment, _ in found]
    up = (np.searchsorted(moments, t_s, side="right") % 2 == 0) == first_up
    # Brute force over Skyfield's altitudes decides, but where they and the pack's may differ.
    assert (up == (heights >= 0.0))[np.abs(heights) > 5e-5].all()
    turned = np.flatnonzero(
        ((heights[1:-1] - heights[:-2]) * (heights[2:] - heights[1:-1]) < 0.0)
        & (np.abs(heights[1:-1]) < 0.0098)
    )
    grazes = find_grazes(sky, site, rise, t0_s, t1_s)
    assert all(abs(graze.margin_deg) < GRAZE_DEG for graze in grazes)
    for at_s in t_s[1:-1][turned]:
        assert any(abs(graze.moment_s - at_s) < 240.0 for graze in grazes)


def test_polar_day_and_polar_night_are_answers(sky_2027: Sky) -> None:
    site = SITES["69 N"]
    for first, end in (("2027-06-01", "2027-07-10"), ("2027-12-05", "2027-12-29")):
        for name in ("sunrise", "sunset"):
            assert find_events(sky_2027, site, name, day_s(first), day_s(end)) == []
            assert find_grazes(sky_2027, site, name, day_s(first), day_s(end)) == []


def test_a_night_without_a_moonrise_and_dates_with_two_of_a_kind(sky_2027: Sky) -> None:
    # From noon to noon the moon rises 50 minutes later each day: about one night a month without a rise.
    site = SITES["52 N"]
    noons = day_s("2027-01-02") + DAY_S * (0.5 + np.arange(360))
    counts = [len(find_events(sky_2027, site, "moonrise", noon, noon + DAY_S)) for noon in noons[:-1]]
    assert set(counts) == {0, 1}
    assert 11 <= counts.count(0) <= 13
    # Near the pole events come much earlier each day: two sunsets on 28 July 2027 by Oslo's clocks.
    midnight_s = day_s("2027-07-28") - 7200.0
    assert len(find_events(sky_2027, SITES["69 N"], "sunset", midnight_s, midnight_s + DAY_S)) == 2
    midnight_s = day_s("2027-06-25") - 7200.0
    assert len(find_events(sky_2027, SITES["69 N"], "moonrise", midnight_s, midnight_s + DAY_S)) == 2


def test_both_sides_of_the_date_line_graze_alike(sky_2027: Sky) -> None:
    window = (day_s("2027-05-10"), day_s("2027-08-05"))
    east, west = (
        [found for name in PAIRS for found in find_grazes(sky_2027, Site(69.65, x, 0.0), name, *window)]
        for x in (180.0, -180.0)
    )
    assert len(east) == len(west)
    for one, other in zip(east, west, strict=True):
        assert one == pytest.approx(other, abs=0.03)
        assert isinstance(one, Graze)
