"""What goes otherwise in a night, by the clock of the place, as changes for the plan."""

from __future__ import annotations

from typing import Any

from ..sky.sky import Sky
from .anchors import following, night_of, opening
from .spot import at_spot
from .timing import solve


def by_the_clock(
    brief: dict[str, Any],
    sky: Sky,
    changes: dict[str, Any],
    start_s: int | None,
    stop: tuple[int, int] | None,
) -> dict[str, Any]:
    """The changes with another start, and with a stop (frame, when it rolls again).

    Clock times are seconds after midnight: a start's of the night, rolling the first after the start.  Raises
    PlanProblem where the night has no plan or its clocks skip the time.
    """
    brief = at_spot(brief, changes)
    night = night_of(brief, sky, {**brief["night"], "date": changes.get("night", brief["night"]["date"])})
    changed = dict(changes)
    if start_s is not None:
        changed["start_ms"] = opening(night, {"clock_s": start_s}, "start") * 1000
    if stop is not None:
        begins_s = solve(brief, night, changed.get("start_ms")).start_ms / 1000
        rolling_s = following(night, {"clock_s": stop[1]}, begins_s, "start")
        changed["stopped"] = {"frame": stop[0], "rolling_ms": rolling_s * 1000}
    return changed
