"""Random needs of a shot, seeded: see random_briefs.py."""

from __future__ import annotations

from collections.abc import Callable
from random import Random
from typing import Any

from fieldsheet.catalog.names import BASE_EVENTS, BODIES, BODY_EVENTS, RIDGE_EVENTS, TIDES, WEEKDAYS

NEEDS = (
    *("weekday", "darkness", "core-usable", "moon-up", "moon-down"),
    *("moon-lit", "altitude", "azimuth", "event-between", "event-within"),
)
TIDES_AND_RIDGE = (*TIDES, *RIDGE_EVENTS)


def random_needs(rng: Random, anchor: Callable[[Random], dict[str, Any]]) -> list[dict[str, Any]]:
    """Needs of every kind, a few or many, or none."""
    return [_need(rng, rng.choice(NEEDS), anchor(rng)) for _ in range(rng.choice([0, 2, 4, 8]))]


def _need(rng: Random, kind: str, anchor: dict[str, Any]) -> dict[str, Any]:
    at = rng.choice(
        [{"fraction": rng.choice([0.0, 0.5, 1.0, 0.25])}, {"frame": rng.randrange(1, 900)}, anchor]
    )
    low, high = sorted(rng.sample(range(0, 91, 5), 2))
    target = rng.choice(["sun", "moon", "galactic core", *BODIES])
    if event := rng.random() < 0.2 and rng.choice(TIDES_AND_RIDGE):
        at = {"event": event, "offset_s": rng.choice([-900, 0, 900])}
    if kind == "weekday":
        return {"kind": kind, "days": rng.sample(WEEKDAYS, rng.randrange(1, 6))}
    if kind in ("darkness", "core-usable"):
        return {"kind": kind, "least_ms": rng.randrange(600_000, 30_000_000, 600_000)}
    if kind in ("moon-up", "moon-down"):
        return {"kind": kind, "at": at}
    if kind == "moon-lit":
        return {"kind": kind, "at": at, "lit_pct": rng.choice([[0.0, high], [low, 100.0], [low, high]])}
    if kind == "altitude":
        pair = rng.choice([[low, 90.0], [-90.0, high], [low - 20.0, high - 20.0]])
        return {
            "kind": kind,
            "target": target,
            "at": at,
            "altitude_deg": [float(v) for v in pair],
        }
    if kind == "azimuth":
        pair = [float(rng.randrange(0, 360)) for _ in range(2)]
        return {"kind": kind, "target": target, "at": at, "azimuth_deg": pair}
    event = rng.choice([*BASE_EVENTS, *TIDES_AND_RIDGE, rng.choice(BODY_EVENTS)])
    if kind == "event-between":
        return {"kind": kind, "event": event, "between": rng.sample(range(0, 86_400, 900), 2)}
    return {"kind": kind, "event": event, "within_ms": rng.randrange(600_000, 20_000_000, 600_000), "at": at}
