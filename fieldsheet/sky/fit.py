"""Fitting a year of Skyfield's sky into a pack: Chebyshev coefficients, rounded to whole units.

Segment lengths, orders and scales below were chosen by trying: with these, an observer's directions stay
within 0.00002 degrees of what Skyfield says, at 14.2 KB a year. Shorter segments cost bytes, longer ones
orders: everything carries ripples of the moon's month and of 14-day nutation. Nearer than ten degrees to the
sun, where planets and stars are lost in her light, the bending of theirs is not followed to the full (0.0003
degrees at her limb).
"""

from __future__ import annotations

import calendar
import datetime
import functools
import math
from collections.abc import Callable
from typing import NamedTuple

import numpy as np

from fieldsheet.sky import ephemeris
from fieldsheet.sky.ephemeris import DAY_S, Floats
from fieldsheet.sky.pack import DUT1_CHANNEL, FRAME_CHANNEL, Channel, Pack, SpanError, write_pack

Quantity = Callable[[Floats], Floats]
"""From TAI seconds (n,) to values (n, components)."""

_MARGIN_S = DAY_S


class _Recipe(NamedTuple):
    segment_days: int
    orders: int
    scale: float
    far: bool = False


_BODIES = {
    "sun": _Recipe(segment_days=16, orders=9, scale=2.0),
    "moon": _Recipe(segment_days=8, orders=12, scale=0.01),
    "galactic core": _Recipe(segment_days=32, orders=13, scale=5e-9, far=True),
    "mercury": _Recipe(segment_days=16, orders=9, scale=2.0),
    "venus": _Recipe(segment_days=32, orders=13, scale=2.0),
    "mars": _Recipe(segment_days=32, orders=13, scale=2.0),
    "jupiter": _Recipe(segment_days=32, orders=13, scale=20.0),
    "saturn": _Recipe(segment_days=32, orders=13, scale=40.0),
}
_STAR_FRAME = _Recipe(segment_days=32, orders=13, scale=5e-9, far=True)
_DUT1 = _Recipe(segment_days=16, orders=9, scale=5e-6)

# More nodes than orders: the coefficients kept are then nearly those of the endless series.
_NODES_MORE = 6


def fit_year(year: int) -> bytes:
    """The sky pack of a calendar year (UTC, and a day at each end): the same bytes every time.

    Raises SpanError for a year that the ephemeris does not cover.
    """
    first, last = ephemeris.YEARS
    if not first <= year <= last:
        raise SpanError(f"there is a sky for the years {first} to {last} only, not for {year}")
    return write_pack(_fit(year))


def _fit(year: int) -> Pack:
    span_s = (_new_year_s(year) - _MARGIN_S, _new_year_s(year + 1) + _MARGIN_S)
    leaps = ephemeris.leap_seconds(*span_s)
    start_tai_s = span_s[0] + leaps[0][1]
    end_tai_s = span_s[1] + leaps[-1][1]

    def channel(name: str, recipe: _Recipe, quantity: Quantity) -> Channel:
        return _channel(name, recipe, quantity, start_tai_s, end_tai_s)

    with ephemeris.open_kernel() as kernel:
        bodies = [
            channel(body, recipe, functools.partial(ephemeris.vectors_km, kernel, body))
            for body, recipe in _BODIES.items()
        ]
        frame = channel(FRAME_CHANNEL, _STAR_FRAME, functools.partial(ephemeris.star_frame, kernel))
    dut1 = channel(DUT1_CHANNEL, _DUT1, ephemeris.ut1_minus_tai_s)
    return Pack(year, span_s, start_tai_s, ephemeris.MAKER, tuple(leaps), (*bodies, frame, dut1))


def _new_year_s(year: int) -> float:
    return float(calendar.timegm(datetime.date(year, 1, 1).timetuple()))


def _channel(name: str, recipe: _Recipe, quantity: Quantity, start_s: float, end_s: float) -> Channel:
    segment_s = recipe.segment_days * int(DAY_S)
    segments = math.ceil((end_s - start_s) / segment_s)
    nodes = recipe.orders + _NODES_MORE
    angles = np.pi * (np.arange(nodes) + 0.5) / nodes
    within = (np.cos(angles) + 1.0) / 2.0
    times_s = start_s + (np.arange(segments)[:, np.newaxis] + within) * segment_s
    values = quantity(times_s.ravel()).reshape(segments, nodes, -1)
    coefficients = np.einsum("on,snc->sco", _chebyshev_transform(angles, recipe.orders), values)
    integers = np.rint(coefficients / recipe.scale).astype(np.int64)
    return Channel(name, recipe.scale, segment_s, recipe.far, integers)


def _chebyshev_transform(angles: Floats, orders: int) -> Floats:
    """The matrix (orders, nodes) that takes values at Chebyshev nodes to coefficients."""
    transform = np.cos(np.arange(orders)[:, np.newaxis] * angles) * (2.0 / angles.size)
    transform[0] /= 2.0
    return transform
