"""What may stand in a file for a value that is written as text or as one mark of a series, as JSON Schema.

A pattern refuses nothing that the reader takes: letters may be large or small and spaces stand about, and a
text with a sign beyond ASCII (a true minus, a hard space) is left to the reader.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any

from .marks import APERTURES, ISOS, SHUTTERS
from .names import BASE_EVENTS, BODIES, EVENTS, EVENTS_RIGHT, PLANETS, RIDGE_EVENTS, STARS, TIDES
from .values import LONGEST_ADDRESS, STEM
from .zonenames import usable

_BEYOND_ASCII = "[^ -~]"
_PERIODS = ("start", "halfway", "end")
_CLOCK = "(?:[01]?[0-9]|2[0-3]) *: *[0-5][0-9]"
_HOURS, _MINUTES, _SECONDS = (f"[0-9][0-9 ]*[{letter}{letter.upper()}] *" for letter in "hms")
_SPAN = f"(?:{_HOURS}(?:{_MINUTES})?(?:{_SECONDS})?|{_MINUTES}(?:{_SECONDS})?|{_SECONDS})"


def _any_case(word: str, between: str = "") -> str:
    """A pattern of a word in large or small letters; between: what may stand after each of them."""
    letters = (f"[{char}{char.upper()}]" if char.isalpha() else char for char in word)
    return "".join(f"{letter}{between}" for letter in letters)


def _one_of(words: Iterable[str], between: str = "") -> str:
    return f"(?:{'|'.join(_any_case(word, between) for word in words)})"


def _letters(names: Iterable[str]) -> str:
    """Names of events, in which spaces may stand anywhere or nowhere."""
    return _one_of((name.replace(" ", "") for name in names), " *")


_DOING = f"{_letters((*PLANETS, *STARS))}{_letters(('rise', 'set', 'highest'))}"
_PLAIN_EVENTS = _letters((*BASE_EVENTS, *RIDGE_EVENTS, *TIDES, "sun highest", "moon highest"))
_EVENT = f"(?:{_PLAIN_EVENTS}|{_DOING})"


def _text(names: Sequence[str], *patterns: str) -> dict[str, Any]:
    """A text that is one of some names, which an editor offers, or fits one of the patterns whole.

    The pattern of many names is pages long: denied twice it means the same, and no editor prints it.
    """
    whole = {"pattern": f"^ *(?:{'|'.join(patterns)}) *$|{_BEYOND_ASCII}"}
    if not names:
        return {"type": "string", **whole}
    return {"type": "string", "anyOf": [{"enum": list(names)}, {"not": {"not": whole}}]}


def _kind(title: str, description: str, examples: list[Any], schema: dict[str, Any]) -> dict[str, Any]:
    return {"title": title, "description": description, "examples": examples, **schema}


def _number(mark: str) -> int | float:
    return float(mark) if "." in mark else int(mark)


_OFFSET = f"(?:[+-] *{_SPAN})?"
KINDS: dict[str, dict[str, Any]] = {
    "text": _kind(
        "text",
        "Words for people, in quotes: 1 to 120 characters on one line.",
        ["two straps, buckles up"],
        {"type": "string", "minLength": 1, "maxLength": 120, "pattern": "\\S"},
    ),
    "name": _kind(
        "name",
        "Small letters, digits and hyphens, at most 41 characters. Of a file: its name without .toml.",
        ["north-pier"],
        {"type": "string", "pattern": f"^{STEM.pattern}$"},
    ),
    "address": _kind(
        "address",
        f"An address with https (http for localhost only) and a / at its end, at most {LONGEST_ADDRESS} "
        "characters, since the card's code must hold it.",
        ["https://example.org/shots/"],
        {"type": "string", "maxLength": LONGEST_ADDRESS, "pattern": "^https?://[A-Za-z0-9.:-]+/.*$"},
    ),
    "zone": _kind(
        "time zone",
        "A time zone named by a place.",
        ["Europe/Lisbon"],
        {"type": "string", "enum": sorted(usable().values())},
    ),
    "date": _kind(
        "date",
        "A date without quotes.",
        ["2027-06-05"],
        {"type": "string", "format": "date", "pattern": "^[0-9]{4}-[0-9]{2}-[0-9]{2}$"},
    ),
    "clock": _kind(
        "clock time",
        "Hours and minutes of 24 hours, in quotes, by the place's clock.",
        ["21:40"],
        _text((), _CLOCK),
    ),
    "duration": _kind(
        "duration",
        "Hours, minutes, seconds in that order, in quotes, at most 24 h.",
        ["2h30m", "90m", "45s"],
        _text((), _SPAN),
    ),
    "event": _kind(
        "event",
        f"What the sky or the tide does, in quotes: {EVENTS_RIGHT}.",
        ["moonrise", "low tide"],
        _text(EVENTS, _EVENT),
    ),
    "offset_event": _kind(
        "event with an offset",
        "An event, or so long before or after it.",
        ["sunset", "sunset + 10m"],
        _text(EVENTS, f"{_EVENT}{_OFFSET}"),
    ),
    "moment": _kind(
        "moment",
        "An event, so long before or after one, or a clock time; in quotes.",
        ["sunset - 1h15m", "core usable", "16:20"],
        _text(EVENTS, f"{_EVENT}{_OFFSET}", _CLOCK),
    ),
    "position": _kind(
        "moment of the shot",
        "The start, the end, halfway, a frame, a part of the shot, or a moment of the night; in quotes.",
        ["start", "halfway", "end", "frame 376", "50%", "sunset + 10m", "21:40"],
        _text(
            (*_PERIODS, *EVENTS),
            _one_of(_PERIODS),
            f"{_any_case('frame')} *[0-9]{{1,6}}",
            "[0-9]{1,3}(?:[.][0-9]{1,4})? *%",
            f"{_EVENT}{_OFFSET}",
            _CLOCK,
        ),
    ),
    "body": _kind(
        "body of the sky",
        f"In quotes, one of: {', '.join(BODIES)}.",
        ["sun", "moon", "galactic core", "jupiter", "antares", "north pole"],
        _text(BODIES, _one_of(BODIES).replace(" ", " +")),
    ),
    "rate": _kind(
        "frames a second",
        "From 1 to 240; a rate that is a fraction as it is called, or as the fraction in quotes.",
        [25, 29.97, "30000/1001"],
        {
            "anyOf": [
                {"type": "number", "minimum": 1, "maximum": 240},
                {"type": "string", "pattern": "^[1-9][0-9]{0,5}/[1-9][0-9]{0,3}$"},
            ]
        },
    ),
    "aspect": _kind(
        "width to height",
        "In quotes, from 1:4 to 4:1.",
        ["16:9", "3:2", "9:16"],
        {"type": "string", "pattern": "^[1-9][0-9]{0,3} ?: ?[1-9][0-9]{0,3}$"},
    ),
    "aperture": _kind(
        "aperture",
        f"An f number of the series of third stops from {APERTURES[0]} to {APERTURES[-1]}.",
        [2.8],
        {"type": "number", "enum": [_number(mark) for mark in APERTURES]},
    ),
    "shutter": _kind(
        "shutter time",
        f"Seconds, of the series of third stops from {SHUTTERS[0]} to {SHUTTERS[-1]}; a fraction in quotes.",
        ["1/1000", 0.5, 13],
        {
            "anyOf": [
                {"enum": [mark if "/" in mark else _number(mark) for mark in SHUTTERS]},
                {"type": "number", "exclusiveMinimum": 0, "maximum": 30},
                {
                    "type": "string",
                    "pattern": "^\\s*(?:1/[1-9][0-9]{0,4}|[0-9]{1,2}(?:[.][0-9]{1,2})?) ?s?\\s*$",
                },
            ]
        },
    ),
    "iso": _kind(
        "ISO",
        f"Of the series of third stops from {ISOS[0]} to {ISOS[-1]}.",
        [3200],
        {"type": "integer", "enum": [int(mark) for mark in ISOS]},
    ),
}
