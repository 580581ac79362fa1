"""The words for moments: "sunset - 1h15m", "16:20", "halfway", "frame 376", "2h30m"."""

from __future__ import annotations

import re
from decimal import Decimal
from typing import Any

from .names import EVENTS, EVENTS_RIGHT
from .words import Wrong, near, show

MOST_OFFSET_S = 24 * 3600
FRACTIONS = {"start": 0.0, "halfway": 0.5, "end": 1.0}

ANCHOR_RIGHT = "an event with or without an offset, such as 'sunset - 1h15m', or a clock time such as '16:20'"
EVENT_RIGHT = "an event with or without an offset, such as 'sunset + 10m'"
POSITION_RIGHT = "'start', 'halfway', 'end', 'frame 376', '50%', 'sunset + 10m' or '21:40'"
DURATION_RIGHT = "hours, minutes, seconds in that order, such as '2h30m', '90m' or '45s'"

_BY_LETTERS = {name.replace(" ", ""): name for name in EVENTS}
_SIGNED = re.compile(r"([a-z ]*[a-z]) ?(?:([+\-\u2212]) ?(.*))?")
_CLOCK = re.compile(r"([0-9]{1,2}) ?: ?([0-9]{2})")
_SPAN = re.compile(r"(?:([0-9]{1,2})h)?(?:([0-9]{1,4})m)?(?:([0-9]{1,5})s)?")
_FRAME = re.compile(r"frame ?([0-9]{1,6})")
_PERCENT = re.compile(r"([0-9]{1,3}(?:\.[0-9]{1,4})?) ?%")


def anchor(text: str) -> dict[str, Any]:
    """{"event", "offset_s"} or {"clock_s"} (seconds after local midnight) of an anchor; raises Wrong."""
    plain = _plain(text)
    if ":" in plain:
        return {"clock_s": _clock_s(plain, text)}
    parts = _SIGNED.fullmatch(plain)
    if parts is None:
        raise Wrong(show(text), ANCHOR_RIGHT)
    name, sign, span = parts.groups()
    event = _event(name, text, ANCHOR_RIGHT)
    return {"event": event, "offset_s": _offset_s(event, sign, span, text) if sign else 0}


def position(text: str) -> dict[str, Any]:
    """{"frame"}, {"fraction"} or an anchor: where on the shot a keyframe lies; raises Wrong."""
    plain = _plain(text)
    if plain in FRACTIONS:
        return {"fraction": FRACTIONS[plain]}
    frame = _FRAME.fullmatch(plain)
    if frame:
        return {"frame": _frame(int(frame[1]), text)}
    percent = _PERCENT.fullmatch(plain)
    if percent:
        return {"fraction": _fraction(Decimal(percent[1]), text)}
    if ":" not in plain:
        _refuse_near_words(plain, text)
    return anchor(text)


def duration_ms(text: str) -> int:
    """Milliseconds of a length of time such as "2h30m", at most 24 h; raises Wrong."""
    seconds = _span_s(_plain(text))
    if seconds is None:
        raise Wrong(show(text), DURATION_RIGHT)
    if not 0 < seconds <= MOST_OFFSET_S:
        raise Wrong(show(text), "more than nothing and at most 24h")
    return seconds * 1000


def _plain(text: str) -> str:
    return " ".join(text.casefold().split())


def _event(name: str, text: str, right: str) -> str:
    letters = name.replace(" ", "")
    if letters in _BY_LETTERS:
        return _BY_LETTERS[letters]
    meant = near(name, EVENTS)
    if meant:
        raise Wrong(show(text), f"'{meant}' (did you mean that?)")
    if letters in ("dawn", "dusk"):
        raise Wrong(show(text), f"civil, nautical or astronomical {letters}")
    raise Wrong(show(text), f"{right}; the events are {EVENTS_RIGHT}")


def _offset_s(event: str, sign: str, span: str, text: str) -> int:
    seconds = _span_s(span)
    if seconds is None:
        mark = "+" if sign == "+" else "-"
        right = f"hours, minutes, seconds in that order after the sign, such as '{event} {mark} 1h15m'"
        raise Wrong(show(text), right)
    if seconds > MOST_OFFSET_S:
        raise Wrong(show(text), "an offset of at most 24h")
    return seconds if sign == "+" else -seconds


def _span_s(span: str) -> int | None:
    """Seconds of "1h15m": after hours, minutes stay below 60, and after minutes, seconds do."""
    parts = _SPAN.fullmatch(span.replace(" ", ""))
    if parts is None or not any(parts.groups()):
        return None
    hours, minutes, seconds = parts.groups()
    if minutes and hours and int(minutes) >= 60 or seconds and (hours or minutes) and int(seconds) >= 60:
        return None
    return int(hours or 0) * 3600 + int(minutes or 0) * 60 + int(seconds or 0)


def _clock_s(plain: str, text: str) -> int:
    parts = _CLOCK.fullmatch(plain)
    if parts is None:
        raise Wrong(show(text), "a clock time of 24 hours such as '16:20' or '04:05', and nothing after it")
    hours, minutes = int(parts[1]), int(parts[2])
    if hours > 23 or minutes > 59:
        raise Wrong(show(text), "a clock time from '00:00' to '23:59'")
    return hours * 3600 + minutes * 60


def _frame(number: int, text: str) -> int:
    if number < 1:
        raise Wrong(show(text), "'frame 1' or later: frames count from 1")
    return number


def _fraction(percent: Decimal, text: str) -> float:
    if percent > 100:
        raise Wrong(show(text), "'0%' to '100%'")
    return float(percent / 100)


def _refuse_near_words(plain: str, text: str) -> None:
    """A misspelt "halfway" is not an event; "start + 10m" is no position either."""
    word = re.split(r"[ +\-\u2212]", plain, maxsplit=1)[0]
    if word in FRACTIONS or (word == "frame"):
        raise Wrong(show(text), POSITION_RIGHT)
    if not re.fullmatch("[a-z ]+", plain) or near(plain, EVENTS):
        if not re.match("[a-z]", plain):
            raise Wrong(show(text), POSITION_RIGHT)
        return
    meant = near(plain, FRACTIONS)
    if meant:
        raise Wrong(show(text), f"'{meant}' (did you mean that?)")
    raise Wrong(show(text), f"{POSITION_RIGHT}; the events are {EVENTS_RIGHT}")
