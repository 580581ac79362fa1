"""What the rig is told: the shot as its file has it, or as changed.  Twin: app/core/programme.js.

A night may go otherwise: another start or interval, a way to go on taken after a late start or a stop, a rig
that does not run as it was told.  What a way keeps is pinned: its keyframes stand at frames and axis values,
so that all that follows is that way's, to the figure.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import Any, TypeGuard

from . import late, recovery
from .acts import swap_edges, swap_range
from .anchors import Night, must_reach
from .keyframes import Setting, settings
from .move import Path, path_through
from .nightsky import found_events
from .options import Way, set_by
from .power import power_of
from .problem import PlanProblem
from .supplies import Before
from .swaps import swapped_at
from .timing import MOST_MS, Timing, as_it_runs, counted, keyframe_frames, solve

# A rig that runs otherwise than by this much is not this rig, or was miscounted (our own choice).
LEAST_RATIO, MOST_RATIO = 0.5, 2.0
# How often one shot may stop and go on.
MOST_STOPS = 8
AFTER = ("start_ms", "interval_ms", "way", "run", "swapped")
# How many packs may have been changed until a stop: no night has more.
MOST_SWAPPED = 8


@dataclass(frozen=True)
class Programme:
    """A shot as it is keyed in: the frames are the keyframes' positions, real ones, in order.

    timing: as the rig runs; told: as it was told to, the same one where it was not seen to run otherwise.
    before: what a stop left behind.
    """

    brief: dict[str, Any]
    timing: Timing
    frames: list[float]
    told: Timing
    before: Before = field(default_factory=Before)


def programme_of(brief: dict[str, Any], night: Night, changes: Mapping[str, Any]) -> Programme:
    """The programme of a brief by `start_ms`, `interval_ms`, `way` and `run` of the changes.

    A late start's way starts the shot, with its interval, by that option; a stop's goes on with what was
    keyed in before (the way's `after`, changes again), and then `interval_ms` is that of what is left.  There
    `swapped` has the frames at which packs were changed until the stop.
    Raises PlanProblem.
    """
    return _programme(brief, night, changes, 0)


def planned_for(brief: dict[str, Any], night: Night, changes: Mapping[str, Any]) -> Timing:
    """The timing that a start is late for: with the interval that was asked for, at the planned moment."""
    return solve(brief, night, None, changes.get("interval_ms"))


def late_start_ms(changes: Mapping[str, Any]) -> int | None:
    """The start [ms UTC] that changes ask for, if they do, by itself or by the way that was taken."""
    way = changes.get("way") or {}
    start_ms: int | None = way.get("start_ms", changes.get("start_ms"))
    return None if way.get("id") in recovery.IDS else start_ms


def _programme(brief: dict[str, Any], night: Night, changes: Mapping[str, Any], stops: int) -> Programme:
    way, run = changes.get("way"), changes.get("run")
    if not way:
        told = _solved(brief, night, changes)
    else:
        _check_way(way, changes)
        is_late = way["id"] in late.MINUTES
        told = _late(brief, night, changes) if is_late else _gone_on(brief, night, changes, stops)
    return _running(told, night, run) if run else told


def _solved(brief: dict[str, Any], night: Night, changes: Mapping[str, Any]) -> Programme:
    timing = solve(brief, night, changes.get("start_ms"), changes.get("interval_ms"))
    must_reach(night, timing.start_ms / 1000, timing.end_ms / 1000)
    return Programme(brief, timing, keyframe_frames(brief, night, timing), timing)


def _late(brief: dict[str, Any], night: Night, changes: Mapping[str, Any]) -> Programme:
    planned, way = planned_for(brief, night, changes), changes["way"]
    must_reach(night, planned.start_ms / 1000, planned.end_ms / 1000)
    made = late.late_way(brief, night, planned, way["id"], way["start_ms"])
    return _pinned(made, night)


def _gone_on(brief: dict[str, Any], night: Night, changes: Mapping[str, Any], stops: int) -> Programme:
    way = changes["way"]
    if stops >= MOST_STOPS:
        raise _unreadable()
    was = _programme(brief, night, way.get("after", {}), stops + 1)
    path = _path(was, night)
    stopped = {"frame": way["frame"], "rolling_ms": way["rolling_ms"]}
    made, rest = recovery.way_on(was.brief, was.timing, path, way["id"], stopped, changes.get("interval_ms"))
    timing = replace(made.timing, ready_ms=was.timing.prepared_ms)
    swapped = _checked_swaps(way)
    swap = None if swapped else _swap_left(was, night, rest, way["frame"])
    on = _pinned(replace(made, brief={**made.brief, "swap": swap}, timing=timing), night)
    return replace(on, before=_before(was, night, path, way["frame"], timing.start_ms, swapped))


def _running(told: Programme, night: Night, run: Any) -> Programme:
    """Frames and keyframes as they are keyed in, each at the moment at which the rig comes to it."""
    start_ms, ratio = _checked_run(told.timing, run)
    path, timing = _path(told, night), as_it_runs(told.timing, start_ms, ratio)
    must_reach(night, timing.start_ms / 1000, timing.end_ms / 1000)
    return replace(told, brief=_pinned_brief(told.brief, path.settings), timing=timing)


def _path(programme: Programme, night: Night) -> Path:
    set_to = settings(programme.brief, night, programme.timing, programme.frames)
    return path_through(programme.brief, set_to, programme.timing.frames)


def _pinned(way: Way, night: Night) -> Programme:
    """A way as a shot of its own: its keyframes at their frames, set as they are."""
    must_reach(night, way.timing.start_ms / 1000, way.timing.end_ms / 1000)
    timing = counted(replace(way.timing, asked_ms=way.timing.elapsed_ms(way.timing.frames)))
    frames = [min(max(frame, 1.0), float(timing.frames)) for frame in way.frames]
    _, set_to = set_by(replace(way, frames=frames), night)
    return Programme(_pinned_brief(way.brief, set_to), timing, frames, timing)


def _pinned_brief(brief: dict[str, Any], set_to: list[Setting]) -> dict[str, Any]:
    keyframes = [
        {**keyframe, "at": {"frame": setting.frame}, "kept": setting.axes}
        for keyframe, setting in zip(brief["keyframes"], set_to, strict=True)
    ]
    return {**brief, "keyframes": keyframes}


def _swap_left(was: Programme, night: Night, rest: recovery.Rest, fired: int) -> dict[str, Any] | None:
    """A person's own swap in what is left: one by frames is counted anew, one that is over is not there."""
    edges = swap_edges(was.brief, night, was.timing)
    if edges is None or edges[1] <= fired:
        return None
    ats = was.brief["swap"]
    counted_anew = {
        key: {"frame": rest.after(edge)} for key, edge in zip(("from", "until"), edges, strict=True)
    }
    return {key: counted_anew[key] if "frame" in at or "fraction" in at else at for key, at in ats.items()}


def _before(
    was: Programme, night: Night, path: Path, fired: int, start_ms: int, swapped: list[int]
) -> Before:
    """What was taken until the stop, of the packs that are then in.

    swapped: the frames at which packs were changed, as the log has it; where it has none, a swap whose range
    is over was made.
    """
    own = swap_range(was.brief, night, was.timing)
    found = found_events(night, was.timing)
    power = power_of(was.brief, night, was.timing, path, found, own, None, was.before)
    used_wh = {supply["id"]: supply["used_wh"][fired] for supply in power["supplies"]}
    over = [change["from"]["frame"] for change in power["changes"] if change["until"]["frame"] <= fired]
    made = swapped or over
    rig = next((supply for supply in power["supplies"] if supply["id"] == "rig"), None)
    if rig and made:
        used_wh["rig"] -= swapped_at(rig["used_wh"], made[-1])
    return Before(
        frames=was.before.frames + fired,
        stands_ms=start_ms - was.timing.ms_of(fired + 1),
        used_wh=used_wh,
        packs=was.before.packs + len(made),
    )


def _check_way(way: Any, changes: Mapping[str, Any]) -> None:
    """Raises PlanProblem for what is no way, or one beside a start of its own."""
    id = way.get("id") if isinstance(way, dict) else None
    keys = ("start_ms",) if id in late.MINUTES else ("frame", "rolling_ms")
    known = isinstance(id, str) and (id in late.MINUTES or id in recovery.IDS)
    if not known or not all(_is_whole(way.get(key)) for key in keys):
        raise _unreadable()
    after = way.get("after", {})
    if not isinstance(after, dict) or not after.keys() <= set(AFTER):
        raise _unreadable()
    if changes.get("start_ms") is not None:
        raise PlanProblem("problem.way-start", {"start": changes["start_ms"]}, "start")


def _checked_swaps(way: Mapping[str, Any]) -> list[int]:
    """The frames at which packs were changed before a stop, in order: up to the one that was due then."""
    swapped: Any = way.get("after", {}).get("swapped", [])
    if not isinstance(swapped, list) or len(swapped) > MOST_SWAPPED:
        raise _unreadable()
    edges = [1, *swapped, way["frame"] + 1]
    if not all(map(_is_whole, edges)) or edges != sorted(edges):
        raise _unreadable()
    return swapped


def _checked_run(timing: Timing, run: Any) -> tuple[int, float]:
    given: dict[str, Any] = run if isinstance(run, dict) else {}
    ratio, start_ms = given.get("ratio"), given.get("start_ms")
    if not isinstance(ratio, int | float) or not LEAST_RATIO <= ratio <= MOST_RATIO or ratio is True:
        raise PlanProblem("problem.run-ratio", {"least": LEAST_RATIO, "most": MOST_RATIO}, "interval_s")
    if not _is_whole(start_ms) or abs(start_ms - timing.start_ms) > MOST_MS:
        raise PlanProblem("problem.run-start", {"start": timing.start_ms}, "start")
    return start_ms, ratio


def _is_whole(value: Any) -> TypeGuard[int]:
    return isinstance(value, int) and not isinstance(value, bool)


def _unreadable() -> PlanProblem:
    return PlanProblem("problem.way-unknown", {}, "start")
