"""When things rise, stand highest and set: the moments at which a body crosses a threshold or the meridian.

twin: site_templates/app/core/events.js

A scan every ten minutes finds the crossings; where the height turns back close to the threshold, the turning
point itself is sought out and added to the scan, so that a pair of crossings minutes apart is not lost near
the poles. Every crossing then lies in a bracket of its own, which is narrowed down: rises and sets alternate
by construction. The scan stands at whole multiples of ten minutes, so that every window that holds a moment
finds the same moment. Where several things must hold at once, the crossings of each are sought apart, and
whether all hold is asked between each two of them: windows are found however short, and alternate too.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from math import ceil, floor

import numpy as np
from numpy.typing import ArrayLike, NDArray

from fieldsheet.sky.bodies import PLANETS, STARS
from fieldsheet.sky.observe import Floats, Site, horizontal, hour_angle_deg
from fieldsheet.sky.sky import Sky

Bools = NDArray[np.bool_]

SCAN_S = 600.0

# Within 18 degrees of the horizon no height bends faster than 1.4 times (15 degrees an hour) squared, which
# is 5.4 degrees an hour squared: a turning point is within 0.08 degrees of the scan's step beside it. So only
# those nearer to the threshold than this can hide a pair of crossings.
_NEAR_DEG = 0.1
_ZOOM_ROUNDS = 5  # each narrows tenfold: from 1200 s to 0.012 s
_ZOOM_STEPS = 20
_CUTS = np.arange(1, 20) / 20.0
_CUT_ROUNDS = 6  # from 600 s to 0.00001 s

_MOON_RADIUS_KM = 1737.4  # IAU mean radius
_HORIZON_REFRACTION_DEG = 34.0 / 60.0  # the almanacs' refraction at the horizon (USNO)
_SUN_RADIUS_DEG = 16.0 / 60.0  # the almanacs' semidiameter of the sun (USNO)


@dataclass(frozen=True)
class Rule:
    """The geometric altitude, in degrees, that the centre or (the moon's) upper limb crosses."""

    altitude_deg: float
    upper_limb: bool = False


@dataclass(frozen=True)
class Crossing:
    """A body crossing a rule's altitude upwards (direction 1) or downwards (-1)."""

    body: str
    rule: Rule
    direction: int


@dataclass(frozen=True)
class Highest:
    """A body's upper transit of the meridian, if it stands above a rule's altitude there."""

    body: str
    rule: Rule


@dataclass(frozen=True)
class Joint:
    """The moment from which (direction 1), or until which (-1), all of some crossings have come to hold."""

    parts: tuple[Crossing, ...]
    direction: int


Event = Crossing | Highest | Joint

_SUN_EDGE = Rule(-_HORIZON_REFRACTION_DEG - _SUN_RADIUS_DEG)
_CIVIL, _NAUTICAL, _ASTRONOMICAL = Rule(-6.0), Rule(-12.0), Rule(-18.0)
_MOON_EDGE = Rule(-_HORIZON_REFRACTION_DEG, upper_limb=True)
_POINT = Rule(-_HORIZON_REFRACTION_DEG)

# Common practice, no source: dark enough, high enough above the haze, and no moon.
_CORE_USABLE = (
    Crossing("sun", Rule(-15.0), -1),
    Crossing("galactic core", Rule(10.0), 1),
    Crossing("moon", _MOON_EDGE, -1),
)

# Twilights: AMS Glossary of Meteorology. Moon: the USNO's convention, with her true distance of the moment.
EVENTS: dict[str, Event] = {
    "sunrise": Crossing("sun", _SUN_EDGE, 1),
    "sunset": Crossing("sun", _SUN_EDGE, -1),
    "civil dawn": Crossing("sun", _CIVIL, 1),
    "civil dusk": Crossing("sun", _CIVIL, -1),
    "nautical dawn": Crossing("sun", _NAUTICAL, 1),
    "nautical dusk": Crossing("sun", _NAUTICAL, -1),
    "astronomical dawn": Crossing("sun", _ASTRONOMICAL, 1),
    "astronomical dusk": Crossing("sun", _ASTRONOMICAL, -1),
    "moonrise": Crossing("moon", _MOON_EDGE, 1),
    "moonset": Crossing("moon", _MOON_EDGE, -1),
    "core rise": Crossing("galactic core", _POINT, 1),
    "core set": Crossing("galactic core", _POINT, -1),
    "core highest": Highest("galactic core", _POINT),
    "core usable": Joint(_CORE_USABLE, 1),
    "core unusable": Joint(_CORE_USABLE, -1),
}
"""The events that are always listed; event_named knows more."""

NAMED_EVENTS: dict[str, Event] = {
    "sun highest": Highest("sun", _SUN_EDGE),
    "moon highest": Highest("moon", _MOON_EDGE),
    **{f"{body} rise": Crossing(body, _POINT, 1) for body in (*PLANETS, *STARS)},
    **{f"{body} set": Crossing(body, _POINT, -1) for body in (*PLANETS, *STARS)},
    **{f"{body} highest": Highest(body, _POINT) for body in (*PLANETS, *STARS)},
}
"""The events of single bodies, which are sought when somebody names them."""


def event_named(name: str) -> Event:
    """The event of a name, of EVENTS or of NAMED_EVENTS. Raises KeyError for any other name."""
    return EVENTS[name] if name in EVENTS else NAMED_EVENTS[name]


def find_events(sky: Sky, site: Site, name: str, t0_s: float, t1_s: float) -> list[float]:
    """The moments of one kind of event in [t0_s, t1_s), POSIX UTC seconds, ascending; none is an answer.

    Raises SpanError where the sky does not cover the window, KeyError for a name that event_named lacks.
    """
    event = event_named(name)
    sky.must_cover(t0_s, t1_s)
    times_s = _scan(sky, t0_s, t1_s)
    if isinstance(event, Crossing):
        above = _Above(sky, site, event.body, event.rule)
        moments_s = _crossings(above, times_s, upwards=event.direction > 0, downwards=event.direction < 0)
    elif isinstance(event, Highest):
        moments_s = _transits(sky, site, event, times_s)
    else:
        moments_s = _changes(sky, site, event, times_s)
    return [float(moment) for moment in moments_s if t0_s <= moment < t1_s]


def _crossings(above: _Above, scan_s: Floats, *, upwards: bool, downwards: bool) -> Floats:
    times_s = _with_turning_points(above, scan_s)
    high = above(times_s) >= 0.0
    starts = np.flatnonzero((high[1:] & ~high[:-1] & upwards) | (high[:-1] & ~high[1:] & downwards))
    up = high[starts + 1][:, np.newaxis]
    return _narrow(lambda t_s: (above(t_s) >= 0.0) == up, times_s[starts], times_s[starts + 1])


def _transits(sky: Sky, site: Site, event: Highest, scan_s: Floats) -> Floats:
    """Where the hour angle comes up to 0; at the lower transit it leaps down, from 180 to -180."""
    angles_deg = hour_angle_deg(sky, site, event.body, scan_s)
    starts = np.flatnonzero((angles_deg[:-1] < 0.0) & (angles_deg[1:] >= 0.0))
    moments_s = _narrow(
        lambda t_s: hour_angle_deg(sky, site, event.body, t_s) >= 0.0, scan_s[starts], scan_s[starts + 1]
    )
    return moments_s[_Above(sky, site, event.body, event.rule)(moments_s) >= 0.0]


def _changes(sky: Sky, site: Site, event: Joint, scan_s: Floats) -> Floats:
    """The crossings of all parts cut time into pieces; in each, all parts hold throughout or they do not."""
    aboves = [_Above(sky, site, part.body, part.rule) for part in event.parts]
    found = [_crossings(above, scan_s, upwards=True, downwards=True) for above in aboves]
    moments_s = np.sort(np.concatenate(found))
    ends_s = np.concatenate([scan_s[:1], moments_s, scan_s[-1:]])
    inside_s = (ends_s[:-1] + ends_s[1:]) / 2.0
    held = np.full(inside_s.size, True)
    for part, above in zip(event.parts, aboves, strict=True):
        held &= (above(inside_s) >= 0.0) == (part.direction > 0)
    before, after = (held[:-1], held[1:]) if event.direction > 0 else (held[1:], held[:-1])
    return np.asarray(moments_s[after & ~before])


class _Above:
    """Degrees by which a body stands above a rule's altitude, at POSIX UTC seconds of any shape."""

    def __init__(self, sky: Sky, site: Site, body: str, rule: Rule) -> None:
        self._sky = sky
        self._site = site
        self._body = body
        self._rule = rule

    def __call__(self, t_s: ArrayLike) -> Floats:
        altitude_deg, _, distance_km = horizontal(self._sky, self._site, self._body, t_s)
        if self._rule.upper_limb:
            altitude_deg = altitude_deg + np.arcsin(_MOON_RADIUS_KM / distance_km) * (180.0 / np.pi)
        return altitude_deg - self._rule.altitude_deg


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


def _narrow(passed: Callable[[Floats], Bools], from_s: Floats, to_s: Floats) -> Floats:
    """The moment in each bracket (n,) from which something has passed.

    Many cuts at once cost numpy little more than one, so it cuts into twenty where the twin halves.
    """
    if from_s.size == 0:
        return from_s
    rows = np.arange(from_s.size)
    for _ in range(_CUT_ROUNDS):
        inner_s = from_s[:, np.newaxis] + (to_s - from_s)[:, np.newaxis] * _CUTS
        late = passed(inner_s)
        edges_s = np.column_stack([from_s, inner_s, to_s])
        first_late = np.where(late.any(axis=1), np.argmax(late, axis=1), _CUTS.size)
        from_s, to_s = edges_s[rows, first_late], edges_s[rows, first_late + 1]
    return (from_s + to_s) / 2.0
