"""Texts with letters that run from the right, held apart from what stands beside them in a sentence.

Without it a figure behind such a name moves in front of it: "pack NAME 32.2 of 47.4 Wh" would be read
"pack 32.2 NAME of".  Source: Unicode Standard Annex 9, sections 2.4.2 and 3.3.2 (isolates).
"""

from __future__ import annotations

import unicodedata
from typing import Any

FIRST_STRONG, POP = "\u2068", "\u2069"
_FROM_RIGHT = {"R", "AL", "AN"}


def isolated(value: Any) -> Any:
    """The same JSON value, its texts that need it between FIRST_STRONG and POP; keys are never such texts."""
    if isinstance(value, str):
        needs = any(unicodedata.bidirectional(sign) in _FROM_RIGHT for sign in value)
        return f"{FIRST_STRONG}{value}{POP}" if needs else value
    if isinstance(value, dict):
        return {key: isolated(part) for key, part in value.items()}
    return [isolated(part) for part in value] if isinstance(value, list | tuple) else value


def bare(text: str) -> str:
    """The text without these signs, which are how it is set and not what it says."""
    return text.replace(FIRST_STRONG, "").replace(POP, "")
