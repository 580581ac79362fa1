"""Where Skyfield's answers come in: the only module that opens its kernel.

Everything here serves the fitting of a pack. The kernel (JPL DE421, as the package skyfield_data installs
it) and Skyfield's own tables of leap seconds and of the Earth's rotation are read from disk; nothing is
ever downloaded, and no file's age is judged, because a pack made today must not depend on today.

Time is counted in TAI seconds since 1970-01-01T00:00:00 TAI: it runs evenly, which a polynomial needs.
"""

from __future__ import annotations

import contextlib
import functools
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import numpy as np
import skyfield
import skyfield_data
from numpy.typing import NDArray
from skyfield.api import Loader, Star, load
from skyfield.functions import length_of, mxv, rot_z

Floats = NDArray[np.float64]

YEARS = (1900, 2052)
"""First and last year that DE421 (1899-07-29 to 2053-10-09) covers with a margin at both ends."""

MAKER = f"skyfield {skyfield.__version__}"

DAY_S = 86400.0
_JD_1970 = 2440587.5
_JD_2000 = 2451545.0
_TT_MINUS_TAI_S = 32.184
_TAI_MINUS_UTC_BEFORE_1972_S = 10.0  # before leap seconds, Skyfield holds UTC ten seconds behind TAI

# The centre of the galaxy as one sees it: Sagittarius A*, J2000 (Reid & Brunthaler 2004, from memory), not
# the zero point of galactic coordinates, which lies 0.07 degrees away. Its own drift, 6 milliarcseconds a
# year (from memory), makes under 0.0001 degrees in half a century and is left out.
SAGITTARIUS_A = Star(ra_hours=(17, 45, 40.0409), dec_degrees=(-29, 0, 28.118))

_IN_KERNEL = {"jupiter": "jupiter barycenter", "saturn": "saturn barycenter"}
_LIGHT_KM_PER_S = 299792.458


@functools.cache
def timescale() -> Any:
    """Skyfield's timescale, from the tables inside Skyfield itself."""
    return load.timescale(builtin=True)


@contextlib.contextmanager
def open_kernel() -> Iterator[Any]:
    """DE421, opened where skyfield_data keeps it (its own path function warns by today's date)."""
    folder = Path(skyfield_data.__file__).parent / "data"
    kernel = Loader(str(folder), verbose=False, expire=False)("de421.bsp")
    try:
        yield kernel
    finally:
        kernel.close()


def target_of(kernel: Any, body: str) -> Any:
    """What Skyfield observes for "sun", "moon", "galactic core" or a planet."""
    return SAGITTARIUS_A if body == "galactic core" else kernel[_IN_KERNEL.get(body, body)]


def time_at(tai_s: Floats) -> Any:
    """Skyfield's Time at TAI seconds (n,); day and fraction stay apart, for full precision."""
    days = np.floor(tai_s / DAY_S)
    return timescale().tt_jd(_JD_1970 + days, (tai_s - days * DAY_S + _TT_MINUS_TAI_S) / DAY_S)


def leap_seconds(first_utc_s: float, last_utc_s: float) -> list[tuple[float, float]]:
    """Pairs (from POSIX s, TAI - UTC in s) that hold between two moments; the first holds from the start."""
    starts_s = (np.asarray(timescale().leap_dates) - _JD_1970) * DAY_S
    held_s = _TAI_MINUS_UTC_BEFORE_1972_S
    inside: list[tuple[float, float]] = []
    for start_s, offset_s in zip(starts_s, timescale().leap_offsets, strict=True):
        if start_s <= first_utc_s:
            held_s = float(offset_s)
        elif start_s <= last_utc_s:
            inside.append((float(start_s), float(offset_s)))
    return [(first_utc_s, held_s), *inside]


def ut1_minus_tai_s(tai_s: Floats) -> Floats:
    """UT1 - TAI in seconds (n, 1) at TAI seconds (n,)."""
    return np.asarray(_TT_MINUS_TAI_S - time_at(tai_s).delta_t)[:, np.newaxis]


def vectors_km(kernel: Any, body: str, tai_s: Floats) -> Floats:
    """Geocentric apparent vectors (n, 3) of one body at TAI seconds (n,); the galactic core has length one.

    Frame: true equator of date, its x axis such that a turn by the Earth rotation angle makes it Earth-fixed.
    """
    time = time_at(tai_s)
    target = target_of(kernel, body)
    apparent = kernel["earth"].at(time).observe(target).apparent().position.km
    direction = apparent / length_of(apparent)
    distance_km = 1.0 if isinstance(target, Star) else _distance_km(kernel, target, time)
    return _on_equator_of_date(time, direction * distance_km)


def star_frame(kernel: Any, tai_s: Floats) -> Floats:
    """What brings any star to its apparent place, (n, 12) at TAI seconds (n,), in the frame above.

    The images of the ICRS axes X, Y, Z, three numbers each, and beta: the Earth's velocity as a part of the
    speed of light. A star along the unit vector s appears along s.x X + s.y Y + s.z Z + beta (the square of
    beta, 0.000001 degrees, left out, as is the bending of light by the sun: 0.00003 degrees five degrees
    from it, 0.00001 at ten).
    """
    time = time_at(tai_s)
    beta = kernel["earth"].at(time).velocity.km_per_s / _LIGHT_KM_PER_S
    columns = [np.repeat(axis[:, np.newaxis], tai_s.size, axis=1) for axis in np.eye(3)]
    return np.concatenate([_on_equator_of_date(time, column) for column in (*columns, beta)], axis=1)


def _distance_km(kernel: Any, target: Any, time: Any) -> Floats:
    """Geometric distance (n,) from the Earth's centre at the moment itself.

    Light time and aberration both come to v/c, and together they show a body where it is now, as seen from
    the Earth at rest. So the apparent direction goes with the distance of now; only then may an observer's
    place be subtracted. (The distance of the light's departure would misplace the moon by 0.0001 degrees.)
    """
    return np.asarray(length_of((target - kernel["earth"]).at(time).position.km))


def _on_equator_of_date(time: Any, vectors: Floats) -> Floats:
    """From GCRS (3, n) to the true equator of date, turned about its pole by GAST - ERA: (n, 3)."""
    days = time.whole - _JD_2000 + time.ut1_fraction
    era_turns = 0.7790572732640 + 0.00273781191135448 * days + days % 1.0  # IAU 2000, Resolution B1.8
    turn_rad = 2.0 * np.pi * (time.gast / 24.0 - era_turns)
    return np.ascontiguousarray(mxv(rot_z(-turn_rad), mxv(time.M, vectors)).T)
