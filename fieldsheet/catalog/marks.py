"""The settings that cameras have: apertures, shutter times and ISO in thirds of a stop.

The marks are nominal, as they are engraved and shown (from memory); what a mark means is its place in the
series: an aperture 2^(n/6), a shutter time 2^(n/3) s, an ISO 100 x 2^(n/3).
"""

from __future__ import annotations

import re
from decimal import Decimal
from fractions import Fraction
from typing import Any, NamedTuple

from .defaults import LONGER_SHUTTERS_S
from .words import Wrong, one_of, show


def _series(marks: str) -> list[str]:
    return marks.split()


APERTURES = _series(
    "1 1.1 1.2 1.4 1.6 1.8 2 2.2 2.5 2.8 3.2 3.5 4 4.5 5 5.6 6.3 7.1 8 9 10 11 13 14 16 18 20 22 25 29 32"
)
SHUTTERS = _series(
    "1/16000 1/13000 1/10000 "
    "1/8000 1/6400 1/5000 1/4000 1/3200 1/2500 1/2000 1/1600 1/1250 1/1000 1/800 1/640 1/500 1/400 1/320 "
    "1/250 1/200 1/160 1/125 1/100 1/80 1/60 1/50 1/40 1/30 1/25 1/20 1/15 1/13 1/10 1/8 1/6 1/5 1/4 "
    "0.3 0.4 0.5 0.6 0.8 1 1.3 1.6 2 2.5 3.2 4 5 6 8 10 13 15 20 25 30"
)
ISOS = _series(
    "50 64 80 100 125 160 200 250 320 400 500 640 800 1000 1250 1600 2000 2500 3200 4000 5000 6400 8000 "
    "10000 12800 16000 20000 25600 32000 40000 51200 64000 80000 102400"
)
ONE_SECOND, ISO_100 = SHUTTERS.index("1"), ISOS.index("100")
SHUTTER_RIGHT = "a third-stop shutter time, such as '1/1000', 0.5 or 13"
APERTURE_RIGHT = "a third-stop aperture, such as 2.8"
ISO_RIGHT = "a third-stop ISO, such as 3200"

_APERTURES = {Decimal(mark): number for number, mark in enumerate(APERTURES)}
_SHUTTERS = {Fraction(mark): number for number, mark in enumerate(SHUTTERS)}
_ISOS = {int(mark): number for number, mark in enumerate(ISOS)}
_SHUTTER = re.compile(r"(1/[1-9][0-9]{0,4}|[0-9]{1,2}(?:\.[0-9]{1,2})?) ?s?")


def aperture(value: Decimal) -> Decimal:
    """An f number that is a mark; raises Wrong."""
    if value not in _APERTURES:
        raise Wrong(_no_mark(value), _near(value, APERTURES))
    return value


def iso(value: int) -> int:
    """An ISO that is a mark; raises Wrong."""
    if value not in _ISOS:
        raise Wrong(_no_mark(value), _near(Decimal(value), ISOS))
    return value


def shutter(value: Any) -> Any:
    """The mark of a shutter time given in seconds or as '1/1000'; raises Wrong."""
    seconds = _seconds(value)
    if seconds is None:
        raise Wrong(show(value), SHUTTER_RIGHT)
    if seconds == Fraction(1, 3):
        return "0.3"
    if seconds not in _SHUTTERS:
        raise Wrong(_no_mark(value), _near(seconds, SHUTTERS))
    return SHUTTERS[_SHUTTERS[seconds]]


def _seconds(value: Any) -> Fraction | None:
    if isinstance(value, str):
        match = _SHUTTER.fullmatch(value.strip())
        return Fraction(match[1]) if match else None
    if isinstance(value, bool) or not isinstance(value, int | Decimal):
        return None
    return Fraction(value) if Decimal(value).is_finite() else None


def _no_mark(value: Any) -> str:
    return f"{show(value)}, which is not among the third-stop marks"


def _near(value: Decimal | Fraction, marks: list[str]) -> str:
    """The two marks next to a value."""
    closest = sorted(marks, key=lambda mark: abs(Fraction(mark) - Fraction(value)))[:2]
    return one_of([f"'{mark}'" if "/" in mark else mark for mark in sorted(closest, key=Fraction)])


class Setting(NamedTuple):
    """Aperture, shutter and ISO as their places in the series."""

    aperture: int
    shutter: int
    iso: int

    @property
    def thirds(self) -> int:
        """EV at ISO 100 in thirds of a stop, log2(N^2 / t) - log2(ISO / 100), by what the marks mean."""
        return self.aperture - (self.shutter - ONE_SECOND) - (self.iso - ISO_100)


def setting(f: Decimal, shutter: str, iso: int) -> Setting:
    """The setting of three marks."""
    return Setting(_APERTURES[f], SHUTTERS.index(shutter), _ISOS[iso])


def shutter_ms(number: int) -> int:
    """Whole milliseconds for which a shutter mark keeps open, at least 1; some are written rounded."""
    if "/" in SHUTTERS[number]:
        return max(1, int(Fraction(SHUTTERS[number]) * 1000))
    nominal = Decimal(SHUTTERS[number])
    return int(LONGER_SHUTTERS_S.get(nominal, nominal) * 1000)
