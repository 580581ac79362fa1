"""Random ways in which a night goes otherwise than planned: starts that come late, and stops."""

from __future__ import annotations

from random import Random
from typing import Any

from fieldsheet.plan.anchors import night_of
from fieldsheet.plan.problem import PlanProblem
from fieldsheet.plan.spot import at_spot
from fieldsheet.plan.timing import Timing, solve
from fieldsheet.sky.sky import Sky

MINUTE_MS = 60_000


def gone_wrong(rng: Random, case: dict[str, Any], sky: Sky) -> dict[str, Any]:
    """The case, some of them started late or stopped after a frame, by what their night plans."""
    late_ms = rng.choice([None, None, None, None, 2, 9, 25, 90])
    share = rng.random() if rng.random() < 0.4 else None
    if share is not None and rng.random() < 0.05:
        share = 1.2
    gap = rng.choice([0, 2, 7, 7, 15, 40, 40, 300, -9])
    if late_ms is None and share is None:
        return case
    changes = dict(case["changes"])
    try:
        if late_ms is not None:
            changes["start_ms"] = _timing(case["brief"], sky, changes, None).start_ms + late_ms * MINUTE_MS
        if share is not None:
            timing = _timing(case["brief"], sky, changes, changes.get("start_ms"))
            frame = int(share * timing.frames)
            changes["stopped"] = {"frame": frame, "rolling_ms": timing.ms_of(frame) + gap * MINUTE_MS}
    except PlanProblem:
        return case
    return {**case, "changes": changes}


def _timing(brief: dict[str, Any], sky: Sky, changes: dict[str, Any], start_ms: int | None) -> Timing:
    brief = at_spot(brief, changes)
    date = changes.get("night", brief["night"]["date"])
    return solve(brief, night_of(brief, sky, {**brief["night"], "date": date}), start_ms)
