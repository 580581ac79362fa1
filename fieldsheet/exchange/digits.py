"""Twin: app/codes/digits.js.  Values in a row as one whole number, each in as little room as its range needs.

A reader and a writer go through the same steps; no size that is read makes anything larger than what was
read.
"""

from __future__ import annotations

import zlib
from collections.abc import Callable, Sequence
from typing import Any

Step = Callable[[int, int], int]
"""Takes the value that is written (any when it is read) and of how many it is one; gives the value."""

Codec = Callable[..., Any]
"""(step, value) -> the value; when it is read, value is None."""

MOST_LISTED = 4096
SHORT = 2**16
LENGTHS = 42  # of texts: 40 signs is what a field holds
UNITS = (256, SHORT)  # else by the numbers of its letters


class CodeError(ValueError):
    """Why a code is not taken up, in words."""


def damaged(why: str) -> CodeError:
    """Something in a code is not as it was written."""
    return CodeError(f"This code is damaged: {why}. Scan it again.")


class Writer:
    """Gathers steps as one number."""

    def __init__(self) -> None:
        self._steps: list[tuple[int, int]] = []

    def step(self, value: int, size: int) -> int:
        """Keeps a value, 0 <= value < size."""
        self._steps.append((value, size))
        return value

    def number(self) -> int:
        """All of them; a one on top marks the end."""
        number = 1
        for value, size in reversed(self._steps):
            number = number * size + value
        return number


class Reader:
    """Takes steps from a number again."""

    def __init__(self, digits: str) -> None:
        self._number = int(digits)

    def step(self, _: int, size: int) -> int:
        """The next value; raises CodeError where there is none."""
        if self._number < 1 or size < 1:
            raise damaged("it ends too early")
        self._number, value = divmod(self._number, size)
        return value

    def is_at_end(self) -> bool:
        """Whether nothing but the mark of the end is left."""
        return self._number == 1


def truth(step: Step, value: bool | None) -> bool:
    """True or false."""
    return step(int(bool(value)), 2) == 1


def whole(step: Step, value: int | None) -> int:
    """From 0 to 2^52."""
    value = value or 0
    length = 1 + step(len(f"{value:x}") - 1, 13)
    return step(value, 16**length)


def signed(step: Step, value: int | None) -> int:
    """The same of either sign."""
    value = value or 0
    folded = whole(step, -2 * value - 1 if value < 0 else 2 * value)
    return -(folded + 1) // 2 if folded % 2 else folded // 2


def list_of(codec: Codec, most: int = 3) -> Codec:
    """A list; most: how long it often is at most."""

    def coded(step: Step, values: Sequence[Any] | None) -> list[Any]:
        given = len(values or ())
        short = step(min(given, most), most + 1)
        length = short if short < most else short + whole(step, given - most)
        if length > MOST_LISTED:
            raise damaged("a list in it has no end")
        return [codec(step, values[at] if values else None) for at in range(length)]

    return coded


def text_of(alphabets: Sequence[str]) -> Codec:
    """A text, in the first of the alphabets that has all its letters; its units are those of UTF-16."""

    def coded(step: Step, value: str | None) -> str:
        given = value or ""
        fits = next((at for at, signs in enumerate(alphabets) if set(given) <= set(signs)), None)
        units = _units(given)
        wide = any(unit >= UNITS[0] for unit in units)
        way = step(len(alphabets) + wide if fits is None else fits, len(alphabets) + len(UNITS))
        signs = alphabets[way] if way < len(alphabets) else None
        size = UNITS[way - len(alphabets)] if signs is None else len(signs)
        numbers = units if signs is None else [signs.find(chr(unit)) for unit in units]
        read = list_of(lambda step, number: step(number or 0, size), LENGTHS)(step, numbers)
        return _joined(read if signs is None else [ord(signs[number]) for number in read])

    return coded


def _units(text: str) -> list[int]:
    data = text.encode("utf-16-le", "surrogatepass")
    return [int.from_bytes(data[at : at + 2], "little") for at in range(0, len(data), 2)]


def _joined(units: Sequence[int]) -> str:
    data = b"".join(unit.to_bytes(2, "little") for unit in units)
    return data.decode("utf-16-le", "surrogatepass")


def one_of(likely: Sequence[str], other: Codec) -> Codec:
    """One of the likely texts, else what `other` takes."""

    def coded(step: Step, value: str | None) -> str:
        found = likely.index(value) + 1 if value in likely else 0
        at = step(found, len(likely) + 1)
        return likely[at - 1] if at > 0 else str(other(step, value))

    return coded


def crc32(words: str) -> int:
    """Of a text's UTF-8. Source: IEEE 802.3, reflected, as in zlib."""
    return zlib.crc32(words.encode())
