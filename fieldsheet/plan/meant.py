"""A keyframe meant for an event: how far off it falls, and what puts it there.  Twin: app/core/meant.js.

Some rigs have their middle keyframe halfway and nowhere else: then start or end decide when that is.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from math import floor
from typing import Any

from ..sky.events import RIDGE_EVENTS
from .anchors import Night, nearest_event, occurrences, whole_second
from .civil import DAY_S, stamp
from .planned import Caution, Planned, caution
from .problem import PlanProblem
from .timing import MINUTE_MS, MOST_MS, Timing, keyframe_frames, solve, to_minute

# A few minutes more or less are not seen in a clip of hours (common practice, no source).
ENOUGH_MS = 3 * MINUTE_MS
TRIES = 6


def meant_of(
    brief: dict[str, Any], night: Night, timing: Timing, frames: list[float], index: int
) -> dict[str, Any] | None:
    """The event nearest to a keyframe that is meant for it, and what would put it there; else None.

    {event, offset_s, time, off_ms (the keyframe less the event), start, end, split}: start, with what the
    shot keeps then ("end" or "frames"), and end are {time, frames, off_ms}, each with all else as it is;
    split is {frame, share, free}: where in the shot the event falls, free where the rig takes a keyframe
    there.  Each is None where it cannot be, and of a keyframe that is kept as it was set.  time is None where
    the event does not come within half a day, and then before and after are the nearest ones [ms UTC].
    """
    anchor = brief["keyframes"][index]["meant_for"]
    if anchor is None:
        return None
    here_ms = timing.ms_of(frames[index])
    event_ms = _event_ms(night, anchor, here_ms)
    mends = dict.fromkeys(("start", "end", "split"))
    if event_ms is None:
        return {**anchor, "time": None, "off_ms": None, **mends, **_nearest(night, anchor, here_ms)}
    off = {**anchor, "time": stamp(night.spans, event_ms), "off_ms": here_ms - event_ms}
    if "kept" in brief["keyframes"][index]:
        return {**off, **mends}
    return {
        **off,
        "start": _start(brief, night, timing, index, event_ms),
        "end": _end(brief, night, timing, index, event_ms),
        "split": _split(brief, timing, frames, index, event_ms),
    }


def off_event(planned: Planned) -> Iterator[Caution]:
    """Keyframes that fall by more than ENOUGH_MS off what they are meant for, and the least that mends it."""
    for number, meant in enumerate(planned.meant, start=1):
        if meant is None:
            continue
        args = {"number": number, "meant": {key: meant[key] for key in ("event", "offset_s")}}
        if meant["time"] is None:
            edges = {key: meant[key] for key in ("before", "after")}
            yield caution("mind", "meant-never", {**args, **edges})
        elif abs(meant["off_ms"]) > ENOUGH_MS:
            args |= {"off": to_minute(abs(meant["off_ms"])), "clock": meant["time"]["utc_ms"]}
            args["side"] = "when.after" if meant["off_ms"] > 0 else "when.before"
            yield caution("mind", "meant-off", {**args, "mend": _mend(planned.timing, meant, number)})


def _event_ms(night: Night, anchor: dict[str, Any], around_ms: int) -> int | None:
    """The moment [ms UTC] of an anchor, offset included, nearest to an instant and at most half a day off."""
    if anchor["event"] in RIDGE_EVENTS and not night.site.ridge:
        return None
    middle_s = around_ms / 1000 - anchor["offset_s"]
    found = occurrences(night, anchor["event"], middle_s - DAY_S // 2, middle_s + DAY_S // 2)
    moments = [(whole_second(at_s) + int(anchor["offset_s"])) * 1000 for at_s in found]
    return min(moments, key=lambda ms: (abs(ms - around_ms), ms), default=None)


def _nearest(night: Night, anchor: dict[str, Any], around_ms: int) -> dict[str, int | None]:
    """The event [ms UTC] before and after the half days on both sides; None where none is known of."""
    if anchor["event"] in RIDGE_EVENTS and not night.site.ridge:
        return {"before": None, "after": None}
    middle_s = around_ms / 1000 - anchor["offset_s"]
    ways = (("before", -1), ("after", 1))
    return {
        name: nearest_event(night, anchor["event"], middle_s + way * DAY_S // 2, way) for name, way in ways
    }


def _start(
    brief: dict[str, Any], night: Night, timing: Timing, index: int, event_ms: int
) -> dict[str, Any] | None:
    """The whole minute of a start with which the keyframe falls nearest to the event.

    None for a shot that starts late, where that would have been earlier.
    """
    at, keeps = brief["keyframes"][index]["at"], "frames" if brief["end"] is None else "end"
    if "frame" not in at and "fraction" not in at:
        return None
    # By how much the keyframe comes later for a start that does.
    moves = 1 - at["fraction"] if keeps == "end" and "fraction" in at else 1
    if moves == 0:
        return None
    tried = best = timing
    for _ in range(TRIES):
        off_ms = _off_ms(at, tried, event_ms)
        start_ms = floor((tried.start_ms - off_ms / moves) / MINUTE_MS + 0.5) * MINUTE_MS
        if start_ms == tried.start_ms:
            break
        try:
            tried = solve(brief, night, start_ms)
        except PlanProblem:
            return None
        if abs(_off_ms(at, tried, event_ms)) < abs(_off_ms(at, best, event_ms)):
            best = tried
    if best.start_ms < timing.start_ms and timing.anchor_start_ms < timing.start_ms:
        return None
    offer = _offer(brief, night, best, index, event_ms)
    return offer and {"time": stamp(night.spans, best.start_ms), **offer, "keeps": keeps}


def _end(
    brief: dict[str, Any], night: Night, timing: Timing, index: int, event_ms: int
) -> dict[str, Any] | None:
    """The end, by whole frames, with which the keyframe falls nearest to the event."""
    at = brief["keyframes"][index]["at"]
    if not at.get("fraction"):
        return None
    frames = floor(1 + (timing.frame_at(event_ms) - 1) / at["fraction"] + 0.5)
    if frames < 2:
        return None
    ended = replace(timing, frames=frames)
    if ended.end_ms - ended.start_ms > MOST_MS:
        return None
    offer = _offer(brief, night, ended, index, event_ms)
    return offer and {"time": stamp(night.spans, ended.end_ms), **offer}


def _offer(
    brief: dict[str, Any], night: Night, timing: Timing, index: int, event_ms: int
) -> dict[str, Any] | None:
    """What a timing comes to; None where the keyframe stays off, or others then lie outside the shot."""
    off_ms = _off_ms(brief["keyframes"][index]["at"], timing, event_ms)
    if abs(off_ms) > ENOUGH_MS:
        return None
    try:
        keyframe_frames(brief, night, timing)
    except PlanProblem:
        return None
    return {"frames": timing.frames, "off_ms": off_ms}


def _off_ms(at: dict[str, Any], timing: Timing, event_ms: int) -> int:
    """By how much a keyframe that hangs on no anchor comes after the event."""
    frame = at["frame"] if "frame" in at else 1 + at["fraction"] * (timing.frames - 1)
    return timing.ms_of(frame) - event_ms


def _split(
    brief: dict[str, Any], timing: Timing, frames: list[float], index: int, event_ms: int
) -> dict[str, Any] | None:
    """Where in the shot the event falls; None for its first and last keyframe, and beyond a neighbour."""
    if index in (0, len(frames) - 1):
        return None
    frame = timing.frame_at(event_ms)
    if not frames[index - 1] < frame < frames[index + 1]:
        return None
    limits = brief["rig"]["keyframes"]
    is_fixed = len(frames) == 3 and limits["middle"] == "halfway"
    return {"frame": frame, "share": (frame - 1) / (timing.frames - 1), "free": not is_fixed}


def _mend(timing: Timing, meant: dict[str, Any], number: int) -> dict[str, Any]:
    """What changes least of all that there is, as a message."""
    start, end, split = (meant[key] for key in ("start", "end", "split"))
    if split and split["free"]:
        return {"id": "mend.free", "args": {"number": number, "frame": split["frame"]}}
    edges = [("start", start, timing.start_ms), ("end", end, timing.end_ms)]
    moved = [(abs(edge["time"]["utc_ms"] - ms), name, edge) for name, edge, ms in edges if edge]
    if moved:
        by_ms, name, edge = min(moved, key=lambda row: row[0])
        args = {"by": to_minute(by_ms), "to": edge["time"]["utc_ms"], "frames": edge["frames"]}
        return {"id": "mend." + name, "args": args}
    if split:
        return {"id": "mend.split", "args": {"frame": split["frame"], "share": split["share"] * 100}}
    return {"id": "mend.lost", "args": {}}
