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
    yield must("card")
    yield also("clock", blank="seconds")
    yield must("exposure-" + shot.words["shutter_by"], note="fixed")
    yield also("frame-1", blank="exposure")
    yield also("drive-" + shot.rig["trigger"], note="which")
    yield also("stabiliser", note="corrections")
    yield also("noise", note="gap")
    if shot.words["switch_off"]:
        yield also("off", what=", ".join(shot.words["switch_off"]))
    yield also("strap", note="dust")
    yield also("focus", note="where")
