"""Random sets of axes, as a rig of a brief has them."""

from __future__ import annotations

from random import Random
from typing import Any

AXES: dict[str, dict[str, Any]] = {
    "slide": {
        "letter": "S",
        "unit": "mm",
        "min": 0.0,
        "max": 1060.0,
        "step": 1.0,
        "speed_max": 14.0,
        "acceleration_max": 18.0,
    },
    "pan": {
        "letter": "P",
        "wrap_deg": None,
        "unit": "deg",
        "min": -175.0,
        "max": 175.0,
        "step": 0.1,
        "speed_max": 8.0,
        "acceleration_max": 12.0,
    },
    "tilt": {
        "letter": "T",
        "unit": "deg",
        "min": -40.0,
        "max": 75.0,
        "step": 0.1,
        "speed_max": 6.0,
        "acceleration_max": 10.0,
    },
}


FURTHER: dict[str, dict[str, Any]] = {
    "lift": {
        "letter": "L",
        "unit": "mm",
        "min": -200.0,
        "max": 400.0,
        "step": 1.0,
        "speed_max": 30.0,
        "acceleration_max": 30.0,
    },
    "focus": {
        "letter": "F",
        "unit": "turns",
        "min": 0.0,
        "max": 1.5,
        "step": 0.01,
        "speed_max": 0.2,
        "acceleration_max": 0.2,
    },
    "zoom": {
        "letter": "Z",
        "unit": "percent",
        "min": 0.0,
        "max": 100.0,
        "step": 1.0,
        "speed_max": 20.0,
        "acceleration_max": 20.0,
    },
}


KEYFRAMES = ({"most": 5, "middle": "free"}, {"most": 3, "middle": "halfway"})


def random_axes(rng: Random) -> dict[str, Any]:
    """None, some or all of the usual ones, now and then others besides; some so slow that nothing fits,
    some that tilt past the zenith.
    """
    whole = ("slide", "pan", "tilt")
    names = rng.choice([whole, whole, whole, ("pan", "tilt"), ("slide",), ("slide", "pan"), ()])
    axes = {name: dict(AXES[name]) for name in names}
    if names:
        axes |= {name: dict(axis) for name, axis in FURTHER.items() if rng.random() < 0.1}
    if "pan" in axes:
        axes["pan"]["wrap_deg"] = rng.choice([None, None, 150.0, 90.0])
    if "tilt" in axes and axes["pan"]["wrap_deg"] == 90.0:
        axes["tilt"]["max"] = 130.0
    for axis in axes.values():
        axis["step"] = rng.choice([axis["step"], 0.05, 0.5])
        axis["speed_max"] *= rng.choice([1, 1, 0.002])
    return axes
