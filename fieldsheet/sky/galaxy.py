"""How the plane of the galaxy stands over a place: the arch of the Milky Way.

twin: site_templates/app/core/galaxy.js
"""

from __future__ import annotations

from math import atan2, cos, degrees, radians, sin, sqrt
from typing import NamedTuple

from fieldsheet.sky.bodies import Triple
from fieldsheet.sky.observe import Floats, Site, apparent_altitude_deg
from fieldsheet.sky.sky import Sky

# The north pole of the galactic system of the IAU (1958), in the ICRS: ESA SP-1200, volume 1 (1997), 1.5.3.
_POLE_RA_DEG = 192.85948
_POLE_DEC_DEG = 27.12825
_POLE = (
    cos(radians(_POLE_DEC_DEG)) * cos(radians(_POLE_RA_DEG)),
    cos(radians(_POLE_DEC_DEG)) * sin(radians(_POLE_RA_DEG)),
    sin(radians(_POLE_DEC_DEG)),
)


class Arch(NamedTuple):
    """Where the plane meets the level horizon, left and right as one faces its highest point, and that.

    Azimuths from true north through east, [0, 360); top_deg is apparent, with refraction, up to 90.
    """

    left_deg: float
    right_deg: float
    top_azimuth_deg: float
    top_deg: float


def galactic_arch(sky: Sky, site: Site, t_s: float) -> Arch:
    """The arch at POSIX UTC seconds. Raises SpanError outside the sky's span.

    The plane is at right angles to its pole, as the pole appears: the aberration of light bends it by 0.006
    degrees at most. Where the pole stands in the zenith the plane lies along the horizon, and north is called
    its highest point.
    """
    east, north, up = _pole(sky, site, t_s)
    # The highest point lies opposite to that pole of the two which is up.
    away = -1.0 if up >= 0.0 else 1.0
    top_azimuth_deg = _compass_deg(degrees(atan2(away * east, away * north)))
    top_deg = degrees(atan2(sqrt(east * east + north * north), abs(up)))
    return Arch(
        _compass_deg(top_azimuth_deg - 90.0),
        _compass_deg(top_azimuth_deg + 90.0),
        top_azimuth_deg,
        min(float(apparent_altitude_deg(top_deg, site.air)), 90.0),
    )


def galactic_pole(sky: Sky, site: Site, t_s: float) -> tuple[float, float]:
    """True azimuth, [0, 360), and geometric altitude [deg] of the galaxy's north pole, at t_s."""
    east, north, up = _pole(sky, site, t_s)
    level = sqrt(east * east + north * north)
    return _compass_deg(degrees(atan2(east, north))), degrees(atan2(up, level))


def _pole(sky: Sky, site: Site, t_s: float) -> Triple:
    """East, north and up of the galaxy's north pole."""
    pole = sky.direction(_POLE, t_s)
    return _along(site.east, pole), _along(site.north, pole), _along(site.up, pole)


def _along(axis: Triple, vector: Floats) -> float:
    return float(axis[0] * vector[0] + axis[1] * vector[1] + axis[2] * vector[2])


def _compass_deg(angle_deg: float) -> float:
    """[0, 360) from [-180, 450)."""
    positive = angle_deg + 360.0 if angle_deg < 0.0 else angle_deg
    return positive - 360.0 if positive >= 360.0 else positive
