"""What may be typed behind an option: what cannot be used is refused in words."""

from __future__ import annotations

import argparse
from datetime import date
from math import nan
from pathlib import Path
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from fieldsheet.catalog.models.printing import Printing

MOST_NEAR_DEG = 10


class WrongUse(Exception):
    """The command cannot mean what was typed."""


def check_reach(option: str, day: date) -> None:
    """Raises WrongUse where the ephemeris does not reach."""
    from fieldsheet.sky.ephemeris import YEARS

    if not YEARS[0] <= day.year <= YEARS[1]:
        reach = f"the ephemeris runs from {YEARS[0]} to {YEARS[1]}"
        raise WrongUse(f"{option} {day}: {reach}; right: a date in these years")


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
    from fieldsheet.catalog.names import body
    from fieldsheet.catalog.words import Wrong

    try:
        name = str(body(text))
    except Wrong as wrong:
        raise argparse.ArgumentTypeError(f"{wrong.found}; right: {wrong.right}") from None
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


def stop_of(typed: argparse.Namespace) -> tuple[int, int] | None:
    """(frame, clock [s after midnight] at which it rolls again) of a stop, or None.

    Raises WrongUse where one of the two is lacking.
    """
    if (typed.stopped is None) != (typed.rolling is None):
        given, lacking = ("--stopped", "--rolling") if typed.rolling is None else ("--rolling", "--stopped")
        right = "--stopped FRAME --rolling CLOCK, when it rolls again"
        raise WrongUse(f"{given} without {lacking}; right: {right}")
    return None if typed.stopped is None else (typed.stopped, typed.rolling)


def typed_port(text: str) -> int:
    """A port of this machine."""
    if not (text.isascii() and text.isdigit() and int(text) < 65536):
        raise argparse.ArgumentTypeError(f"not a port from 0 to 65535: '{text[:20]}'")
    return int(text)


def serve_options(one: argparse.ArgumentParser, port: int) -> None:
    """Adds what fieldsheet serve takes; `port` is the usual one."""
    one.add_argument("out", type=Path, metavar="OUT")
    one.add_argument("--port", type=typed_port, default=port, help=f"0 for a free one (default {port})")
    phones = "to phones in the same network, too, at this machine's address there (found if it is not given)"
    one.add_argument("--hotspot", nargs="?", const="", metavar="ADDRESS", help=phones)


def printing_options(one: argparse.ArgumentParser) -> None:
    """Adds what goes before the catalog's [print]; each option is one of its keys."""
    from fieldsheet.catalog.names import CUT_CARDS, PRINT_CARDS, PRINT_HOLES, PRINT_SHEETS

    add = one.add_argument_group("print, before [print] of catalog.toml").add_argument
    add("--card", choices=PRINT_CARDS, help="the size of a card")
    add("--sheet", choices=PRINT_SHEETS, help="the size of a large sheet")
    add("--sides", type=int, choices=(2, 1), help="1: every side is a card of its own")
    add("--clock-h", type=int, choices=(24, 12), help="hours of the clock on paper")
    add("--seal-mm", type=typed_seal, metavar="MM", help="kept free along every edge of a card, 3 to 10")
    add("--hole", choices=PRINT_HOLES, help="the short edge of a front that a hole is punched at")
    add("--on", choices=PRINT_SHEETS, help=f"cut cards from that: {', '.join(CUT_CARDS)}")


def typed_printing(typed: argparse.Namespace, printing: Printing) -> dict[str, Any]:
    """What was typed of [print], by its keys; None where nothing was.

    Raises WrongUse where it does not go together, with itself or with the catalog's.
    """
    from fieldsheet.catalog.models.printing import asked_of

    asked = {key: getattr(typed, key) for key in type(printing).model_fields}
    try:
        asked_of(printing, asked)
    except ValueError as error:
        raise WrongUse(str(error)) from error
    return asked


def typed_seal(text: str) -> float:
    """Millimetres along the edges of a card."""
    try:
        value = float(text)
    except ValueError:
        value = nan
    if not 3 <= value <= 10:
        raise argparse.ArgumentTypeError(f"not millimetres from 3 to 10: '{text[:20]}'")
    return value


def shot_options(one: argparse.ArgumentParser) -> None:
    """The arguments of a command that is about one shot."""
    one.add_argument("catalog", type=Path, metavar="CATALOG")
    one.add_argument("shot", metavar="SHOT", help="name of its file, without .toml")
    one.add_argument("--night", type=typed_date, metavar="DATE", help="another night, such as 2027-06-05")


def wrongs_options(one: argparse.ArgumentParser) -> None:
    """Adds how the night goes otherwise: a late start, a stop; clock times are the place's."""
    one.add_argument("--start", type=typed_clock, metavar="CLOCK", help="another first frame, such as 20:15")
    one.add_argument("--stopped", type=typed_frame, metavar="FRAME", help="it stopped after that frame")
    one.add_argument("--rolling", type=typed_clock, metavar="CLOCK", help="and rolls again then")


def nights_options(parser: argparse.ArgumentParser) -> None:
    """Adds what fieldsheet nights takes."""
    add = parser.add_argument
    add("catalog", type=Path, metavar="CATALOG", help="its folder")
    add("shot", metavar="SHOT", nargs="?", help="name of its file, without .toml; else every shot")
    own = "first night (default: the shot's own, of several shots the earliest)"
    add("--from", type=typed_date, dest="first", metavar="DATE", help=own)
    add("--to", type=typed_date, dest="last", metavar="DATE", help="last night (default: a year on)")
    add("--all", action="store_true", help="also the other nights, with what each lacks")
    add("--json", action="store_true", help="every night as JSON, for a machine")


def lineups_options(parser: argparse.ArgumentParser) -> None:
    """Adds what fieldsheet lineups takes."""
    add = parser.add_argument
    add("catalog", type=Path, metavar="CATALOG", help="its folder")
    add("place", metavar="PLACE", help="name of its file, without .toml")
    add("landmark", metavar="LANDMARK", nargs="?", help="name of a [[landmark]] of the place")
    bearing = "instead of a landmark: a true bearing"
    add("--bearing", type=typed_degrees, metavar="DEG", help=bearing)
    height = "with --bearing: the height over the level horizon, as seen from the place"
    add("--altitude", type=typed_altitude, metavar="DEG", help=height)
    body = "what stands behind it: sun, moon, a planet, a star, 'galactic core' (default: moon)"
    add("--target", type=typed_body, default="moon", metavar="BODY", help=body)
    add("--from", type=typed_date, dest="first", required=True, metavar="DATE", help="first date")
    add("--to", type=typed_date, dest="last", required=True, metavar="DATE", help="last date")
    near = f"list what passes no farther off than that (default: 1, at most {MOST_NEAR_DEG})"
    add("--within", type=typed_near, default=1.0, metavar="DEG", help=near)
    add("--json", action="store_true", help="every figure as JSON, for a machine")
