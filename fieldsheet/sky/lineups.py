"""When a body passes a direction as seen from a place: a moon behind a landmark."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike

from fieldsheet.sky.observe import Floats, Site, apparent_altitude_deg, horizontal
from fieldsheet.sky.ridge import skyline_deg
from fieldsheet.sky.scan import SCAN_S, scan_s, turning_points
from fieldsheet.sky.sky import Sky

_DEG = 180.0 / np.pi
_STEP_DEG = 2.6  # the most that anything moves across the sky from one step of the scan to the next


class LineUp(NamedTuple):
    """When a body is nearest to a direction, how far from it, and where it is then seen.

    moment_s: POSIX UTC seconds. altitude_deg: apparent, with refraction; azimuth_deg from true north.
    horizon_deg: the apparent altitude of the skyline or the horizon there.
    """

    moment_s: float
    apart_deg: float
    azimuth_deg: float
    altitude_deg: float
    horizon_deg: float

    @property
    def is_hidden(self) -> bool:
        """Whether the body's middle is behind the skyline, or below the horizon."""
        return self.altitude_deg < self.horizon_deg


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
    direction = _unit(np.float64(azimuth_deg), np.float64(altitude_deg))

    def apart_deg(t_s: ArrayLike) -> Floats:
        chord = _unit(*_seen(sky, site, body, t_s)) - direction
        length = np.sqrt((chord * chord).sum(axis=-1))
        return np.asarray(2.0 * np.arcsin(np.minimum(length / 2.0, 1.0)) * _DEG)

    steps_s = scan_s(sky, t0_s, t1_s, SCAN_S)
    turns = turning_points(apart_deg, steps_s, apart_deg(steps_s), within_deg + _STEP_DEG)
    nearest = (turns.value <= turns.beside) & (turns.value <= within_deg)
    chosen = nearest & (t0_s <= turns.moment_s) & (turns.moment_s < t1_s)
    moments_s = turns.moment_s[chosen]
    azimuths_deg, altitudes_deg = _seen(sky, site, body, moments_s)
    horizons_deg = horizon_deg(site, azimuths_deg)
    rows = np.stack([moments_s, turns.value[chosen], azimuths_deg, altitudes_deg, horizons_deg], axis=1)
    return [LineUp(*map(float, row)) for row in rows]


def nearest(
    sky: Sky, site: Site, body: str, azimuth_deg: float, altitude_deg: float, t0_s: float, t1_s: float
) -> LineUp | None:
    """The passage of line_ups that comes nearest, however far; one that is hidden only where all are."""
    passages = line_ups(sky, site, body, azimuth_deg, altitude_deg, t0_s, t1_s, 180.0)
    return min(passages, key=lambda passage: (passage.is_hidden, passage.apart_deg), default=None)


def horizon_deg(site: Site, azimuth_deg: ArrayLike) -> Floats:
    """The apparent altitude at azimuths of any shape up to which the sky is hidden.

    That of the measured skyline; without one that of the sea or, where none is looked over, the level.
    """
    if site.ridge:
        return skyline_deg(site.ridge, azimuth_deg)
    return np.full(np.shape(azimuth_deg), -site.dip_deg)


def _seen(sky: Sky, site: Site, body: str, t_s: ArrayLike) -> tuple[Floats, Floats]:
    """Azimuth and apparent altitude, degrees."""
    altitude_deg, azimuth_deg, _ = horizontal(sky, site, body, t_s)
    return azimuth_deg, apparent_altitude_deg(altitude_deg, site.air)


def _unit(azimuth_deg: ArrayLike, altitude_deg: ArrayLike) -> Floats:
    """East, north and up (..., 3) of a direction."""
    azimuth, altitude = np.asarray(azimuth_deg) / _DEG, np.asarray(altitude_deg) / _DEG
    level = np.cos(altitude)
    return np.stack([level * np.sin(azimuth), level * np.cos(azimuth), np.sin(altitude)], axis=-1)
