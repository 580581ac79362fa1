"""When things rise, stand highest and set: the moments at which a body crosses a threshold or the meridian.

twin: site_templates/app/core/events.js

A scan every ten minutes (scan.py) finds the crossings of a threshold; against a measured skyline it is
finer, with a step wherever the body stands over one of its sights (ridge.py). Where several things must hold
at once, the crossings of each are sought apart, and whether all hold is asked between each two of them:
windows are found however short, and alternate too.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from fieldsheet.sky.bodies import PLANETS, STARS
from fieldsheet.sky.observe import Floats, Site, apparent_altitude_deg, horizontal, hour_angle_deg
from fieldsheet.sky.ridge import RIDGE_NEAR_DEG, RIDGE_SCAN_S, skyline_deg, with_sights
from fieldsheet.sky.scan import Curve, crossings, narrow, scan_s
from fieldsheet.sky.sky import Sky

SCAN_S = 600.0

# Within 18 degrees of the horizon no height bends faster than 1.4 times (15 degrees an hour) squared, which
# is 5.4 degrees an hour squared: a turning point is within 0.08 degrees of the scan's step beside it. So only
# those nearer to the threshold than this can hide a pair of crossings.
NEAR_DEG = 0.1

MOON_RADIUS_KM = 1737.4  # IAU mean radius
_HORIZON_REFRACTION_DEG = 34.0 / 60.0  # the almanacs' refraction at the horizon (USNO)
_SUN_RADIUS_DEG = 16.0 / 60.0  # the almanacs' semidiameter of the sun (USNO)


@dataclass(frozen=True)
class Rule:
    """The geometric altitude, in degrees, that the centre or (the moon's) upper limb crosses.

    horizon: whether it is the altitude of the horizon, which lies lower where a sea is looked over.
    """

    altitude_deg: float
    upper_limb: bool = False
    horizon: bool = False

    def lies_deg(self, site: Site) -> float:
        """The geometric altitude at a site."""
        return self.altitude_deg - site.dip_deg if self.horizon else self.altitude_deg


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


@dataclass(frozen=True)
class Passing:
    """A body's upper limb coming over the measured skyline (direction 1) or going behind it (-1), as seen."""

    body: str
    direction: int


Event = Crossing | Highest | Joint | Passing

_SUN_EDGE = Rule(-_HORIZON_REFRACTION_DEG - _SUN_RADIUS_DEG, horizon=True)
_CIVIL, _NAUTICAL, _ASTRONOMICAL = Rule(-6.0), Rule(-12.0), Rule(-18.0)
_MOON_EDGE = Rule(-_HORIZON_REFRACTION_DEG, upper_limb=True, horizon=True)
_POINT = Rule(-_HORIZON_REFRACTION_DEG, horizon=True)

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

RIDGE_EVENTS: dict[str, Event] = {
    "sun behind ridge": Passing("sun", -1),
    "sun over ridge": Passing("sun", 1),
    "moon behind ridge": Passing("moon", -1),
    "moon over ridge": Passing("moon", 1),
    "core behind ridge": Passing("galactic core", -1),
    "core over ridge": Passing("galactic core", 1),
}
"""The events of a site with a measured skyline; at another they never come."""

NAMED_EVENTS: dict[str, Event] = {
    "sun highest": Highest("sun", _SUN_EDGE),
    "moon highest": Highest("moon", _MOON_EDGE),
    **{f"{body} rise": Crossing(body, _POINT, 1) for body in (*PLANETS, *STARS)},
    **{f"{body} set": Crossing(body, _POINT, -1) for body in (*PLANETS, *STARS)},
    **{f"{body} highest": Highest(body, _POINT) for body in (*PLANETS, *STARS)},
}
"""The events of single bodies, which are sought when somebody names them."""

_EVERY_EVENT = EVENTS | RIDGE_EVENTS | NAMED_EVENTS


def event_named(name: str) -> Event:
    """The event of a name, of EVENTS, RIDGE_EVENTS or NAMED_EVENTS. Raises KeyError for any other name."""
    return _EVERY_EVENT[name]


def crossing_named(name: str) -> Crossing:
    """The crossing of a name. Raises KeyError for an unknown name, ValueError for another kind of event."""
    event = event_named(name)
    if not isinstance(event, Crossing):
        raise ValueError(f"{name} is no crossing of an altitude")
    return event


def find_events(sky: Sky, site: Site, name: str, t0_s: float, t1_s: float) -> list[float]:
    """The moments of one kind of event in [t0_s, t1_s), POSIX UTC seconds, ascending; none is an answer.

    Raises SpanError where the sky does not cover the window, KeyError for a name that event_named lacks.
    """
    event = event_named(name)
    sky.must_cover(t0_s, t1_s)
    moments_s = _moments(sky, site, event, t0_s, t1_s)
    return [float(moment) for moment in moments_s if t0_s <= moment < t1_s]


def clearance_deg(sky: Sky, site: Site, of: Crossing | Highest, t_s: ArrayLike) -> Floats:
    """Degrees by which a body stands above the altitude of its rule, as an array of the shape of t_s.

    t_s: POSIX UTC seconds. Raises SpanError outside the sky's span.
    """
    altitude_deg, _, distance_km = horizontal(sky, site, of.body, t_s)
    if of.rule.upper_limb:
        altitude_deg = altitude_deg + _moon_radius_deg(distance_km)
    return altitude_deg - of.rule.lies_deg(site)


def usable_margin_deg(sky: Sky, site: Site, t_s: ArrayLike) -> Floats:
    """Degrees that the core has in hand to be usable, below 0 where it is not, in the shape of t_s.

    t_s: POSIX UTC seconds. Raises SpanError outside the sky's span.
    """
    hands = [part.direction * clearance_deg(sky, site, part, t_s) for part in _CORE_USABLE]
    return np.asarray(np.minimum.reduce(hands))


def _moments(sky: Sky, site: Site, event: Event, t0_s: float, t1_s: float) -> Floats:
    if isinstance(event, Passing):
        return _passings(sky, site, event, scan_s(sky, t0_s, t1_s, RIDGE_SCAN_S))
    times_s = scan_s(sky, t0_s, t1_s, SCAN_S)
    if isinstance(event, Crossing):
        upwards = event.direction > 0
        return crossings(_curve(sky, site, event), times_s, NEAR_DEG, upwards=upwards, downwards=not upwards)
    if isinstance(event, Highest):
        return _transits(sky, site, event, times_s)
    return _changes(sky, site, event, times_s)


def _curve(sky: Sky, site: Site, of: Crossing | Highest) -> Curve:
    return lambda t_s: clearance_deg(sky, site, of, t_s)


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
    curves = [_curve(sky, site, part) for part in event.parts]
    found = [crossings(curve, steps_s, NEAR_DEG, upwards=True, downwards=True) for curve in curves]
    moments_s = np.sort(np.concatenate(found))
    ends_s = np.concatenate([steps_s[:1], moments_s, steps_s[-1:]])
    inside_s = (ends_s[:-1] + ends_s[1:]) / 2.0
    held = np.full(inside_s.size, True)
    for part, curve in zip(event.parts, curves, strict=True):
        held &= (curve(inside_s) >= 0.0) == (part.direction > 0)
    before, after = (held[:-1], held[1:]) if event.direction > 0 else (held[1:], held[:-1])
    return np.asarray(moments_s[after & ~before])


def _passings(sky: Sky, site: Site, event: Passing, steps_s: Floats) -> Floats:
    """Where the apparent altitude of the upper limb passes that of the skyline beneath it."""
    if not site.ridge:
        return np.empty(0)

    def above(t_s: ArrayLike) -> Floats:
        altitude_deg, azimuth_deg, distance_km = horizontal(sky, site, event.body, t_s)
        limb_deg = altitude_deg + _radius_deg(event.body, distance_km)
        return apparent_altitude_deg(limb_deg, site.air) - skyline_deg(site.ridge, azimuth_deg)

    times_s = with_sights(lambda t_s: horizontal(sky, site, event.body, t_s)[1], site.ridge, steps_s)
    upwards = event.direction > 0
    return crossings(above, times_s, RIDGE_NEAR_DEG, upwards=upwards, downwards=not upwards)


def _radius_deg(body: str, distance_km: Floats) -> Floats | float:
    """How far a body's upper limb stands above its centre: as at its horizon events."""
    if body == "moon":
        return _moon_radius_deg(distance_km)
    return _SUN_RADIUS_DEG if body == "sun" else 0.0


def _moon_radius_deg(distance_km: Floats) -> Floats:
    return np.asarray(np.arcsin(MOON_RADIUS_KM / distance_km) * (180.0 / np.pi))
