"""How a value that was found is shown, and which name was probably meant."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date, datetime, time
from decimal import Decimal
from difflib import get_close_matches
from typing import Any

LONGEST_SHOWN = 48
MOST_ITEMS = 4

Loc = tuple[str | int, ...]


class Wrong(ValueError):
    """A value that cannot be used: what was found, what would be right, and the key below it at fault."""

    def __init__(self, found: str, right: str, *below: str | int) -> None:
        super().__init__(f"found {found}; right: {right}")
        self.found = found
        self.right = right
        self.below: Loc = below


def show(value: Any) -> str:
    """A TOML value in a few printable characters."""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, str):
        return f"'{printable(value)}'" if value else "empty text"
    if isinstance(value, int | Decimal):
        return clipped(str(value))
    if isinstance(value, datetime | date | time):
        return value.isoformat()
    if isinstance(value, list):
        return f"a list of {len(value)}" if value else "an empty list"
    return "a table"


def show_items(items: list[Any]) -> str:
    """A TOML list with its first few items, pairs in it whole, other lists and tables without theirs."""
    shown = [_show_pair(item) if _is_pair(item) else show(item) for item in items[:MOST_ITEMS]]
    return clipped(f"[{', '.join([*shown, '…'] if len(items) > MOST_ITEMS else shown)}]")


def _is_pair(item: Any) -> bool:
    return isinstance(item, list) and len(item) == 2 and not any(isinstance(part, list) for part in item)


def _show_pair(pair: list[Any]) -> str:
    return f"[{', '.join(map(show, pair))}]"


def printable(text: str) -> str:
    """Text without anything that moves a cursor or turns the direction of writing, and not too long."""
    return "".join(char if char.isprintable() else _escaped(char) for char in clipped(text))


def _escaped(char: str) -> str:
    return char.encode("unicode_escape").decode()


def clipped(text: str) -> str:
    """Text cut to what fits in a message."""
    return text if len(text) <= LONGEST_SHOWN else text[: LONGEST_SHOWN - 1] + "…"


def near(word: str, choices: Iterable[str], cutoff: float = 0.65) -> str | None:
    """The choice that a misspelt word probably means."""
    by_fold = {choice.casefold(): choice for choice in choices}
    matches = get_close_matches(word.casefold()[:80], list(by_fold), n=1, cutoff=cutoff)
    return by_fold[matches[0]] if matches else None


def one_of(choices: Sequence[str], joint: str = "or") -> str:
    """ "a, b or c"."""
    if len(choices) <= 1:
        return "".join(choices)
    return f"{', '.join(choices[:-1])} {joint} {choices[-1]}"


def dotted(loc: Loc) -> str:
    """The dotted key of a path; keys that are not plain words are clipped and made printable."""
    return ".".join(str(part) if isinstance(part, int) else printable(part) for part in loc)
