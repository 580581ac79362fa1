"""What surrounds a shot beside sky and place, as the brief has it: air, cold, mains light, what it is of."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from .marks import APERTURES, setting
from .models.camera import Camera
from .models.place import Place
from .models.shot import Shot
from .usual import SUBJECTS

# Colder than this [°C], cables stiffen and grease slows (common practice, no source).
DEEP_COLD_C = -15
SETTLES_COLD = 2


def dew_of(shot: Shot, place: Place) -> dict[str, Any] | None:
    """The air that is expected [°C], with its dew point or its humidity [%]; None where nobody says."""
    if shot.dew_point_c is None and shot.humidity_pct is None:
        return None
    air_c = air_temperature_c(shot, place)
    assert air_c is not None, "a checked shot has an air"
    return {
        "air_c": float(air_c),
        "dew_point_c": None if shot.dew_point_c is None else float(shot.dew_point_c),
        "humidity_pct": None if shot.humidity_pct is None else float(shot.humidity_pct),
    }


def air_temperature_c(shot: Shot, place: Place) -> Decimal | None:
    """As the shot says, else as the air of the place."""
    if shot.temperature_c is not None:
        return shot.temperature_c
    return None if place.air is None else place.air.temperature_c


def deep_cold(degrees_c: float) -> bool:
    """Whether it is so cold that rig and cables work otherwise."""
    return degrees_c < DEEP_COLD_C


def subject_of(shot: Shot, longest_ms: int) -> dict[str, Any] | None:
    """What the shot is of, and the range of intervals [ms] that is usual for it; None where nobody says."""
    if shot.subject is None:
        return None
    base_ms = longest_ms if shot.subject == "stars" else 0
    least, most = (base_ms + int(Decimal(seconds) * 1000) for seconds in SUBJECTS[shot.subject])
    return {"name": shot.subject, "least_ms": least, "most_ms": most}


def flicker_of(camera: Camera) -> dict[str, Any]:
    """What in a camera makes frames differ, for the brief's camera: widest_f only where its lens closes."""
    widest = camera.apertures[0] if camera.aperture_closes and camera.apertures else None
    return {
        "widest_f": None if widest is None else APERTURES[setting(widest, "1", 100).aperture],
        "noise_reduction": camera.noise_reduction,
    }
