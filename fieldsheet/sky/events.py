"""When things rise and set: the moments at which a body crosses its threshold.

twin: site_templates/app/core/events.js

A scan every ten minutes finds the crossings; where the height turns back close to the threshold, the turning
point itself is sought out and added to the scan, so that a pair of crossings minutes apart is not lost near
the poles. Every crossing then lies in a bracket of its own and is halved down to: rises and sets alternate by
construction. The scan stands at whole multiples of ten minutes, so that every window that holds a
moment finds the same moment.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil, floor

import numpy as np
from numpy.typing import ArrayLike, NDArray

from fieldsheet.sky.observe import Floats, Site, horizontal
from fieldsheet.sky.sky import Sky

SCAN_S = 600.0

# At the horizon no height bends faster than (15 degrees an hour) squared, which is 3.9 degrees an hour
# squared: a turning point is within 0.06 degrees of the scan's step beside it. So only those nearer to the
# threshold than this can hide a pair of crossings.
_NEAR_DEG = 0.1
_ZOOM_ROUNDS = 5  # each narrows tenfold: from 1200 s to 0.012 s
_ZOOM_STEPS = 20
_HALVINGS = 26  # from 600 s to 0.00001 s

_MOON_RADIUS_KM = 1737.4  # IAU mean radius
_HORIZON_REFRACTION_DEG = 34.0 / 60.0  # the almanacs' refraction at the horizon (USNO)
_SUN_RADIUS_DEG = 16.0 / 60.0  # the almanacs' semidiameter of the sun (USNO)


@dataclass(frozen=True)
class Rule:
    """The geometric altitude, in degrees, that the centre or (the moon's) upper limb crosses."""

    altitude_deg: float
    upper_limb: bool = False


@dataclass(frozen=True)
class Event:
    """A body crossing a rule's altitude upwards (direction 1) or downwards (-1)."""

    body: str
    rule: Rule
    direction: int


_SUN_EDGE = Rule(-_HORIZON_REFRACTION_DEG - _SUN_RADIUS_DEG)
_CIVIL, _NAUTICAL, _ASTRONOMICAL = Rule(-6.0), Rule(-12.0), Rule(-18.0)
_MOON_EDGE = Rule(-_HORIZON_REFRACTION_DEG, upper_limb=True)
_POINT = Rule(-_HORIZON_REFRACTION_DEG)

# Twilights: AMS Glossary of Meteorology. Moon: the USNO's convention, with her true distance of the moment.
EVENTS = {
    "sunrise": Event("sun", _SUN_EDGE, 1),
    "sunset": Event("sun", _SUN_EDGE, -1),
    "civil dawn": Event("sun", _CIVIL, 1),
    "civil dusk": Event("sun", _CIVIL, -1),
    "nautical dawn": Event("sun", _NAUTICAL, 1),
    "nautical dusk": Event("sun", _NAUTICAL, -1),
    "astronomical dawn": Event("sun", _ASTRONOMICAL, 1),
    "astronomical dusk": Event("sun", _ASTRONOMICAL, -1),
    "moonrise": Event("moon", _MOON_EDGE, 1),
    "moonset": Event("moon", _MOON_EDGE, -1),
    "core rise": Event("galactic core", _POINT, 1),
    "core set": Event("galactic core", _POINT, -1),
}


def find_events(sky: Sky, site: Site, name: str, t0_s: float, t1_s: float) -> list[float]:
    """The moments of one kind of event in [t0_s, t1_s), POSIX UTC seconds, ascending; none is an answer.

    Raises SpanError where the sky does not cover the window, KeyError for a name not in EVENTS.
    """
    event = EVENTS[name]
    sky.must_cover(t0_s, t1_s)
    above = _Above(sky, site, event)
    times_s = _with_turning_points(above, _scan(sky, t0_s, t1_s))
    side = above(times_s) >= 0.0
    starts = np.flatnonzero(side[1:] & ~side[:-1] if event.direction > 0 else side[:-1] & ~side[1:])
    moments_s = _halve(above, times_s[starts], times_s[starts + 1])
    return [float(moment) for moment in moments_s if t0_s <= moment < t1_s]


class _Above:
    """Degrees by which a body stands above an event's threshold, at POSIX UTC seconds of any shape."""

    def __init__(self, sky: Sky, site: Site, event: Event) -> None:
        self._sky = sky
        self._site = site
        self.event = event

    def __call__(self, t_s: ArrayLike) -> Floats:
        altitude_deg, _, distance_km = horizontal(self._sky, self._site, self.event.body, t_s)
        rule = self.event.rule
        if rule.upper_limb:
            altitude_deg = altitude_deg + np.arcsin(_MOON_RADIUS_KM / distance_km) * (180.0 / np.pi)
        return altitude_deg - rule.altitude_deg


def _scan(sky: Sky, t0_s: float, t1_s: float) -> Floats:
    """Multiples of the step, from one before the window to one after it, as far as the sky reaches."""
    steps = np.arange(floor(t0_s / SCAN_S) - 1, ceil(t1_s / SCAN_S) + 2)
    times_s = steps * SCAN_S
    return np.asarray(times_s[(times_s >= sky.span_s[0]) & (times_s < sky.span_s[1])])


def _with_turning_points(above: _Above, times_s: Floats) -> Floats:
    """The scan, and the turning points near the threshold that lie on the other side of it."""
    heights = above(times_s)
    # Measured away from the threshold, on whichever side: a turning point towards it is a minimum.
    side = np.where(heights >= 0.0, 1.0, -1.0)
    before, here, after = heights[:-2] * side[1:-1], np.abs(heights[1:-1]), heights[2:] * side[1:-1]
    turns = np.flatnonzero((here < _NEAR_DEG) & (here <= before) & (here <= after)) + 1
    if turns.size == 0:
        return times_s
    found_s, lowest = _zoom(above, times_s[turns - 1], times_s[turns + 1], side[turns])
    return np.sort(np.concatenate([times_s, found_s[lowest < 0.0]]))


def _zoom(above: _Above, from_s: Floats, to_s: Floats, side: Floats) -> tuple[Floats, Floats]:
    """Where side * height is least in each bracket (n,), and how little it is there."""
    rows = np.arange(from_s.size)
    for _ in range(_ZOOM_ROUNDS):
        step_s = (to_s - from_s) / _ZOOM_STEPS
        times_s = from_s[:, np.newaxis] + step_s[:, np.newaxis] * np.arange(_ZOOM_STEPS + 1)
        heights = above(times_s) * side[:, np.newaxis]
        best = np.argmin(heights, axis=1)
        best_s = times_s[rows, best]
        from_s, to_s = best_s - step_s, best_s + step_s
    return best_s, heights[rows, best]


def _halve(above: _Above, from_s: Floats, to_s: Floats) -> Floats:
    """The crossing in each bracket (n,), all of the event's direction, by halving."""
    if from_s.size == 0:
        return from_s
    for _ in range(_HALVINGS):
        middle_s = (from_s + to_s) / 2.0
        passed: NDArray[np.bool_] = (above(middle_s) >= 0.0) == (above.event.direction > 0)
        from_s, to_s = np.where(passed, from_s, middle_s), np.where(passed, middle_s, to_s)
    return (from_s + to_s) / 2.0
