"""A code in a terminal, two modules a letter: half blocks of Unicode, without any escape.

ISO/IEC 18004, level M: a screen does not glare like a laminate, and a small code fits a small window.
"""

from __future__ import annotations

from collections.abc import Sequence

from qrcode.constants import ERROR_CORRECT_M
from qrcode.main import QRCode

QUIET = 4
# By what is light, upper and lower: a terminal is dark, and so the light modules are drawn.
_DRAWN = {(True, True): "█", (True, False): "▀", (False, True): "▄", (False, False): " "}


def code_lines(text: str, on_light: bool = False) -> list[str]:
    """The code of a text with its quiet zone, in lines; `on_light`: for dark letters on a light ground."""
    code = QRCode(error_correction=ERROR_CORRECT_M, border=QUIET)
    code.add_data(text)
    code.make(fit=True)
    rows = [[bool(dark) == on_light for dark in row] for row in code.get_matrix()]
    if len(rows) % 2:
        rows.append([not on_light] * len(rows[0]))
    return [_line(upper, lower) for upper, lower in zip(rows[::2], rows[1::2], strict=True)]


def _line(upper: Sequence[bool], lower: Sequence[bool]) -> str:
    return "".join(_DRAWN[pair] for pair in zip(upper, lower, strict=True))
