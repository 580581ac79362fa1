"""Where a body turns back so near to a threshold that nobody can say whether it crosses it.

twin: site_templates/app/core/grazes.js

There the air alone decides, which at the horizon bends by a few hundredths of a degree more or less from one
night to the next: a rise and a set computed a few minutes apart may both fail to come, or come unannounced.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike

from fieldsheet.sky.events import clearance_deg, crossing_named
from fieldsheet.sky.find import NEAR_DEG
from fieldsheet.sky.observe import Floats, Site
from fieldsheet.sky.scan import SCAN_S, scan_s, turning_points
from fieldsheet.sky.sky import Sky

GRAZE_DEG = 0.01
"""How near to its threshold a body grazes it."""


class Graze(NamedTuple):
    """A body turning at a moment (POSIX UTC seconds), so many degrees above a threshold (below 0: under)."""

    moment_s: float
    margin_deg: float


def find_grazes(sky: Sky, site: Site, name: str, t0_s: float, t1_s: float) -> list[Graze]:
    """The turns in [t0_s, t1_s), POSIX UTC seconds, within GRAZE_DEG of an event's altitude, ascending.

    Those of a rise are those of its set. Raises SpanError where the sky does not cover the window, KeyError
    for an unknown name, ValueError for an event that is no crossing of an altitude.
    """
    crossing = crossing_named(name)
    sky.must_cover(t0_s, t1_s)

    def curve(t_s: ArrayLike) -> Floats:
        return clearance_deg(sky, site, crossing, t_s)

    steps_s = scan_s(sky, t0_s, t1_s, SCAN_S)
    turns = turning_points(curve, steps_s, curve(steps_s), NEAR_DEG)
    near = np.abs(turns.value) < GRAZE_DEG
    pairs = zip(turns.moment_s[near], turns.value[near], strict=True)
    return [Graze(float(at_s), float(deg)) for at_s, deg in pairs if t0_s <= at_s < t1_s]
