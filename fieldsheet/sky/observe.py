"""From the Earth's centre to a person's eye: altitude, azimuth, distance, and what the air adds.

twin: site_templates/app/core/sky.js
"""

from __future__ import annotations

from dataclasses import dataclass, field
from math import cos, radians, sin, sqrt

import numpy as np
from numpy.typing import ArrayLike, NDArray

from fieldsheet.sky.bodies import Triple
from fieldsheet.sky.sky import Sky

Floats = NDArray[np.float64]

_EQUATOR_KM = 6378.137  # WGS84
_FLATTENING = 1.0 / 298.257223563  # WGS84
_ROTATION_RAD_PER_S = 7.292115e-5  # of the Earth, as in WGS84
_LIGHT_KM_PER_S = 299792.458
_DEG = 180.0 / np.pi

_FORMULA_FROM_DEG = -1.0
_NOTHING_FROM_DEG = -5.0
_NOMINAL_HPA, _NOMINAL_C, _ZERO_C = 1010.0, 10.0, 273.0  # those of the published formula

_DIP_ARCMIN = (
    1.76  # times the root of the metres of the eye above the sea: the almanacs' dip, with refraction
)


@dataclass(frozen=True)
class Air:
    """What bends the light: pressure at the place (not reduced to the sea) and temperature."""

    pressure_hpa: float = _NOMINAL_HPA
    temperature_c: float = _NOMINAL_C

    @property
    def factor(self) -> float:
        """How much more than nominal it bends: Meeus, Astronomical Algorithms (1998), chapter 16."""
        return self.pressure_hpa / _NOMINAL_HPA * (_ZERO_C + _NOMINAL_C) / (_ZERO_C + self.temperature_c)


NOMINAL = Air()


@dataclass(frozen=True)
class Site:
    """A place on the WGS84 ellipsoid, with everything about it that does not change with time.

    sea_horizon_m: height of the eye above a sea that is looked over, None for a level horizon. ridge: the
    skyline as measured, pairs of azimuth, ascending in [0, 360), and apparent altitude; () without one.
    position_km, up, east, north and meridian (where the celestial equator meets the place's meridian) are in
    the Earth-fixed frame; motion_c is the place's own speed with the turning Earth, as a part of light's.
    """

    latitude_deg: float
    longitude_deg: float
    elevation_m: float
    sea_horizon_m: float | None = None
    ridge: tuple[tuple[float, float], ...] = ()
    air: Air = NOMINAL
    position_km: Triple = field(init=False, repr=False, compare=False)
    motion_c: Triple = field(init=False, repr=False, compare=False)
    up: Triple = field(init=False, repr=False, compare=False)
    east: Triple = field(init=False, repr=False, compare=False)
    north: Triple = field(init=False, repr=False, compare=False)
    meridian: Triple = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        for name, value in _vectors(self.latitude_deg, self.longitude_deg, self.elevation_m).items():
            object.__setattr__(self, name, value)

    @property
    def dip_deg(self) -> float:
        """How far the horizon of the sea lies below the level one; 0 unless a sea is looked over."""
        return 0.0 if self.sea_horizon_m is None else _DIP_ARCMIN / 60.0 * sqrt(self.sea_horizon_m)


def _vectors(latitude_deg: float, longitude_deg: float, elevation_m: float) -> dict[str, Triple]:
    sin_lat, cos_lat = sin(radians(latitude_deg)), cos(radians(latitude_deg))
    sin_lon, cos_lon = sin(radians(longitude_deg)), cos(radians(longitude_deg))
    squash = (1.0 - _FLATTENING) * (1.0 - _FLATTENING)
    curvature_km = _EQUATOR_KM / sqrt(cos_lat * cos_lat + squash * sin_lat * sin_lat)
    axis_km = (curvature_km + elevation_m / 1000.0) * cos_lat
    x, y = axis_km * cos_lon, axis_km * sin_lon
    speed = _ROTATION_RAD_PER_S / _LIGHT_KM_PER_S
    return {
        "position_km": (x, y, (squash * curvature_km + elevation_m / 1000.0) * sin_lat),
        "motion_c": (-speed * y, speed * x, 0.0),
        "up": (cos_lat * cos_lon, cos_lat * sin_lon, sin_lat),
        "east": (-sin_lon, cos_lon, 0.0),
        "north": (-sin_lat * cos_lon, -sin_lat * sin_lon, cos_lat),
        "meridian": (cos_lon, sin_lon, 0.0),
    }


def horizontal(sky: Sky, site: Site, body: str, t_s: ArrayLike) -> tuple[Floats, Floats, Floats]:
    """Altitude and azimuth in degrees, distance in km, as arrays of the shape of t_s (POSIX UTC seconds).

    Topocentric, with parallax and diurnal aberration; geometric: no refraction. Azimuth from true north
    through east, [0, 360). The distance of core, stars and poles is infinite. Raises SpanError outside the
    sky's span, ValueError for an unknown body.
    """
    seen, distance = _seen(sky, site, body, t_s)
    up, east, north = _along(site.up, seen), _along(site.east, seen), _along(site.north, seen)
    altitude_deg = np.arctan2(up, np.sqrt(east * east + north * north)) * _DEG
    distance_km = np.full_like(distance, np.inf) if sky.is_far(body) else distance
    return altitude_deg, _compass_deg(np.arctan2(east, north) * _DEG), distance_km


def hour_angle_deg(sky: Sky, site: Site, body: str, t_s: ArrayLike) -> Floats:
    """How far a body has turned past the meridian, in degrees, [-180, 180]: below 0 it is still to the east.

    Topocentric; an array of the shape of t_s (POSIX UTC seconds). 0 is the body's upper transit. Raises
    SpanError outside the sky's span.
    """
    seen, _ = _seen(sky, site, body, t_s)
    return np.arctan2(-_along(site.east, seen), _along(site.meridian, seen)) * _DEG


def _seen(sky: Sky, site: Site, body: str, t_s: ArrayLike) -> tuple[tuple[Floats, Floats, Floats], Floats]:
    """The direction from the site, Earth-fixed, nearly of length one; and the length of the line of sight."""
    x, y, z = sky.rows_km([body], t_s)[0]
    if not sky.is_far(body):
        x, y, z = x - site.position_km[0], y - site.position_km[1], z - site.position_km[2]
    distance = np.sqrt(x * x + y * y + z * z)
    seen = (
        x / distance + site.motion_c[0],
        y / distance + site.motion_c[1],
        z / distance + site.motion_c[2],
    )
    return seen, distance


def _along(axis: Triple, vector: tuple[Floats, Floats, Floats]) -> Floats:
    return axis[0] * vector[0] + axis[1] * vector[1] + axis[2] * vector[2]


def _compass_deg(angle_deg: Floats) -> Floats:
    """[0, 360) from (-180, 180]; a hair below zero would round up to 360 itself."""
    positive = np.where(angle_deg < 0.0, angle_deg + 360.0, angle_deg)
    return np.where(positive >= 360.0, 0.0, positive)


def refraction_deg(altitude_deg: ArrayLike, air: Air = NOMINAL) -> Floats:
    """How much higher the air shows something than it stands, in degrees, at a geometric altitude.

    Saemundsson (1986) for 1010 hPa and 10 C: R' = 1.02 cot(h + 10.3 / (h + 5.11)); other air by its factor.
    It is meant for what can be seen; below -1 degree its value there fades evenly to nothing at -5, so that
    an aim never jumps.
    """
    altitude = np.asarray(altitude_deg, np.float64)
    within = np.maximum(altitude, _FORMULA_FROM_DEG)
    arcminutes = 1.02 / np.tan((within + 10.3 / (within + 5.11)) / _DEG)
    fade = (altitude - _NOTHING_FROM_DEG) / (_FORMULA_FROM_DEG - _NOTHING_FROM_DEG)
    return np.asarray(air.factor * arcminutes / 60.0 * np.minimum(np.maximum(fade, 0.0), 1.0))


def apparent_altitude_deg(altitude_deg: ArrayLike, air: Air = NOMINAL) -> Floats:
    """The altitude at which something is seen, from its geometric altitude; both in degrees."""
    altitude = np.asarray(altitude_deg, np.float64)
    return np.asarray(altitude + refraction_deg(altitude, air))
