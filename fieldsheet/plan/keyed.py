"""What this rig is told of the interval: dwell, gap, steps to key in.  Twin: app/core/keyed.js.

A shoot-move-shoot rig stands still for the dwell after firing; a rig that keys a gap counts from the end of
the dwell to the next firing, so that its gap is the interval less the dwell (common practice, no source).
"""

from __future__ import annotations

from typing import Any

SECOND_MS = 1000


def dwell_ms(brief: dict[str, Any]) -> int | None:
    """How long the rig stands after firing: release lag and longest shutter, up to a whole second.

    One that waits for the camera stands until that is ready again, too.  None for a rig that does not stop
    between frames.
    """
    if brief["rig"]["motion"] != "shoot-move-shoot":
        return None
    waits_ms = ready_ms(brief, brief["longest_shutter_ms"]) if brief["rig"]["waits_for_camera"] else 0
    return up_to(brief["camera"]["release_lag_ms"] + brief["longest_shutter_ms"] + waits_ms, SECOND_MS)


def ready_ms(brief: dict[str, Any], open_ms: int) -> int:
    """From a closed shutter to the next trigger; noise reduction exposes once more, for as long."""
    camera = brief["camera"]
    return int(camera["ready_ms"] + (open_ms if camera["noise_reduction"] else 0))


def gap_ms(brief: dict[str, Any], interval_ms: int) -> int | None:
    """The gap to key in for an interval, 0 where it leaves none; None for a rig that keys the interval."""
    dwell = dwell_ms(brief)
    if brief["rig"]["interval_means"] != "gap" or dwell is None:
        return None
    return max(interval_ms - dwell, 0)


def settable_ms(brief: dict[str, Any], interval_ms: int) -> int:
    """The shortest interval, at least interval_ms, that can be keyed into the rig, as interval or as gap."""
    step_ms = brief["rig"]["interval_step_ms"]
    dwell = dwell_ms(brief)
    before = dwell if brief["rig"]["interval_means"] == "gap" and dwell is not None else 0
    return before + up_to(max(interval_ms - before, step_ms), step_ms)


def up_to(value: int, step: int) -> int:
    """The least multiple of a step that is not below a value."""
    return -(-value // step) * step
