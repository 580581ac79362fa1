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
from .lit import base_frame, own_run
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
    tied: bool,
) -> Trial:
    """The shot on one night, with its events from `known` and `tides` instead of the sky and the brief.

    tied: whether the light is tied to the base exposures on the shot's own night; else each night ties it.
    """
    try:
        night = night_of(brief, sky, {**brief["night"], "date": day.isoformat()})
    except PlanProblem as problem:
        return Trial(day, None, None, None, [], problem)
    night = replace(night, known=known, tides=tides)
    timing, frames, against = _timed(brief, night, tied)
    return Trial(day, night, timing, frames, asked_ms(brief, night, timing), against)


def ties_light(brief: dict[str, Any], sky: Sky) -> bool:
    """Whether both base exposures have their moments on the shot's own night; true where it has none."""
    if brief["exposure"] is None:
        return True
    try:
        run = own_run(brief, sky)
        _must_tie(brief, run.night, run.timing)
    except PlanProblem:
        return False
    return True


def _must_tie(brief: dict[str, Any], night: Night, timing: Timing) -> None:
    """Raises PlanProblem where a base exposure is for an event that does not come."""
    for name in ("bright", "dark"):
        base_frame(brief, night, timing, name)


def _timed(
    brief: dict[str, Any], night: Night, tied: bool
) -> tuple[Timing | None, list[float] | None, PlanProblem | None]:
    """Timing and keyframes as far as the night gives them, and what then stands against it."""
    timing = None
    try:
        solved = solve(brief, night, None)
        must_reach(night, solved.start_ms / 1000, solved.end_ms / 1000)
        timing = solved
        frames = keyframe_frames(brief, night, timing)
        if not tied:
            _must_tie(brief, night, timing)
        return timing, frames, None
    except PlanProblem as problem:
        return timing, None, problem
