"""Messages become words: one table of templates, a few formatters.  Twin: app/core/say.js.

A template holds {name} or {name|formatter}; arguments are numbers with their unit in the name, instants in
ms UTC, message ids, or text.  Numbers are rounded half up on their magnitude by one function, because
the rounding of the two languages differs.
"""

from __future__ import annotations

import json
import re
from collections.abc import Callable, Mapping, Sequence
from importlib.resources import files
from math import floor
from typing import Any

from ..plan.civil import DAY_S, Spans, iso_date, local_day, span_at
from ..sky.bodies import STARS

WORDS: dict[str, str] = json.loads(files(__package__).joinpath("words.json").read_text("utf-8"))
MINUS = "\u2212"
_SLOT = re.compile(r"\{([a-z_]+)(?:\|([a-z_]+[0-9]?))?\}")
_DAYS = ("Thu", "Fri", "Sat", "Sun", "Mon", "Tue", "Wed")  # day number 0, 1970-01-01, was a Thursday
_MONTHS = [
    *("January", "February", "March", "April", "May", "June", "July"),
    *("August", "September", "October", "November", "December"),
]


class TwelveHours(tuple[Sequence[Any], ...]):
    """The spans of a zone whose clocks are written with twelve hours; only on paper, so it has no twin."""


def say(id: str, args: Mapping[str, Any], spans: Spans, table: Mapping[str, str] = WORDS) -> str:
    """The message of a table with its arguments in place; raises KeyError for an unknown id or argument."""

    def put(match: re.Match[str]) -> str:
        return _FORMATTERS[match[2] or "text"](args[match[1]], spans)

    return _SLOT.sub(put, table[id])


def fixed(value: float, decimals: int) -> str:
    """A number with so many decimals, rounded half up on its magnitude, with a true minus sign."""
    digits = str(floor(abs(value) * 10**decimals + 0.5 + 1e-7)).rjust(decimals + 1, "0")
    text = f"{digits[:-decimals]}.{digits[-decimals:]}" if decimals else digits
    return MINUS + text if value < 0 and digits.strip("0") else text


def signed(value: float, decimals: int) -> str:
    """As fixed, with a plus sign above zero."""
    text = fixed(value, decimals)
    return "+" + text if value > 0 and text.strip("0.") else text


def decimals_of(step: float) -> int:
    """Decimals needed to print multiples of a step: 1 -> 0, 0.1 -> 1, 0.05 -> 2; at most 3."""
    for decimals in range(3):
        scaled = step * 10**decimals
        if abs(scaled - floor(scaled + 0.5)) < 1e-6:
            return decimals
    return 3


def clock(utc_ms: int, spans: Spans) -> str:
    """Clock time of the place to the nearest minute, as almanacs print it."""
    minute = floor(utc_ms / 60000 + 0.5) * 60
    return time_of_day((minute + span_at(spans, minute)[1]) % DAY_S, spans)


def time_of_day(clock_s: int, spans: Spans) -> str:
    """Seconds after midnight as the place's clock shows them: 21:30, or 9:30 pm where it has twelve hours.

    There, midnight is 12:00 am and noon 12:00 pm, as POSIX has them (strftime, %I and %p).
    """
    hour, minute = clock_s // 3600, clock_s % 3600 // 60
    if isinstance(spans, TwelveHours):
        return f"{(hour + 11) % 12 + 1}:{minute:02d}\u00a0{'am' if hour < 12 else 'pm'}"
    return f"{hour:02d}:{minute:02d}"


def day_text(day: int) -> str:
    """A date as people say it: Sat 5 June 2027."""
    year, month, number = iso_date(day).split("-")
    return f"{_DAYS[day % 7]} {int(number)} {_MONTHS[int(month) - 1]} {year}"


def span_text(ms: int) -> str:
    """A length of time: 0.5 s, 18 s, 1 min 15.5 s, 3 h 50 min (exact, but to the minute from an hour on)."""
    if ms < 60_000:
        return f"{_plain(ms / 1000)} s"
    if ms < 3_600_000:
        minutes, rest_ms = divmod(ms, 60_000)
        return f"{minutes} min {_plain(rest_ms / 1000)} s" if rest_ms else f"{minutes} min"
    hours, minutes = divmod(floor(ms / 60_000 + 0.5), 60)
    return f"{hours} h {minutes} min" if minutes else f"{hours} h"


def _plain(value: float, decimals: int = 3) -> str:
    """At most so many decimals, none of them idle: 25, 29.97, 0.5."""
    return fixed(value, decimals).rstrip("0").rstrip(".")


def bearing(value: float) -> str:
    """A true bearing in three digits: 030°."""
    return f"{floor(value + 0.5 + 1e-7) % 360:03d}°"


def compass(value: Sequence[float | None]) -> str:
    """A bearing as [true, declination or None] (east positive): 215° true, 213° magnetic."""
    return say("bearing.true" if value[1] is None else "bearing.both", _compass_args(value), ())


def compass_short(value: Sequence[float | None]) -> str:
    """The same where there is little room: 215° (213° mag)."""
    return say("bearing.bare" if value[1] is None else "bearing.short", _compass_args(value), ())


def _compass_args(value: Sequence[float | None]) -> dict[str, float]:
    true, declination = value
    assert true is not None, "a bearing is known"
    return {"true": true, "magnetic": true - (declination or 0.0)}


def way(metres: float) -> str:
    """A distance: 340 m, 12.5 km."""
    return f"{fixed(metres, 0)} m" if metres < 999.5 else f"{_plain(metres / 1000, 1)} km"


def body_word(body: str) -> str:
    """What a body of the sky is called; stars by the name of their catalogue."""
    return STARS[body]["name"] if body in STARS else WORDS["body." + body]


def the_body(body: str) -> str:
    """The same in a sentence: the sun, the north pole, but Venus and Antares."""
    word = body_word(body)
    return word if word[0].isupper() else f"the {word}"


def event_word(name: str) -> str:
    """What an event is called: "core rise", "high tide", "Antares set"."""
    if "event." + name in WORDS:
        return WORDS["event." + name]
    body, edge = name.rsplit(" ", 1)
    return f"{body_word(body)} {edge}"


def anchor_word(anchor: Mapping[str, Any]) -> str:
    """An event with its offset: sunset, sunset + 10 min."""
    if not anchor["offset_s"]:
        return event_word(anchor["event"])
    args = {"event": anchor["event"], "offset": abs(anchor["offset_s"]) * 1000}
    return say("at.later" if anchor["offset_s"] > 0 else "at.earlier", args, ())


def _number(decimals: int) -> Callable[[Any, Spans], str]:
    return lambda value, spans: fixed(value, decimals)


def _signed_number(decimals: int) -> Callable[[Any, Spans], str]:
    return lambda value, spans: signed(value, decimals)


def _degrees(decimals: int) -> Callable[[Any, Spans], str]:
    return lambda value, spans: signed(value, decimals) + "°"


def _date(utc_ms: int, spans: Spans) -> str:
    return day_text(local_day(spans, utc_ms / 1000)).rsplit(" ", 1)[0]


def _clocks(value: Sequence[Sequence[int]], spans: Spans) -> str:
    return ", ".join("–".join(clock(ms, spans) for ms in span) for span in value) or "never"


def _when(utc_ms: int | None, spans: Spans) -> str:
    if utc_ms is None:
        return "none within reach"
    return f"{_date(utc_ms, spans)} {clock(utc_ms, spans)}"


_FORMATTERS: dict[str, Callable[[Any, Spans], str]] = {
    "text": lambda value, spans: str(value),
    "word": lambda value, spans: WORDS[value],
    "body": lambda value, spans: body_word(value),
    "the": lambda value, spans: the_body(value),
    "frames": lambda value, spans: f"{value:d} frame" + ("s" if value != 1 else ""),
    "event": lambda value, spans: event_word(value),
    "anchor": lambda value, spans: anchor_word(value),
    "said": lambda value, spans: say(value["id"], value["args"], spans),
    "bearing": lambda value, spans: bearing(value),
    "compass": lambda value, spans: compass(value),
    "mag": lambda value, spans: compass_short(value),
    "way": lambda value, spans: way(value),
    "clock": clock,
    "date": _date,
    "when": _when,
    "zone": lambda value, spans: str(span_at(spans, value / 1000)[2]),
    "span": lambda value, spans: span_text(value),
    "spans": _clocks,
    "cap": lambda value, spans: value[:1].upper() + value[1:],
    "plain": lambda value, spans: _plain(value),
    "p1": lambda value, spans: _plain(value, 1),
    "f1": lambda value, spans: fixed(floor(value * 10 + 1e-7) / 10, 1),
    **{f"n{decimals}": _number(decimals) for decimals in range(5)},
    **{f"s{decimals}": _signed_number(decimals) for decimals in range(3)},
    **{f"d{decimals}": _degrees(decimals) for decimals in range(2)},
}
