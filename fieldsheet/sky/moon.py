"""How much of the moon is lit, and what that phase is called.

twin: site_templates/app/core/moon.js
"""

from __future__ import annotations

from math import cos, radians, sin

import numpy as np
from numpy.typing import ArrayLike, NDArray

from fieldsheet.sky.observe import Floats
from fieldsheet.sky.sky import Sky

Bools = NDArray[np.bool_]

_OBLIQUITY_DEG = 23.4392911  # of the ecliptic at J2000 (IAU 1976)
_ECLIPTIC_POLE = (0.0, -sin(radians(_OBLIQUITY_DEG)), cos(radians(_OBLIQUITY_DEG)))

# Where a phase's name gives way to the next one's: common practice, no source. New and full last about two
# days and a half, a quarter about one.
_NEW_UP_TO = 0.02
_QUARTER_WITHIN = 0.05


def moon_light(sky: Sky, t_s: float) -> tuple[float, bool]:
    """The part of the moon's disc that is lit, 0 to 1, and whether it grows; at POSIX UTC seconds.

    From the Earth's centre: k = (1 + cos i) / 2, i the angle at the moon between Earth and sun (Meeus,
    Astronomical Algorithms, chapter 48). It grows from new to full moon, that is while the moon is less than
    180 degrees of ecliptic longitude east of the sun. Raises SpanError outside the sky's span.
    """
    lit, waxing = moon_lights(sky, [t_s])
    return float(lit[0]), bool(waxing[0])


def moon_lights(sky: Sky, t_s: ArrayLike) -> tuple[Floats, Bools]:
    """As moon_light, at many moments (n,) at once: two arrays (n,)."""
    moon, sun = sky.vector_km("moon", t_s), sky.vector_km("sun", t_s)
    to_sun = sun - moon
    cosine = -_dot(moon, to_sun) / np.sqrt(_dot(moon, moon) * _dot(to_sun, to_sun))
    eastward = _dot(np.cross(sun, moon), sky.direction(_ECLIPTIC_POLE, t_s))
    return (1.0 + cosine) / 2.0, eastward > 0.0


def moon_elongations(sky: Sky, t_s: ArrayLike) -> tuple[Floats, Floats]:
    """How far the moon stands from the sun [deg] and from the Earth's centre [km], at many moments (n,).

    As seen from the Earth's centre.  Raises SpanError outside the sky's span.
    """
    moon, sun = sky.vector_km("moon", t_s), sky.vector_km("sun", t_s)
    distance_km = np.sqrt(_dot(moon, moon))
    cosine = _dot(moon, sun) / (distance_km * np.sqrt(_dot(sun, sun)))
    return np.degrees(np.arccos(np.clip(cosine, -1.0, 1.0))), distance_km


def _dot(a: Floats, b: Floats) -> Floats:
    return np.asarray(a[:, 0] * b[:, 0] + a[:, 1] * b[:, 1] + a[:, 2] * b[:, 2])


def phase_id(fraction: float, waxing: bool) -> str:
    """The name of a phase, from the lit part of the disc and whether it grows."""
    if fraction < _NEW_UP_TO:
        return "new"
    if fraction > 1.0 - _NEW_UP_TO:
        return "full"
    if abs(fraction - 0.5) <= _QUARTER_WITHIN:
        return "first quarter" if waxing else "last quarter"
    grows = "waxing" if waxing else "waning"
    return f"{grows} crescent" if fraction < 0.5 else f"{grows} gibbous"
