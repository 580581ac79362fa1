"""What the sky answers a search of nights: each body is looked up once for all of them.  Python only."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from typing import Any

from ..sky.bulk import bodies_of, bulk_events
from ..sky.events import clearance_deg, crossing_named, usable_margin_deg
from ..sky.grid import Grid, year_grid
from ..sky.moon import moon_lights
from ..sky.observe import Floats, Site, apparent_altitude_deg, horizontal
from ..sky.sky import Sky
from .anchors import site_of
from .asked import CORE, LIGHT, MOON_UP, events_asked
from .civil import DAY_S
from .needs import Sight


def grid_for(briefs: Sequence[dict[str, Any]], sky: Sky) -> Grid:
    """The bodies that the nights of some shots hang on, over all that the sky reaches."""
    names = {name for brief in briefs for name in events_asked(brief)}
    return year_grid(sky, sky.span_s[0] + DAY_S, sky.span_s[1] - DAY_S, bodies_of(sorted(names)))


def known_events(brief: dict[str, Any], grid: Grid) -> dict[str, Floats]:
    """Name -> every moment [s UTC] in the grid of all events that a night of the shot hangs on."""
    names = events_asked(brief)
    found = bulk_events(grid, [site_of(brief["place"])], names, polish=True)
    return {name: found.moment_s[found.name == index] for index, name in enumerate(names)}


def sight_for(sky: Sky, site: Site, asked: Iterable[tuple[str, int]]) -> Sight:
    """The answers to these questions, and to no others; see asked.questions."""
    moments: dict[str, list[int]] = {}
    for what, at_ms in asked:
        moments.setdefault(what, []).append(at_ms)
    told: dict[tuple[str, int], Any] = {}
    for what, all_ms in moments.items():
        answers = _answers(sky, site, what, [at_ms / 1000 for at_ms in all_ms])
        told |= {(what, at_ms): answer for at_ms, answer in zip(all_ms, answers, strict=True)}
    return Sight(
        lambda body, at_ms: told[body, at_ms],
        lambda at_ms: told[MOON_UP, at_ms],
        lambda at_ms: told[LIGHT, at_ms],
        lambda at_ms: told[CORE, at_ms],
    )


def _answers(sky: Sky, site: Site, what: str, t_s: list[float]) -> Iterator[Any]:
    """What a Sight says at many instants [s UTC]: of a body by its name, or of one of the other three."""
    if what == MOON_UP:
        yield from map(float, clearance_deg(sky, site, crossing_named("moonrise"), t_s))
    elif what == CORE:
        yield from map(float, usable_margin_deg(sky, site, t_s))
    elif what == LIGHT:
        for lit, waxing in zip(*moon_lights(sky, t_s), strict=True):
            yield float(lit), bool(waxing)
    else:
        altitudes, azimuths, _ = horizontal(sky, site, what, t_s)
        for azimuth, altitude in zip(azimuths, apparent_altitude_deg(altitudes, site.air), strict=True):
            yield float(azimuth), float(altitude)
