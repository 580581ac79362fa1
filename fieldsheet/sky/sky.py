"""Where sun, moon, planets, stars and the core of the galaxy stand, at any moment that the packs cover.

twin: site_templates/app/core/sky.js

Each answer is one vector in the frame that turns with the Earth, the same for every place; a place then
subtracts itself (observe.py). Both readers do the same operations in the same order, so that they agree to
the last digits.
"""

from __future__ import annotations

import functools
from collections.abc import Callable, Iterator, Sequence
from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from fieldsheet.sky.bodies import POLES, STAR_EPOCH_TAI_S, STAR_PLACES, Triple
from fieldsheet.sky.pack import DUT1_CHANNEL, FRAME_CHANNEL, Channel, Pack, SpanError

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

_DAY_S = 86400.0
_J2000_S = 946728000.0  # 2000-01-01T12:00:00 as a count of 86400 s days since 1970
_TURN_RAD = 2.0 * np.pi
_NOT_BODIES = (DUT1_CHANNEL, FRAME_CHANNEL)


class _Series(NamedTuple):
    """A channel, ready to evaluate: coefficients (segments, orders, components)."""

    far: bool
    segment_s: int
    coefficients: Floats


class _Year(NamedTuple):
    """A pack, ready to evaluate."""

    start_tai_s: float
    leap_from_s: Floats
    tai_minus_utc_s: Floats
    series: dict[str, _Series]


class Sky:
    """The sky of one or more consecutive years. span_s is [from, to) in POSIX UTC seconds."""

    def __init__(self, packs: Sequence[Pack]) -> None:
        """Raises SpanError unless the packs are of consecutive years (in any order)."""
        ordered = sorted(packs, key=lambda pack: pack.year)
        years = [pack.year for pack in ordered]
        if not years or years != list(range(years[0], years[0] + len(years))):
            raise SpanError(f"sky packs must be of consecutive years, one each; here: {years}")
        self.span_s = (ordered[0].span_s[0], ordered[-1].span_s[1])
        self._named_years = " to ".join(str(year) for year in sorted({years[0], years[-1]}))
        self._years = [_year(pack) for pack in ordered]
        # Packs overlap by their margins; each answers for its own calendar year.
        self._joins_s = np.array(
            [(a.span_s[1] + b.span_s[0]) / 2.0 for a, b in zip(ordered, ordered[1:], strict=False)]
        )

    def covers(self, t0_s: float, t1_s: float) -> bool:
        """Whether every moment of [t0_s, t1_s], POSIX UTC seconds, can be answered."""
        return self.span_s[0] <= t0_s and t1_s < self.span_s[1]

    def must_cover(self, t0_s: float, t1_s: float) -> None:
        """Raises SpanError, naming the years there are, unless covers(t0_s, t1_s)."""
        if not self.covers(t0_s, t1_s):
            raise SpanError(f"the sky carried here is that of {self._named_years}: no moment outside it")

    def is_far(self, body: str) -> bool:
        """Whether a body's vector is a mere direction: no distance, no parallax (core, stars, poles)."""
        return body in POLES or body in STAR_PLACES or _series(self._years[0], body).far

    def vector_km(self, body: str, t_s: ArrayLike) -> Floats:
        """Earth-fixed geocentric apparent vectors (..., 3) at POSIX UTC seconds (...).

        x points to latitude 0, longitude 0, z to the pole. body is one of bodies.BODIES; in km, or of length
        one where is_far. Raises SpanError outside span_s, ValueError for an unknown body.
        """
        return self.vectors_km([body], t_s)[0]

    def vectors_km(self, bodies: Sequence[str], t_s: ArrayLike) -> list[Floats]:
        """What vector_km says, body by body; for several it is quicker than one after the other."""
        return self._at(t_s, [functools.partial(_in_frame, body) for body in bodies])

    def direction(self, icrs: Triple, t_s: ArrayLike) -> Floats:
        """Earth-fixed apparent directions (..., 3) of a fixed unit vector along the ICRS axes.

        t_s: POSIX UTC seconds (...). Raises SpanError outside span_s.
        """
        return self._at(t_s, [functools.partial(_star_in_frame, icrs, (0.0, 0.0, 0.0))])[0]

    def _at(self, t_s: ArrayLike, in_frame: Sequence[Callable[[_Year, Floats], Floats]]) -> list[Floats]:
        """Earth-fixed vectors (..., 3) at POSIX UTC seconds (...) of what each function has in the frame."""
        times_s = np.asarray(t_s, np.float64)
        flat_s = times_s.reshape(-1)
        found = [np.empty((flat_s.size, 3)) for _ in in_frame]
        for year, chosen in self._shares(flat_s):
            for vectors, turned in zip(found, _earth_fixed(year, in_frame, flat_s[chosen]), strict=True):
                vectors[chosen] = turned
        return [vectors.reshape(*times_s.shape, 3) for vectors in found]

    def _shares(self, times_s: Floats) -> Iterator[tuple[_Year, slice | NDArray[np.bool_]]]:
        """Each year that some of the times (n,) fall in, with those times."""
        if times_s.size == 0:
            return
        ends_s = float(times_s.min()), float(times_s.max())
        self.must_cover(*ends_s)
        first, last = np.searchsorted(self._joins_s, ends_s, side="right")
        if first == last:
            yield self._years[first], slice(None)
            return
        index = np.searchsorted(self._joins_s, times_s, side="right")
        for position in np.unique(index):
            yield self._years[position], index == position


def _year(pack: Pack) -> _Year:
    leaps = np.array(pack.leaps)
    series = {channel.name: _ready(channel) for channel in pack.channels}
    return _Year(pack.start_tai_s, leaps[:, 0].copy(), leaps[:, 1].copy(), series)


def _ready(channel: Channel) -> _Series:
    coefficients = np.ascontiguousarray(np.moveaxis(channel.integers * channel.scale, 2, 1))
    return _Series(channel.far, channel.segment_s, coefficients)


def _series(year: _Year, body: str) -> _Series:
    if body in _NOT_BODIES or body not in year.series:
        raise ValueError(f"no body of the sky is called {body}")
    return year.series[body]


def _in_frame(body: str, year: _Year, tai_s: Floats) -> Floats:
    """Vectors (n, 3) of a body at TAI seconds (n,), on the true equator of date."""
    if body in POLES:
        return np.tile(POLES[body], (tai_s.size, 1))
    if body in STAR_PLACES:
        return _star_in_frame(*STAR_PLACES[body], year, tai_s)
    return _evaluate(year, _series(year, body), tai_s)


def _star_in_frame(place: Triple, motion_per_s: Triple, year: _Year, tai_s: Floats) -> Floats:
    """The apparent direction (n, 3) of a star, from where it stands along the ICRS axes: see star_frame."""
    since_s = tai_s - STAR_EPOCH_TAI_S
    frame = _evaluate(year, year.series[FRAME_CHANNEL], tai_s)
    seen = frame[:, 9:12]
    for axis in range(3):
        along = place[axis] + motion_per_s[axis] * since_s
        seen = seen + along[:, np.newaxis] * frame[:, 3 * axis : 3 * axis + 3]
    x, y, z = seen.T
    return np.asarray(seen / np.sqrt(x * x + y * y + z * z)[:, np.newaxis])


def _earth_fixed(
    year: _Year, in_frame: Sequence[Callable[[_Year, Floats], Floats]], t_s: Floats
) -> Iterator[Floats]:
    """Vectors (n, 3) at POSIX seconds (n,): those in the year's frame, turned by the Earth rotation angle."""
    tai_s = t_s + year.tai_minus_utc_s[np.searchsorted(year.leap_from_s, t_s, side="right") - 1]
    ut1_s = tai_s + _evaluate(year, year.series[DUT1_CHANNEL], tai_s)[:, 0]
    angle_rad = _earth_rotation_rad(ut1_s)
    cosine, sine = np.cos(angle_rad), np.sin(angle_rad)
    for vectors_of in in_frame:
        x, y, z = vectors_of(year, tai_s).T
        yield np.stack([cosine * x + sine * y, cosine * y - sine * x, z], axis=1)


def _earth_rotation_rad(ut1_s: Floats) -> Floats:
    """The Earth rotation angle (IAU 2000, Resolution B1.8) at UT1 seconds (n,)."""
    days = (ut1_s - _J2000_S) / _DAY_S
    turns = 0.7790572732640 + 0.00273781191135448 * days + (days - np.floor(days))
    return _TURN_RAD * (turns - np.floor(turns))


def _evaluate(year: _Year, series: _Series, tai_s: Floats) -> Floats:
    """A Chebyshev series at TAI seconds (n,): values (n, components).

    Moments are taken segment by segment, so that the polynomials are worked out once for all components: for
    a night, which lies in one or two segments, and for a year alike.
    """
    segments, orders, components = series.coefficients.shape
    place = (tai_s - year.start_tai_s) / series.segment_s
    index = np.minimum(np.maximum(np.floor(place).astype(np.int64), 0), segments - 1)
    x = 2.0 * (place - index) - 1.0
    values = np.empty((x.size, components))
    for segment, chosen in _runs(index):
        # Not as a product of matrices: its last digit hangs on how many moments are asked for together.
        values[chosen] = np.einsum("on,oc->cn", _chebyshev(x[chosen], orders), series.coefficients[segment]).T
    return values


def _runs(index: Ints) -> Iterator[tuple[int, slice | Ints]]:
    """Each value of index (n,), with where it stands: as slices where the values ascend."""
    if index.size == 0:
        return
    if index.min() == index.max():  # as a rule the case of a night
        yield int(index[0]), slice(None)
        return
    order = np.argsort(index, kind="stable") if np.any(index[1:] < index[:-1]) else None
    ordered = index if order is None else index[order]
    ends = [0, *(np.flatnonzero(ordered[1:] != ordered[:-1]) + 1).tolist(), index.size]
    for first, last in zip(ends, ends[1:], strict=False):
        chosen = slice(first, last)
        yield int(ordered[first]), chosen if order is None else order[chosen]


def _chebyshev(x: Floats, orders: int) -> Floats:
    """The polynomials (orders, n) at x (n,) in [-1, 1]."""
    values = np.empty((orders, x.size))
    values[0] = 1.0
    values[1:2] = x
    twice_x = 2.0 * x
    for order in range(2, orders):
        np.multiply(twice_x, values[order - 1], out=values[order])
        values[order] -= values[order - 2]
    return values
