"""What may be typed: words to values; what cannot be used is refused in words."""

from __future__ import annotations

import argparse
from datetime import date
from math import nan
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    Commands = argparse._SubParsersAction[argparse.ArgumentParser]

MOST_NEAR_DEG = 10


class WrongUse(Exception):
    """The command cannot mean what was typed."""


def check_reach(option: str, day: date) -> None:
    """Raises WrongUse where the ephemeris does not reach."""
    from fieldsheet.sky.ephemeris import YEARS

    if not YEARS[0] <= day.year <= YEARS[1]:
        reach = f"the ephemeris runs from {YEARS[0]} to {YEARS[1]}"
        raise WrongUse(f"{option} {day}: {reach}; right: a date in these years")


def a_year_on(first: date) -> date:
    """The last day of a span that nobody ended; the ephemeris may end before."""
    from fieldsheet.plan.nights import A_YEAR
    from fieldsheet.sky.ephemeris import YEARS

    return min(first + A_YEAR, date(YEARS[1], 12, 31))


def check_span(first: date, last: date, begins: str, most: int) -> None:
    """Raises WrongUse for a span that ends beyond the ephemeris, or before it begins, or has too many days.

    begins: what the first day is called.
    """
    check_reach("--to", last)
    if last < first:
        right = "a later --to, or an earlier --from"
        raise WrongUse(f"--to {last} comes before {begins} {first}; right: {right}")
    days = (last - first).days + 1
    if days > most:
        raise WrongUse(f"--from {first} --to {last}: {days} days; right: at most {most} at once")


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
    if not 0 < value <= MOST_NEAR_DEG:
        raise argparse.ArgumentTypeError(f"not above 0 to {MOST_NEAR_DEG} degrees: '{text[:20]}'")
    return value


def typed_body(text: str) -> str:
    """A body that moves across the sky, however its letters are written."""
    from fieldsheet.catalog.names import BODY_RIGHT, MOVING_RIGHT, body
    from fieldsheet.catalog.words import Wrong

    try:
        name = str(body(text))
    except Wrong as wrong:
        right = MOVING_RIGHT if wrong.right == BODY_RIGHT else wrong.right
        raise argparse.ArgumentTypeError(f"{wrong.found}; right: {right}") from None
    if name.endswith(" pole"):
        raise argparse.ArgumentTypeError(f"the {name}, which stands still; right: a body that moves")
    return name


def typed_clock(text: str) -> int:
    """Seconds after midnight of a clock time HH:MM."""
    hours, colon, minutes = text.partition(":")
    if colon and all(part.isascii() and part.isdigit() and len(part) <= 2 for part in (hours, minutes)):
        clock_s = int(hours) * 3600 + int(minutes) * 60
        if int(minutes) < 60 and clock_s < 86_400:
            return clock_s
    raise argparse.ArgumentTypeError(f"not a clock time such as 20:15: '{text[:20]}'")


def typed_frame(text: str) -> int:
    """The number of a frame."""
    if not (text.isascii() and text.isdigit() and len(text) <= 6):
        raise argparse.ArgumentTypeError(f"not a frame such as 612: '{text[:20]}'")
    return int(text)


def typed_port(text: str) -> int:
    """A port of this machine."""
    if not (text.isascii() and text.isdigit() and int(text) < 65536):
        raise argparse.ArgumentTypeError(f"not a port from 0 to 65535: '{text[:20]}'")
    return int(text)


def typed_processes(text: str) -> int:
    """How many processes work at once."""
    if not (text.isascii() and text.isdigit() and len(text) <= 2 and 1 <= int(text) <= 64):
        raise argparse.ArgumentTypeError(f"not a number of processes from 1 to 64: '{text[:20]}'")
    return int(text)


def typed_seal(text: str) -> float:
    """Millimetres along the edges of a card."""
    return _typed_within(text, 3, 10, "millimetres")


def typed_read_at(text: str) -> float:
    """Centimetres from a phone to a code on paper."""
    return _typed_within(text, 15, 100, "centimetres")


def _typed_within(text: str, least: int, most: int, unit: str) -> float:
    try:
        value = float(text)
    except ValueError:
        value = nan
    if not least <= value <= most:
        raise argparse.ArgumentTypeError(f"not {unit} from {least} to {most}: '{text[:20]}'")
    return value


def shot_options(one: argparse.ArgumentParser) -> None:
    """The arguments of a command that is about one shot."""
    one.add_argument("catalog", type=Path, metavar="CATALOG")
    one.add_argument("shot", metavar="SHOT", help="name of its file, without .toml")
    one.add_argument("--night", type=typed_date, metavar="DATE", help="another night, such as 2027-06-05")
