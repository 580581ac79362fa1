"""The sky's two readers, numpy and JavaScript, side by side in a real browser."""

from __future__ import annotations

import base64
import functools
import json
import struct
import zlib
from dataclasses import asdict
from typing import Any

import numpy as np
import pytest
from playwright.sync_api import Page

from fieldsheet.sky.bodies import BODIES, PLANETS, POLES, STAR_EPOCH_TAI_S, STAR_PLACES, STARS
from fieldsheet.sky.events import EVENTS, NAMED_EVENTS, find_events
from fieldsheet.sky.fit import fit_year
from fieldsheet.sky.moon import moon_light, phase_id
from fieldsheet.sky.observe import Site, apparent_altitude_deg, horizontal, hour_angle_deg, refraction_deg
from fieldsheet.sky.pack import PackError, SpanError, read_pack
from fieldsheet.sky.sky import Sky

YEARS = (2026, 2027)
DAY_S = 86400.0
TWIN_DEG = 1e-9
TWIN_PART = 1e-13  # of a vector's length; the last digit of a float64 is 1e-16
TWIN_S = 1e-3

LOAD = """
const { readPack } = await import("/app/core/pack.js");
const sky_module = await import("/app/core/sky.js");
const { makeSky, makeSite, horizontal, hourAngleDeg, refractionDeg, apparentAltitudeDeg } = sky_module;
const { EVENTS, NAMED_EVENTS, eventNamed, findEvents } = await import("/app/core/events.js");
const bodies = await import("/app/core/bodies.js");
const { moonLight, phaseId } = await import("/app/core/moon.js");
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
def fitted(year: int) -> bytes:
    return fit_year(year)


@functools.cache
def sky() -> Sky:
    return Sky([read_pack(fitted(year)) for year in YEARS])


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
            "packs": [as_text(fitted(year)) for year in YEARS],
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
    sites = [*random_sites(generator, 24), (90.0, 0.0, 0.0), (69.65, 18.96, 0.0), (-54.8, -68.3, 20.0)]
    times_s = [*generator.uniform(first_s, end_s, 60).tolist(), first_s, (first_s + end_s) / 2.0, end_s - 1.0]
    altitudes_deg = [*np.linspace(-90.0, 90.0, 181).tolist(), -5.0, -1.0]
    fractions = np.linspace(0.0, 1.0, 301).tolist()
    hunts = [
        (site, name, float(t0_s), float(t0_s) + 40 * DAY_S)
        for site, t0_s in zip(sites, generator.uniform(first_s, end_s - 41 * DAY_S, 12), strict=False)
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
          moon: given.times_s.map((t_s) => moonLight(sky, t_s)),
          phases: given.fractions.map((value) => [phaseId(value, true), phaseId(value, false)]),
          bodies: {...bodies, STAR_PLACES: Object.fromEntries(bodies.STAR_PLACES)},
          events: EVENTS,
          named_events: NAMED_EVENTS,
          named: given.names.map((name) => eventNamed(name) === (EVENTS[name] ?? NAMED_EVENTS[name])),
          moments: given.hunts.map(([row, name, t0, t1]) => findEvents(sky, makeSite(...row), name, t0, t1)),
        };
        """,
        {
            "packs": [as_text(fitted(year)) for year in reversed(YEARS)],
            "sites": sites,
            "bodies": BODIES,
            "times_s": times_s,
            "altitudes_deg": altitudes_deg,
            "fractions": fractions,
            "names": [*EVENTS, *NAMED_EVENTS],
            "hunts": hunts,
        },
    )

    assert tuple(theirs["span_s"]) == sky().span_s
    for table, events in (("events", EVENTS), ("named_events", NAMED_EVENTS)):
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
    compare_bodies(theirs["bodies"])
    compare_moons(theirs["moon"], times_s, theirs["phases"], fractions)
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


def refused(act: Any) -> str:
    with pytest.raises((PackError, SpanError, ValueError)) as caught:
        act()
    return str(caught.value)


def test_both_readers_refuse_in_the_same_words(modules_page: Page) -> None:
    whole = fitted(2027)

    def sealed(at: int, new: int) -> bytes:
        data = whole[:at] + bytes([new]) + whole[at + 1 : -4]
        return data + struct.pack("<I", zlib.crc32(data))

    damaged = {
        "empty": b"",
        "short": whole[:59],
        "header only": whole[:60],
        "cut": whole[:-1],
        "longer": whole + b"\0",
        "other file": b"PK\3\4" + whole[4:],
        "other version": sealed(4, 9),
        "more leap rows": sealed(36, 3),
        "more tables": sealed(37, 11),
        "fewer tables": sealed(37, 9),
        "no tables": sealed(37, 0),
        **{
            f"bit at {at}": whole[:at] + bytes([whole[at] ^ 1 << at % 8]) + whole[at + 1 :]
            for at in range(0, len(whole), 127)
        },
    }
    first_s, end_s = sky().span_s
    theirs = in_browser(
        modules_page,
        """
        const packs = given.packs.map((text) => readPack(bufferOf(text)));
        const sky = makeSky(packs);
        const site = makeSite(28, -17, 0);
        return {
          damaged: given.damaged.map((text) => wordsOf(() => readPack(bufferOf(text)))),
          gap: wordsOf(() => makeSky([packs[0], packs[0]])),
          none: wordsOf(() => makeSky([])),
          before: wordsOf(() => sky.vectorKm("sun", given.before_s)),
          after: wordsOf(() => findEvents(sky, site, "sunset", given.before_s + 5, given.end_s)),
          nan: wordsOf(() => sky.vectorKm("sun", NaN)),
          body: wordsOf(() => sky.vectorKm("ut1-tai", given.end_s - 5)),
          frame: wordsOf(() => sky.isFar("star frame")),
          inherited: wordsOf(() => sky.isFar("constructor")),
          events: ["moon rise", "north pole rise", "toString"].map((name) => wordsOf(() => eventNamed(name))),
          maker: packs[0].maker,
        };
        """,
        {
            "packs": [as_text(fitted(year)) for year in YEARS],
            "damaged": [as_text(data) for data in damaged.values()],
            "before_s": first_s - 1.0,
            "end_s": end_s,
        },
    )
    for (name, data), words in zip(damaged.items(), theirs["damaged"], strict=True):
        assert words == refused(lambda data=data: read_pack(data)), name
    site = Site(28.0, -17.0, 0.0)
    pack = read_pack(fitted(2026))
    assert theirs["gap"] == refused(lambda: Sky([pack, pack]))
    assert theirs["none"] == refused(lambda: Sky([]))
    assert theirs["before"] == refused(lambda: sky().vector_km("sun", first_s - 1.0))
    assert theirs["after"] == refused(lambda: find_events(sky(), site, "sunset", first_s + 4.0, end_s))
    assert theirs["nan"] == refused(lambda: sky().vector_km("sun", float("nan")))
    assert theirs["body"] == refused(lambda: sky().vector_km("ut1-tai", end_s - 5.0))
    assert theirs["frame"] == refused(lambda: sky().is_far("star frame"))
    assert theirs["inherited"] == refused(lambda: sky().is_far("constructor"))
    assert theirs["events"] == [
        f"no event of the sky is called {name}" for name in ("moon rise", "north pole rise", "toString")
    ]
    assert theirs["maker"] == pack.maker
    assert "2026 to 2027" in theirs["before"]
