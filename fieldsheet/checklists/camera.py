"""The camera: everything that makes flicker, gaps, stray light or soft frames, off.

Common practice, no source.  The cap comes off later, in "ready": while the head is aimed the sun may be near
the lens.
"""

from __future__ import annotations

from collections.abc import Iterator

from .row import Row, also, must
from .shot import Shot


def camera(shot: Shot) -> Iterator[Row]:
    """Menus first, then what is taped and taken off, focus last: after it only keyframes touch the head."""
    yield must("card")
    yield also("clock", blank="seconds")
    yield must("exposure-" + shot.words["shutter_by"], note="fixed")
    yield must("drive-" + shot.rig["trigger"], note="which")
    yield must("stabiliser", note="corrections")
    yield must("noise", note="gap")
    if shot.words["switch_off"]:
        yield must("off", what=", ".join(shot.words["switch_off"]))
    if shot.words["viewfinder"] == "optical":
        yield must("viewfinder", note="lamps")
    else:
        yield also("lamps")
    yield must("strap", note="dust")
    yield must("focus", note="where")
