"""Random changes of interval for random briefs."""

from __future__ import annotations

from collections.abc import Callable
from random import Random
from typing import Any


def random_phases(
    rng: Random, brief: dict[str, Any], anchor: Callable[[Random], dict[str, Any]]
) -> list[dict[str, Any]]:
    """None to three, in any order, where the catalog would have them."""
    by_end = brief["start"] is None and brief["frames"] is not None
    if brief["interval_ms"] is None or by_end or rng.random() < 0.6:
        return []
    count = rng.choice([1, 1, 2, 3])
    interval_ms = brief["interval_ms"]
    steps = rng.sample([-3, -1, 2, 5, 11, 40], count)
    step_ms = max(brief["rig"]["interval_step_ms"], 500)
    intervals = [max(interval_ms + step * step_ms, 1000) for step in steps]
    if brief["rig"]["interval_means"] == "gap":
        intervals = [max(each, interval_ms) for each in intervals]
    starts = [rng.choice([{"frame": rng.randrange(2, 500)}, anchor(rng), anchor(rng)]) for _ in steps]
    if rng.random() < 0.3:
        starts.sort(key=lambda at: at.get("frame", 0))
    return [{"from": at, "interval_ms": ms} for at, ms in zip(starts, intervals, strict=True)]
