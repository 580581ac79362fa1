"""The exposure of a shot as the brief holds it: two bases, and every setting on the way between them."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from .marks import APERTURES, ISOS, SHUTTERS, Setting, setting, shutter_ms
from .models.camera import Camera
from .models.exposure import SKIES, Base, Exposure


def exposure_of(exposure: Exposure | None, camera: Camera, longest_ms: int) -> dict[str, Any] | None:
    """The brief's exposure; None where the shot has no [exposure].

    bright and dark: the moment `at` (None: the brightest, the darkest of the window) and ev, its EV at ISO
    100.  ladder: the settings [f, shutter, ISO, ms open], as texts but for the last, from the least exposure
    to the most, each a third of a stop more than the one before; top_ev is the EV at ISO 100 of the first.
    """
    if exposure is None:
        return None
    rungs = ladder(exposure, camera, longest_ms)
    return {
        "turned_by": exposure.turned_by,
        "sky_divisor": SKIES[exposure.sky],
        "glow_ev": _float(exposure.glow_ev),
        "trail_max_px": _float(exposure.trail_max_px),
        "bright": _base(exposure.bright),
        "dark": _base(exposure.dark),
        "f": float(exposure.dark.f),
        "top_ev": rungs[0].thirds / 3,
        "ladder": [_written(rung) for rung in rungs],
    }


def base_setting(base: Base) -> Setting:
    """A base exposure by the places of its marks."""
    return setting(base.f, base.shutter, base.iso)


def ladder(exposure: Exposure, camera: Camera, longest_ms: int) -> list[Setting]:
    """Every setting from the least exposure to the most, a click apart.

    Towards the night: the ISO up to the day's at the shortest shutter; the shutter to the night's; the
    aperture, only if it moves, to the night's; the ISO to the night's; then what is still left, the shutter
    to the longest and the ISO to the camera's last.
    """
    bright, dark = base_setting(exposure.bright), base_setting(exposure.dark)
    opens = min(bright.aperture, dark.aperture), max(bright.aperture, dark.aperture)
    first = opens[1] if exposure.aperture == "moves" else dark.aperture
    fastest, slowest = (SHUTTERS.index(mark) for mark in camera.shutters)
    while slowest > dark.shutter and shutter_ms(slowest) > longest_ms:
        slowest -= 1
    least, most = (ISOS.index(str(value)) for value in camera.iso)
    base = min(bright.iso, dark.iso)
    stages = [
        *((first, fastest, iso) for iso in range(least, base)),
        *((first, shutter, base) for shutter in range(fastest, dark.shutter)),
        *((opened, dark.shutter, base) for opened in range(first, dark.aperture, -1)),
        *((dark.aperture, dark.shutter, iso) for iso in range(base, dark.iso)),
        *((dark.aperture, shutter, dark.iso) for shutter in range(dark.shutter, slowest)),
        *((dark.aperture, slowest, iso) for iso in range(dark.iso, most + 1)),
    ]
    return [Setting(*stage) for stage in stages]


def _base(base: Base) -> dict[str, Any]:
    return {"at": base.at, "ev": base_setting(base).thirds / 3}


def _written(rung: Setting) -> list[Any]:
    shutter = SHUTTERS[rung.shutter]
    return [APERTURES[rung.aperture], shutter, ISOS[rung.iso], shutter_ms(rung.shutter)]


def _float(value: Decimal | None) -> float | None:
    return None if value is None else float(value)
