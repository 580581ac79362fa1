"""Where something of the sky is seen, and whether it can be seen at all.  Twin: app/core/seen.js."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from ..sky.observe import Floats, Site, apparent_altitude_deg, horizontal
from ..sky.ridge import skyline_deg
from .anchors import Night

# By the end of civil dusk the brightest stars and planets are out (common practice, no source).
STARS_OUT_DEG = -6.0
BRIGHT = ("sun", "moon")


def seen_deg(night: Night, body: str, utc_s: float) -> tuple[float, float]:
    """True azimuth and apparent altitude [deg] of a body at an instant [s UTC]."""
    altitude, azimuth, _ = horizontal(night.sky, night.site, body, utc_s)
    return float(azimuth), float(apparent_altitude_deg(float(altitude), night.site.air))


def seen_at(night: Night, body: str, times_s: Sequence[float]) -> tuple[Floats, Floats]:
    """As seen_deg, at many instants at once."""
    altitudes, azimuths, _ = horizontal(night.sky, night.site, body, times_s)
    return azimuths, apparent_altitude_deg(altitudes, night.site.air)


def dark_at(night: Night, times_s: Sequence[float]) -> NDArray[np.bool_]:
    """As stars_out, at many instants at once."""
    return np.asarray(horizontal(night.sky, night.site, "sun", times_s)[0] < STARS_OUT_DEG)


def stars_out(night: Night, utc_s: float) -> bool:
    """Whether the sun is so far down that bright stars and planets show."""
    altitude, _, _ = horizontal(night.sky, night.site, "sun", utc_s)
    return float(altitude) < STARS_OUT_DEG


def over_deg(site: Site, azimuth_deg: float, altitude_deg: float) -> float:
    """How far [deg] a direction is above what hides the sky there: the measured skyline, else the level."""
    return altitude_deg - (float(skyline_deg(site.ridge, azimuth_deg)) if site.ridge else 0.0)


def is_seen(body: str, over_deg: float, dark: bool) -> bool:
    """Whether a body so far over what hides the sky shows, dark being what stars_out says."""
    return over_deg > 0 and (dark or body in BRIGHT)
