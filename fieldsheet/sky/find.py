"""When things happen in the sky: the moments at which a body crosses a threshold, a skyline or the meridian.

twin: site_templates/app/core/find.js

A scan every ten minutes (scan.py) finds the crossings of a threshold; near a measured skyline it is finer,
with a step wherever the body stands over one of its sights (ridge.py). Where several things must hold at
once, the crossings of each are sought apart, and whether all hold is asked between each two of them: windows
are found however short, and alternate too.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from fieldsheet.sky.events import (
    Crossing,
    Event,
    Highest,
    Joint,
    Part,
    Passing,
    clearance_deg,
    event_named,
    over_skyline_deg,
    part_deg,
    parts_at,
    radius_deg,
)
from fieldsheet.sky.observe import Floats, Site, horizontal, hour_angle_deg
from fieldsheet.sky.ridge import RIDGE_NEAR_DEG, near_skyline, with_sights
from fieldsheet.sky.scan import SCAN_S, crossings, narrow, scan_s
from fieldsheet.sky.sky import Sky

# Within 18 degrees of the horizon no height bends faster than 1.4 times (15 degrees an hour) squared, which
# is 5.4 degrees an hour squared: a turning point is within 0.08 degrees of the scan's step beside it. So only
# those nearer to the threshold than this can hide a pair of crossings.
NEAR_DEG = 0.1


def find_events(sky: Sky, site: Site, name: str, t0_s: float, t1_s: float) -> list[float]:
    """The moments of one kind of event in [t0_s, t1_s), POSIX UTC seconds, ascending; none is an answer.

    Raises SpanError where the sky does not cover the window, KeyError for a name that event_named lacks.
    """
    event = event_named(name)
    sky.must_cover(t0_s, t1_s)
    moments_s = _moments(sky, site, event, scan_s(sky, t0_s, t1_s, SCAN_S))
    return [float(moment) for moment in moments_s if t0_s <= moment < t1_s]


def passings(sky: Sky, site: Site, body: str, steps_s: Floats, *, over: bool, behind: bool) -> Floats:
    """The moments (n,) at which a body comes over the skyline or goes behind it, ascending.

    steps_s: (steps,), every SCAN_S, POSIX UTC seconds. Without a measured skyline there are none.
    """
    if not site.ridge:
        return np.empty(0)
    altitude_deg, azimuth_deg, distance_km = horizontal(sky, site, body, steps_s)
    limb_deg = altitude_deg + radius_deg(body, distance_km)
    near_s = near_skyline(steps_s, limb_deg, azimuth_deg, site)
    times_s = with_sights(lambda t_s: horizontal(sky, site, body, t_s)[1], site.ridge, near_s)

    def above(t_s: ArrayLike) -> Floats:
        return over_skyline_deg(sky, site, body, t_s)

    return crossings(above, times_s, RIDGE_NEAR_DEG, upwards=over, downwards=behind)


def _moments(sky: Sky, site: Site, event: Event, steps_s: Floats) -> Floats:
    if isinstance(event, Joint):
        return _changes(sky, site, event, steps_s)
    if isinstance(event, Highest):
        return _transits(sky, site, event, steps_s)
    return _crossings(sky, site, event, steps_s, upwards=event.direction > 0, downwards=event.direction < 0)


def _crossings(
    sky: Sky, site: Site, part: Part, steps_s: Floats, *, upwards: bool, downwards: bool
) -> Floats:
    if isinstance(part, Passing):
        return passings(sky, site, part.body, steps_s, over=upwards, behind=downwards)
    return _of_rule(sky, site, part, steps_s, upwards=upwards, downwards=downwards)


def _of_rule(
    sky: Sky, site: Site, part: Crossing, steps_s: Floats, *, upwards: bool, downwards: bool
) -> Floats:
    def curve(t_s: ArrayLike) -> Floats:
        return clearance_deg(sky, site, part, t_s)

    return crossings(curve, steps_s, NEAR_DEG, upwards=upwards, downwards=downwards)


def _transits(sky: Sky, site: Site, event: Highest, steps_s: Floats) -> Floats:
    """Where the hour angle comes up to 0; at the lower transit it leaps down, from 180 to -180."""
    angles_deg = hour_angle_deg(sky, site, event.body, steps_s)
    starts = np.flatnonzero((angles_deg[:-1] < 0.0) & (angles_deg[1:] >= 0.0))
    moments_s = narrow(
        lambda t_s: hour_angle_deg(sky, site, event.body, t_s) >= 0.0, steps_s[starts], steps_s[starts + 1]
    )
    return moments_s[clearance_deg(sky, site, event, moments_s) >= 0.0]


def _changes(sky: Sky, site: Site, event: Joint, steps_s: Floats) -> Floats:
    """The crossings of all parts cut time into pieces; in each, all parts hold throughout or they do not."""
    parts = parts_at(event.parts, site)
    found = [_crossings(sky, site, part, steps_s, upwards=True, downwards=True) for part in parts]
    moments_s = np.sort(np.concatenate(found))
    ends_s = np.concatenate([steps_s[:1], moments_s, steps_s[-1:]])
    inside_s = (ends_s[:-1] + ends_s[1:]) / 2.0
    held = np.full(inside_s.size, True)
    for part in parts:
        held &= (part_deg(sky, site, part, inside_s) >= 0.0) == (part.direction > 0)
    before, after = (held[:-1], held[1:]) if event.direction > 0 else (held[1:], held[:-1])
    return np.asarray(moments_s[after & ~before])
