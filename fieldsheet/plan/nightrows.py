"""The row of one night of a search: its verdict, its needs measured, and its sky.  Python only."""

from __future__ import annotations

from typing import Any

from ..sky.moon import phase_id
from . import civil
from .acts import limits, limits_unknown
from .aim import aim_at, lens_of
from .anchors import Night, occurrences, whole_second
from .asked import OF_EVERY_NIGHT
from .cautions import forbidden
from .keyframes import Setting, settings
from .known import NO_PLAN
from .move import path_through
from .needs import Sight, dark_ms, measured, usable_ms
from .nightsky import Found
from .planned import Placed
from .problem import PlanProblem
from .timing import Timing
from .trial import Trial

HOUR_MS = 3_600_000
VERDICTS = ("good", "open", "fails", "none")


def row_of(brief: dict[str, Any], trial: Trial, sight: Sight, cause: str | None) -> dict[str, Any]:
    """The row of a night within reach; search() says what is in it."""
    night, timing = trial.night, trial.timing
    assert night is not None, "a night beyond reach has no sky to tell of"
    found = _found(night)
    problem = trial.problem or _move_problem(brief, trial, sight)
    needs = measured(brief, night, timing, found, sight)
    judged = _judged(trial, problem, needs)
    against: dict[str, Any] = {"no_go": [], "limits_unknown": []}
    if judged["verdict"] in ("good", "open"):
        against = _against(brief, trial)
    return {
        **judged,
        **({"verdict": "fails"} if against["no_go"] else {}),
        **against,
        "cause": cause,
        "window": None if timing is None or problem else _window(night, timing),
        "needs": needs,
        "moon": _moon(night, found, sight.light(trial.middle_ms)),
        "core_usable_h": usable_ms(night, found, sight) / HOUR_MS,
        "dark_h": dark_ms(night, found) / HOUR_MS,
    }


def row_beyond(trial: Trial, needs: list[dict[str, Any]]) -> dict[str, Any]:
    """The row of a night that sky or zone does not reach; needs: those of any night, here not known."""
    unknown = [
        {**need, "args": {**need["args"], "actual": None, "found": NO_PLAN}, "met": None} for need in needs
    ]
    nothing = {
        "no_go": [],
        "limits_unknown": [],
        "cause": None,
        "window": None,
        "needs": unknown,
        "moon": None,
        "core_usable_h": None,
        "dark_h": None,
    }
    return {**_judged(trial, trial.problem, unknown), **nothing}


def _judged(trial: Trial, problem: PlanProblem | None, needs: list[dict[str, Any]]) -> dict[str, Any]:
    return {
        "night": trial.day.isoformat(),
        "problem": problem and {"id": problem.id, "args": problem.args_, "key": problem.key},
        "verdict": "none" if problem else _verdict([need["met"] for need in needs]),
    }


def _verdict(met: list[bool | None]) -> str:
    """Of a night that can be planned: what is not known leaves it open, unless something fails it."""
    if False in met:
        return "fails"
    return "open" if None in met else "good"


def _against(brief: dict[str, Any], trial: Trial) -> dict[str, Any]:
    """What forbids a night that lacks no need: targets out of sight, axes out of reach, the place's hours."""
    night, timing, frames = trial.night, trial.timing, trial.frames
    assert night is not None and timing is not None and frames is not None, "it can be planned"
    set_to = settings(brief, night, timing, frames)
    limited = limits(brief, night, timing)
    no_go = forbidden(Placed(brief, night, timing, set_to, limited))
    return {"no_go": no_go, "limits_unknown": limits_unknown(brief, limited)}


def _window(night: Night, timing: Timing) -> dict[str, Any]:
    return {
        "start": civil.stamp(night.spans, timing.start_ms),
        "end": civil.stamp(night.spans, timing.end_ms),
    }


def _move_problem(brief: dict[str, Any], trial: Trial, sight: Sight) -> PlanProblem | None:
    """Why the keyframes make no move on a night: one that no tilt can aim, or one in a hold."""
    timing, frames = trial.timing, trial.frames
    assert timing is not None and frames is not None, "a night without a problem has its keyframes"
    lens = lens_of(brief)
    for index, (keyframe, frame) in enumerate(zip(brief["keyframes"], frames, strict=True)):
        aim = keyframe["aim"]
        if aim is None:
            continue
        azimuth, altitude = aim.get("bearing_deg"), aim.get("altitude_deg")
        if "target" in aim:
            azimuth, altitude = sight.place(aim["target"], timing.ms_of(frame))
        if aim_at(azimuth, altitude, aim["x"], aim["y"], lens) is None:
            args = {"number": index + 1, "altitude": altitude, "x": aim["x"], "y": aim["y"]}
            return PlanProblem("problem.aim", args, f"keyframe.{index}.aim")
    try:
        path_through(brief, [Setting(frame, {}, None, None, None, None) for frame in frames], timing.frames)
    except PlanProblem as problem:
        return problem
    return None


def _found(night: Night) -> Found:
    """The events of a night that its measures hang on."""
    return sorted(
        (whole_second(t_s) * 1000, name)
        for name in OF_EVERY_NIGHT
        for t_s in occurrences(night, name, night.from_s, night.until_s)
    )


def _moon(night: Night, found: Found, light: tuple[float, bool]) -> dict[str, Any]:
    edges = {
        key: next((civil.stamp(night.spans, ms) for ms, name in found if name == "moon" + key), None)
        for key in ("rise", "set")
    }
    return {"lit": light[0], "phase": "phase." + phase_id(*light), **edges}
