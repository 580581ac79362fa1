"""The sky in bulk beside Skyfield and PyEphem: what a shot-night costs in each, in one run on one machine.

Run it by hand: python -m tests.bench.sky_bulk

Every engine is asked in the way that suits it best: Skyfield's searches get all nights in one call and its
tables one array of moments for all bodies and places, so that it works out the Earth's wobble once; PyEphem
knows single moments only. Ours starts from a pack that has been read; the grid that all places share is
counted in every row. Times are the processor's, the best of several turns taken alternately: others may be at
work on the machine. One night of one shot is a matter of milliseconds: there each engine warms up before its
turn, so that none is timed while it fetches what another has pushed out of the processor's caches.
"""

from __future__ import annotations

import math
import resource
import subprocess
import sys
import time
from collections.abc import Callable
from functools import partial
from typing import Any

import ephem
import numpy as np
from skyfield import almanac
from skyfield.api import load, wgs84

from fieldsheet.sky.bulk import bodies_of, bulk_events, bulk_tables, year_grid
from fieldsheet.sky.ephemeris import SAGITTARIUS_A, open_kernel, target_of
from fieldsheet.sky.events import EVENTS, Crossing, Highest
from fieldsheet.sky.fit import fit_year
from fieldsheet.sky.observe import Site
from fieldsheet.sky.pack import read_pack
from fieldsheet.sky.sky import Sky

DAY_S = 86400.0
START_S = 1799582400.0  # 2027-01-10 12:00 UTC
STEP_S = 600.0
MOMENTS = 217  # a day and a half of ten minutes
BODIES = ["sun", "moon", "galactic core", "mercury", "venus", "mars", "jupiter", "saturn"]
# What all three can be asked for: the crossings and the transit. "core usable" is ours alone.
ASKED = {name: event for name, event in EVENTS.items() if isinstance(event, Crossing | Highest)}
TURNS = 5


def sites(count: int) -> list[Site]:
    generator = np.random.default_rng(1)
    latitudes, longitudes = generator.uniform(-65.0, 65.0, count), generator.uniform(-180.0, 180.0, count)
    return [Site(float(a), float(b), 100.0) for a, b in zip(latitudes, longitudes, strict=True)]


def moments_s(nights: int) -> np.ndarray:
    return (START_S + DAY_S * np.arange(nights)[:, np.newaxis] + STEP_S * np.arange(MOMENTS)).ravel()


# --- ours -------------------------------------------------------------------------------------------------


def our_events(sky: Sky, places: list[Site], nights: int, names: list[str]) -> int:
    grid = year_grid(sky, START_S, START_S + nights * DAY_S, bodies_of(names))
    return bulk_events(grid, places, names).moment_s.size


def our_tables(sky: Sky, places: list[Site], nights: int) -> int:
    grid = year_grid(sky, START_S, START_S + (nights + 1) * DAY_S, BODIES)
    return bulk_tables(grid, places, BODIES, moments_s(nights))[0].size


# --- Skyfield ---------------------------------------------------------------------------------------------


def skyfield_events(kernel: Any, places: list[Site], nights: int) -> int:
    scale, count = load.timescale(builtin=True), 0
    begin, end = (scale.utc(1970, 1, 1, 0, 0, t_s) for t_s in (START_S, START_S + nights * DAY_S))
    for site in places:
        observer = kernel["earth"] + wgs84.latlon(site.latitude_deg, site.longitude_deg, site.elevation_m)
        for event in ASKED.values():
            target = target_of(kernel, event.body)
            if isinstance(event, Highest):
                count += len(almanac.find_transits(observer, target, begin, end))
                continue
            search = almanac.find_risings if event.direction > 0 else almanac.find_settings
            degrees = None if event.rule.upper_limb else event.rule.altitude_deg
            count += int(search(observer, target, begin, end, degrees)[1].sum())
    return count


def skyfield_tables(kernel: Any, places: list[Site], nights: int) -> int:
    scale, count = load.timescale(builtin=True), 0
    days, rest_s = np.divmod(moments_s(nights), DAY_S)
    times = scale.utc(1970, 1, 1 + days, 0, 0, rest_s)
    for site in places:
        seen_from = (kernel["earth"] + wgs84.latlon(site.latitude_deg, site.longitude_deg, 100.0)).at(times)
        for body in BODIES:
            altitude, _, _ = seen_from.observe(target_of(kernel, body)).apparent().altaz()
            count += altitude.degrees.size
    return count


# --- PyEphem ----------------------------------------------------------------------------------------------


def ephem_bodies() -> dict[str, Any]:
    core = ephem.FixedBody()
    core._ra, core._dec = SAGITTARIUS_A.ra.radians, SAGITTARIUS_A.dec.radians
    planets = {body: getattr(ephem, body.capitalize())() for body in BODIES if body != "galactic core"}
    return {**planets, "galactic core": core}


def ephem_observer(site: Site) -> Any:
    observer = ephem.Observer()
    observer.lat, observer.lon = math.radians(site.latitude_deg), math.radians(site.longitude_deg)
    observer.elevation, observer.pressure = site.elevation_m, 0.0
    return observer


def ephem_date(t_s: float) -> float:
    return float(ephem.Date("1970/1/1")) + t_s / DAY_S


def ephem_events(places: list[Site], nights: int) -> int:
    bodies, count = ephem_bodies(), 0
    for site in places:
        observer = ephem_observer(site)
        for night in range(nights):
            begin = ephem_date(START_S + night * DAY_S)
            for event in ASKED.values():
                observer.date = begin
                observer.horizon = math.radians(event.rule.altitude_deg)
                try:
                    if isinstance(event, Highest):
                        found = observer.next_transit(bodies[event.body])
                    else:
                        search = observer.next_rising if event.direction > 0 else observer.next_setting
                        found = search(bodies[event.body], use_center=not event.rule.upper_limb)
                except (ephem.AlwaysUpError, ephem.NeverUpError):
                    continue
                count += found < begin + 1.0
    return count


def ephem_tables(places: list[Site], nights: int) -> int:
    bodies, count, dates = ephem_bodies(), 0, [ephem_date(t_s) for t_s in moments_s(nights)]
    for site in places:
        observer = ephem_observer(site)
        for date in dates:
            observer.date = date
            for body in BODIES:
                bodies[body].compute(observer)
                _ = float(bodies[body].alt), float(bodies[body].az)
                count += 1
    return count


# --- the tables -------------------------------------------------------------------------------------------


def seconds(*acts: Callable[[], object], turns: int = TURNS, warm: bool = False) -> list[float]:
    """The best processor time of each act, which take turns. warm: each runs once untimed before its turn."""
    best = [math.inf] * len(acts)
    for _ in range(turns):
        for index, act in enumerate(acts):
            if warm:
                act()
            begun = time.process_time()
            act()
            best[index] = min(best[index], time.process_time() - begun)
    return best


def row(name: str, ours_s: float, skyfield_s: float, ephem_s: float) -> None:
    """Milliseconds a shot-night, and how many times ours."""
    cells = [f"{value * 1e3:10.4f}" for value in (ours_s, skyfield_s, ephem_s)]
    print(f"{name:38}{''.join(cells)}   {skyfield_s / ours_s:7.0f} x  {ephem_s / ours_s:7.1f} x")


def compare(sky: Sky, kernel: Any) -> None:
    one, many, some, names = sites(1), sites(100), sites(20), list(ASKED)
    print(
        f"{'milliseconds a shot-night':38}{'ours':>10}{'Skyfield':>10}{'PyEphem':>10}   Skyfield    PyEphem"
    )
    bulk_s, year_s, theirs_s, ephem_s = seconds(
        lambda: our_events(sky, many, 365, names),
        lambda: our_events(sky, one, 365, names),
        lambda: skyfield_events(kernel, one, 365),
        lambda: ephem_events(one, 20),
        turns=3,
    )
    row(f"{len(names)} events, 100 places x 365", bulk_s / 36500, theirs_s / 365, ephem_s / 20)
    row(f"{len(names)} events, 1 place x 365", year_s / 365, theirs_s / 365, ephem_s / 20)
    bulk_s, year_s, theirs_s, ephem_s = seconds(
        lambda: our_tables(sky, some, 60),
        lambda: our_tables(sky, one, 365),
        lambda: skyfield_tables(kernel, sites(3), 10),
        lambda: ephem_tables(one, 2),
        turns=3,
    )
    row(f"8 bodies x {MOMENTS}, 20 places x 60", bulk_s / 1200, theirs_s / 30, ephem_s / 2)
    row(f"8 bodies x {MOMENTS}, 1 place x 365", year_s / 365, theirs_s / 30, ephem_s / 2)
    ours_s, theirs_s, ephem_s = seconds(
        lambda: (our_events(sky, one, 1, names), our_tables(sky, one, 1)),
        lambda: (skyfield_events(kernel, one, 1), skyfield_tables(kernel, one, 1)),
        lambda: (ephem_events(one, 1), ephem_tables(one, 1)),
        turns=20,
        warm=True,
    )
    row("1 shot, 1 night, events and table", ours_s, theirs_s, ephem_s)
    ours_s, theirs_s, ephem_s = seconds(
        lambda: our_events(sky, one, 1, names),
        lambda: skyfield_events(kernel, one, 1),
        lambda: ephem_events(one, 1),
        turns=30,
        warm=True,
    )
    row("1 shot, 1 night, events alone", ours_s, theirs_s, ephem_s)


def flat(sky: Sky) -> None:
    places, names = sites(10), list(EVENTS)
    print("\nmicroseconds a shot-night, 10 places, all events:")
    for nights in (30, 90, 365, 700):
        (spent_s,) = seconds(partial(our_events, sky, places, nights, names), turns=3)
        print(f"  {nights:4} nights  {spent_s / nights / len(places) * 1e6:6.1f}")


def floor(sky: Sky) -> None:
    """What two arctangents of each pair cost alone, in pieces that fit the cache, and a whole table."""
    generator = np.random.default_rng(2)
    y, x, out = generator.uniform(-1.0, 1.0, 12_000), generator.uniform(-1.0, 1.0, 12_000), np.empty(12_000)
    places, t_s = sites(20), moments_s(60)
    grid = year_grid(sky, START_S, START_S + 61 * DAY_S, BODIES)
    pairs = len(places) * len(BODIES) * t_s.size
    floor_s, ours_s = seconds(
        lambda: [np.arctan2(y, x, out=out) for _ in range(200)],
        lambda: bulk_tables(grid, places, BODIES, t_s),
    )
    floor_ns, ours_ns = floor_s / 100 / y.size * 1e9, ours_s / pairs * 1e9
    times = f"{ours_ns / floor_ns:.1f} times as much"
    print(f"\ntwo arctangents {floor_ns:.1f} ns a pair; tables {ours_ns:.1f} ns, {times}")


def thousand(sky: Sky) -> None:
    """All events of 1,000 places x 365 nights, in a process of its own."""
    begun, used = time.perf_counter(), time.process_time()
    count = our_events(sky, sites(1000), 365, list(EVENTS))
    rss_mb = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    print(
        f"\n1,000 places x 365 nights, all events: {time.perf_counter() - begun:.1f} s "
        f"({time.process_time() - used:.1f} s of processor), {count:,} moments, {rss_mb:.0f} MB"
    )


def main() -> None:
    if sys.argv[1:] == ["thousand"]:
        thousand(
            Sky([read_pack(sys.stdin.buffer.read(int(size))) for size in sys.stdin.buffer.readline().split()])
        )
        return
    packs = [fit_year(year) for year in (2026, 2027, 2028)]
    sky = Sky([read_pack(data) for data in packs])
    with open_kernel() as kernel:
        compare(sky, kernel)
    flat(sky)
    floor(sky)
    sys.stdout.flush()
    sizes = " ".join(str(len(data)) for data in packs).encode() + b"\n"
    subprocess.run(
        [sys.executable, "-m", "tests.bench.sky_bulk", "thousand"], input=sizes + b"".join(packs), check=True
    )


if __name__ == "__main__":
    main()
