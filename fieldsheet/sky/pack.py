"""The sky pack: one calendar year of sun, moon, planets, galactic core and stars in a few kilobytes.

Written once at home, read by numpy there and by JavaScript on the phone (site_templates/app/core/pack.js), so
that both compute from the same numbers. Little-endian throughout:

    offset  bytes
    0       4   magic "FSKY"
    4       2   layout version (2)
    6       2   calendar year (UTC)
    8       4   length of the whole file in bytes
    12      8   float64: first moment covered, POSIX UTC seconds (a day before the year)
    20      8   float64: end of the moments covered, POSIX UTC seconds (a day after the year)
    28      8   float64: start of every channel's first segment, TAI seconds since 1970-01-01 TAI
    36      1   count of leap-second rows
    37      1   count of channels
    38     18   the Skyfield version that made it, ASCII, zero-padded
    56      16 per leap row: float64 from (POSIX UTC seconds), float64 TAI - UTC from then on (seconds)
    then per channel:
            16  name, ASCII, zero-padded: see below
            8   float64: scale (what one unit of an integer is worth: km, a part of one, or seconds)
            4   length of a segment in seconds
            2   count of segments
            1   components
            1   1 where the vectors are directions to something infinitely far, else 0
            1   count of Chebyshev orders
            1 per order: byte width of that order's integers (1 to 4)
            the integers, signed: segment by segment, component by component, order by order
    end-4   4   CRC32 of everything before it

The channels of layout 2, all in the frame of ephemeris.py (true equator of date):

    "sun", "moon", "mercury", "venus", "mars", "jupiter", "saturn": x, y, z in km, apparent, geocentric
    "galactic core": x, y, z of its apparent direction, of length one
    "star frame": 12 components, from which the apparent direction of any star is found (sky.py): the images
        of the ICRS axes X, Y, Z, each x, y, z; and the Earth's velocity as a part of the speed of light
    "ut1-tai": seconds

The DUT1 channel is kept as UT1 - TAI, which is smooth, beside the leap seconds, which are not:
DUT1 = UT1 - UTC = (UT1 - TAI) + (TAI - UTC).

The CRC finds damage, not malice: a pack comes from the same place as the program that reads it.
"""

from __future__ import annotations

import struct
import zlib
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

MAGIC = b"FSKY"
VERSION = 2
DUT1_CHANNEL = "ut1-tai"
FRAME_CHANNEL = "star frame"

_HEADER = struct.Struct("<4sHHIdddBB18s")
_LEAP = struct.Struct("<dd")
_CHANNEL = struct.Struct("<16sdIHBBB")
_CRC = struct.Struct("<I")
_WIDEST_BYTES = 4


class PackError(ValueError):
    """Bytes that are not a whole, sound sky pack of this layout; the message says which."""


class SpanError(ValueError):
    """A moment or a year for which there is no sky; the message names what there is."""


@dataclass(frozen=True, eq=False)
class Channel:
    """One quantity over the year; integers (segments, components, orders) times scale are its series.

    far: a direction only, of length one. segment_s: length of a segment in seconds.
    """

    name: str
    scale: float
    segment_s: int
    far: bool
    integers: NDArray[np.int64]


@dataclass(frozen=True, eq=False)
class Pack:
    """A year of sky. span_s is [from, to) in POSIX UTC seconds; leaps are (from POSIX s, TAI - UTC s)."""

    year: int
    span_s: tuple[float, float]
    start_tai_s: float
    maker: str
    leaps: tuple[tuple[float, float], ...]
    channels: tuple[Channel, ...]


def write_pack(pack: Pack) -> bytes:
    """The bytes of a pack, in the layout above."""
    body = b"".join([*(_LEAP.pack(*leap) for leap in pack.leaps), *map(_channel_bytes, pack.channels)])
    header = _HEADER.pack(
        MAGIC,
        VERSION,
        pack.year,
        _HEADER.size + len(body) + _CRC.size,
        *pack.span_s,
        pack.start_tai_s,
        len(pack.leaps),
        len(pack.channels),
        pack.maker.encode("ascii"),
    )
    return header + body + _CRC.pack(zlib.crc32(header + body))


def _channel_bytes(channel: Channel) -> bytes:
    segments, components, orders = channel.integers.shape
    rows = channel.integers.reshape(segments * components, orders)
    widths = [_width_bytes(column) for column in rows.T]
    head = _CHANNEL.pack(
        channel.name.encode("ascii"),
        channel.scale,
        channel.segment_s,
        segments,
        components,
        channel.far,
        orders,
    )
    columns = [rows[:, order] >> 8 * byte & 255 for order in range(orders) for byte in range(widths[order])]
    return head + bytes(widths) + np.stack(columns, axis=1).astype(np.uint8).tobytes()


def _width_bytes(values: NDArray[np.int64]) -> int:
    """The fewest bytes that hold every one of some signed integers."""
    largest = int(np.abs(values).max())
    for width in range(1, _WIDEST_BYTES + 1):
        if largest < 1 << 8 * width - 1:
            return width
    raise OverflowError(f"{largest} needs more than {_WIDEST_BYTES} bytes")


def read_pack(data: bytes) -> Pack:
    """The pack in some bytes. Raises PackError, in words, unless they are whole, sound and of this layout."""
    _check(data)
    _, _, year, _, first_s, last_s, start_tai_s, leap_count, channel_count, maker = _HEADER.unpack_from(data)
    cursor = _Cursor(data[: -_CRC.size], _HEADER.size)
    leaps = tuple(_read_leap(cursor) for _ in range(leap_count))
    channels = tuple(_read_channel(cursor) for _ in range(channel_count))
    cursor.must_be_at_end()
    return Pack(year, (first_s, last_s), start_tai_s, _text(maker), leaps, channels)


def _check(data: bytes) -> None:
    """Size, magic, version, length and CRC, in this order, before anything else is believed."""
    if len(data) < _HEADER.size + _CRC.size:
        raise PackError(f"this is not a sky pack: {len(data)} bytes are too few")
    magic, version, _, length, *_ = _HEADER.unpack_from(data)
    if magic != MAGIC:
        raise PackError("this is not a sky pack: it does not begin like one")
    if version != VERSION:
        raise PackError(f"this sky pack has layout {version}; only layout {VERSION} can be read here")
    if length != len(data):
        raise PackError(f"this sky pack is not whole: {len(data)} bytes of {length}")
    if _CRC.unpack_from(data, length - _CRC.size)[0] != zlib.crc32(data[: -_CRC.size]):
        raise PackError("this sky pack is damaged: its checksum does not match")


class _Cursor:
    """Takes bytes one piece after the other and refuses to run past the end."""

    def __init__(self, data: bytes, at: int) -> None:
        self._data = data
        self._at = at

    def take(self, size: int) -> bytes:
        piece = self._data[self._at : self._at + size]
        if len(piece) != size:
            raise PackError("this sky pack is damaged: its tables do not fit its length")
        self._at += size
        return piece

    def must_be_at_end(self) -> None:
        if self._at != len(self._data):
            raise PackError("this sky pack is damaged: its tables do not fit its length")


def _read_leap(cursor: _Cursor) -> tuple[float, float]:
    from_s, tai_minus_utc_s = _LEAP.unpack(cursor.take(_LEAP.size))
    return from_s, tai_minus_utc_s


def _read_channel(cursor: _Cursor) -> Channel:
    name, scale, segment_s, segments, components, far, orders = _CHANNEL.unpack(cursor.take(_CHANNEL.size))
    widths = list(cursor.take(orders))
    if not widths or not all(1 <= width <= _WIDEST_BYTES for width in widths):
        raise PackError("this sky pack is damaged: it has integers of no width")
    block = cursor.take(segments * components * sum(widths))
    rows = np.frombuffer(block, np.uint8).reshape(segments * components, sum(widths)).astype(np.int64)
    integers = _signed_columns(rows, widths).reshape(segments, components, orders)
    return Channel(_text(name), scale, segment_s, bool(far), integers)


def _signed_columns(rows: NDArray[np.int64], widths: Sequence[int]) -> NDArray[np.int64]:
    """From bytes (n, sum of widths) to the signed integers (n, orders) that they spell."""
    columns = []
    at = 0
    for width in widths:
        value = sum((rows[:, at + byte] << 8 * byte for byte in range(width)), np.zeros(len(rows), np.int64))
        columns.append(value - ((value >> 8 * width - 1) << 8 * width))
        at += width
    return np.stack(columns, axis=1)


def _text(padded: bytes) -> str:
    text = padded.rstrip(b"\0")
    if not text.isascii():
        raise PackError("this sky pack is damaged: a name in it is none")
    return text.decode("ascii")
