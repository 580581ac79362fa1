"""What makes frame differ from frame: mains light, a lens that closes.  Twin: app/core/flicker.js."""

from __future__ import annotations

from collections.abc import Iterator
from math import floor, pi, sin
from typing import Any

from .opened import rungs_of
from .planned import Caution, Planned, caution

# Mains light swells twice a cycle.  Of a light that goes dark in between, a shutter of x swells sees a part
# |sin(pi x) / (pi x)| come and go (the mean of a sine over the shutter); a twentieth is seen in a clip.
SEEN = 0.05
# Shutters that hold whole swells, all of them marks of a camera.
STEADY = {50: "1/100 or 1/50", 60: "1/60 or 1/30"}


def _mains(planned: Planned) -> Iterator[Caution]:
    """The first frame whose shutter catches mains light in parts of its swell."""
    mains_hz = planned.brief["mains_hz"]
    if mains_hz is None:
        return
    for frame, mark, seconds in _shutters(planned):
        if ripple(mains_hz, seconds) > SEEN:
            args = {"frame": frame, "clock": planned.timing.ms_of(frame), "shutter": mark, "hz": mains_hz}
            part = ripple(mains_hz, seconds) * 100
            yield caution("mind", "mains-flicker", {**args, "part": part, "steady": STEADY[mains_hz]})
            return


def ripple(mains_hz: int, seconds: float) -> float:
    """Which part of a light's swell a shutter lets through as change from frame to frame."""
    swells = 2 * mains_hz * seconds
    # Whole swells exactly, whatever the sine of a large multiple of pi makes of them.
    over = swells - floor(swells + 0.5)
    return abs(sin(pi * over)) / (pi * swells)


def _shutters(planned: Planned) -> Iterator[tuple[int, str, float]]:
    """(frame, mark, seconds) of every shutter as it comes; the shot's one where none is planned."""
    exposure = planned.exposure
    if exposure is None:
        seconds = planned.brief["longest_shutter_ms"] / 1000
        yield 1, _mark(seconds), seconds
        return
    ladder = planned.brief["exposure"]["ladder"]
    for frame, rung in rungs_of(exposure):
        mark = ladder[rung][1]
        yield frame, mark, 1 / int(mark[2:]) if mark.startswith("1/") else float(mark)


def _mark(seconds: float) -> str:
    """A shutter as it is written: 1/50, or its seconds."""
    whole_ms = floor(seconds * 1000 + 0.5)
    if whole_ms < 250:
        return f"1/{floor(1000 / whole_ms + 0.5)}"
    whole, part = divmod(whole_ms, 1000)
    return f"{whole}.{part:03d}".rstrip("0").rstrip(".")


def _closing(planned: Planned) -> Iterator[Caution]:
    """A lens that closes for every frame, to an aperture that it never meets twice alike."""
    widest = planned.brief["camera"]["widest_f"]
    exposure = planned.exposure
    if widest is None or exposure is None:
        return
    ladder = planned.brief["exposure"]["ladder"]
    for frame, rung in rungs_of(exposure):
        f: Any = ladder[rung][0]
        if f != widest:
            args = {"frame": frame, "clock": planned.timing.ms_of(frame), "f": f, "widest": widest}
            yield caution("mind", "aperture-flicker", args)
            return


CHECKS = (_mains, _closing)
