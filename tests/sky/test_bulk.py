"""The search in bulk: the same moments as one by one, alternating, none lost or doubled, at any place."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fieldsheet.sky.bodies import BODIES
from fieldsheet.sky.bulk import BulkEvents, bodies_of, bulk_events, bulk_tables, year_grid
from fieldsheet.sky.events import EVENTS, NAMED_EVENTS, RIDGE_EVENTS, crossing_named
from fieldsheet.sky.find import find_events
from fieldsheet.sky.grazes import find_grazes
from fieldsheet.sky.observe import Air, Site, horizontal
from fieldsheet.sky.sky import Sky
from tests.long import tries
from tests.sky.helpers import DAY_S, SITES, Floats, SkyOf, apart_deg, day_s

YEAR = (day_s("2027-01-02"), day_s("2027-12-30"))
CROSSINGS = list(EVENTS)[:12]
PAIRS = [*zip(CROSSINGS[::2], CROSSINGS[1::2], strict=True), ("core usable", "core unusable")]
POLISHED_S = 1e-4
# A polynomial that runs over the joint of two segments of the pack sees a step there: 30 metres of the moon's
# path, as packs are rounded.
GRID_DEG = 1e-5


def random_sites(seed: int, count: int, most_deg: float = 89.0) -> list[Site]:
    generator = np.random.default_rng(seed)
    columns = [
        generator.uniform(low, high, count) for low, high in ((-most_deg, most_deg), (-180, 180), (0, 4000))
    ]
    return [Site(float(a), float(b), float(c)) for a, b, c in zip(*columns, strict=True)]


def of(events: BulkEvents, site: int, name: int) -> Floats:
    moment_s: Floats = events.moment_s[(events.site == site) & (events.name == name)]
    return moment_s


def assert_as_one_by_one(sky: Sky, sites: list[Site], names: list[str], t0_s: float, t1_s: float) -> None:
    grid = year_grid(sky, t0_s, t1_s, bodies_of(names))
    polished, plain = (bulk_events(grid, sites, names, polish=polish) for polish in (True, False))
    away_s, off_deg = [0.0], [0.0]
    for index, site in enumerate(sites):
        for number, name in enumerate(names):
            expected = np.array(find_events(sky, site, name, t0_s, t1_s))
            found, rough = of(polished, index, number), of(plain, index, number)
            assert found.size == rough.size == expected.size, (site, name)
            away_s += np.abs(found - expected).tolist()
            if name in CROSSINGS:  # in degrees, as a body that hardly moves in height has no sharp moment
                body = crossing_named(name).body
                height = horizontal(sky, site, body, rough)[0] - horizontal(sky, site, body, expected)[0]
                off_deg += np.abs(height).tolist()
    print(f"{len(away_s)} moments, polished at most {max(away_s):.1e} s from those found one by one")
    print(f"not polished at most {max(off_deg):.1e} degrees of height from them")
    assert max(away_s) < POLISHED_S
    assert max(off_deg) < GRID_DEG


def test_all_events_are_those_found_one_by_one(sky_of: SkyOf) -> None:
    sites = [*random_sites(41, 6), SITES["69 N"], Site(-90.0, 0.0, 2800.0)]
    start_s = day_s("2027-12-15")
    assert_as_one_by_one(sky_of(2027, 2028), sites, list(EVENTS), start_s + 1234.5, start_s + 30 * DAY_S)


def test_the_events_of_planets_and_stars_are_those_found_one_by_one(sky_2027: Sky) -> None:
    start_s = day_s("2027-05-11")
    assert_as_one_by_one(sky_2027, random_sites(42, 2), list(NAMED_EVENTS), start_s, start_s + 4.3 * DAY_S)


def test_the_horizon_of_a_sea_lies_lower_in_bulk_too(sky_2027: Sky) -> None:
    cliff = Site(45.0, -9.0, 130.0, sea_horizon_m=130.0)
    start_s = day_s("2027-03-01")
    assert_as_one_by_one(sky_2027, [cliff, Site(45.0, -9.0, 130.0)], CROSSINGS, start_s, start_s + 9 * DAY_S)
    grid = year_grid(sky_2027, start_s, start_s + 9 * DAY_S, ["sun"])
    events = bulk_events(grid, [Site(45.0, -9.0, 130.0), cliff], ["sunset", "civil dusk"])
    # 1.76' times the root of 130 m are 0.334 degrees; the sun sinks by 15 degrees an hour times cos 45.
    assert (of(events, 1, 0) - of(events, 0, 0) > 0.334 / 15.0 * 3600.0).all()
    assert np.array_equal(of(events, 1, 1), of(events, 0, 1))


def test_events_of_a_skyline_come_in_bulk_too(sky_2027: Sky) -> None:
    valley = Site(45.0, 7.0, 900.0, ridge=((0.0, 12.0), (120.0, 5.0), (250.0, 14.0)))
    saw = tuple((float(azimuth), 3.0 + 40.0 * (azimuth % 20 == 0)) for azimuth in range(0, 360, 10))
    pass_ = Site(31.0, -7.0, 2100.0, ridge=saw, air=Air(790.0, -4.0))
    start_s = day_s("2027-05-01")
    names = [*RIDGE_EVENTS, "core usable", "sunset", "core unusable"]
    sites = [Site(45.0, 7.0, 900.0), valley, pass_, Site(31.0, -7.0, 2100.0)]
    assert_as_one_by_one(sky_2027, sites, names, start_s, start_s + 20 * DAY_S)
    grid = year_grid(sky_2027, start_s, start_s + 20 * DAY_S, bodies_of(names))
    begins = bulk_events(grid, sites, ["core usable"]).site
    # The pass's teeth hide the core over and over; the valley's wall lets it up late, once a night.
    assert (begins == 2).sum() > 2 * (begins == 3).sum() > 10


def test_blocks_do_not_show(sky_2027: Sky) -> None:
    start_s = day_s("2027-06-01")
    grid = year_grid(sky_2027, start_s, start_s + 2 * DAY_S, bodies_of(EVENTS))
    sites, names = random_sites(43, 400), list(EVENTS)
    together = bulk_events(grid, sites, names)
    order = np.lexsort((together.moment_s, together.name, together.site))
    assert np.array_equal(order, np.arange(order.size))
    for index in (0, 1, 137, 138, 399):
        alone, here = bulk_events(grid, [sites[index]], names), together.site == index
        assert np.array_equal(together.name[here], alone.name)
        assert (np.abs(together.moment_s[here] - alone.moment_s) < 1e-5).all()
        assert np.array_equal(together.grazing[here], alone.grazing)


def test_rises_and_sets_alternate_for_a_year_all_over_the_earth(sky_2027: Sky) -> None:
    grid = year_grid(sky_2027, *YEAR, bodies_of(EVENTS))
    sites = [
        *random_sites(44, 40),
        *(Site(float(latitude), 0.0, 0.0) for latitude in np.arange(64.0, 70.0, 0.2)),
    ]
    pairs_near_s = []
    for pair in PAIRS:
        events = bulk_events(grid, sites, pair)
        order = np.lexsort((events.moment_s, events.site))
        site, name, moment_s = events.site[order], events.name[order], events.moment_s[order]
        same = site[1:] == site[:-1]
        assert (name[1:] != name[:-1])[same].all(), pair
        pairs_near_s.append(np.diff(moment_s)[same].min())
    print("the nearest of each pair follow each other by s:", np.round(pairs_near_s))
    assert min(pairs_near_s) > 0.0


def test_no_pair_is_lost_where_the_sun_only_just_comes_up(sky_2027: Sky) -> None:
    # Along a meridian, on the days about the solstice, from where she comes up to where she does not.
    start_s = day_s("2027-12-18")
    sites = [Site(float(latitude), 0.0, 0.0) for latitude in np.arange(67.2, 67.6, 0.004)]
    grid = year_grid(sky_2027, start_s, start_s + 7 * DAY_S, ["sun"])
    events = bulk_events(grid, sites, ["sunrise", "sunset"], polish=True)
    counts, lengths_s = set(), []
    for index, site in enumerate(sites):
        rises, sets = of(events, index, 0), of(events, index, 1)
        for found, name in ((rises, "sunrise"), (sets, "sunset")):
            expected = find_events(sky_2027, site, name, start_s, start_s + 7 * DAY_S)
            assert found.size == len(expected)
            assert found == pytest.approx(expected, abs=1e-2)
        counts.add(rises.size)
        lengths_s += (sets - rises).tolist()
    print(f"{len(lengths_s)} days, the shortest of {min(lengths_s):.0f} s")
    assert {0, 7} < counts
    assert 0.0 < min(lengths_s) < 600.0


def test_what_grazes_is_flagged_and_nothing_else(sky_2027: Sky) -> None:
    sites = [Site(float(latitude), 0.0, 0.0) for latitude in np.arange(64.0, 70.0, 0.05)]
    grid = year_grid(sky_2027, *YEAR, ["sun", "moon"])
    names = ["sunrise", "sunset", "moonrise", "moonset"]
    events = bulk_events(grid, sites, names)
    assert events.grazing.sum() > 20
    for site, name, moment_s in zip(
        events.site[events.grazing], events.name[events.grazing], events.moment_s[events.grazing], strict=True
    ):
        around_s = (moment_s - 3600.0, moment_s + 3600.0)
        assert find_grazes(sky_2027, sites[site], names[name], *around_s), (sites[site], names[name])
    # And the other way: beside each graze on the other side of the threshold stand two that are flagged.
    flagged = 0
    for index in range(0, len(sites), 10):
        for number in (0, 2):
            for graze in find_grazes(sky_2027, sites[index], names[number], YEAR[0] + DAY_S, YEAR[1] - DAY_S):
                near = (events.site == index) & (np.abs(events.moment_s - graze.moment_s) < 3600.0)
                near &= np.isin(events.name, (number, number + 1))
                assert near.sum() in (0, 2)
                assert events.grazing[near].all()
                flagged += int(near.sum())
    assert flagged > 4
    assert not bulk_events(grid, [SITES["29 N"], SITES["23 S"]], names).grazing.any()


def test_the_poles_have_one_day_a_year(sky_2027: Sky) -> None:
    grid = year_grid(sky_2027, *YEAR, ["sun", "moon", "galactic core"])
    sites, names = [Site(90.0, 0.0, 0.0), Site(-90.0, 0.0, 2835.0)], list(EVENTS)
    events = bulk_events(grid, sites, names)
    for index, count in ((0, 1), (1, 1)):
        assert [of(events, index, number).size for number in range(8)] == [count] * 8
        rises, sets = (of(events, index, names.index(f"moon{edge}")) for edge in ("rise", "set"))
        assert {rises.size, sets.size} <= {13, 14}  # sidereal months in the year: 13.4
    # The sun rises at the north pole some days before the equinox of March, for the air and her own size.
    (sunrise_s,), (sunset_s,) = of(events, 0, 0), of(events, 0, 1)
    assert day_s("2027-03-17") < sunrise_s < day_s("2027-03-20")
    assert day_s("2027-09-23") < sunset_s < day_s("2027-09-27")


def test_an_event_that_never_comes_has_no_row(sky_2027: Sky) -> None:
    grid = year_grid(sky_2027, *YEAR, ["galactic core", "sun"])
    events = bulk_events(grid, [Site(70.0, 0.0, 0.0), Site(-75.0, 0.0, 0.0)], ["core rise", "core set"])
    assert events.moment_s.size == 0
    assert bulk_events(grid, [], ["core rise"]).site.size == 0
    assert bulk_events(grid, [Site(0.0, 0.0, 0.0)], []).site.size == 0


def test_both_sides_of_the_date_line_see_the_same(sky_2027: Sky) -> None:
    grid = year_grid(sky_2027, *YEAR, bodies_of(EVENTS))
    events = bulk_events(grid, [Site(-17.0, 180.0, 0.0), Site(-17.0, -180.0, 0.0)], list(EVENTS))
    east, west = (events.moment_s[events.site == site] for site in (0, 1))
    assert east == pytest.approx(west, abs=1e-6)


def test_the_whole_span_of_the_sky_is_answered_up_to_its_ends(sky_2027: Sky) -> None:
    first_s, end_s = sky_2027.span_s
    assert_as_one_by_one(sky_2027, [SITES["29 N"]], CROSSINGS, first_s, first_s + 5 * DAY_S)
    assert_as_one_by_one(sky_2027, [SITES["29 N"]], CROSSINGS, end_s - 5 * DAY_S, end_s - 1.0)


places = st.builds(Site, st.floats(-89.0, 89.0), st.floats(-180.0, 180.0), st.floats(0.0, 4000.0))


@settings(max_examples=tries(25))
@given(site=places, start=st.floats(0.0, 300.0), days=st.floats(0.02, 12.0))
def test_any_place_and_span_gives_what_one_by_one_gives(
    sky_of: SkyOf, site: Site, start: float, days: float
) -> None:
    sky, t0_s = sky_of(2027), YEAR[0] + start * DAY_S
    names = ["sunset", "astronomical dawn", "moonrise", "core highest", "core usable", "moon highest"]
    events = bulk_events(
        year_grid(sky, t0_s, t0_s + days * DAY_S, bodies_of(names)), [site], names, polish=True
    )
    for number, name in enumerate(names):
        expected = find_events(sky, site, name, t0_s, t0_s + days * DAY_S)
        found = of(events, 0, number)
        assert found.size == len(expected)
        grazing = events.grazing[events.name == number]
        assert (np.abs(found - expected) < np.where(grazing, 1e-2, POLISHED_S)).all()


def test_tables_are_what_is_seen_one_by_one(sky_2027: Sky) -> None:
    grid = year_grid(sky_2027, *YEAR, BODIES)
    sites = [*random_sites(45, 2), Site(90.0, 0.0, 0.0), SITES["equator"]]
    t_s = np.sort(np.random.default_rng(46).uniform(*YEAR, 100))
    for moments_s in (t_s, np.round(t_s / 600.0) * 600.0):
        altitude, azimuth = bulk_tables(grid, sites, BODIES, moments_s)
        assert altitude.shape == azimuth.shape == (4, len(BODIES), 100)
        assert (azimuth >= 0.0).all()
        assert (azimuth < 360.0).all()
        worst_deg = 0.0
        for index, site in enumerate(sites):
            for number, body in enumerate(BODIES):
                expected = horizontal(sky_2027, site, body, moments_s)[:2]
                found = altitude[index, number], azimuth[index, number]
                worst_deg = max(worst_deg, apart_deg(found, expected))
        print(f"tables: {worst_deg:.1e} degrees at most from what is seen one by one")
        assert worst_deg < GRID_DEG


def test_a_table_may_be_longer_than_a_block(sky_2027: Sky) -> None:
    grid = year_grid(sky_2027, *YEAR, ["moon"])
    t_s = np.linspace(*YEAR, 30_001)
    altitude, azimuth = bulk_tables(grid, [SITES["52 N"], SITES["23 S"]], ["moon"], t_s)
    for index, place in enumerate(("52 N", "23 S")):
        expected = horizontal(sky_2027, SITES[place], "moon", t_s)
        assert apart_deg((altitude[index, 0], azimuth[index, 0]), expected[:2]) < GRID_DEG
    assert bulk_tables(grid, [], ["moon"], t_s)[0].shape == (0, 1, 30_001)
    assert bulk_tables(grid, [SITES["52 N"]], ["moon"], [])[0].shape == (1, 1, 0)


def test_a_grid_has_what_the_sky_says_from_pack_to_pack(sky_of: SkyOf) -> None:
    sky = sky_of(2026, 2027)
    grid = year_grid(sky, YEAR[0] - 5 * DAY_S, YEAR[0], BODIES)
    assert grid.moments_s[0] <= grid.t0_s and grid.t1_s <= grid.moments_s[-1]
    for body in BODIES:
        expected = sky.vector_km(body, grid.moments_s).T
        length = np.sqrt((expected * expected).sum(axis=0))
        given = expected / length if sky.is_far(body) else expected
        assert (np.abs(grid.vectors[body] - given) <= 1e-15 * length).all()
        assert sky.rows_km([body, "sun"], grid.t0_s)[0] == pytest.approx(sky.vector_km(body, grid.t0_s))


def test_what_a_grid_cannot_answer_is_refused_in_words(sky_2027: Sky) -> None:
    grid = year_grid(sky_2027, *YEAR, ["sun"])
    with pytest.raises(ValueError, match="^the grid was made without galactic core, moon$"):
        bulk_events(grid, [SITES["29 N"]], ["core usable"])
    with pytest.raises(ValueError, match="^the grid was made without moon$"):
        bulk_tables(grid, [SITES["29 N"]], ["sun", "moon"], [YEAR[0]])
    with pytest.raises(ValueError, match="^a moment lies outside the grid$"):
        bulk_tables(grid, [SITES["29 N"]], ["sun"], [YEAR[0], YEAR[1] + 3601.0])
    with pytest.raises(KeyError, match="noon"):
        bulk_events(grid, [SITES["29 N"]], ["noon"])
    with pytest.raises(ValueError, match="^no body of the sky is called vulcan$"):
        year_grid(sky_2027, *YEAR, ["vulcan"])
    with pytest.raises(ValueError, match="the sky carried here is that of 2027"):
        year_grid(sky_2027, YEAR[0], YEAR[1] + 10 * DAY_S, ["sun"])
