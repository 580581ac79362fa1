"""When a body passes a direction as seen from a place: a moon behind a landmark."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike

from fieldsheet.sky.observe import Floats, Site, apparent_altitude_deg, horizontal
from fieldsheet.sky.ridge import skyline_deg
from fieldsheet.sky.scan import SCAN_S, Curve, scan_s, turning_points
from fieldsheet.sky.sky import Sky

_DEG = 180.0 / np.pi
_STEP_DEG = 2.6  # the most that anything moves across the sky from one step of the scan to the next


class LineUp(NamedTuple):
    """When a body is nearest to a direction, how far from it, and where it is then seen.

    moment_s: POSIX UTC seconds. altitude_deg: apparent, with refraction; azimuth_deg from true north.
    """

    moment_s: float
    apart_deg: float
    azimuth_deg: float
    altitude_deg: float


def line_ups(
    sky: Sky,
    site: Site,
    body: str,
    azimuth_deg: float,
    altitude_deg: float,
    t0_s: float,
    t1_s: float,
    within_deg: float,
) -> list[LineUp]:
    """Each passage in [t0_s, t1_s), POSIX UTC seconds, of a body's centre within so much of a direction.

    The direction is the apparent one, as a person sights it; the air of the site bends the body's light. One
    row a passage, at its nearest, ascending; none is an answer. Raises SpanError where the sky does not cover
    the window, ValueError for an unknown body.
    """
    sky.must_cover(t0_s, t1_s)
    apart_deg = _apart_from(sky, site, body, azimuth_deg, altitude_deg)
    steps_s = scan_s(sky, t0_s, t1_s, SCAN_S)
    turns = turning_points(apart_deg, steps_s, apart_deg(steps_s), within_deg + _STEP_DEG)
    is_nearest = (turns.value <= turns.beside) & (turns.value <= within_deg)
    chosen = is_nearest & (t0_s <= turns.moment_s) & (turns.moment_s < t1_s)
    moments_s = turns.moment_s[chosen]
    rows = np.stack([moments_s, turns.value[chosen], *_seen(sky, site, body, moments_s)], axis=1)
    return [LineUp(*map(float, row)) for row in rows]


def nearest_in_sight(
    sky: Sky,
    site: Site,
    body: str,
    azimuth_deg: float,
    altitude_deg: float,
    t0_s: float,
    t1_s: float,
    edge_deg: float,
    sun_below_deg: float | None = None,
) -> LineUp | None:
    """When in [t0_s, t1_s) a body in sight is nearest to a direction, as in line_ups but however far.

    In sight is what stands, with so much of an edge over its middle, over skyline or horizon, and, if that is
    asked, while the sun's centre is below an altitude; the moment may be that of coming into sight.  None
    where it never is for ten minutes.  Raises as line_ups does.
    """
    sky.must_cover(t0_s, t1_s)
    apart_deg = _apart_from(sky, site, body, azimuth_deg, altitude_deg)

    def seen_apart_deg(t_s: Floats) -> Floats:
        azimuths_deg, altitudes_deg = _seen(sky, site, body, t_s)
        in_sight = altitudes_deg + edge_deg >= horizon_deg(site, azimuths_deg)
        if sun_below_deg is not None:
            in_sight &= horizontal(sky, site, "sun", t_s)[0] < sun_below_deg
        return np.where(in_sight & (t0_s <= t_s) & (t_s < t1_s), apart_deg(t_s), np.inf)

    steps_s = scan_s(sky, t0_s, t1_s, SCAN_S)
    values = seen_apart_deg(steps_s)
    if not np.isfinite(values).any():
        return None
    turns = turning_points(seen_apart_deg, steps_s, values, values.min() + _STEP_DEG)
    best = np.argmin(turns.value)
    seen = (float(angle) for angle in _seen(sky, site, body, turns.moment_s[best]))
    return LineUp(float(turns.moment_s[best]), float(turns.value[best]), *seen)


def horizon_deg(site: Site, azimuth_deg: ArrayLike) -> Floats:
    """The apparent altitude at azimuths of any shape up to which the sky is hidden.

    That of the measured skyline; without one that of the sea or, where none is looked over, the level.
    """
    if site.ridge:
        return skyline_deg(site.ridge, azimuth_deg)
    return np.full(np.shape(azimuth_deg), -site.dip_deg)


def _apart_from(sky: Sky, site: Site, body: str, azimuth_deg: float, altitude_deg: float) -> Curve:
    """How far [deg] a body's middle is from a direction, by instant."""
    direction = _unit(np.float64(azimuth_deg), np.float64(altitude_deg))

    def apart_deg(t_s: Floats) -> Floats:
        chord = _unit(*_seen(sky, site, body, t_s)) - direction
        length = np.sqrt((chord * chord).sum(axis=-1))
        return np.asarray(2.0 * np.arcsin(np.minimum(length / 2.0, 1.0)) * _DEG)

    return apart_deg


def _seen(sky: Sky, site: Site, body: str, t_s: ArrayLike) -> tuple[Floats, Floats]:
    """Azimuth and apparent altitude, degrees."""
    altitude_deg, azimuth_deg, _ = horizontal(sky, site, body, t_s)
    return azimuth_deg, apparent_altitude_deg(altitude_deg, site.air)


def _unit(azimuth_deg: ArrayLike, altitude_deg: ArrayLike) -> Floats:
    """East, north and up (..., 3) of a direction."""
    azimuth, altitude = np.asarray(azimuth_deg) / _DEG, np.asarray(altitude_deg) / _DEG
    level = np.cos(altitude)
    return np.stack([level * np.sin(azimuth), level * np.cos(azimuth), np.sin(altitude)], axis=-1)
