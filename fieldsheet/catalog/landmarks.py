"""From a place to a landmark of known position: true bearing, apparent altitude, distance.

Bearing and distance are those of the geodesic on the WGS84 ellipsoid (GeographicLib, after Karney, Algorithms
for geodesics, Journal of Geodesy 87, 2013).  The altitude is that of a sphere of the Earth's mean radius
over 1 - k: light near the ground bends like a circle k times as curved as the Earth.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import atan2, degrees, sin

from geographiclib.geodesic import Geodesic

from ..earth import MEAN_RADIUS_M

# The surveyors' usual coefficient, after Gauss (from memory); by night over cold ground it may double.
REFRACTION_K = 0.13


@dataclass(frozen=True)
class Stand:
    """True bearing [deg, 0 to below 360], apparent altitude [deg] and distance along the ground [m]."""

    bearing_deg: float
    altitude_deg: float
    distance_m: float


def stand(from_deg: tuple[float, float], from_m: float, to_deg: tuple[float, float], to_m: float) -> Stand:
    """How a point stands as seen from another; (latitude, longitude) in degrees, heights above the sea in m.

    At no distance the bearing says nothing.
    """
    line = Geodesic.WGS84.Inverse(*from_deg, *to_deg, Geodesic.DISTANCE | Geodesic.AZIMUTH)
    distance_m = float(line["s12"])
    return Stand(float(line["azi1"]) % 360, altitude_deg(distance_m, from_m, to_m), distance_m)


def altitude_deg(distance_m: float, from_m: float, to_m: float, k: float = REFRACTION_K) -> float:
    """The apparent altitude [deg] of a point so far along the ground [m], both heights above the sea [m]."""
    radius_m = MEAN_RADIUS_M / (1 - k)
    angle = distance_m / radius_m
    # 2 sin^2(angle / 2) for 1 - cos(angle), which loses its digits over short distances.
    up_m = (to_m - from_m) - (radius_m + to_m) * 2 * sin(angle / 2) ** 2
    return degrees(atan2(up_m, (radius_m + to_m) * sin(angle)))
