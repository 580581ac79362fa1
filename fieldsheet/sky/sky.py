"""Where sun, moon, planets, stars and the core of the galaxy stand, at any moment that the packs cover.

twin: site_templates/app/core/sky.js

Each answer is one vector in the frame that turns with the Earth, the same for every place; a place then
subtracts itself (observe.py). Both readers do the same operations in the same order, so that they agree to
the last digits.
"""

from __future__ import annotations

import functools
import itertools
from collections.abc import Callable, Iterable, Iterator, Sequence
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
_PIECE = 2048  # moments in one go: what is worked out for them fits a processor's cache

_Values = dict[str, Floats]
"""The values (components, n) of some channels at some moments."""

_Run = tuple[int, slice]
"""A segment, and where the moments that lie in it stand."""


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
        self._joins_s = np.array([(a.span_s[1] + b.span_s[0]) / 2.0 for a, b in itertools.pairwise(ordered)])

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
        return np.moveaxis(self.rows_km([body], t_s)[0], 0, -1)

    def rows_km(self, bodies: Sequence[str], t_s: ArrayLike) -> Floats:
        """What vector_km says of some bodies, x, y and z in rows: (bodies, 3, ...)."""
        channels = [name for body in bodies for name in _channels(self._years[0], body)]
        return self._at(t_s, channels, [functools.partial(_in_frame, body) for body in bodies])

    def direction(self, icrs: Triple, t_s: ArrayLike) -> Floats:
        """Earth-fixed apparent directions (..., 3) of a fixed unit vector along the ICRS axes.

        t_s: POSIX UTC seconds (...). Raises SpanError outside span_s.
        """
        star = functools.partial(_star_in_frame, icrs, (0.0, 0.0, 0.0))
        return np.moveaxis(self._at(t_s, [FRAME_CHANNEL], [star])[0], 0, -1)

    def _at(
        self, t_s: ArrayLike, channels: Sequence[str], in_frame: Sequence[Callable[[_Values, Floats], Floats]]
    ) -> Floats:
        """Earth-fixed vectors (functions, 3, ...) at POSIX UTC seconds (...).

        in_frame: what gives vectors (3, n) in the year's frame from the values of the channels and TAI
        seconds (n,).
        """
        times_s = np.asarray(t_s, np.float64)
        flat_s = times_s.reshape(-1)
        found = np.empty((len(in_frame), 3, flat_s.size))
        for year, chosen in self._shares(flat_s):
            tai_s = _tai_s(year, flat_s[chosen])
            values = _evaluate(year, [DUT1_CHANNEL, *channels], tai_s)
            cosine, sine = _earth_turned(tai_s + values[DUT1_CHANNEL][0])
            for vectors, vectors_of in zip(found, in_frame, strict=True):
                x, y, z = vectors_of(values, tai_s)
                vectors[0, chosen] = cosine * x + sine * y
                vectors[1, chosen] = cosine * y - sine * x
                vectors[2, chosen] = z
        return found.reshape(len(in_frame), 3, *times_s.shape)

    def _shares(self, times_s: Floats) -> Iterator[tuple[_Year, slice | Ints]]:
        """Where pieces of the times (n,) stand, in ascending order, each with the year that they fall in."""
        if times_s.size == 0:
            return
        order = None if (times_s[1:] >= times_s[:-1]).all() else times_s.argsort(kind="stable")
        ordered_s = times_s if order is None else times_s[order]
        self.must_cover(float(ordered_s[0]), float(ordered_s[-1]))
        ends = [0, *ordered_s.searchsorted(self._joins_s).tolist(), times_s.size]
        for year, (first, last) in zip(self._years, itertools.pairwise(ends), strict=True):
            for begin in range(first, last, _PIECE):
                piece = slice(begin, min(begin + _PIECE, last))
                yield year, piece if order is None else order[piece]


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


def _channels(year: _Year, body: str) -> tuple[str, ...]:
    """What a body's vector is worked out from. Raises ValueError for an unknown body."""
    if body in POLES:
        return ()
    if body in STAR_PLACES:
        return (FRAME_CHANNEL,)
    _series(year, body)  # which raises
    return (body,)


def _in_frame(body: str, values: _Values, tai_s: Floats) -> Floats:
    """Vectors (3, n) of a body at TAI seconds (n,), on the true equator of date."""
    if body in POLES:
        return np.tile(np.array(POLES[body])[:, np.newaxis], tai_s.size)
    if body in STAR_PLACES:
        return _star_in_frame(*STAR_PLACES[body], values, tai_s)
    return values[body]


def _star_in_frame(place: Triple, motion_per_s: Triple, values: _Values, tai_s: Floats) -> Floats:
    """The apparent direction (3, n) of a star, from where it stands along the ICRS axes: see star_frame."""
    since_s = tai_s - STAR_EPOCH_TAI_S
    frame = values[FRAME_CHANNEL]
    seen = frame[9:12]
    for axis in range(3):
        along = place[axis] + motion_per_s[axis] * since_s
        seen = seen + along * frame[3 * axis : 3 * axis + 3]
    x, y, z = seen
    return np.asarray(seen / np.sqrt(x * x + y * y + z * z))


def _tai_s(year: _Year, t_s: Floats) -> Floats:
    """TAI seconds since 1970 at POSIX UTC seconds (n,)."""
    return t_s + year.tai_minus_utc_s[year.leap_from_s.searchsorted(t_s, side="right") - 1]


def _earth_turned(ut1_s: Floats) -> tuple[Floats, Floats]:
    """Cosine and sine of the Earth rotation angle (IAU 2000, Resolution B1.8) at UT1 seconds (n,)."""
    days = (ut1_s - _J2000_S) / _DAY_S
    turns = 0.7790572732640 + 0.00273781191135448 * days + (days - np.floor(days))
    angle_rad = _TURN_RAD * (turns - np.floor(turns))
    return np.cos(angle_rad), np.sin(angle_rad)


def _evaluate(year: _Year, channels: Iterable[str], tai_s: Floats) -> _Values:
    """The values of some channels at ascending TAI seconds (n,), from their Chebyshev series.

    The polynomials are worked out once for all of them, and weighed segment by segment, of which a night has
    one or two.
    """
    asked = {name: year.series[name] for name in channels}
    counts = {series.segment_s: len(series.coefficients) for series in asked.values()}
    place = (tai_s - year.start_tai_s) / np.array([*counts])[:, np.newaxis]
    index = np.minimum(np.maximum(np.floor(place), 0.0), np.array([*counts.values()])[:, np.newaxis] - 1.0)
    orders = max(series.coefficients.shape[1] for series in asked.values())
    polynomials = _chebyshev(2.0 * (place - index) - 1.0, orders)
    shared = dict(zip(counts, zip(map(_runs, index), polynomials, strict=True), strict=True))
    return {name: _weighed(series, *shared[series.segment_s]) for name, series in asked.items()}


def _weighed(series: _Series, runs: list[_Run], polynomials: Floats) -> Floats:
    """Values (components, n) of a series, from the polynomials (orders, n) at places in its segments."""
    _, orders, components = series.coefficients.shape
    values = np.empty((components, polynomials.shape[1]))
    for segment, chosen in runs:
        part = polynomials[:orders, chosen]
        # Not as a product of matrices: its last digit hangs on how many moments are asked for together.
        values[:, chosen] = np.einsum("on,oc->cn", part, series.coefficients[segment])
    return values


def _runs(index: Floats) -> list[_Run]:
    """Each value of index (n,), which ascends, with where it stands."""
    (last,) = (index[1:] != index[:-1]).nonzero()
    ends = [0, *(last + 1).tolist(), index.size]
    return [(int(index[begin]), slice(begin, end)) for begin, end in itertools.pairwise(ends)]


def _chebyshev(x: Floats, orders: int) -> Floats:
    """The polynomials (rows, orders, n) at x (rows, n) in [-1, 1]."""
    values = np.empty((orders, *x.shape))
    values[0] = 1.0
    values[1:2] = x
    twice_x = 2.0 * x
    for before, last, row in zip(values, values[1:], values[2:], strict=False):
        np.multiply(twice_x, last, out=row)
        row -= before
    return values.swapaxes(0, 1)
