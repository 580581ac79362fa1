"""Latitude and longitude as maps and receivers write them."""

from __future__ import annotations

import re
from decimal import Decimal

from fieldsheet.catalog.words import Wrong, show

from .question import Given, Read

# Degrees with or without minutes and seconds of arc, and which way. 0.00001 degrees are a metre.
_ANGLE = re.compile(
    r"""(?P<sign>[+-]?)(?P<degrees>\d{1,3}(\.\d{1,12})?)
    (\s*°(\s*(?P<minutes>\d{1,2}(\.\d{1,12})?)\s*['′’](\s*(?P<seconds>\d{1,2}(\.\d{1,12})?)\s*["″”])?)?)?
    \s*(?P<way>[NSEWnsew]?)""",
    re.VERBOSE | re.ASCII,
)
# 47,25 without a blank: two positions of whole degrees nobody means.
_DECIMAL_COMMA = re.compile(r"[+-]?\d+,\d+", re.ASCII)
_FINEST = Decimal("0.00001")
_PART = 60


def position(number: Read, ways: str, beside: str) -> Read:
    """Reads degrees for `number`: 44.812, 44.812 N, 44° 48' 43" N.

    ways: letters of the positive and the negative way. beside: what would be right where both numbers of a
    position come at once, as a map gives them; {first} and {second} stand for them.
    """

    def read(text: str, given: Given) -> Decimal:
        plain = text.replace("\u2212", "-").strip()
        if _DECIMAL_COMMA.fullmatch(plain):
            raise Wrong(show(text), f"{plain.replace(',', '.')}: a point before the decimals")
        both = [part.strip() for part in plain.split(",")]
        if len(both) == 2 and all(map(_ANGLE.fullmatch, both)):
            raise Wrong(show(text), beside.format(first=both[0], second=both[1]))
        degrees = _degrees(plain, ways)
        # What is none is told as its reader would.
        value: Decimal = number(text if degrees is None else format(degrees, "f"), given)
        return value

    return read


def _degrees(text: str, ways: str) -> Decimal | None:
    found = _ANGLE.fullmatch(text)
    if found is None or (found["way"] and (found["sign"] or found["way"].upper() not in ways)):
        return None
    minutes, seconds = (Decimal(found[part] or 0) for part in ("minutes", "seconds"))
    if max(minutes, seconds) >= _PART or (found["minutes"] and "." in found["degrees"]):
        return None
    degrees = Decimal(found["degrees"])
    if found["minutes"]:
        degrees = (degrees + minutes / _PART + seconds / _PART**2).quantize(_FINEST)
    down = found["sign"] == "-" or found["way"].upper() == ways[1]
    return -degrees if down else degrees
