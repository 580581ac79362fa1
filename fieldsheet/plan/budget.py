"""What has to fit into one interval, at the worst frame (T9, T10).  Twin: app/core/budget.js."""

from __future__ import annotations

from math import ceil
from typing import Any

from .move import slowest_s


def interval_budget(
    brief: dict[str, Any], steps: dict[str, dict[str, float]], interval_ms: int
) -> dict[str, int]:
    """Milliseconds of each part, their need, and the slack that the interval leaves.

    A rig that moves between frames stands still for the dwell (longest shutter and release lag, in whole
    seconds, as it is keyed in), then moves and settles; the camera gets ready meanwhile.  A rig that moves
    all the time only waits for the camera.
    """
    camera, rig = brief["camera"], brief["rig"]
    open_ms = camera["release_lag_ms"] + brief["longest_shutter_ms"]
    dwell_ms = -(-open_ms // 1000) * 1000
    move_ms = settle_ms = 0
    if rig["motion"] == "shoot-move-shoot":
        distances = {name: step["step"] for name, step in steps.items()}
        move_ms, settle_ms = ceil(slowest_s(distances, rig["axes"]) * 1000 - 1e-6), rig["settle_ms"]
        needed_ms = max(open_ms + camera["ready_ms"], dwell_ms + move_ms + settle_ms)
    else:
        needed_ms = open_ms + camera["ready_ms"]
    return {
        "shutter_ms": brief["longest_shutter_ms"],
        "release_lag_ms": camera["release_lag_ms"],
        "camera_ready_ms": camera["ready_ms"],
        "dwell_ms": dwell_ms,
        "move_ms": move_ms,
        "settle_ms": settle_ms,
        "needed_ms": needed_ms,
        "slack_ms": interval_ms - needed_ms,
        "shortest_interval_ms": -(-needed_ms // rig["interval_step_ms"]) * rig["interval_step_ms"],
    }
