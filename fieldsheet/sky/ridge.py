"""A skyline as somebody measured it: its height all round, and when a body stands over its sights.

twin: site_templates/app/core/ridge.js
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import ArrayLike

from fieldsheet.sky.observe import Floats
from fieldsheet.sky.scan import Curve

Ridge = Sequence[tuple[float, float]]
"""Pairs of azimuth, ascending in [0, 360), and apparent altitude, in degrees; at least one."""

RIDGE_SCAN_S = 300.0

# Between two sights the skyline is a straight line in azimuth and altitude. Under 30 degrees no azimuth bends
# faster than 8.5 degrees an hour squared and no height faster than 5.4: over a line that rises by six degrees
# in one of azimuth a height bends by less than 57, and turns within 0.2 degrees of the step beside it.
RIDGE_NEAR_DEG = 0.2


def skyline_deg(ridge: Ridge, azimuth_deg: ArrayLike) -> Floats:
    """The altitude of the skyline at azimuths of any shape: straight between sights, through north too."""
    azimuths, altitudes = np.array(ridge).T
    return np.asarray(np.interp(np.asarray(azimuth_deg), azimuths, altitudes, period=360.0))


def with_sights(azimuth_deg: Curve, ridge: Ridge, steps_s: Floats) -> Floats:
    """A scan (n,), and the moments at which an azimuth in degrees passes a sight of the ridge.

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
    counts = np.abs(np.diff(passed))  # how many sights lie between each two steps
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
