"""Units stand in keys, as in elevation_m = 12.

What is meant where somebody writes another unit, or writes it behind the number.
"""

from __future__ import annotations

import re
from collections.abc import Iterable

from .words import show

OF_KEYS = {
    "m": "metres",
    "mm": "millimetres",
    "s": "seconds",
    "min": "minutes",
    "deg": "degrees",
    "kg": "kilograms",
    "w": "watts",
    "wh": "watt-hours",
    "mah": "milliampere-hours",
    "v": "volts",
    "mb": "megabytes",
    "gb": "gigabytes",
}
_LENGTHS = {"metres", "meters", "km", "cm", "feet", "foot", "ft", "yards", "yd", "inches", "inch", "in"}
_TIMES = {"seconds", "secs", "sec", "ms", "minutes", "mins", "min", "hours", "hrs", "hr", "h"}
_ANGLES = {"degrees", "degs", "radians", "rad"}
_LOADS = {"kilograms", "kilos", "grams", "g", "lbs", "lb", "pounds"}
_UNITS = OF_KEYS.keys() | _LENGTHS | _TIMES | _ANGLES | _LOADS

_KEY = r"(?:(?P<key>[A-Za-z0-9_-]+)[ \t]*=[ \t]*\[?|,)[ \t]*"
_NUMBER = r"(?P<number>[+-]?[0-9][0-9_]*(?:\.[0-9]+)?(?P<comma>,[0-9]+)?)"
# N, S, E and W are no units: they would take a sign with them.
_UNIT = r"(?P<unit>(?!°?[NSEW]\b)(?:[^\W\d_]|[°′″])[\w/°′″²³]*)"
_AMOUNT = re.compile(rf"{_KEY}(?P<text>{_NUMBER}(?:[ \t]*{_UNIT})?)[ \t]*(?=[\]}}#]|,(?![0-9])|$)")
_SPAN = re.compile(r"[hms](?:[0-9]+[hms])*")
_THOUSANDS = re.compile(r"[+-]?[1-9][0-9]{0,2},[0-9]{3}")


def other_unit(key: str, keys: Iterable[str]) -> str | None:
    """The known key that differs from an unknown one in nothing but its unit, another one or none."""
    stem, unit = _parted(key)
    stem = stem if unit in _UNITS else key
    return next((known for known in keys if _parted(known)[0] == stem and in_words(known)), None)


def in_words(key: str) -> str | None:
    """ "metres" for "elevation_m"; None for a key without a unit."""
    return None if "_per_" in key else OF_KEYS.get(_parted(key)[1])


def written_amount(line: str, at: int, *, in_list: bool) -> tuple[str, str] | None:
    """(found, right) where a line of TOML fails at or inside a number with a unit or a decimal comma."""
    for match in _AMOUNT.finditer(line):
        if match.start("number") < at <= match.end():
            return _amount(match, in_list)
    return None


def _amount(match: re.Match[str], in_list: bool) -> tuple[str, str] | None:
    key, number, unit = match["key"] or "", match["number"].replace(",", "."), match["unit"]
    found, wanted = show(match["text"].rstrip()), in_words(key)
    if unit is None:
        return None if in_list or not match["comma"] else (found, _pointed(match["number"], number))
    if wanted is None and key and _SPAN.fullmatch(unit):
        # duration = 90m lacks its quotes.
        return None
    same = wanted is None or unit == _parted(key)[1]
    return found, f"{number if same else f'a number of {wanted}'}: units belong in the key's name"


def _pointed(written: str, number: str) -> str:
    whole = f"{written.replace(',', '')}, or " if _THOUSANDS.fullmatch(written) else ""
    return f"{whole}{number}, with a decimal point"


def _parted(key: str) -> tuple[str, str]:
    stem, _, unit = key.rpartition("_")
    return (stem, unit) if stem else (key, "")
