"""Twin: app/codes/plancode.js.

A plan as the digits of a code: its brief, in the order of one table of fields.

planfields.json says each field's sort; its order and sorts are version 1 for good.  What no number of the
plan follows from is left out (the checklist's words, what is assumed, what is needed of other nights), and so
are tides more than TIDE_DAYS from the night.  What is left comes back exactly.
"""

from __future__ import annotations

import json
import math
import struct
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from typing import Any

from fieldsheet.exchange.digits import (
    SHORT,
    Codec,
    CodeError,
    Reader,
    Step,
    Writer,
    crc32,
    damaged,
    list_of,
    one_of,
    signed,
    text_of,
    truth,
    whole,
)
from fieldsheet.plan.civil import day_number, iso_date

VERSION = 1
MOST_DIGITS = 3000
HEAD = 11  # the version's digit and ten of the checksum
TIDE_DAYS = 2
MOST_MANTISSA = 2**49
FIRST_DAY = day_number("2027-01-01")
MOST_DAYS = 100_000  # either way, so that it is a date
AXES = ("slide", "pan", "tilt", "focus", "zoom", "lift")
TABLE: Mapping[str, Any] = json.loads((Path(__file__).parent / "planfields.json").read_text("utf-8"))


class TooLong(ValueError):
    """A plan that no code of this kind holds, in words."""


def digits_of(brief: Mapping[str, Any]) -> str:
    """The digits of a brief's code, at most MOST_DIGITS; raises TooLong. Its "revision" may be missing."""
    writer = Writer()
    _Codecs().of(TABLE["brief"])(writer.step, carried({"revision": None, **brief}))
    number = writer.number()
    if number >= 10 ** (MOST_DIGITS - HEAD):
        raise TooLong(
            f"this plan takes {HEAD + _digits(number):,} digits, and a code of it holds {MOST_DIGITS:,}: "
            "it travels as a file"
        )
    body = str(number)
    return f"{VERSION}{_checksum(body)}{body}"


def _digits(number: int) -> int:
    """How many a number has, give or take one; it may be larger than what is ever written out."""
    return math.ceil(number.bit_length() * math.log10(2))


def brief_of(digits: str) -> dict[str, Any]:
    """The brief that digits stand for, as Catalog.brief gives it, without "words"; written by anybody.

    Raises CodeError, in words: too long or no digits, of a later version, a wrong sum, no whole brief.
    """
    if len(digits) > MOST_DIGITS:
        raise CodeError("This code is too long to be that of a plan.")
    if not (digits.isascii() and digits.isdigit()):
        raise CodeError("This is not the code of a plan.")
    version, body = int(digits[0]), digits[HEAD:]
    if version > VERSION:
        raise CodeError(
            f"This code is of version {version}, and version {VERSION} is read here: update Fieldsheet first."
        )
    if version != VERSION or digits[1:HEAD] != _checksum(body):
        raise damaged("its checksum is wrong")
    reader = Reader(body)
    brief: dict[str, Any] = _Codecs().of(TABLE["brief"])(reader.step, None)
    if not reader.is_at_end():
        raise damaged("it does not end where it should")
    return brief


def carried(brief: Mapping[str, Any]) -> dict[str, Any]:
    """What a code takes along of a brief."""
    night = day_number(brief["night"]["date"])
    near = [tide for tide in brief["place"]["tides"] if abs(day_number(tide["date"]) - night) <= TIDE_DAYS]
    rest = {key: value for key, value in brief.items() if key not in ("words", "assumed")}
    return {**rest, "place": {**brief["place"], "tides": near}, "needs": []}


def _checksum(body: str) -> str:
    return f"{crc32(body):010d}"


class _Codecs:
    """The codecs of one code, from the sorts that the table names; some go on from what came before."""

    def __init__(self) -> None:
        self._named: dict[str, Codec] = {"truth": truth, "whole": whole, "number": _number}
        self._named |= {"text": TEXT, "ladder": _ladder, "date": self._date, "span": self._span}
        self._day, self._utc_s = FIRST_DAY, 0

    def of(self, sort: Any) -> Codec:
        """The codec of a sort: a name, fields in their order, or a list with what it is made of."""
        if isinstance(sort, str):
            if sort not in self._named:
                self._named[sort] = self.of(TABLE["types"][sort])
            return self._named[sort]
        if isinstance(sort, dict):
            return _fields({key: self.of(field) for key, field in sort.items()})
        kind, *parts = sort
        if kind in MADE_OF_VALUES:
            return MADE_OF_VALUES[kind](*parts)
        if kind == "likely":
            return _likely(parts[0], self.of(parts[1]))
        if kind == "either":
            return _either(*[([*option], self.of(option)) for option in parts])
        return MADE_OF_SORTS[kind](*map(self.of, parts))

    def _date(self, step: Step, value: str | None) -> str:
        """Mostly that of the date before."""
        day = None if value is None else day_number(value)
        if not truth(step, day == self._day):
            self._day += signed(step, None if day is None else day - self._day)
        if abs(self._day - FIRST_DAY) > MOST_DAYS:
            raise damaged("a date in it is out of range")
        return iso_date(self._day)

    def _span(self, step: Step, value: Sequence[Any] | None) -> list[Any]:
        """[from_utc_s, offset_s, name] of a zone, its beginning from that of the span before."""
        self._utc_s += _in(SINCE_S)(step, value[0] - self._utc_s if value else None)
        return [self._utc_s, *self.of("shift")(step, list(value[1:]) if value else None)]


SINCE_S = (900, 60, 1)
TEXT = text_of(TABLE["signs"])


def _number(step: Step, value: float | None) -> float:
    """Over one of the scales where that gives it exactly, else its 64 bits; minus zero is zero."""
    scales, given = TABLE["scales"], value or 0.0
    over = [math.floor(abs(given) * scale + 0.5) for scale in scales]
    exact = (at for at, top in enumerate(over) if top < MOST_MANTISSA and top / scales[at] == abs(given))
    way = step(next(exact, len(scales)), len(scales) + 1)
    if way < len(scales):
        top = signed(step, -over[way] if given < 0 else over[way])
        return top / float(scales[way])
    parts = [step(part, SHORT) for part in struct.unpack(">4H", struct.pack(">d", given))]
    (read,) = struct.unpack(">d", struct.pack(">4H", *parts))
    if not math.isfinite(read):
        raise damaged("a number in it is none")
    return float(read)


def _in(units: Sequence[int]) -> Codec:
    """A whole number in the first of the units that divides it; the last one is 1."""

    def coded(step: Step, value: int | None) -> int:
        given = value or 0
        unit = units[step(next(at for at, unit in enumerate(units) if given % unit == 0), len(units))]
        return signed(step, given // unit) * unit

    return coded


def _const(value: Any) -> Codec:
    """What is the same in every brief."""
    text = json.dumps(value)
    return lambda step, given: json.loads(text)


def _likely(values: Sequence[Any], other: Codec) -> Codec:
    """One of some values, else any."""

    def coded(step: Step, value: Any) -> Any:
        at = step(values.index(value) + 1 if value in values else 0, len(values) + 1)
        return _const(values[at - 1])(step, None) if at > 0 else other(step, value)

    return coded


def _again(codec: Codec) -> Codec:
    """What often comes more than once in a code."""
    seen: list[Any] = []

    def coded(step: Step, value: Any) -> Any:
        at = step(seen.index(value) + 1 if value in seen else 0, len(seen) + 1)
        if at > 0:
            return seen[at - 1]
        read = codec(step, value)
        seen.append(read)
        return read

    return coded


def _or_null(codec: Codec) -> Codec:
    """A value, or null."""
    return lambda step, value: None if truth(step, value is None) else codec(step, value)


def _tuple(*codecs: Codec) -> Codec:
    """A list of as many values as there are codecs."""
    return lambda step, values: [
        codec(step, values[at] if values else None) for at, codec in enumerate(codecs)
    ]


def _fields(codecs: Mapping[str, Codec]) -> Codec:
    """An object; a field whose name ends in ? may be missing."""

    def coded(step: Step, value: Mapping[str, Any] | None) -> dict[str, Any]:
        read: dict[str, Any] = {}
        for field, codec in codecs.items():
            name = field.removesuffix("?")
            if name == field or truth(step, name in (value or {})):
                read[name] = codec(step, value[name] if value else None)
        return read

    return coded


def _either(*options: tuple[Sequence[str], Codec]) -> Codec:
    """An object of one of several kinds; the keys of each are its own."""

    def coded(step: Step, value: Mapping[str, Any] | None) -> Any:
        fits = (at for at, (keys, _) in enumerate(options) if value and set(keys) <= set(value))
        return options[step(next(fits, 0), len(options))][1](step, value)

    return coded


def _map(codec: Codec) -> Codec:
    """Axis -> value, in the order in which they come."""
    pairs = list_of(_tuple(one_of(AXES, TEXT), codec))
    return lambda step, value: dict(pairs(step, list((value or {}).items())))


def _rung(step: Step, value: Sequence[Any] | None, before: Sequence[Any] | None) -> list[Any]:
    """[f, shutter, ISO, ms open]: mostly one of the three moves on by a mark."""
    marks = [value[at] if value else None for at in range(3)]
    moved = [_moved_on(before, at) for at in range(3)]
    turn = step(moved.index(marks) if marks in moved else 3, 4)
    read = moved[turn] if turn < 3 else [codec(step, mark) for codec, mark in zip(MARK, marks, strict=True)]
    if read is None:
        raise damaged("a setting in it is none")
    usual = OPEN_MS.get(read[1], -1)
    is_usual = truth(step, value is not None and value[3] == usual)
    return [*read, usual if is_usual else whole(step, value[3] if value else None)]


def _moved_on(before: Sequence[Any] | None, at: int) -> list[Any] | None:
    """The marks of the rung before with one moved on; None where there is none to move."""
    series = SERIES[at]
    here = series.index(before[at]) if before and before[at] in series[:-1] else None
    return None if before is None or here is None else [*before[:at], series[here + 1], *before[at + 1 : 3]]


def _ladder(step: Step, rungs: Sequence[Any] | None) -> Any:
    """Settings, each from the one before."""
    before: list[Any] | None = None

    def rung(step: Step, value: Sequence[Any] | None) -> list[Any]:
        nonlocal before
        before = _rung(step, value, before)
        return before

    return list_of(rung)(step, rungs)


SERIES = [TABLE["marks"][name].split() for name in ("f", "shutter", "iso")]
MARK = [one_of(series, TEXT) for series in SERIES]
OPEN_MS = dict(zip(SERIES[1], TABLE["marks"]["open_ms"], strict=True))

MADE_OF_VALUES: Mapping[str, Callable[..., Codec]] = {
    "in": _in,
    "const": _const,
    "one": lambda likely: one_of(likely, TEXT),
}
MADE_OF_SORTS: Mapping[str, Callable[..., Codec]] = {
    "null": _or_null,
    "list": list_of,
    "tuple": _tuple,
    "again": _again,
    "map": _map,
}
