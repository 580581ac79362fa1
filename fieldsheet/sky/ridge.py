"""A skyline as somebody measured it: its height all round, and where in a scan a body may pass it.

twin: site_templates/app/core/ridge.js
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache

import numpy as np
from numpy.typing import ArrayLike

from fieldsheet.sky.observe import Floats, Site, apparent_altitude_deg
from fieldsheet.sky.scan import SCAN_S, Curve

Ridge = Sequence[tuple[float, float]]
"""Pairs of azimuth, ascending in [0, 360), and apparent altitude, in degrees; at least one."""

RIDGE_SCAN_S = SCAN_S / 2.0

# Between two steps of the coarse scan a height stays so near to the straight way between them: below 86
# degrees it bends by less than 113 degrees an hour squared, which is 0.4 degrees in ten minutes.
_STRAY_DEG = 0.5

# An azimuth stays so near to the middle between the two, unless they are farther apart than that.
_ASIDE_DEG = 4.0
_BIN_DEG = 0.5

# Between two sights the skyline is a straight line in azimuth and altitude. Under 30 degrees no azimuth bends
# faster than 8.5 degrees an hour squared and no height faster than 5.4: over a line that rises by six degrees
# in one of azimuth a height bends by less than 57, and turns within 0.2 degrees of the step beside it.
RIDGE_NEAR_DEG = 0.2


def skyline_deg(ridge: Ridge, azimuth_deg: ArrayLike) -> Floats:
    """The altitude of the skyline at azimuths of any shape: straight between sights, through north too."""
    azimuths, altitudes = np.array(ridge).T
    return np.asarray(np.interp(np.asarray(azimuth_deg), azimuths, altitudes, period=360.0))


def near_skyline(steps_s: Floats, limb_deg: Floats, azimuth_deg: Floats, site: Site) -> Floats:
    """The steps of a fine scan (m,) where a body may pass the skyline, of a coarse one (n,) every SCAN_S.

    limb_deg: geometric altitudes (n,) of the upper limb, azimuth_deg: (n,). Where the body cannot reach the
    skyline between two steps, nor beside them, none are added: it stays on one side there.
    """
    turned = (np.diff(azimuth_deg) + 180.0) % 360.0 - 180.0
    bins = np.floor((azimuth_deg[:-1] + turned / 2.0) % 360.0 / _BIN_DEG).astype(np.int64)
    lowest, highest = _around(site.ridge)
    everywhere = np.abs(turned) > _ASIDE_DEG
    low = np.where(everywhere, lowest.min(), lowest[bins % lowest.size])
    high = np.where(everywhere, highest.max(), highest[bins % highest.size])
    body_low = apparent_altitude_deg(np.minimum(limb_deg[:-1], limb_deg[1:]) - _STRAY_DEG, site.air)
    body_high = apparent_altitude_deg(np.maximum(limb_deg[:-1], limb_deg[1:]) + _STRAY_DEG, site.air)
    near = (body_low <= high) & (body_high >= low)
    beside = near.copy()
    beside[1:] |= near[:-1]
    beside[:-1] |= near[1:]
    from_s = steps_s[:-1][beside]
    return np.unique(np.concatenate([from_s, from_s + RIDGE_SCAN_S, steps_s[1:][beside]]))


@lru_cache(maxsize=256)
def _around(ridge: Ridge) -> tuple[Floats, Floats]:
    """The lowest and the highest of the skyline within _ASIDE_DEG of each bin of azimuth."""
    sights = np.array(ridge)
    middles = np.arange(0.0, 360.0, _BIN_DEG) + _BIN_DEG / 2.0
    aside = _ASIDE_DEG + _BIN_DEG / 2.0
    ends = np.stack([skyline_deg(ridge, middles - aside), skyline_deg(ridge, middles + aside)])
    apart = np.abs((sights[:, :1] - middles + 180.0) % 360.0 - 180.0)
    low = np.where(apart <= aside, sights[:, 1:], np.inf).min(axis=0)
    high = np.where(apart <= aside, sights[:, 1:], -np.inf).max(axis=0)
    return np.minimum(low, ends.min(axis=0)), np.maximum(high, ends.max(axis=0))


def with_sights(azimuth_deg: Curve, ridge: Ridge, steps_s: Floats) -> Floats:
    """A scan (n,), and the moments at which an azimuth in degrees passes a sight of the ridge.

    The scan's steps are RIDGE_SCAN_S, with gaps where the body is not near the skyline.

    Against the skyline a height has its corners there, and is smooth between them: a peak of one sight is
    found however narrow it is. The moments lie within 0.001 degrees of the sights, a quarter of a second for
    a body near the horizon; where an azimuth turns back between two steps, or runs through half the circle in
    one (within five degrees of the zenith), only the scan's own steps stand.
    """
    azimuths = np.unwrap(azimuth_deg(steps_s), period=360.0)
    sights = np.array([azimuth for azimuth, _ in ridge])
    rounds = np.floor(azimuths / 360.0)
    passed = np.searchsorted(sights, azimuths - 360.0 * rounds, side="right")
    passed = passed + sights.size * rounds.astype(np.int64)
    # How many sights lie between each two steps; where the scan has a gap, the body is not near the skyline.
    counts = np.abs(np.diff(passed)) * (np.diff(steps_s) <= RIDGE_SCAN_S)
    step = np.repeat(np.arange(counts.size), counts)
    nth = np.arange(step.size) - np.repeat(np.cumsum(counts) - counts, counts)
    sight = np.minimum(passed[:-1], passed[1:])[step] + nth
    wanted = sights[sight % sights.size] + 360.0 * (sight // sights.size)
    rate = np.diff(azimuths)[step] / np.diff(steps_s)[step]
    moments_s = steps_s[step] + (wanted - azimuths[step]) / rate
    off = azimuth_deg(moments_s) - wanted
    moments_s = moments_s - (off - 360.0 * np.floor(off / 360.0 + 0.5)) / rate
    moments_s = np.clip(moments_s, steps_s[step], steps_s[step + 1])
    return np.unique(np.concatenate([steps_s, moments_s]))
