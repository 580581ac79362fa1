"""The link code of a card: a QR that opens its plan, drawn at a fixed module size.

Level Q (a laminated card glares), byte mode, the smallest version that holds the address: ISO/IEC 18004.
Modules are 0.5 mm, with a quiet zone of four: the size that was read at 150 dpi with blur and glare.
"""

from __future__ import annotations

from functools import cache

from markupsafe import Markup
from qrcode.constants import ERROR_CORRECT_Q
from qrcode.main import QRCode
from qrcode.util import MODE_8BIT_BYTE, QRData

from fieldsheet.sheet import svg

MODULE_MM = 0.5
QUIET = 4
Q_BYTES = (11, 20, 32, 46, 60, 74, 86, 108, 130, 151, 177, 203, 241, 258, 292)
"""Bytes that versions 1 to 15 hold at level Q. Source: ISO/IEC 18004, table of capacities."""

Modules = tuple[tuple[bool, ...], ...]
"""Rows of dark (True) and light modules, without the quiet zone."""


@cache
def link_code(url: str, widest_mm: float) -> tuple[Modules, int]:
    """The modules and the version of the code for `url`, quiet zone and all at most `widest_mm` wide.

    Raises ValueError, in words, where the address is not plain ASCII or needs a wider code.
    """
    if not url.isascii():
        raise ValueError(f"the link {url!r} is not plain ASCII; right: an address with %-escapes")
    size = len(url)
    version = next((v for v, most in enumerate(Q_BYTES, 1) if most >= size), None)
    widest = max((v for v in range(1, len(Q_BYTES) + 1) if width_mm(v) <= widest_mm), default=0)
    if version is None or version > widest:
        most = Q_BYTES[widest - 1] if widest else 0
        raise ValueError(
            f"the link is {size} bytes long; a code {widest_mm:g} mm wide holds {most}: "
            "shorten base_url or the shot's id"
        )
    code = QRCode(version=version, error_correction=ERROR_CORRECT_Q, border=0)
    code.add_data(QRData(url.encode("ascii"), mode=MODE_8BIT_BYTE))
    code.make(fit=False)
    return tuple(tuple(bool(dark) for dark in row) for row in code.modules), version


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
