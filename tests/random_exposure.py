"""Random exposures of a brief, by way of the catalog's own models."""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal
from random import Random
from typing import Any

from fieldsheet.catalog.exposure import exposure_of
from fieldsheet.catalog.marks import APERTURES, SHUTTERS, shutter_ms
from fieldsheet.catalog.models.camera import Camera
from fieldsheet.catalog.models.exposure import SKIES, Exposure

TURNED = ("hand", "hand", "tether", "camera ramp", "automatic")


def random_exposure(
    rng: Random, longest_ms: int, anchor: Callable[[Random], dict[str, Any]]
) -> dict[str, Any] | None:
    """As the catalog makes it, or None; the dark base keeps open for longest_ms at most."""
    if rng.random() < 0.3:
        return None
    camera = Camera.model_validate(
        {
            "title": "Camera",
            "sensor_mm": [36, 24],
            "focal_mm": 14,
            "shutters": ["1/8000", rng.choice([8, 30])],
            "iso": [rng.choice([64, 100]), rng.choice([3200, 6400, 25600])],
        }
    )
    fits = [mark for number, mark in enumerate(SHUTTERS) if shutter_ms(number) <= longest_ms]
    shutters = fits[: SHUTTERS.index(camera.shutters[1]) + 1]
    dark_f = rng.choice(["1.8", "2.8", "4"])
    bright = {
        "f": Decimal(rng.choice([dark_f, dark_f, *APERTURES[APERTURES.index(dark_f) : 24]])),
        "shutter": rng.choice(SHUTTERS[3:24]),
        "iso": rng.choice([100, 100, 200, 400]),
    }
    dark = {"f": Decimal(dark_f), "shutter": shutters[-1 - rng.randrange(3)]}
    dark["iso"] = rng.choice([400, 800, 1600, 3200])
    if rng.random() < 0.5:
        bright["at"] = rng.choice(["sunset", "sunset - 30m", "start", "frame 5", "sunrise"])
        dark["at"] = rng.choice(["astronomical dusk", "end", "nautical dusk + 20m", "80%"])
    aperture = rng.choice(["fixed", "fixed", "moves"])
    moving = ["shutter", "iso", *(["aperture"] if aperture == "moves" else [])]
    exposure = Exposure.model_validate(
        {
            "bright": bright,
            "dark": dark,
            "turned_by": rng.choice(TURNED),
            "sky": rng.choice(["clear", "clear", *SKIES]),
            "glow_ev": rng.choice([None, None, None, Decimal("-5.5")]),
            "aperture": aperture,
            "apertures": rng.choice([None, [Decimal("1.4"), Decimal(22)]]) if aperture == "moves" else None,
            "in_turn": rng.sample(moving, len(moving)),
            "iso_max": rng.choice([None, None, 3200]),
            "trail_max_px": rng.choice([None, None, Decimal(2)]),
        }
    )
    made = exposure_of(exposure, camera, longest_ms)
    assert made is not None, "a shot with an exposure has one"
    if rng.random() < 0.05:
        made["dark"]["at"] = anchor(rng)
    return made
