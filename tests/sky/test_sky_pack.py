"""The pack: same bytes every time, small, and refused in words when anything is wrong with it."""

from __future__ import annotations

import os
import socket
import struct
import subprocess
import sys
import zlib
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest
import skyfield

from fieldsheet.sky.bodies import PLANETS
from fieldsheet.sky.fit import fit_year
from fieldsheet.sky.pack import Channel, Pack, PackError, SpanError, read_pack, write_pack
from fieldsheet.sky.sky import Sky

PackBytes = Callable[[int], bytes]
ROOT = Path(__file__).resolve().parents[2]


def sealed(data: bytes) -> bytes:
    """Some bytes with the CRC that belongs to them."""
    return data[:-4] + struct.pack("<I", zlib.crc32(data[:-4]))


def with_bytes(data: bytes, at: int, new: bytes) -> bytes:
    return data[:at] + new + data[at + len(new) :]


def test_a_year_takes_well_under_twenty_kilobytes(pack_bytes: PackBytes) -> None:
    sizes = {year: len(pack_bytes(year)) for year in (1984, 2015, 2027)}
    print("bytes a year:", sizes)
    assert max(sizes.values()) < 16_000


def test_a_pack_names_its_year_its_span_and_its_maker(pack_bytes: PackBytes) -> None:
    pack = read_pack(pack_bytes(2027))
    assert pack.year == 2027
    # A day before 2027-01-01T00:00Z and a day after 2028-01-01T00:00Z.
    assert pack.span_s == (1798761600.0 - 86400.0, 1830297600.0 + 86400.0)
    assert pack.maker.startswith("skyfield 1.")
    names = [channel.name for channel in pack.channels]
    assert names == ["sun", "moon", "galactic core", *PLANETS, "star frame", "ut1-tai"]


def test_a_pack_carries_the_leap_second_within_its_year(pack_bytes: PackBytes) -> None:
    # IERS Bulletin C 49: UTC - TAI = -36 s from 2015-07-01T00:00Z (POSIX 1435708800).
    assert read_pack(pack_bytes(2015)).leaps[1:] == ((1435708800.0, 36.0),)
    assert read_pack(pack_bytes(2027)).leaps == ((1798675200.0, 37.0),)


def test_the_same_year_gives_the_same_bytes_in_another_process(pack_bytes: PackBytes) -> None:
    script = "import sys, fieldsheet.sky.fit as f; sys.stdout.buffer.write(f.fit_year(2027))"
    environment = {**os.environ, "TZ": "Pacific/Auckland", "PYTHONHASHSEED": "7", "LC_ALL": "C"}
    made = subprocess.run(
        [sys.executable, "-W", "error", "-c", script],
        cwd=ROOT,
        env=environment,
        capture_output=True,
        check=True,
    )
    assert made.stdout == pack_bytes(2027)
    assert made.stderr == b""


def test_fitting_opens_no_connection(monkeypatch: pytest.MonkeyPatch, pack_bytes: PackBytes) -> None:
    def refuse(*_: object, **__: object) -> None:
        raise AssertionError("a connection was opened")

    monkeypatch.setattr(socket, "socket", refuse)
    monkeypatch.setattr(socket, "getaddrinfo", refuse)
    assert fit_year(2027) == pack_bytes(2027)


def test_what_is_written_is_read_back() -> None:
    limits = [[[0, -1, 127, -128 + 1, 32767, -32767, 8388607, -8388607, 2**31 - 1, -(2**31) + 1]]]
    channel = Channel("sun", 0.25, 86400, False, np.array(limits, dtype=np.int64))
    pack = Pack(2027, (1.0, 2.0), 3.0, "nobody", ((1.0, 37.0),), (channel,))
    again = read_pack(write_pack(pack))
    assert (again.year, again.span_s, again.start_tai_s, again.maker) == (2027, (1.0, 2.0), 3.0, "nobody")
    assert again.leaps == ((1.0, 37.0),)
    assert np.array_equal(again.channels[0].integers, channel.integers)
    assert (again.channels[0].scale, again.channels[0].segment_s) == (0.25, 86400)


def test_a_whole_number_that_does_not_fit_is_not_written_wrong() -> None:
    channel = Channel("sun", 1.0, 86400, False, np.array([[[2**31]]], dtype=np.int64))
    with pytest.raises(OverflowError, match="2147483648 needs more than 4 bytes"):
        write_pack(Pack(2027, (1.0, 2.0), 3.0, "nobody", ((1.0, 37.0),), (channel,)))


@pytest.mark.parametrize(
    ("damage", "words"),
    [
        (lambda data: b"", "this is not a sky pack: 0 bytes are too few"),
        (lambda data: data[:59], "this is not a sky pack: 59 bytes are too few"),
        (lambda data: b"PK\3\4" + data[4:], "this is not a sky pack: it does not begin like one"),
        (
            lambda data: sealed(with_bytes(data, 4, b"\1\0")),
            "this sky pack has layout 1; only layout 2 can be read here",
        ),
        (lambda data: data[:-1], "this sky pack is not whole: {less} bytes of {size}"),
        (lambda data: data + b"\0", "this sky pack is not whole: {more} bytes of {size}"),
        (
            lambda data: with_bytes(data, 3000, bytes([data[3000] ^ 1])),
            "this sky pack is damaged: its checksum does not match",
        ),
        (
            lambda data: sealed(with_bytes(data, 37, b"\13")),
            "this sky pack is damaged: its tables do not fit its length",
        ),
        (
            lambda data: sealed(with_bytes(data, 37, b"\11")),
            "this sky pack is damaged: its tables do not fit its length",
        ),
    ],
    ids=[
        "empty",
        "short",
        "other file",
        "other version",
        "cut",
        "longer",
        "bit",
        "more tables",
        "fewer tables",
    ],
)
def test_a_damaged_pack_is_refused_in_words(
    pack_bytes: PackBytes, damage: Callable[[bytes], bytes], words: str
) -> None:
    data = pack_bytes(2027)
    with pytest.raises(PackError) as caught:
        read_pack(damage(data))
    assert str(caught.value) == words.format(size=len(data), less=len(data) - 1, more=len(data) + 1)


def test_the_layout_is_the_one_that_is_written_down(pack_bytes: PackBytes) -> None:
    # Read by nothing but the table at the head of pack.py.
    data, pack = pack_bytes(2015), read_pack(pack_bytes(2015))

    def number(form: str, at: int) -> float:
        return float(struct.unpack_from("<" + form, data, at)[0])

    assert data[:4] == b"FSKY"
    assert [number("H", 4), number("H", 6), number("I", 8)] == [2, 2015, len(data)]
    assert (number("d", 12), number("d", 20), number("d", 28)) == (*pack.span_s, pack.start_tai_s)
    assert [data[36], data[37]] == [2, 10]
    assert data[38:56].rstrip(b"\0").decode() == f"skyfield {skyfield.__version__}" == pack.maker
    assert [(number("d", at), number("d", at + 8)) for at in (56, 72)] == list(pack.leaps)
    at = 56 + 16 * 2
    for channel in pack.channels:
        assert data[at : at + 16].rstrip(b"\0").decode() == channel.name
        assert (number("d", at + 16), number("I", at + 24)) == (channel.scale, channel.segment_s)
        segments, components, far, orders = int(number("H", at + 28)), *data[at + 30 : at + 33]
        assert (segments, components, orders) == channel.integers.shape
        assert bool(far) == channel.far
        widths = data[at + 33 : at + 33 + orders]
        assert set(widths) <= {1, 2, 3, 4}
        at += 33 + orders
        for segment in range(segments):
            for component in range(components):
                for order, width in enumerate(widths):
                    value = int.from_bytes(data[at : at + width], "little", signed=True)
                    assert value == channel.integers[segment, component, order]
                    at += width
    assert at == len(data) - 4
    assert number("I", at) == zlib.crc32(data[:at])


def test_no_piece_of_a_pack_passes_for_the_whole(pack_bytes: PackBytes) -> None:
    data = pack_bytes(2027)
    for size in (*range(300), *range(300, len(data), 97)):
        with pytest.raises(PackError, match="^this is not a sky pack: |^this sky pack is not whole: "):
            read_pack(data[:size])


def test_no_single_flipped_bit_goes_unnoticed(pack_bytes: PackBytes) -> None:
    data = pack_bytes(2027)
    for at in range(len(data)):
        with pytest.raises(PackError):
            read_pack(with_bytes(data, at, bytes([data[at] ^ 1 << at % 8])))


@pytest.mark.parametrize("year", [1899, 2053, -1, 9999])
def test_a_year_outside_the_ephemeris_is_refused_in_words(year: int) -> None:
    with pytest.raises(SpanError, match=f"^there is a sky for the years 1900 to 2052 only, not for {year}$"):
        fit_year(year)


@pytest.mark.parametrize("year", [1900, 2052])
def test_the_first_and_the_last_year_can_be_fitted(year: int) -> None:
    sky = Sky([read_pack(fit_year(year))])
    first_s, end_s = sky.span_s
    assert np.isfinite(sky.vector_km("moon", [first_s, end_s - 1.0])).all()


@pytest.mark.parametrize("years", [(), (2027, 2029), (2027, 2027)])
def test_years_with_a_gap_make_no_sky(pack_bytes: PackBytes, years: tuple[int, ...]) -> None:
    with pytest.raises(SpanError, match="sky packs must be of consecutive years, one each"):
        Sky([read_pack(pack_bytes(year)) for year in years])


def test_a_moment_outside_the_packs_is_refused_in_words(sky_2027: Sky) -> None:
    first_s, end_s = sky_2027.span_s
    for t_s in (first_s - 1.0, end_s, float("nan")):
        with pytest.raises(SpanError, match="^the sky carried here is that of 2027: no moment outside it$"):
            sky_2027.vector_km("sun", [first_s + 5.0, t_s])
    assert sky_2027.covers(first_s, end_s - 1.0)
    assert not sky_2027.covers(first_s - 1.0, end_s - 1.0)
    assert not sky_2027.covers(first_s, end_s)


def test_an_unknown_body_is_refused_in_words(sky_2027: Sky) -> None:
    for body in ("vulcan", "ut1-tai", "star frame"):
        with pytest.raises(ValueError, match=f"^no body of the sky is called {body}$"):
            sky_2027.vector_km(body, sky_2027.span_s[0])
        with pytest.raises(ValueError, match=f"^no body of the sky is called {body}$"):
            sky_2027.is_far(body)
