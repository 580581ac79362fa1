"""Latitude and longitude as maps and receivers write them, one by one or as a pair."""

from __future__ import annotations

import re
from decimal import Decimal

from fieldsheet.catalog.words import Wrong, show

from .question import Given, Read

# Degrees with or without minutes and seconds of arc, and which way, before or behind.
_ANGLE = re.compile(
    r"""(?P<before>[NSEWnsew]?)\s*(?P<sign>[+-]?)(?P<degrees>\d{1,3}(\.\d{1,12})?)(?P<marked>\s*°)?
    (((?<=°)\s*|\s+)(?P<minutes>\d{1,2}(\.\d{1,12})?)(\s*['′’])?
    (((?<=['′’])\s*|\s+)(?P<seconds>\d{1,2}(\.\d{1,12})?)(\s*["″”])?)?)?
    \s*(?P<behind>[NSEWnsew]?)""",
    re.VERBOSE | re.ASCII,
)
# 47,25 without a blank: two positions of whole degrees nobody means.
_DECIMAL_COMMA = re.compile(r"(?<=\d),(?=\d)", re.ASCII)
_BETWEEN = re.compile(r"\s*[,;]\s*|\s+")
# Numbers as the standard has them, a height that is not the one above the sea, and parameters.
# Source: RFC 5870, section 3.3.
_NUM = r"-?\d{1,3}(?:\.\d{1,12})?"
_GEO = re.compile(
    rf"geo:(?P<pair>{_NUM},{_NUM})(,-?\d+(\.\d+)?)?(;crs=(?P<crs>[a-z0-9-]+))?(;[a-z0-9-]+(=[^;?#]*)?)*",
    re.IGNORECASE | re.ASCII,
)
_AS_ON_MAPS = {"NS": "37 4.8 S; both: 37 4.8 S, 25 18.6 E", "EW": "25 18.6 E"}
_FINEST = Decimal("0.00001")  # degrees: a metre
_PART = 60


def latitude(latitude_deg: Read, longitude_deg: Read) -> Read:
    """Reads a latitude, or a pair, of which the longitude is answered too and not asked for."""

    def read(text: str, given: Given) -> Decimal:
        given.answers.pop("longitude_deg", None)
        plain = _plain(text)
        both = _pair(plain)
        if both is None:
            return _read(latitude_deg, text, plain, "NS", given)
        first, second = _in_order(text, both)
        value = _read(latitude_deg, first, first, "NS", given)
        given.answers["longitude_deg"] = _read(longitude_deg, second, second, "EW", given)
        return value

    return read


def longitude(longitude_deg: Read) -> Read:
    """Reads a longitude alone: 25.31, 25.31 E, 25° 18' 36" E."""

    def read(text: str, given: Given) -> Decimal:
        plain = _plain(text)
        if both := _pair(plain):
            raise Wrong(
                show(text), f"the longitude alone, {both[1]}; a pair goes where the latitude is asked"
            )
        return _read(longitude_deg, text, plain, "EW", given)

    return read


def _plain(text: str) -> str:
    """With a minus as programs write it, the pair of an address; raises Wrong for a comma before decimals."""
    plain = text.replace("\u2212", "-").strip()
    if plain.casefold().startswith("geo:"):
        return _of_geo(plain)
    if "." not in plain and _DECIMAL_COMMA.search(plain):
        raise Wrong(show(text), f"{_DECIMAL_COMMA.sub('.', plain)}: a point before the decimals")
    return plain


def _of_geo(plain: str) -> str:
    """Raises Wrong for what is no address of a place, or counts its degrees in another way."""
    found = _GEO.fullmatch(plain)
    if found is None:
        raise Wrong(show(plain), "an address such as geo:61.52,25.31")
    if found["crs"] and found["crs"].casefold() != "wgs84":
        raise Wrong(f"positions by {show(found['crs'])}", "crs=wgs84, as receivers have them")
    return found["pair"].replace(",", ", ")


def _pair(plain: str) -> tuple[str, str] | None:
    """The two angles of a text that holds two and nothing else."""
    for between in _BETWEEN.finditer(plain):
        first, second = plain[: between.start()], plain[between.end() :]
        if (angle := _angle(first)) is None or (other := _angle(second)) is None:
            continue
        if between[0].strip():
            return first, second
        # The N of 47.25 N 15.5 belongs to what is before it, and 15 may be the minutes of N 47 15.
        if (other["before"] and not angle["before"]) or (angle["before"] and not _way(other)):
            continue
        # 47 15 may be minutes of arc, and 15 N what is left of 47 15 N.
        if _way(angle) or ("." in first and "°" not in plain):
            return first, second
    return None


def _in_order(text: str, both: tuple[str, str]) -> tuple[str, str]:
    """Latitude first, by their letters where they have some; raises Wrong where these are of one kind."""
    ways = [_way(angle) if (angle := _angle(part)) else "" for part in both]
    if any(set(ways) <= set(kind) for kind in ("NS", "EW")):
        raise Wrong(show(text), "one of N or S, and one of E or W")
    first, second = both
    return (second, first) if ways[0] in ("E", "W") or ways[1] in ("N", "S") else (first, second)


def _angle(text: str) -> re.Match[str] | None:
    """Its parts, where the text is one and says only once which way it goes."""
    found = _ANGLE.fullmatch(text)
    return None if found is None or (found["before"] and found["behind"]) else found


def _way(angle: re.Match[str]) -> str:
    """N, S, E or W, or ""."""
    found: str = angle["before"] or angle["behind"]
    return found.upper()


def _read(number: Read, text: str, plain: str, ways: str, given: Given) -> Decimal:
    """What is no angle is told as the reader of the number would, and how else it may be written."""
    degrees = _degrees(plain, ways)
    try:
        value: Decimal = number(text if degrees is None else format(degrees, "f"), given)
    except Wrong as wrong:
        more = f", or as maps write it: {_AS_ON_MAPS[ways]}" if degrees is None else ""
        raise Wrong(wrong.found, wrong.right + more) from None
    return value


def _degrees(text: str, ways: str) -> Decimal | None:
    found = _angle(text)
    if found is None:
        return None
    way = _way(found)
    if way and (found["sign"] or way not in ways):
        return None
    # 61 31 without a sign or a letter may be anything.
    if found["minutes"] and not (found["marked"] or way):
        return None
    minutes, seconds = (Decimal(found[part] or 0) for part in ("minutes", "seconds"))
    if max(minutes, seconds) >= _PART or (found["minutes"] and "." in found["degrees"]):
        return None
    degrees = Decimal(found["degrees"])
    if found["minutes"]:
        degrees = (degrees + minutes / _PART + seconds / _PART**2).quantize(_FINEST)
    down = found["sign"] == "-" or way == ways[1]
    return -degrees if down else degrees
