"""The kinds of values that catalog keys hold, each refusing in words what it cannot use."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable, Iterator
from datetime import date
from decimal import Decimal
from fractions import Fraction
from typing import Annotated, Any
from urllib.parse import urlsplit

from pydantic import AfterValidator, BaseModel, BeforeValidator, Field, StringConstraints, WithJsonSchema

from . import anchors
from .defaults import FRACTION_RATES
from .names import body
from .words import Wrong, near, one_of, printable, show
from .zonenames import zone_name

FIRST_DATE = date(1900, 1, 4)
# A code 40 mm wide holds 241 bytes (ISO/IEC 18004, level Q): this, "shots/", a name, "/#r=" and a revision.
LONGEST_ADDRESS = 180
LAST_DATE = date(2052, 12, 27)  # what a night hangs on reaches days beyond it
STEM = re.compile(r"[a-z0-9][a-z0-9-]{0,40}")
# Files of a shot are called after it, and stand beside those of the whole catalog.
TAKEN_STEMS = ("everything", "index")
MOST_KEYFRAMES = 50
# Of an interval besides the opening one.
MOST_PHASES = 3
MOST_STILL = 10_000
# On one letter. Written languages are content with four or five (from memory).
MOST_MARKS = 6
STILL_RIGHT = f"whole frames from 0 to {MOST_STILL}"
STEM_RIGHT = "small letters, digits and hyphens, at most 41, such as 'north-pier'"

# General categories (Unicode, chapter 4.5): control, format, spaces and line breaks, combining marks.
_MARKS = ("Mn", "Me")
_UNSEEN = ("Cc", "Cf", "Zs", "Zl", "Zp", *_MARKS)
# Letters and signs that are drawn as nothing: four Hangul fillers and the empty Braille cell.
_FILLERS = "\u115f\u1160\u3164\uffa0\u2800"
_ADDRESS = re.compile(r"https?://[A-Za-z0-9.-]+(:[0-9]{1,5})?/([A-Za-z0-9._~-]+/)*")
# Under which a type says what kind of value it is in a file.
VALUE = "x-value"
_LOCAL_HOSTS = ("localhost", "127.0.0.1")


def as_toml(kind: str) -> WithJsonSchema:
    """Of a type that is written otherwise than it is kept: the kind of value, of valuekinds.py, in a file."""
    return WithJsonSchema({VALUE: kind})


def written(schema: dict[str, Any]) -> Any:
    """A type of nothing but JSON Schema, for what a validator takes before it makes it its own."""
    return Annotated[Any, WithJsonSchema(schema)]


def pair_of(first: dict[str, Any], second: dict[str, Any]) -> dict[str, Any]:
    """JSON Schema of a list of two numbers, each within bounds of its own."""
    numbers = [{"type": "number", **bounds} for bounds in (first, second)]
    return {"type": "array", "prefixItems": numbers, "minItems": 2, "maxItems": 2}


def decimal(value: Any) -> Any:
    """A whole number as a Decimal, anything else as it is; true and false are no numbers."""
    return Decimal(value) if isinstance(value, int) and not isinstance(value, bool) else value


def _seconds(value: Decimal) -> Decimal:
    if value * 1000 % 1:
        raise Wrong(show(value), "seconds to the millisecond at the finest, such as 2.5")
    return value


def _minutes(value: Decimal) -> Decimal:
    if value * 60_000 % 1:
        raise Wrong(show(value), "whole or half minutes, such as 25")
    return value


def is_blank(text: str) -> bool:
    """Whether nothing of a text is seen: only spaces, invisible signs, and marks with nothing to sit on."""
    return all(unicodedata.category(char) in _UNSEEN or char in _FILLERS for char in text)


def _words(value: str) -> str:
    if is_blank(value):
        raise Wrong("a text of blanks", "some words")
    pile = max(_marks_of(value))
    if pile > MOST_MARKS:
        raise Wrong(f"{pile} marks on one letter", f"at most {MOST_MARKS}: a pile covers the lines around it")
    return value.strip()


def _marks_of(text: str) -> Iterator[int]:
    """How many marks have come, at each character, since the last one that shows and is none."""
    count = 0
    for char in text:
        category = unicodedata.category(char)
        count = count + 1 if category in _MARKS else count if category == "Cf" else 0
        yield count


def _date(value: Any) -> Any:
    if type(value) is not date:
        raise Wrong(_shown_date(value), "a date without quotes, such as 2027-06-05")
    if not FIRST_DATE <= value <= LAST_DATE:
        raise Wrong(show(value), f"a date from {FIRST_DATE} to {LAST_DATE}: the ephemeris covers no other")
    return value


def _shown_date(value: Any) -> str:
    return f"the text {show(value)}" if isinstance(value, str) else show(value)


def _stem(value: str) -> str:
    if not STEM.fullmatch(value):
        raise ValueError(STEM_RIGHT)
    return value


def _base_url(value: str) -> str:
    right = "an address such as 'https://example.org/shots/', with https and a / at its end"
    if len(value) > LONGEST_ADDRESS:
        raise Wrong(f"{len(value)} characters", f"at most {LONGEST_ADDRESS}: the card's code must hold it")
    if not _ADDRESS.fullmatch(value) or "/./" in value or "/../" in value:
        raise Wrong(show(value), right)
    parts = urlsplit(value)
    if parts.scheme != "https" and parts.hostname not in _LOCAL_HOSTS:
        raise Wrong(
            show(value), f"'https://{printable(value.partition('://')[2])}' (http is for localhost only)"
        )
    return value


def _anchor(value: Any) -> Any:
    _must_be_text(value, anchors.ANCHOR_RIGHT)
    return anchors.anchor(value)


def _event(value: Any) -> Any:
    _must_be_text(value, anchors.EVENT_RIGHT)
    moment = anchors.anchor(value)
    if "event" not in moment:
        raise Wrong(show(value), anchors.EVENT_RIGHT)
    return moment


def _clock(value: Any) -> Any:
    right = "clock times in quotes, such as '03:12'"
    _must_be_text(value, right)
    if ":" not in value:
        raise Wrong(show(value), right)
    return anchors.anchor(value)["clock_s"]


def _rising(clocks: list[int]) -> list[int]:
    for index in range(1, len(clocks)):
        if clocks[index] <= clocks[index - 1]:
            here, before = (
                f"{clock // 3600:02d}:{clock // 60 % 60:02d}" for clock in (clocks[index], clocks[index - 1])
            )
            raise Wrong(f"'{here}' after '{before}'", "times of one date in order, each once", index)
    return clocks


def _position(value: Any) -> Any:
    if isinstance(value, int) and not isinstance(value, bool):
        raise Wrong(show(value), f"'frame {show(value)}' in quotes, or another position")
    _must_be_text(value, anchors.POSITION_RIGHT)
    return anchors.position(value)


def _duration(value: Any) -> Any:
    _must_be_text(value, anchors.DURATION_RIGHT)
    return anchors.duration_ms(value)


def _must_be_text(value: Any, right: str) -> None:
    if not isinstance(value, str):
        raise Wrong(show(value), f"text in quotes: {right}")


def _rate(value: Any) -> Any:
    """[frames, seconds] of 25, 29.97 or "30000/1001"."""
    rate = _fraction_of(value)
    if rate is None or not 1 <= rate <= 240 or rate.denominator > 1001:
        raise Wrong(show(value), "frames a second from 1 to 240, such as 25, 29.97 or '30000/1001'")
    return rate


def _fraction_of(value: Any) -> Fraction | None:
    if isinstance(value, str):
        return Fraction(value) if re.fullmatch(r"[1-9][0-9]{0,5}/[1-9][0-9]{0,3}", value) else None
    if isinstance(value, bool) or not isinstance(value, int | Decimal):
        return None
    return Fraction(*FRACTION_RATES.get(Decimal(value), (Fraction(value), 1)))


def _aspect(value: Any) -> Any:
    match = (
        re.fullmatch(r"([1-9][0-9]{0,3}) ?: ?([1-9][0-9]{0,3})", value) if isinstance(value, str) else None
    )
    ratio = Fraction(int(match[1]), int(match[2])) if match else None
    if ratio is None or not Fraction(1, 4) <= ratio <= 4:
        raise Wrong(show(value), "width to height in quotes, such as '16:9', '3:2' or '9:16'")
    return ratio


def both(first: str, last: str, ends: type[BaseModel]) -> BeforeValidator:
    """One number for both ends, or a table of two."""

    def spread(value: Any) -> Any:
        if isinstance(value, int) and not 0 <= value <= MOST_STILL:
            raise Wrong(show(value), STILL_RIGHT)
        return (
            {first: value, last: value} if isinstance(value, int) and not isinstance(value, bool) else value
        )

    one = Annotated[int, Field(ge=0, le=MOST_STILL)]
    return BeforeValidator(spread, json_schema_input_type=one | ends)


def name_in(choices: Iterable[str]) -> BeforeValidator:
    """One of a few words; a misspelt one is told which."""
    words = list(choices)

    def check(value: Any) -> Any:
        if isinstance(value, str) and value in words:
            return value
        meant = near(value, words) if isinstance(value, str) else None
        quoted = one_of([f"'{word}'" for word in words])
        raise Wrong(show(value), f"'{meant}' (did you mean that?)" if meant else quoted)

    return BeforeValidator(check, json_schema_input_type=written({"enum": words}))


def _all_different(value: list[Any]) -> list[Any]:
    for index, item in enumerate(value):
        if item in value[:index]:
            raise Wrong(f"{show(item)} twice", "each once", index)
    return value


Number = Annotated[Decimal, BeforeValidator(decimal)]
Seconds = Annotated[Decimal, BeforeValidator(decimal), AfterValidator(_seconds)]
Minutes = Annotated[Decimal, BeforeValidator(decimal), AfterValidator(_minutes)]
Text = Annotated[
    str, StringConstraints(min_length=1, max_length=120), AfterValidator(_words), as_toml("text")
]
Texts = Annotated[list[Text], Field(max_length=20)]
Stem = Annotated[str, AfterValidator(_stem), as_toml("name")]
Body = Annotated[str, BeforeValidator(body), as_toml("body")]
Zone = Annotated[str, AfterValidator(zone_name), as_toml("zone")]
BaseUrl = Annotated[str, AfterValidator(_base_url), as_toml("address")]
Date = Annotated[date, BeforeValidator(_date), as_toml("date")]
Anchor = Annotated[dict[str, Any], BeforeValidator(_anchor), as_toml("moment")]
Event = Annotated[dict[str, Any], BeforeValidator(_event), as_toml("offset_event")]
Clock = Annotated[int, BeforeValidator(_clock), as_toml("clock")]
Clocks = Annotated[list[Clock], Field(max_length=8), AfterValidator(_rising)]
Position = Annotated[dict[str, Any], BeforeValidator(_position), as_toml("position")]
DurationMs = Annotated[int, BeforeValidator(_duration), as_toml("duration")]
Rate = Annotated[Fraction, BeforeValidator(_rate), as_toml("rate")]
Aspect = Annotated[Fraction, BeforeValidator(_aspect), as_toml("aspect")]
AllDifferent = AfterValidator(_all_different)
