"""What is said of a shot whose interval changes.  Twin: app/core/sheet-phases.js."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from ..plan.keyed import gap_ms
from .times import Clock
from .words import WORDS, say, span_text


def phased(plan: dict[str, Any], at: Clock, keyed_ms: Callable[[int], int]) -> str:
    """A length of time that hangs on the interval, with what it changes to and when."""
    parts: list[str] = []
    for segment, interval_ms in zip(plan["timing"]["segments"], told_ms(plan), strict=True):
        span = keyed_ms(interval_ms)
        args = {"frame": segment["first_frame"], "clock": at(segment["start_ms"]), "span": span}
        parts.append(say("value.from-frame", args, ()) if parts else span_text(span))
    return ", ".join(parts)


def told_ms(plan: dict[str, Any]) -> list[int]:
    """The interval of each segment as the rig is told it, however it runs."""
    timing = plan["timing"]
    if timing["run"]:
        return list(timing["run"]["told_ms"])
    return [segment["interval_ms"] for segment in timing["segments"]]


def runs_text(plan: dict[str, Any]) -> str:
    """How the rig runs, beside what it was told; "" where it was not seen to run otherwise."""
    if plan["timing"]["run"] is None:
        return ""
    runs = [segment["interval_ms"] for segment in plan["timing"]["segments"]]
    pairs = zip(runs, told_ms(plan), strict=True)
    told = [say("value.runs", {"runs": one, "told": told}, ()) for one, told in pairs if one != told]
    return ", ".join(told) or WORDS["value.runs-told"]


def phase_text(kind: str, brief: dict[str, Any], interval_ms: int, frame: int = 0, clock: str = "") -> str:
    """The message of a kind for an interval as this rig is told it: by its gap, or as it is."""
    gap = gap_ms(brief, interval_ms)
    id, span = (f"{kind}.interval", interval_ms) if gap is None else (f"{kind}.gap", gap)
    return say(id, {"span": span, "interval": interval_ms, "frame": frame, "clock": clock}, ())


def phase_lines(plan: dict[str, Any], at: Clock) -> list[str]:
    """What each phase of the shot changes the interval to, and when; said so where it has no frame."""
    told = zip(plan["timing"]["segments"], told_ms(plan), strict=True)
    runs = {segment["phase"]: (segment, interval_ms) for segment, interval_ms in told}
    lines = []
    for number in range(1, len(plan["brief"]["phases"]) + 1):
        if number not in runs:
            lines.append(WORDS["phase.none"])
            continue
        segment, interval_ms = runs[number]
        clock = at(segment["start_ms"])
        lines.append(phase_text("phase", plan["brief"], interval_ms, segment["first_frame"], clock))
    return lines
