"""The codes on paper: a QR that opens a plan, as large as it has to be for what it is read from.

Level Q, since a laminated page glares, and the smallest version that holds the payload: ISO/IEC 18004. The
modules follow from the distance, by whichever asks for more: the symbol is a tenth of the distance wide
(common practice, not in the standard), and a module is 0.5 mm at 30 cm, the size that was read at 150 dpi
with blur and glare, and in proportion to farther distances. None is smaller. Around it lies a quiet zone of
four modules (ISO/IEC 18004, 6.3.8). Where the paper has no room for that, the code takes what there is, and
says from how far it is read.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import cache
from math import floor

from markupsafe import Markup
from qrcode.constants import ERROR_CORRECT_Q
from qrcode.main import QRCode
from qrcode.util import MODE_8BIT_BYTE, MODE_NUMBER, QRData

from fieldsheet.problems import NoRoom
from fieldsheet.sheet import svg

MODULE_MM, READ_CM = 0.5, 30.0
"""The smallest module, and the distance that it is read from."""
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


@dataclass(frozen=True)
class Symbol:
    """A code as it is printed: its modules, and how large one is."""

    modules: Modules
    module_mm: float

    @property
    def quiet_mm(self) -> float:
        """Width of the quiet zone, on every side."""
        return QUIET * self.module_mm

    @property
    def width_mm(self) -> float:
        """Its width with the quiet zone."""
        return len(self.modules) * self.module_mm + 2 * self.quiet_mm

    @property
    def read_cm(self) -> int:
        """From how far it is read, at most: what its module follows from, in whole centimetres."""
        by_module = self.module_mm / MODULE_MM * READ_CM
        # A hair more, for what was divided and multiplied again.
        return floor(min(by_module, len(self.modules) * self.module_mm) + 1e-6)


@cache
def link_code(url: str, widest_mm: float, read_cm: float) -> Symbol:
    """The code for `url` to be read from that far, quiet zone and all at most `widest_mm` wide.

    Raises NoRoom where the address needs a wider code, ValueError, in words, where it is not plain ASCII.
    """
    if not url.isascii():
        raise ValueError(f"the link {url!r} is not plain ASCII; right: an address with %-escapes")
    version = _version(lambda version: len(url) <= Q_BYTES[version - 1], widest_mm)
    if version is None:
        most = max((Q_BYTES[v - 1] for v in VERSIONS if _least_mm(v) <= widest_mm), default=0)
        raise NoRoom(
            f"the link is {len(url)} bytes long; a code {widest_mm:g} mm wide holds {most}: "
            "shorten base_url or the shot's id"
        )
    return _symbol([QRData(url.encode("ascii"), mode=MODE_8BIT_BYTE)], version, widest_mm, read_cm)


@cache
def plan_code(address: str, digits: str, widest_mm: float, read_cm: float) -> Symbol | None:
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
    return _symbol(parts, version, widest_mm, read_cm)


@cache
def text_code(text: str, widest_mm: float, read_cm: float) -> Symbol | None:
    """The code of a text, as UTF-8; None where it is wider."""
    data = text.encode()
    version = _version(lambda version: len(data) <= Q_BYTES[version - 1], widest_mm)
    if version is None:
        return None
    return _symbol([QRData(data, mode=MODE_8BIT_BYTE)], version, widest_mm, read_cm)


VERSIONS = range(1, len(Q_BYTES) + 1)


def _version(holds: Callable[[int], bool], widest_mm: float) -> int | None:
    return next((v for v in VERSIONS if holds(v) and _least_mm(v) <= widest_mm), None)


def _least_mm(version: int) -> float:
    """Width with the quiet zone at the smallest module."""
    return (_across(version) + 2 * QUIET) * MODULE_MM


def _across(version: int) -> int:
    """Modules on a side of the symbol. Source: ISO/IEC 18004, 6.3.1."""
    return 17 + 4 * version


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


def _symbol(parts: Sequence[QRData], version: int, widest_mm: float, read_cm: float) -> Symbol:
    """With the modules that the distance asks for, or the largest that there is room for."""
    code = QRCode(version=version, error_correction=ERROR_CORRECT_Q, border=0)
    for part in parts:
        code.add_data(part)
    code.make(fit=False)
    modules = tuple(tuple(bool(dark) for dark in row) for row in code.modules)
    across = _across(version)
    asked = max(MODULE_MM * max(1.0, read_cm / READ_CM), read_cm / across)
    return Symbol(modules, min(asked, widest_mm / (across + 2 * QUIET)))


_READ_CM = "data-read-cm"


def draw_code(symbol: Symbol, title: str, scale: float = 1.0) -> Markup:
    """The code as SVG with its quiet zone, to be drawn `scale` times larger; `title` says where it leads."""
    side = symbol.width_mm / scale
    turn = f"scale({symbol.module_mm / scale:.6f})"
    look = {"fill": "#000", "shape_rendering": "crispEdges", _READ_CM: str(symbol.read_cm)}
    path = svg.tag("path", d=_path(symbol.modules), transform=turn, **look)
    return svg.svg(side, side, title, [path])


def read_from(html: str) -> list[int]:
    """From how far each code that is drawn in an HTML is read, at most, in cm."""
    # No text can say this: its quotation marks are escaped.
    return [int(cm) for cm in re.findall(rf'{_READ_CM}="(\d+)"', html)]


def _path(modules: Modules) -> str:
    """One closed rectangle for each run of dark modules in a row; a module is the unit."""
    runs = []
    for y, row in enumerate(modules):
        x = 0
        while x < len(row):
            end = next((e for e in range(x, len(row)) if row[e] != row[x]), len(row))
            if row[x]:
                runs.append(f"M{x + QUIET} {y + QUIET}h{end - x}v1h-{end - x}z")
            x = end
    return "".join(runs)
