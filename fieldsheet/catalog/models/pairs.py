"""Measured curves, as lists of pairs: where, and how much there."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from pydantic import AfterValidator, BeforeValidator

from ..values import decimal, pair_of, written
from ..words import Wrong, show, show_items

Pair = tuple[Decimal, Decimal]
FEWEST, MOST = 2, 20


@dataclass(frozen=True)
class Span:
    """What a number of a pair may be, its ends included, and how it is called."""

    name: str
    low: Decimal
    high: Decimal

    def check(self, value: Decimal) -> None:
        """Raises Wrong outside the span."""
        if not self.low <= value <= self.high:
            raise Wrong(f"{self.name} {show(value)}", f"{show(self.low)} to {show(self.high)}")


def pair_in(where: Span, much: Span, example: str) -> BeforeValidator:
    """A pair of numbers within two spans."""

    def pair(value: Any) -> Pair:
        numbers = [decimal(part) for part in value] if isinstance(value, list) else []
        if len(numbers) != 2 or not all(isinstance(number, Decimal) for number in numbers):
            found = show_items(value) if isinstance(value, list) else show(value)
            raise Wrong(found, f"a pair such as {example}")
        where.check(numbers[0])
        much.check(numbers[1])
        return numbers[0], numbers[1]

    spans = ({"minimum": float(span.low), "maximum": float(span.high)} for span in (where, much))
    return BeforeValidator(pair, json_schema_input_type=written(pair_of(*spans)))


def _rising(pairs: list[Pair]) -> list[Pair]:
    for index in range(1, len(pairs)):
        here, before = pairs[index][0], pairs[index - 1][0]
        if here <= before:
            raise Wrong(f"{show(here)} after {show(before)}", "numbers that rise, each once", index)
    return pairs


def _from_level(pairs: list[Pair]) -> list[Pair]:
    if pairs[0][0] != 0 or pairs[0][1] != 1:
        found = f"[{show(pairs[0][0])}, {show(pairs[0][1])}] first"
        raise Wrong(found, "[0, 1.0] first: they are ratios to the level rail", 0)
    return pairs


Rising = AfterValidator(_rising)
FromLevel = AfterValidator(_from_level)
