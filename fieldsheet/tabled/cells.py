"""A value of a file as the text of a cell, and back.

A text that a spreadsheet would take for a formula (it begins with = + - @) gets an apostrophe in front, as
one that begins with an apostrophe does; reading takes one off. So foreign text never runs, and comes back.
"""

from __future__ import annotations

import re
from datetime import date
from decimal import Decimal
from typing import Any

from fieldsheet.catalog.words import Wrong, show
from fieldsheet.tabled.columns import Path, is_wording

GUARD = "'"
# Also what some spreadsheets skip before a formula. Source: OWASP, CSV Injection.
_GUARDED = ("=", "+", "-", "@", "\t", "\r", GUARD)
_NUMBER = re.compile(r"[+-]?[0-9]{1,15}(\.[0-9]{1,15})?([eE][+-]?[0-9]{1,2})?")
_PADDED = re.compile(r"[+-]?0[0-9]")
_DECIMAL_COMMA = re.compile(r"[+-]?[0-9]+,[0-9]+")
_TRUTH = {"true": True, "false": False}


def cell_of(value: Any) -> str:
    """The text of a cell: texts bare but guarded, numbers with a point, dates as in TOML."""
    match value:
        case bool():
            return "true" if value else "false"
        case Decimal():
            return format(value, "f")
        case date():
            return value.isoformat()
        case str():
            return GUARD + value if value.lstrip(" ").startswith(_GUARDED) else value
    return str(value)


def value_of(cell: str, path: Path) -> Any:
    """The value of a cell that is not blank, as a file would give it; raises Wrong for a decimal comma.

    What looks like a number, a date or a truth is one, but where the column takes nothing but text.
    """
    text = cell.strip()
    if text.startswith(GUARD):
        return text[len(GUARD) :]
    if is_wording(path):
        return text
    if text.lower() in _TRUTH:
        return _TRUTH[text.lower()]
    if _DECIMAL_COMMA.fullmatch(text):
        raise Wrong(show(text), f"{text.replace(',', '.')}: a point before the decimals")
    if _NUMBER.fullmatch(text) and not _PADDED.match(text):
        return _number(text)
    return _date(text)


def _number(text: str) -> int | Decimal:
    if text.lstrip("+-").isdigit():
        return int(text)
    number = Decimal(text)
    # A spreadsheet writes 1E+03 for a whole number.
    return int(number) if "e" in text.lower() and number == number.to_integral_value() else number


def _date(text: str) -> date | str:
    try:
        return date.fromisoformat(text) if len(text) == len("2027-06-05") else text
    except ValueError:
        return text
