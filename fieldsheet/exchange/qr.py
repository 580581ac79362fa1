"""The codes on paper: a QR that opens a plan, drawn at a fixed module size.

Level Q, since a laminated page glares, and the smallest version that holds the payload: ISO/IEC 18004.
Modules are 0.5 mm, with a quiet zone of four (ISO/IEC 18004, 6.3.8): the size that was read at 150 dpi with
blur and glare.  A code is read from ten times its width (common practice, not in the standard).
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import cache

from markupsafe import Markup
from qrcode.constants import ERROR_CORRECT_Q
from qrcode.main import QRCode
from qrcode.util import MODE_8BIT_BYTE, MODE_NUMBER, QRData

from fieldsheet.sheet import svg

MODULE_MM = 0.5
QUIET = 4
Q_BYTES = (
    *(11, 20, 32, 46, 60, 74, 86, 108, 130, 151, 177, 203, 241, 258, 292, 322, 364, 394, 442, 482),
    *(509, 565, 611, 661, 715, 751, 805, 868, 908, 982, 1030, 1112, 1168, 1228, 1283, 1351, 1423, 1499),
    *(1579, 1663),
)
"""Bytes that versions 1 to 40 hold at level Q. Source: ISO/IEC 18004, table of capacities."""
LONG_FROM = 10
"""The version from which the length of bytes takes 16 bits and not 8."""

Modules = tuple[tuple[bool, ...], ...]
"""Rows of dark (True) and light modules, without the quiet zone."""


@cache
def link_code(url: str, widest_mm: float) -> tuple[Modules, int]:
    """The modules and the version of the code for `url`, quiet zone and all at most `widest_mm` wide.

    Raises ValueError, in words, where the address is not plain ASCII or needs a wider code.
    """
    if not url.isascii():
        raise ValueError(f"the link {url!r} is not plain ASCII; right: an address with %-escapes")
    version = _version(lambda version: len(url) <= Q_BYTES[version - 1], widest_mm)
    if version is None:
        most = max((Q_BYTES[v - 1] for v in VERSIONS if width_mm(v) <= widest_mm), default=0)
        raise ValueError(
            f"the link is {len(url)} bytes long; a code {widest_mm:g} mm wide holds {most}: "
            "shorten base_url or the shot's id"
        )
    return _drawn([QRData(url.encode("ascii"), mode=MODE_8BIT_BYTE)], version), version


@cache
def plan_code(address: str, digits: str, widest_mm: float) -> tuple[Modules, int] | None:
    """The code of an address that ends in digits, three of which take ten bits; None where it is wider."""

    def holds(version: int) -> bool:
        return _plan_bits(len(address), len(digits), version) <= _bits(version)

    version = _version(holds, widest_mm)
    if version is None:
        return None
    parts = [
        QRData(address.encode("ascii"), mode=MODE_8BIT_BYTE),
        QRData(digits.encode("ascii"), mode=MODE_NUMBER),
    ]
    return _drawn(parts, version), version


@cache
def text_code(text: str, widest_mm: float) -> tuple[Modules, int] | None:
    """The code of a text, as UTF-8; None where it is wider."""
    data = text.encode()
    version = _version(lambda version: len(data) <= Q_BYTES[version - 1], widest_mm)
    return None if version is None else (_drawn([QRData(data, mode=MODE_8BIT_BYTE)], version), version)


VERSIONS = range(1, len(Q_BYTES) + 1)


def _version(holds: Callable[[int], bool], widest_mm: float) -> int | None:
    return next((v for v in VERSIONS if holds(v) and width_mm(v) <= widest_mm), None)


def _bits(version: int) -> int:
    """Bits of data at level Q: what bytes take, and their head of 4 bits and their length."""
    return 8 * Q_BYTES[version - 1] + 4 + _length_bits(version) + 4


def _length_bits(version: int) -> int:
    return 16 if version >= LONG_FROM else 8


def _plan_bits(letters: int, digits: int, version: int) -> int:
    """Bits of letters as bytes and then of digits. Source: ISO/IEC 18004, 7.4.3, and table 3 for lengths."""
    count = 10 if version < LONG_FROM else 12 if version < 27 else 14
    numbers = 10 * (digits // 3) + (0, 4, 7)[digits % 3]
    return 4 + _length_bits(version) + 8 * letters + 4 + count + numbers


def _drawn(parts: Sequence[QRData], version: int) -> Modules:
    code = QRCode(version=version, error_correction=ERROR_CORRECT_Q, border=0)
    for part in parts:
        code.add_data(part)
    code.make(fit=False)
    return tuple(tuple(bool(dark) for dark in row) for row in code.modules)


def width_mm(version: int) -> float:
    """Printed width with the quiet zone: (17 + 4 version + 8) modules."""
    return (17 + 4 * version + 2 * QUIET) * MODULE_MM


def draw_code(modules: Modules, title: str) -> Markup:
    """The code as SVG with its quiet zone; `title` says where it leads."""
    side = (len(modules) + 2 * QUIET) * MODULE_MM
    path = svg.tag("path", d=_path(modules), fill="#000", shape_rendering="crispEdges")
    return svg.svg(side, side, title, [path])


def _path(modules: Modules) -> str:
    """One closed rectangle for each run of dark modules in a row."""
    runs = []
    for y, row in enumerate(modules):
        x = 0
        while x < len(row):
            end = next((e for e in range(x, len(row)) if row[e] != row[x]), len(row))
            if row[x]:
                left, top, wide = ((n * MODULE_MM) for n in (x + QUIET, y + QUIET, end - x))
                runs.append(f"M{left:g} {top:g}h{wide:g}v{MODULE_MM:g}h-{wide:g}z")
            x = end
    return "".join(runs)
