"""How far a carriage can travel, as people say it: in mm, cm or m, and whether that is a guess."""

from __future__ import annotations

import re
from dataclasses import dataclass
from decimal import ROUND_FLOOR, Decimal

from fieldsheet.catalog.words import Wrong, show

_LENGTH = re.compile(r"(\d{1,6}(?:\.\d{1,6})?)\s*(mm|cm|m)(,?\s*assumed)?", re.IGNORECASE | re.ASCII)
_MM_OF = {"mm": 1, "cm": 10, "m": 1000}


@dataclass(frozen=True)
class Length:
    """Whole millimetres; guessed: nobody has measured them."""

    mm: Decimal
    guessed: bool = False


def read_length(text: str) -> Length:
    """A length with its unit, down to the whole mm, and "assumed" behind a guess; raises Wrong."""
    found = _LENGTH.fullmatch(text.strip())
    mm = Decimal(found[1]) * _MM_OF[found[2].lower()] if found else Decimal(0)
    if found is None or mm < 1:
        raise Wrong(show(text), "a length with its unit: 800 mm, 80 cm or 0.8 m")
    return Length(mm.to_integral_value(ROUND_FLOOR), guessed=found[3] is not None)


def told_length(length: Length) -> str:
    """As it is typed."""
    return f"{length.mm} mm{', assumed' if length.guessed else ''}"
