"""The camera: everything that makes flicker, gaps, stray light or soft frames, off.

Common practice, no source.  Dust frame, focus and framing need the screen and a clear lens: what is covered
for the run is covered in "ready".
"""

from __future__ import annotations

from collections.abc import Iterator

from .row import Row, also, must
from .shot import Shot


def camera(shot: Shot) -> Iterator[Row]:
    """Menus first, then the lens, focus last: after it only keyframes touch the head."""
    yield must("card", value="numbers.storage") if shot.camera["cards"] else must("card")
    yield also("clock", blank="seconds")
    yield from _exposure(shot)
    yield also("drive-" + shot.rig["trigger"], note="which")
    yield also("stabiliser", note="corrections")
    yield also("noise", note="gap")
    if shot.words["switch_off"]:
        yield also("off", what=", ".join(shot.words["switch_off"]))
    yield also("strap", note="dust")
    if shot.brief["heater"]:
        yield also("heater", note="on")
    yield also("focus", note="where")


def _exposure(shot: Shot) -> Iterator[Row]:
    """How the camera exposes, and at what frame 1: planned, or written down for who has it open."""
    planned = shot.brief["exposure"]
    turned_by = planned and planned["turned_by"]
    if turned_by == "automatic":
        yield must("exposure-automatic", note="checked")
    else:
        yield must("exposure-" + shot.words["shutter_by"], note="fixed")
    if planned:
        yield must("frame-1-set", note=turned_by.replace(" ", "-"), value="exposure.start")
    else:
        yield also("frame-1", blank="exposure")
