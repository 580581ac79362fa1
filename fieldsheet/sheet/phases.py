"""What is said of a shot whose interval changes.  Twin: app/core/sheet-phases.js."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from ..plan.keyed import gap_ms
from .times import Clock
from .words import WORDS, say, span_text


def phased(plan: dict[str, Any], at: Clock, keyed_ms: Callable[[int], int]) -> str:
    """A length of time that hangs on the interval, with what it changes to and when."""
    first, *later = plan["timing"]["segments"]
    parts = [span_text(keyed_ms(first["interval_ms"]))]
    for segment in later:
        args = {"frame": segment["first_frame"], "clock": at(segment["start_ms"])}
        parts.append(say("value.from-frame", {**args, "span": keyed_ms(segment["interval_ms"])}, ()))
    return ", ".join(parts)


def phase_text(kind: str, brief: dict[str, Any], interval_ms: int, frame: int = 0, clock: str = "") -> str:
    """The message of a kind for an interval as this rig is told it: by its gap, or as it is."""
    gap = gap_ms(brief, interval_ms)
    id, span = (f"{kind}.interval", interval_ms) if gap is None else (f"{kind}.gap", gap)
    return say(id, {"span": span, "interval": interval_ms, "frame": frame, "clock": clock}, ())


def phase_lines(plan: dict[str, Any], at: Clock) -> list[str]:
    """What each phase of the shot changes the interval to, and when; said so where it has no frame."""
    runs = {segment["phase"]: segment for segment in plan["timing"]["segments"]}
    lines = []
    for number in range(1, len(plan["brief"]["phases"]) + 1):
        segment = runs.get(number)
        if segment is None:
            lines.append(WORDS["phase.none"])
            continue
        clock = at(segment["start_ms"])
        lines.append(
            phase_text("phase", plan["brief"], segment["interval_ms"], segment["first_frame"], clock)
        )
    return lines
