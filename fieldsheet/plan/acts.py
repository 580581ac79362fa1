"""What a person does or must mind while the shot runs: pack swap, turning back.  Twin: app/core/acts.js."""

from __future__ import annotations

from typing import Any

from .anchors import TIDES, Night, following
from .civil import stamp
from .problem import PlanProblem
from .schedule import leaves_ms
from .timing import Timing, frame_of

HALF_DAY_MS = 12 * 3_600_000


def swap_range(brief: dict[str, Any], night: Night, timing: Timing) -> dict[str, Any] | None:
    """The range of frames {from, until: {frame, time}} in which the pack may be swapped, inside the shot.

    None where the shot has none, or where nothing of it lies inside the shot on this night.
    """
    edges = swap_edges(brief, night, timing)
    if edges is None:
        return None
    first, last = max(edges[0], 1.0), min(edges[1], float(timing.frames))
    if first >= last:
        return None
    return {
        key: {"frame": frame, "time": stamp(night.spans, timing.ms_of(frame))}
        for key, frame in (("from", first), ("until", last))
    }


def swap_edges(brief: dict[str, Any], night: Night, timing: Timing) -> tuple[float, float] | None:
    """Frame positions between which the swap is meant to lie, inside the shot or not, in order or not.

    None where there is none, or where an event that it hangs on does not come.
    """
    if brief["swap"] is None:
        return None
    try:
        first, last = (_edge(brief, night, timing, key) for key in ("from", "until"))
    except PlanProblem:
        return None
    return first, last


def _edge(brief: dict[str, Any], night: Night, timing: Timing, key: str) -> float:
    """An anchor is looked up from leaving on: a swap may be allowed from before the shot."""
    at = brief["swap"][key]
    if "frame" in at or "fraction" in at:
        return frame_of(at, night, timing, f"swap.{key}")
    at_s = following(night, at, leaves_ms(brief, timing.prepared_ms) / 1000, f"swap.{key}")
    return timing.frame_at(at_s * 1000)


def swap_missed_ms(brief: dict[str, Any], night: Night, timing: Timing) -> int | None:
    """When [ms UTC] the swap was to be over, where that is before frame 1; else None.

    A late start brings it. Looked up from leaving on, which is later then too, it would be tomorrow's. Of a
    swap that comes sooner after the shot it is the morning before that was found, which nobody meant.
    """
    at, start_ms = brief["swap"]["until"], timing.start_ms
    if "frame" in at or "fraction" in at:
        return None
    over_ms, next_ms = (_following_ms(night, at, start_ms - ms) for ms in (HALF_DAY_MS, 0))
    if over_ms is None or over_ms > start_ms:
        return None
    is_ahead = next_ms is not None and next_ms - timing.end_ms < start_ms - over_ms
    return None if is_ahead else over_ms


def _following_ms(night: Night, at: dict[str, Any], from_ms: int) -> int | None:
    """As `following`, in ms; None where nothing of it comes."""
    try:
        return following(night, at, from_ms / 1000, "swap.until") * 1000
    except PlanProblem:
        return None


def limits(brief: dict[str, Any], night: Night, timing: Timing) -> list[dict[str, Any]]:
    """Clock times that the place sets, {id, with, time}, each the first after leaving; in order of time.

    One that hangs on an event which does not come is left out.
    """
    rows = []
    for name, anchor, whom in place_anchors(brief):
        try:
            at_s = following(night, anchor, leaves_ms(brief, timing.prepared_ms) / 1000, "place")
        except PlanProblem:
            continue
        rows.append({"id": name, "with": whom, "time": stamp(night.spans, at_s * 1000)})
    return sorted(rows, key=lambda row: row["time"]["utc_ms"])


def limits_unknown(brief: dict[str, Any], limited: list[dict[str, Any]]) -> list[str]:
    """The clock times that the place sets and that have none on this night."""
    known = {row["id"] for row in limited}
    return [name for name, *_ in place_anchors(brief) if name not in known]


def place_anchors(brief: dict[str, Any]) -> list[tuple[str, dict[str, Any], str | None]]:
    """(id, anchor, with whom) of the clock times that the place sets."""
    place = brief["place"]
    check_in = place["check_in"]
    anchors = [
        ("turn-back", place["turn_back"], None),
        ("gate", place["gate_closes"], None),
        ("check-in", check_in and check_in["at"], check_in and check_in["with"]),
    ]
    return [row for row in anchors if row[1] is not None]


def moments(
    night: Night,
    timing: Timing,
    events: list[dict[str, Any]],
    keyframes: list[dict[str, Any]],
    changes: list[dict[str, Any]],
    limited: list[dict[str, Any]],
    turned: list[dict[str, Any]],
) -> list[dict[str, Any]]:
    """What lies along the run strip, by frame: sky and sea on one side, keyframes and acts on the other."""
    rows = [
        _moment("sky", "tide" if event["event"] in TIDES else "event", event["event"], event)
        for event in events
    ]
    rows += [
        {**_moment("hand", "keyframe", "moment.keyframe", keyframe), "number": keyframe["number"]}
        for keyframe in keyframes
    ]
    for swap in changes:
        rows += [_moment("hand", "act", f"moment.swap-{key}", swap[key]) for key in ("from", "until")]
    for row in limited:
        at = {"frame": timing.frame_at(row["time"]["utc_ms"]), "time": row["time"]}
        rows.append(_moment("hand", "act", "moment." + row["id"], at))
    for segment in timing.segments[1:]:
        at = {"frame": segment.first_frame, "time": stamp(night.spans, segment.start_ms)}
        rows.append({**_moment("hand", "act", "moment.interval", at), "interval_ms": timing.told_ms(segment)})
    rows += [_moment("hand", "exposure", turn["id"], turn) for turn in turned]
    inside = [row for row in rows if 1 <= row["frame"] <= timing.frames]
    return sorted(inside, key=lambda row: row["frame"])


def _moment(side: str, kind: str, id: str, at: dict[str, Any]) -> dict[str, Any]:
    return {"side": side, "kind": kind, "id": id, "frame": at["frame"], "time": at["time"]}
