"""Random figures of rig, camera, heater and cards, as a brief has them: too little, enough, and none."""

from __future__ import annotations

from random import Random
from typing import Any

COLD = ([[-20.0, 0.5], [-10.0, 0.7], [0.0, 0.85], [20.0, 1.0]], [[-5.0, 0.6], [25.0, 1.0]])
RATIOS = [[0.0, 1.0], [45.0, 1.5], [90.0, 3.0]]
PER_UNIT = {"mm": 0.002, "deg": 0.004, "turns": 0.3, "percent": 0.005}


def random_power(rng: Random, axes: dict[str, Any]) -> dict[str, Any] | None:
    """A rig's figures, None in one case of four."""
    if rng.random() < 0.25:
        return None
    peak_w = rng.choice([None, 9.0, 16.0])
    packs = [_pack(rng, name, peak_w) for name in ("A", "B", "C")[: rng.choice([1, 2, 2, 3])]]
    if rng.random() < 0.3:
        packs[-1]["rated_wh"] = 2.4
    return {
        "electronics_w": rng.choice([0.4, 1.7, 6.0]),
        "holding_w": rng.choice([0.0, 2.2]) if axes else 0.0,
        "moving_wh": {name: PER_UNIT[axis["unit"]] * rng.random() for name, axis in axes.items()},
        "up": RATIOS,
        "down": rng.choice([RATIOS, [[0.0, 1.0], [60.0, 0.8], [90.0, 0.9]]]),
        "holding": rng.choice([RATIOS, [[0.0, 1.0], [90.0, 1.4]]]),
        "peak_w": peak_w,
        "payload_kg": rng.choice([None, 2.0, 3.1]),
        "can_swap": len(packs) > 1 and rng.random() < 0.8,
        "packs": packs,
    }


def random_battery(rng: Random) -> dict[str, Any] | None:
    if rng.random() < 0.4:
        return None
    pack = _held(rng, None, rng.choice([9.0, 14.4]))
    return {"frame_wh": rng.choice([0.002, 0.02]), "idle_w": rng.choice([0.0, 0.8]), "pack": pack}


def random_heater(rng: Random) -> dict[str, Any] | None:
    if rng.random() < 0.6:
        return None
    return {"heater_w": rng.choice([3.0, 6.0]), "pack": _held(rng, None, rng.choice([18.5, 74.0]))}


def random_cards(rng: Random) -> dict[str, Any] | None:
    if rng.random() < 0.4:
        return None
    return {"frame_mb": rng.choice([28.4, 61.0]), "card_gb": rng.choice([[16.0], [32.0, 8.0], [128.0]])}


def _pack(rng: Random, name: str, peak_w: float | None) -> dict[str, Any]:
    output_w = None if peak_w is None else rng.choice([10.0, 30.0])
    rated_wh = rng.choice([7.4, 14.8, 37.0, 120.0, 170.0])
    return {**_held(rng, name, rated_wh), "cell_v": rng.choice([3.6, 3.7]), "output_w": output_w}


def _held(rng: Random, name: str | None, rated_wh: float) -> dict[str, Any]:
    return {
        "name": name,
        "rated_wh": rated_wh,
        "efficiency": rng.choice([0.8, 0.92]),
        "reserve": rng.choice([0.0, 0.2]),
        "cold": rng.choice(COLD),
    }
