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


def glued(text: str, glue: str = NBSP) -> str:
    """The text with `glue` for each blank between a figure and its unit, or between frame and its number."""
    return _PARTED.sub(glue, text)
