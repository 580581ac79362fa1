"""Random ways in which a night goes otherwise than planned: late starts, stops, ways on, other paces."""

from __future__ import annotations

from contextlib import suppress
from random import Random
from typing import Any

from fieldsheet.plan.anchors import night_of
from fieldsheet.plan.keyed import settable_ms
from fieldsheet.plan.late import MINUTES
from fieldsheet.plan.problem import PlanProblem
from fieldsheet.plan.programme import programme_of
from fieldsheet.plan.recovery import IDS
from fieldsheet.plan.spot import at_spot
from fieldsheet.plan.timing import Timing
from fieldsheet.sky.sky import Sky

MINUTE_MS = 60_000
GAPS = [0, 2, 7, 7, 15, 40, 40, 300, -9]
LATE = [2, 9, 25, 90]


def gone_wrong(rng: Random, case: dict[str, Any], sky: Sky) -> dict[str, Any]:
    """The case, half of them started late, stopped, taken on or retimed, by what their night plans.

    It takes one draw of the dice, whatever comes of it, so that the cases themselves stay the same.
    """
    rng = Random(rng.random())
    if rng.random() < 0.5:
        return case
    changes = dict(case["changes"])
    with suppress(PlanProblem):
        for happen in (_other_interval, _late, _way_on, _stopped, _run):
            happen(rng, case["brief"], sky, changes)
    return {**case, "changes": changes}


def _other_interval(rng: Random, brief: dict[str, Any], sky: Sky, changes: dict[str, Any]) -> None:
    if rng.random() < 0.2:
        told_ms = _timing(brief, sky, {**changes, "start_ms": None}).keyed_ms
        asked_ms = settable_ms(brief, int(told_ms * rng.choice([0.7, 0.9, 1.2, 2.5])))
        changes["interval_ms"] = asked_ms if rng.random() < 0.9 else asked_ms + 1


def _late(rng: Random, brief: dict[str, Any], sky: Sky, changes: dict[str, Any]) -> None:
    if rng.random() < 0.5:
        changes.pop("start_ms", None)
        start_ms = _timing(brief, sky, changes).start_ms + rng.choice([*LATE, -5]) * MINUTE_MS
        if rng.random() < 0.3:
            changes["start_ms"] = start_ms
        else:
            changes["way"] = {"id": rng.choice([*MINUTES]), "start_ms": start_ms}


def _way_on(rng: Random, brief: dict[str, Any], sky: Sky, changes: dict[str, Any]) -> None:
    """Some stop twice; what was in force before goes with the way."""
    for chance in (0.35, 0.2):
        if rng.random() >= chance:
            return
        if rng.random() < 0.3:
            _run(rng, brief, sky, changes)
        stop = _stop(rng, _timing(brief, sky, changes))
        after = {key: changes.pop(key) for key in ("start_ms", "interval_ms", "way", "run") if key in changes}
        way = {"id": rng.choice(IDS), **stop, **({"after": after} if after else {})}
        changes["way"] = way
        if rng.random() < 0.1:
            changes["interval_ms"] = settable_ms(brief, 20_000)


def _stopped(rng: Random, brief: dict[str, Any], sky: Sky, changes: dict[str, Any]) -> None:
    if rng.random() < 0.3:
        changes["stopped"] = _stop(rng, _timing(brief, sky, changes))


def _run(rng: Random, brief: dict[str, Any], sky: Sky, changes: dict[str, Any]) -> None:
    if rng.random() < 0.2:
        start_ms = _timing(brief, sky, changes).start_ms + rng.choice([0, 0, 7_000, -30_000, 240_000])
        changes["run"] = {"start_ms": start_ms, "ratio": rng.choice([1.0, 18.3 / 18, 1.002, 0.97, 1.4])}


def _stop(rng: Random, timing: Timing) -> dict[str, int]:
    share = 1.2 if rng.random() < 0.05 else rng.random()
    frame = int(share * timing.frames)
    return {"frame": frame, "rolling_ms": timing.ms_of(frame) + rng.choice(GAPS) * MINUTE_MS}


def _timing(brief: dict[str, Any], sky: Sky, changes: dict[str, Any]) -> Timing:
    brief = at_spot(brief, changes)
    date = changes.get("night", brief["night"]["date"])
    return programme_of(brief, night_of(brief, sky, {**brief["night"], "date": date}), changes).timing
