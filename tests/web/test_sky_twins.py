"""The sky's two readers, numpy and JavaScript, side by side in a real browser."""

from __future__ import annotations

import base64
import functools
import json
from dataclasses import asdict
from typing import Any

import numpy as np
import pytest
from playwright.sync_api import Page

from fieldsheet.sky.bodies import BODIES, PLANETS, POLES, STAR_EPOCH_TAI_S, STAR_PLACES, STARS
from fieldsheet.sky.events import EVENTS, NAMED_EVENTS, RIDGE_EVENTS, usable_margin_deg
from fieldsheet.sky.find import find_events
from fieldsheet.sky.galaxy import galactic_arch
from fieldsheet.sky.grazes import find_grazes
from fieldsheet.sky.moon import moon_light, phase_id
from fieldsheet.sky.observe import (
    Air,
    Site,
    apparent_altitude_deg,
    horizontal,
    hour_angle_deg,
    refraction_deg,
)
from fieldsheet.sky.pack import read_pack
from fieldsheet.sky.ridge import skyline_deg
from fieldsheet.sky.sky import Sky
from tests.skies import fit_year

YEARS = (2026, 2027)
DAY_S = 86400.0
TWIN_DEG = 1e-9
TWIN_PART = 1e-13  # of a vector's length; the last digit of a float64 is 1e-16
TWIN_S = 1e-3

LOAD = """
const { readPack } = await import("/app/core/pack.js");
const sky_module = await import("/app/core/sky.js");
const { makeSky, makeSite, horizontal, hourAngleDeg, refractionDeg, apparentAltitudeDeg } = sky_module;
const { EVENTS, NAMED_EVENTS, RIDGE_EVENTS, eventNamed, usableMarginDeg } =
  await import("/app/core/events.js");
const { findEvents } = await import("/app/core/find.js");
const { findGrazes } = await import("/app/core/grazes.js");
const { skylineDeg } = await import("/app/core/ridge.js");
const bodies = await import("/app/core/bodies.js");
const { moonLight, phaseId } = await import("/app/core/moon.js");
const { galacticArch } = await import("/app/core/galaxy.js");
const bufferOf = (text) => Uint8Array.from(atob(text), (letter) => letter.charCodeAt(0)).buffer;
const wordsOf = (act) => {
  try {
    act();
  } catch (error) {
    return error.message;
  }
  return null;
};
"""


@functools.cache
def sky() -> Sky:
    return Sky([read_pack(fit_year(year)) for year in YEARS])


def as_text(data: bytes) -> str:
    return base64.b64encode(data).decode("ascii")


def in_browser(page: Page, script: str, given: dict[str, Any]) -> Any:
    stars = f"export const STARS = {json.dumps(STARS)};"
    page.route(
        "**/app/core/stars.js", lambda route: route.fulfill(body=stars, content_type="text/javascript")
    )
    return page.evaluate("async (given) => {" + LOAD + script + "}", given)


def random_sites(generator: np.random.Generator, count: int) -> list[tuple[float, float, float]]:
    columns = [generator.uniform(low, high, count) for low, high in ((-80, 80), (-180, 180), (0, 4000))]
    return [(float(a), float(b), float(c)) for a, b, c in zip(*columns, strict=True)]


def briefest_day() -> tuple[Site, float]:
    """Where the noon sun of 2027-12-21 only just comes up, found by halving, and that midnight."""
    midnight_s = 1829347200.0
    lit_deg, dark_deg = 60.0, 75.0
    for _ in range(26):
        middle_deg = (lit_deg + dark_deg) / 2.0
        if find_events(sky(), Site(middle_deg, 0.0, 0.0), "sunrise", midnight_s, midnight_s + DAY_S):
            lit_deg = middle_deg
        else:
            dark_deg = middle_deg
    return Site(lit_deg, 0.0, 0.0), midnight_s


def test_both_readers_find_a_day_that_lasts_seconds(modules_page: Page) -> None:
    site, midnight_s = briefest_day()
    ours = [find_events(sky(), site, name, midnight_s, midnight_s + DAY_S) for name in ("sunrise", "sunset")]
    theirs = in_browser(
        modules_page,
        """
        const sky = makeSky(given.packs.map((text) => readPack(bufferOf(text))));
        const site = makeSite(given.latitude_deg, 0, 0);
        return ["sunrise", "sunset"].map((name) => findEvents(sky, site, name, given.from_s, given.to_s));
        """,
        {
            "packs": [as_text(fit_year(year)) for year in YEARS],
            "latitude_deg": site.latitude_deg,
            "from_s": midnight_s,
            "to_s": midnight_s + DAY_S,
        },
    )
    ((rise_s,), (set_s,)) = ours
    print(f"a day of {set_s - rise_s:.1f} s at {site.latitude_deg:.6f} N")
    assert 0.0 < set_s - rise_s < 60.0
    assert [len(moments_s) for moments_s in theirs] == [1, 1]
    assert np.abs(np.array(theirs) - np.array(ours)).max() < TWIN_S


def test_both_readers_place_bodies_and_moments_alike(modules_page: Page) -> None:
    generator = np.random.default_rng(26)
    first_s, end_s = sky().span_s
    sites = [*random_sites(generator, 9), (90.0, 0.0, 0.0), (69.65, 18.96, 0.0), (-54.8, -68.3, 20.0)]
    times_s = [*generator.uniform(first_s, end_s, 25).tolist(), first_s, (first_s + end_s) / 2.0, end_s - 1.0]
    altitudes_deg = [*np.linspace(-90.0, 90.0, 181).tolist(), -5.0, -1.0]
    fractions = np.linspace(0.0, 1.0, 301).tolist()
    hunts = [
        (site, name, float(t0_s), float(t0_s) + 40 * DAY_S)
        for site, t0_s in zip(sites, generator.uniform(first_s, end_s - 41 * DAY_S, 6), strict=False)
        for name in EVENTS
    ]
    # The grazes near the poles: days and nights that last minutes, from 2027-05-10 and from 2027-11-15 on.
    hunts += [
        (site, name, t0_s, t0_s + 45 * DAY_S)
        for site in sites[-2:]
        for t0_s in (1809907200.0, 1826236800.0)
        for name in EVENTS
    ]
    # Every body's own events, for some days at a place of its own.
    hunts += [
        (sites[index % len(sites)], name, float(t0_s), float(t0_s) + 4 * DAY_S)
        for index, (name, t0_s) in enumerate(
            zip(NAMED_EVENTS, generator.uniform(first_s, end_s - 5 * DAY_S, len(NAMED_EVENTS)), strict=True)
        )
    ]

    theirs = in_browser(
        modules_page,
        """
        const sky = makeSky(given.packs.map((text) => readPack(bufferOf(text))));
        const sites = given.sites.map((row) => makeSite(...row));
        return {
          span_s: sky.span_s,
          positions: sites.map((site) => given.bodies.map((body) => given.times_s.map((t_s) => {
            const seen = horizontal(sky, site, body, t_s);
            return [seen.altitude_deg, seen.azimuth_deg, seen.distance_km];
          }))),
          vectors: given.bodies.map((body) => given.times_s.map((t_s) => sky.vectorKm(body, t_s))),
          refraction: given.altitudes_deg.map((value) => [refractionDeg(value), apparentAltitudeDeg(value)]),
          hour_angles: sites.map((site) => given.bodies.map((body) =>
            given.times_s.map((t_s) => hourAngleDeg(sky, site, body, t_s)))),
          directions: given.times_s.map((t_s) => sky.direction([0.6, 0, -0.8], t_s)),
          far: given.bodies.map((body) => sky.isFar(body)),
          arches: sites.map((site) => given.times_s.map((t_s) => {
            return Object.values(galacticArch(sky, site, t_s));
          })),
          moon: given.times_s.map((t_s) => moonLight(sky, t_s)),
          phases: given.fractions.map((value) => [phaseId(value, true), phaseId(value, false)]),
          bodies: {...bodies, STAR_PLACES: Object.fromEntries(bodies.STAR_PLACES)},
          events: EVENTS,
          ridge_events: RIDGE_EVENTS,
          named_events: NAMED_EVENTS,
          named: given.names.map((name) =>
            eventNamed(name) === (EVENTS[name] ?? RIDGE_EVENTS[name] ?? NAMED_EVENTS[name])),
          moments: given.hunts.map(([row, name, t0, t1]) => findEvents(sky, makeSite(...row), name, t0, t1)),
          margins: sites.map((site) => given.times_s.map((t_s) => usableMarginDeg(sky, site, t_s))),
        };
        """,
        {
            "packs": [as_text(fit_year(year)) for year in reversed(YEARS)],
            "sites": sites,
            "bodies": BODIES,
            "times_s": times_s,
            "altitudes_deg": altitudes_deg,
            "fractions": fractions,
            "names": [*EVENTS, *RIDGE_EVENTS, *NAMED_EVENTS],
            "hunts": hunts,
        },
    )

    assert tuple(theirs["span_s"]) == sky().span_s
    tables = {"events": EVENTS, "ridge_events": RIDGE_EVENTS, "named_events": NAMED_EVENTS}
    for table, events in tables.items():
        assert theirs[table] == json.loads(
            json.dumps({name: asdict(event) for name, event in events.items()})
        )
        assert list(theirs[table]) == list(events)
    assert all(theirs["named"])

    ours = np.array(
        [[np.array(horizontal(sky(), Site(*row), body, times_s)).T for body in BODIES] for row in sites]
    )
    positions = np.array(theirs["positions"], dtype=float)
    away_deg = np.abs(positions[..., :2] - ours[..., :2])
    away_deg[..., 1] = np.minimum(away_deg[..., 1], 360.0 - away_deg[..., 1])
    print(f"{ours[..., 0].size} positions, at most {away_deg.max():.1e} degrees apart")
    assert away_deg.max() < TWIN_DEG
    far = np.array([sky().is_far(body) for body in BODIES])
    assert theirs["far"] == far.tolist()
    assert np.isinf(positions[:, far, :, 2]).all()
    assert np.isinf(ours[:, far, :, 2]).all()
    assert np.abs(positions[:, ~far, :, 2] / ours[:, ~far, :, 2] - 1.0).max() < TWIN_PART
    angles_deg = np.array(
        [[hour_angle_deg(sky(), Site(*row), body, times_s) for body in BODIES] for row in sites]
    )
    turned_deg = np.abs(np.array(theirs["hour_angles"]) - angles_deg)
    assert np.minimum(turned_deg, 360.0 - turned_deg).max() < TWIN_DEG

    vectors = np.array([sky().vector_km(body, times_s) for body in BODIES])
    length = np.linalg.norm(vectors, axis=-1, keepdims=True)
    assert (np.abs(np.array(theirs["vectors"]) - vectors) / length).max() < TWIN_PART
    directions = sky().direction((0.6, 0.0, -0.8), times_s)
    assert np.abs(np.array(theirs["directions"]) - directions).max() < TWIN_PART
    arches = [[galactic_arch(sky(), Site(*row), t_s) for t_s in times_s] for row in sites]
    arched_deg = np.abs(np.array(theirs["arches"]) - np.array(arches))
    assert np.minimum(arched_deg, 360.0 - arched_deg).max() < TWIN_DEG
    compare_bodies(theirs["bodies"])
    compare_moons(theirs["moon"], times_s, theirs["phases"], fractions)
    margins_deg = np.array([usable_margin_deg(sky(), Site(*row), times_s) for row in sites])
    assert np.abs(np.array(theirs["margins"]) - margins_deg).max() < TWIN_DEG
    bent_deg = np.array([refraction_deg(altitudes_deg), apparent_altitude_deg(altitudes_deg)])
    assert np.abs(np.array(theirs["refraction"]).T - bent_deg).max() < 1e-13

    apart_s = []
    for (row, name, t0_s, t1_s), moments_s in zip(hunts, theirs["moments"], strict=True):
        expected_s = find_events(sky(), Site(*row), name, t0_s, t1_s)
        assert len(moments_s) == len(expected_s), (row, name)
        apart_s += np.abs(np.array(moments_s) - np.array(expected_s)).tolist()
    print(f"{len(apart_s)} moments, at most {max(apart_s):.1e} s apart")
    assert len(apart_s) > 3000
    assert max(apart_s) < TWIN_S


def skyline(generator: np.random.Generator, sights: int) -> list[list[float]]:
    """A skyline of so many sights right round, from low to higher than most things come."""
    azimuths = np.sort(generator.choice(3600, sights, replace=False)) / 10.0
    return [
        [float(azimuth), float(height)]
        for azimuth, height in zip(azimuths, generator.uniform(-1, 25, sights), strict=True)
    ]


def test_both_languages_see_the_same_over_ridge_and_sea_and_where_a_body_grazes(modules_page: Page) -> None:
    generator = np.random.default_rng(27)
    first_s, end_s = sky().span_s
    more: list[dict[str, Any]] = [
        {"ridge": skyline(generator, 3)},
        {"ridge": skyline(generator, 40), "air": {"pressure_hpa": 640.0, "temperature_c": -18.5}},
        {"ridge": skyline(generator, 360), "sea_horizon_m": 120.0},
        {"sea_horizon_m": 2400.0, "air": {"pressure_hpa": 1031.0, "temperature_c": 31.0}},
    ]
    sites = [(row, options) for row in random_sites(generator, 3) for options in more]
    hunts = [
        (row, options, name, float(t0_s), float(t0_s) + 3 * DAY_S)
        for (row, options), t0_s in zip(
            sites, generator.uniform(first_s, end_s - 4 * DAY_S, len(sites)), strict=True
        )
        for name in (*RIDGE_EVENTS, *EVENTS)
    ]
    # Places whose sun or moon may turn near to a threshold, and the last where the sun shows at midwinter.
    grazed = [
        ((float(latitude_deg), 18.96, 0.0), name, t0_s, t0_s + 45 * DAY_S)
        for latitude_deg in (*np.linspace(48.0, 71.0, 10), 67.389, 67.392, 67.395, 67.398, 67.401)
        for name in ("sunset", "civil dawn", "nautical dusk", "astronomical dusk", "moonset")
        for t0_s in (1809907200.0, 1826236800.0)
    ]
    azimuths_deg = [0.0, 359.99, *generator.uniform(0.0, 360.0, 400).tolist()]
    heights_deg = np.linspace(-6.0, 60.0, 100).tolist()

    theirs = in_browser(
        modules_page,
        """
        const sky = makeSky(given.packs.map((text) => readPack(bufferOf(text))));
        return {
          moments: given.hunts.map(([row, options, name, t0, t1]) =>
            findEvents(sky, makeSite(...row, options), name, t0, t1)),
          grazes: given.grazed.map(([row, name, t0, t1]) => findGrazes(sky, makeSite(...row), name, t0, t1)),
          skylines: given.ridges.map((ridge) =>
            given.azimuths_deg.map((azimuth) => skylineDeg(ridge, azimuth))),
          seen: given.heights_deg.map((height) => apparentAltitudeDeg(height, given.air)),
          dips: given.hunts.map(([row, options]) => makeSite(...row, options).dip_deg),
        };
        """,
        {
            "packs": [as_text(fit_year(year)) for year in YEARS],
            "hunts": hunts,
            "grazed": grazed,
            "ridges": [options["ridge"] for options in more if "ridge" in options],
            "azimuths_deg": azimuths_deg,
            "heights_deg": heights_deg,
            "air": more[1]["air"],
        },
    )

    apart_s, passings = [], 0
    for (row, options, name, t0_s, t1_s), moments_s, dip_deg in zip(
        hunts, theirs["moments"], theirs["dips"], strict=True
    ):
        ridge = tuple((azimuth, height) for azimuth, height in options.get("ridge", []))
        site = Site(*row, options.get("sea_horizon_m"), ridge, Air(**options.get("air", {})))
        expected_s = find_events(sky(), site, name, t0_s, t1_s)
        assert len(moments_s) == len(expected_s), (row, options, name)
        assert dip_deg == pytest.approx(site.dip_deg, abs=1e-15)
        apart_s += np.abs(np.array(moments_s) - np.array(expected_s)).tolist()
        passings += len(moments_s) if name in RIDGE_EVENTS else 0
    print(f"{len(apart_s)} moments, {passings} of them over ridges, at most {max(apart_s):.1e} s apart")
    assert passings > 250
    assert max(apart_s) < TWIN_S

    grazes = 0
    for (row, name, t0_s, t1_s), found in zip(grazed, theirs["grazes"], strict=True):
        expected = find_grazes(sky(), Site(*row), name, t0_s, t1_s)
        assert len(found) == len(expected), (row, name)
        grazes += len(found)
        for graze, other in zip(expected, found, strict=True):
            # At its turn a height is flat: the moment is as uncertain as a hundredth of a second.
            assert other["moment_s"] == pytest.approx(graze.moment_s, abs=0.05)
            assert other["margin_deg"] == pytest.approx(graze.margin_deg, abs=TWIN_DEG)
    print(f"{grazes} grazes")
    assert grazes > 5

    for options, heights in zip(
        (options for options in more if "ridge" in options), theirs["skylines"], strict=True
    ):
        expected_deg = skyline_deg([tuple(pair) for pair in options["ridge"]], azimuths_deg)
        assert np.abs(np.array(heights) - expected_deg).max() < 1e-12
    seen_deg = apparent_altitude_deg(heights_deg, Air(**more[1]["air"]))
    assert np.abs(np.array(theirs["seen"]) - seen_deg).max() < 1e-13


def compare_bodies(theirs: dict[str, Any]) -> None:
    assert theirs["BODIES"] == list(BODIES)
    assert theirs["PLANETS"] == list(PLANETS)
    assert theirs["POLES"] == {name: list(vector) for name, vector in POLES.items()}
    assert theirs["STAR_EPOCH_TAI_S"] == STAR_EPOCH_TAI_S
    assert list(theirs["STAR_PLACES"]) == list(STAR_PLACES)
    for name, place in STAR_PLACES.items():
        assert theirs["STAR_PLACES"][name]["place"] == pytest.approx(place.place, abs=1e-15)
        assert theirs["STAR_PLACES"][name]["motion_per_s"] == pytest.approx(place.motion_per_s, rel=1e-12)


def compare_moons(moons: Any, times_s: list[float], phases: Any, fractions: list[float]) -> None:
    for (fraction, waxing), t_s in zip(moons, times_s, strict=True):
        ours, grows = moon_light(sky(), t_s)
        assert abs(fraction - ours) < 1e-12
        assert waxing == grows
    assert phases == [[phase_id(value, True), phase_id(value, False)] for value in fractions]
