"""What happens in the sky: which body crosses which threshold, and how far from it it is. find.py says when.

twin: site_templates/app/core/events.js
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import asin, degrees

import numpy as np
from numpy.typing import ArrayLike

from fieldsheet.sky.bodies import PLANETS, STARS
from fieldsheet.sky.observe import Floats, Site, apparent_altitude_deg, horizontal
from fieldsheet.sky.ridge import skyline_deg
from fieldsheet.sky.sky import Sky

MOON_RADIUS_KM = 1737.4  # IAU mean radius
_HORIZON_REFRACTION_DEG = 34.0 / 60.0  # the almanacs' refraction at the horizon (USNO)
_SUN_RADIUS_DEG = 16.0 / 60.0  # the almanacs' semidiameter of the sun (USNO)
_MOON_MEAN_KM = 384_400.0  # the mean distance of the moon (from memory)

HALF_DISC_DEG = {"sun": _SUN_RADIUS_DEG, "moon": degrees(asin(MOON_RADIUS_KM / _MOON_MEAN_KM))}
"""Half of a disc where nobody asks for the distance of the moment; the moon's is right to 0.02 degrees."""


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
class Passing:
    """A body's upper limb coming over the measured skyline (direction 1) or going behind it (-1), as seen."""

    body: str
    direction: int


Part = Crossing | Passing
"""What has two sides: from its moment on it holds, until the body comes back."""


@dataclass(frozen=True)
class Joint:
    """The moment from which (direction 1), or until which (-1), all of some parts have come to hold."""

    parts: tuple[Part, ...]
    direction: int


Event = Crossing | Highest | Joint | Passing

_SUN_EDGE = Rule(-_HORIZON_REFRACTION_DEG - _SUN_RADIUS_DEG, horizon=True)
_CIVIL, _NAUTICAL, _ASTRONOMICAL = Rule(-6.0), Rule(-12.0), Rule(-18.0)
_MOON_EDGE = Rule(-_HORIZON_REFRACTION_DEG, upper_limb=True, horizon=True)
_POINT = Rule(-_HORIZON_REFRACTION_DEG, horizon=True)

# Common practice, no source: dark enough, high enough above the haze, in sight, and no moon (whose light
# comes from behind a ridge too).
_CORE_USABLE: tuple[Part, ...] = (
    Crossing("sun", Rule(-15.0), -1),
    Crossing("galactic core", Rule(10.0), 1),
    Passing("galactic core", 1),
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


def clearance_deg(sky: Sky, site: Site, of: Crossing | Highest, t_s: ArrayLike) -> Floats:
    """Degrees by which a body stands above the altitude of its rule, as an array of the shape of t_s.

    t_s: POSIX UTC seconds. Raises SpanError outside the sky's span.
    """
    altitude_deg, _, distance_km = horizontal(sky, site, of.body, t_s)
    if of.rule.upper_limb:
        altitude_deg = altitude_deg + _moon_radius_deg(distance_km)
    return altitude_deg - of.rule.lies_deg(site)


def over_skyline_deg(sky: Sky, site: Site, body: str, t_s: ArrayLike) -> Floats:
    """Degrees by which a body's upper limb is seen above the measured skyline, in the shape of t_s.

    t_s: POSIX UTC seconds. The site has a ridge. Raises SpanError outside the sky's span.
    """
    altitude_deg, azimuth_deg, distance_km = horizontal(sky, site, body, t_s)
    limb_deg = altitude_deg + radius_deg(body, distance_km)
    return np.asarray(apparent_altitude_deg(limb_deg, site.air) - skyline_deg(site.ridge, azimuth_deg))


def part_deg(sky: Sky, site: Site, part: Part, t_s: ArrayLike) -> Floats:
    """Degrees by which a part's body stands above what it crosses, in the shape of t_s; as the two above."""
    if isinstance(part, Passing):
        return over_skyline_deg(sky, site, part.body, t_s)
    return clearance_deg(sky, site, part, t_s)


def usable_margin_deg(sky: Sky, site: Site, t_s: ArrayLike) -> Floats:
    """Degrees that the core has in hand to be usable, below 0 where it is not, in the shape of t_s.

    t_s: POSIX UTC seconds. Raises SpanError outside the sky's span.
    """
    parts = parts_at(_CORE_USABLE, site)
    return np.asarray(np.minimum.reduce([part.direction * part_deg(sky, site, part, t_s) for part in parts]))


def parts_at(parts: Sequence[Part], site: Site) -> list[Part]:
    """The parts that count at a site: where nobody measured a skyline, nothing is behind it."""
    return [part for part in parts if site.ridge or not isinstance(part, Passing)]


def radius_deg(body: str, distance_km: Floats) -> Floats | float:
    """How far a body's upper limb stands above its centre: as at its horizon events."""
    if body == "moon":
        return _moon_radius_deg(distance_km)
    return _SUN_RADIUS_DEG if body == "sun" else 0.0


def _moon_radius_deg(distance_km: Floats) -> Floats:
    return np.asarray(np.arcsin(MOON_RADIUS_KM / distance_km) * (180.0 / np.pi))
