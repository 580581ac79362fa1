"""What may be typed behind an option: each refuses in words what it cannot use."""

from __future__ import annotations

import argparse
from datetime import date
from math import nan


def typed_date(text: str) -> date:
    """YYYY-MM-DD."""
    try:
        return date.fromisoformat(text)
    except ValueError:
        raise argparse.ArgumentTypeError(f"not a date such as 2027-06-05: '{text}'") from None


def typed_degrees(text: str, most: float = 360.0) -> float:
    """A number of degrees, at most so many either way."""
    try:
        value = float(text)
    except ValueError:
        value = nan
    if not -most <= value <= most:
        raise argparse.ArgumentTypeError(f"not degrees from -{most:.0f} to {most:.0f}: '{text[:20]}'")
    return value


def typed_altitude(text: str) -> float:
    """Degrees above or below the level horizon."""
    return typed_degrees(text, 90.0)


def typed_near(text: str) -> float:
    """How many degrees are still near."""
    value = typed_degrees(text)
    if not 0 < value <= 10:
        raise argparse.ArgumentTypeError(f"not above 0 to 10 degrees: '{text[:20]}'")
    return value


def typed_body(text: str) -> str:
    """A body of the sky, however its letters are written."""
    from fieldsheet.catalog.names import body
    from fieldsheet.catalog.words import Wrong

    try:
        return str(body(text))
    except Wrong as wrong:
        raise argparse.ArgumentTypeError(f"{wrong.found}; right: {wrong.right}") from None


def typed_port(text: str) -> int:
    """A port of this machine."""
    if not (text.isascii() and text.isdigit() and int(text) < 65536):
        raise argparse.ArgumentTypeError(f"not a port from 0 to 65535: '{text[:20]}'")
    return int(text)
