"""What no line may part: a figure and its unit, a frame and its number; on paper, in terminal and guide."""

from __future__ import annotations

import re

NBSP = "\u00a0"
"""A blank at which no line breaks."""

_UNITS = (
    *("°C", "°", "%", "mag", "EV", "lx", "nT", "hPa", "Hz", "px"),
    *("mm", "cm", "km", "m", "µm", "kg", "s", "min", "h"),
    *("Wh", "W", "V", "mAh", "GB", "MB"),
    *("fr", "frame", "frames", "stop", "stops", "click", "clicks"),
)
_PARTED = re.compile(rf"(?<=[\d°]) (?=(?:{'|'.join(_UNITS)})(?!\w))|(?<=\b[Ff]rame) (?=\d)")
_HELD = re.compile(
    r"(?<=\d) (?=(?:shots?|nights?|runs?)\b)"  # a count
    r"|(?<=\bISO) (?=\d)|(?<=\b[SPTF]) (?=[\d+−])"  # a sensitivity, where an axis stands
    r"|(?<=\d) (?=(?:January|February|March|April|May|June|July)\b)"  # a day of a month
    r"|(?<=\d) (?=(?:August|September|October|November|December)\b)"
    r"|(?<=\b[mk]m)/(?=h\b)|(?<=\bm)/(?=s\b)"  # the stroke of a unit
    r"|(?<=\u00a0h) (?=\d+\u00a0min)|(?<=\u00a0min) (?=\d+\u00a0s)"  # a length of time
    r"|(?<=\bf)/(?=\d)|(?<=\d)/(?=\d)"  # of an aperture, of a fraction
    r"|(?<=\w)–(?=[\d+−])"  # a range
    r"|(?<=°) (?=\(\d)|(?<=\bat) (?=[+−]?\d+°)"  # a bearing and the same by compass; where something is
    r"|(?<=\S) (?=· )"  # a dot ends a line, it begins none
    r"|(?<=\S) (?=\S{1,4}$)"  # a short last word, which would be a line of its own
)
_JOINER = "\u2060"
"""No sign, and no line breaks at it."""


def glued(text: str, glue: str = NBSP) -> str:
    """The text with `glue` for each blank between a figure and its unit, or between frame and its number."""
    return _PARTED.sub(glue, text)


def held(text: str) -> str:
    """The same on paper: there no count is parted from what it counts either, no m/s, no 00:26–04:44."""
    return _HELD.sub(lambda found: NBSP if found[0] == " " else found[0] + _JOINER, glued(text))
