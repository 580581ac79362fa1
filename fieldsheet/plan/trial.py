"""A shot tried on one night of a search, as far as events say it: where it lies, or why there is none.

The same timing as plan(), in the order in which plan() works it out.  Python only.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date
from typing import Any

from ..sky.observe import Floats
from ..sky.sky import Sky
from .anchors import Night, must_reach, night_of
from .needs import asked_ms, middle_ms
from .problem import PlanProblem
from .timing import Timing, keyframe_frames, solve


@dataclass(frozen=True)
class Trial:
    """One night of a search.

    night: None beyond the reach of sky or zone; timing: None where the shot has no window; frames: those of
    its keyframes, None where they do not lie in it; moments: when each need is judged [ms UTC], None where it
    is not; problem: why there is no plan, None where nothing is known against it yet.
    """

    day: date
    night: Night | None
    timing: Timing | None
    frames: list[float] | None
    moments: list[int | None]
    problem: PlanProblem | None

    @property
    def middle_ms(self) -> int:
        """The middle of the window, or of the night, at which the moon is told."""
        if self.timing is not None:
            return (self.timing.start_ms + self.timing.end_ms) // 2
        assert self.night is not None, "only a night within reach has a moon"
        return middle_ms(self.night)


def tried(
    brief: dict[str, Any],
    sky: Sky,
    day: date,
    known: Mapping[str, Floats],
    tides: tuple[tuple[int, str], ...],
) -> Trial:
    """The shot on one night, with its events from `known` and `tides` instead of the sky and the brief."""
    try:
        night = night_of(brief, sky, {**brief["night"], "date": day.isoformat()})
    except PlanProblem as problem:
        return Trial(day, None, None, None, [], problem)
    night = replace(night, known=known, tides=tides)
    timing, frames, against = _timed(brief, night)
    return Trial(day, night, timing, frames, asked_ms(brief, night, timing), against)


def _timed(
    brief: dict[str, Any], night: Night
) -> tuple[Timing | None, list[float] | None, PlanProblem | None]:
    """Timing and keyframes as far as the night gives them, and what then stands against it."""
    timing = None
    try:
        solved = solve(brief, night, None)
        must_reach(night, solved.start_ms / 1000, solved.end_ms / 1000)
        timing = solved
        return timing, keyframe_frames(brief, night, timing), None
    except PlanProblem as problem:
        return timing, None, problem
