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
    """Every setting from the least exposure to the most, a click apart, each turned by one control.

    Towards the night: from the least of all the ISO, then an aperture that moves, then the shutter to the
    day's; then each control in turn to the night's, and each in turn to its limit.
    """
    bright, dark = base_setting(exposure.bright), base_setting(exposure.dark)
    least, most = _limits(exposure, camera, dark, longest_ms)
    day = _day(bright, dark, least, exposure.aperture == "moves")
    legs = [
        *((control, day) for control in ("iso", "aperture", "shutter")),
        *((control, dark) for control in exposure.in_turn),
        *((control, most) for control in exposure.in_turn),
    ]
    rungs = [least]
    for control, end in legs:
        here, to = getattr(rungs[-1], control), getattr(end, control)
        steps = range(here - 1, to - 1, -1) if control == "aperture" else range(here + 1, to + 1)
        rungs += [rungs[-1]._replace(**{control: place}) for place in steps]
    return rungs


def _limits(exposure: Exposure, camera: Camera, dark: Setting, longest_ms: int) -> tuple[Setting, Setting]:
    """The least and the most that can be set; the shutter no longer than the night's budget has time for."""
    fastest, slowest = (SHUTTERS.index(mark) for mark in camera.shutters)
    if exposure.shutter_max is not None:
        slowest = SHUTTERS.index(exposure.shutter_max)
    while slowest > dark.shutter and shutter_ms(slowest) > longest_ms:
        slowest -= 1
    lowest, highest = (ISOS.index(str(value)) for value in camera.iso)
    if exposure.iso_max is not None:
        highest = ISOS.index(str(exposure.iso_max))
    widest = narrowest = dark.aperture
    if exposure.aperture == "moves":
        marks = exposure.apertures or (exposure.bright.f, exposure.dark.f)
        places = [setting(f, "1", 100).aperture for f in marks]
        widest = min(places) if exposure.apertures else dark.aperture
        narrowest = max(places)
    return Setting(narrowest, fastest, lowest), Setting(widest, slowest, highest)


def _day(bright: Setting, dark: Setting, least: Setting, moves: bool) -> Setting:
    """Where the way to the night begins: the day's exposure, by the controls that are left to it.

    An aperture that is fixed is the night's, and an ISO above the night's comes down to it; the shutter
    makes up for both.
    """
    opened = max(bright.aperture, dark.aperture) if moves else dark.aperture
    iso = min(bright.iso, dark.iso)
    shutter = bright.shutter + (opened - bright.aperture) + (bright.iso - iso)
    return Setting(opened, min(max(shutter, least.shutter), dark.shutter), iso)


def _base(base: Base) -> dict[str, Any]:
    return {"at": base.at, "ev": base_setting(base).thirds / 3}


def _written(rung: Setting) -> list[Any]:
    shutter = SHUTTERS[rung.shutter]
    return [APERTURES[rung.aperture], shutter, ISOS[rung.iso], shutter_ms(rung.shutter)]


def _float(value: Decimal | None) -> float | None:
    return None if value is None else float(value)
