"""How long the shutter is open at each frame.  Twin: app/core/opened.js."""

from __future__ import annotations

from math import ceil
from typing import Any

from .timing import Timing

Opens = list[tuple[int, int]]
"""(frame from which on, milliseconds that the shutter is open), ascending; the first at frame 1."""


def rung_clicks(exposure: dict[str, Any]) -> list[tuple[int, int, int]]:
    """(frame that it comes before, place on the ladder before, after) of every click of an exposure."""
    clicks = []
    for band in exposure["bands"]:
        before = exposure["first_rung"] + band["total"] - band["clicks"]
        way = 1 if band["clicks"] > 0 else -1
        for number in range(abs(band["clicks"])):
            frame = band["first_frame"] + band["every_frames"] * number
            clicks.append((frame, before + way * number, before + way * (number + 1)))
    return clicks


def rungs_of(exposure: dict[str, Any]) -> list[tuple[int, int]]:
    """(frame from which on, place on the ladder) of all settings that a planned exposure stands at."""
    return [(1, exposure["first_rung"]), *((frame, after) for frame, _, after in rung_clicks(exposure))]


def opens_of(brief: dict[str, Any], exposure: dict[str, Any] | None) -> Opens:
    """As the exposure is planned; the longest shutter at every frame where it is not."""
    if exposure is None:
        return [(1, brief["longest_shutter_ms"])]
    ladder = brief["exposure"]["ladder"]
    opens: Opens = []
    for frame, rung in rungs_of(exposure):
        open_ms = ladder[rung][3]
        if opens and frame == opens[-1][0]:
            opens.pop()
        if not opens or open_ms != opens[-1][1]:
            opens.append((frame, open_ms))
    return opens


def within(opens: Opens, first: int, last: int) -> Opens:
    """What of them lies in the frames from first to last, the first of them at first."""
    here = [(frame, open_ms) for frame, open_ms in opens if first < frame <= last]
    return [(first, open_at(opens, first)), *here]


def open_at(opens: Opens, frame: int) -> int:
    """Milliseconds that the shutter is open at a frame."""
    return next(open_ms for first, open_ms in reversed(opens) if first <= frame)


def carried_over(opens: Opens, timing: Timing, to: Timing) -> Opens:
    """The same at the same moments, counted in another timing's frames."""
    carried: Opens = []
    for frame, open_ms in opens:
        first = max(1, ceil(to.frame_at(timing.ms_of(frame))))
        if carried and carried[-1][0] == first:
            carried.pop()
        carried.append((first if carried else 1, open_ms))
    return carried
