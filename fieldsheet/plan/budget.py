"""What has to fit into one interval, at the worst frame.  Twin: app/core/budget.js."""

from __future__ import annotations

from math import ceil
from typing import Any

from .keyed import SECOND_MS, dwell_ms, gap_ms, settable_ms
from .move import Path, largest_steps, path_through, slowest_s
from .problem import PlanProblem
from .timing import Timing

TENTH_MS = 100
MEND_TRIES = 40


def interval_budget(
    brief: dict[str, Any], steps: dict[str, dict[str, float]], interval_ms: int
) -> dict[str, Any]:
    """Milliseconds of each part, their need, the slack that the interval leaves, and what would just fit.

    A rig that moves between frames stands still for the dwell (longest shutter and release lag, in whole
    seconds, as it is keyed in), then moves and settles; the camera gets ready meanwhile, but where the rig
    waits for it: then it is a plain sum.  A rig that does not stop between frames has no dwell (None) and
    only waits for the camera.
    """
    camera, rig = brief["camera"], brief["rig"]
    lag_ms, ready_ms = camera["release_lag_ms"], camera["ready_ms"]
    open_ms = lag_ms + brief["longest_shutter_ms"]
    stands_ms, move_ms, settle_ms = dwell_ms(brief), 0, 0
    needed_ms = open_ms + ready_ms
    longest_ms = interval_ms - ready_ms
    if stands_ms is not None:
        distances = {name: step["step"] for name, step in steps.items()}
        move_ms, settle_ms = ceil(slowest_s(distances, rig["axes"]) * SECOND_MS - 1e-6), rig["settle_ms"]
        needed_ms = max(needed_ms, stands_ms + move_ms + settle_ms)
        waits_ms = ready_ms if rig["waits_for_camera"] else 0
        longest_ms = min(longest_ms, _down(interval_ms - move_ms - settle_ms, SECOND_MS) - waits_ms)
    return {
        "shutter_ms": brief["longest_shutter_ms"],
        "release_lag_ms": lag_ms,
        "camera_ready_ms": ready_ms,
        "dwell_ms": stands_ms,
        "gap_ms": gap_ms(brief, interval_ms),
        "move_ms": move_ms,
        "settle_ms": settle_ms,
        "needed_ms": needed_ms,
        "slack_ms": interval_ms - needed_ms,
        "shortest_interval_ms": settable_ms(brief, needed_ms),  # with these steps
        "longest_shutter_ms": max(_down(longest_ms - lag_ms, TENTH_MS), 0),
    }


def mended_interval_ms(brief: dict[str, Any], timing: Timing, path: Path, shortest_ms: int) -> int | None:
    """The shortest interval that really works, from shortest_ms up, or None where none does.

    Where the window is given, a longer interval means fewer frames, hence longer steps, which may want a
    longer interval again.
    """
    interval_ms = shortest_ms
    for _ in range(MEND_TRIES):
        frames = timing.frames
        if brief["frames"] is None:
            frames = (timing.end_ms - timing.start_ms) // interval_ms
        if frames < 2:
            return None
        try:
            settings = [setting.moved(timing.frames, frames) for setting in path.settings]
            steps = largest_steps(path_through(brief, settings, frames), frames)
        except PlanProblem:
            return None
        budget = interval_budget(brief, steps, interval_ms)
        if budget["slack_ms"] >= 0:
            return interval_ms
        interval_ms = max(budget["shortest_interval_ms"], interval_ms + brief["rig"]["interval_step_ms"])
    return None


def _down(ms: int, step_ms: int) -> int:
    return ms // step_ms * step_ms
