"""The camera: everything that makes flicker, gaps, stray light or soft frames, off.

Common practice, no source.  Dust frame, focus and framing need the screen and a clear lens: what is covered
for the run is covered in "ready".
"""

from __future__ import annotations

from collections.abc import Iterator

from fieldsheet.plan.flicker import STEADY

from .row import Row, also, must
from .shot import Shot


def camera(shot: Shot) -> Iterator[Row]:
    """Menus first, then the lens, focus last: after it only keyframes touch the head."""
    yield must("card", value="numbers.storage")
    yield also("clock", blank="seconds")
    yield from _exposure(shot)
    yield also("drive-" + shot.rig["trigger"], note="which")
    yield also("stabiliser", note="corrections")
    if shot.camera["noise_reduction"]:
        yield also("noise-on", note="counted")
    else:
        yield also("noise", note="gap")
    yield from _flicker(shot)
    if shot.words["switch_off"]:
        yield also("off", what=", ".join(shot.words["switch_off"]))
    yield also("strap", note="dust")
    yield from _dew(shot)
    yield also("focus", note="where")


def _exposure(shot: Shot) -> Iterator[Row]:
    """How the camera exposes, and at what frame 1: planned, or written down for who has it open."""
    planned = shot.brief["exposure"]
    turned_by = planned and planned["turned_by"]
    if turned_by == "automatic":
        yield must("exposure-automatic", note="checked")
    elif _at_widest(shot):
        f = shot.camera["widest_f"]
        yield must("exposure-" + shot.words["shutter_by"], note="widest", f=f)
    else:
        yield must("exposure-" + shot.words["shutter_by"], note="fixed")
    if planned:
        yield must("frame-1-set", note=turned_by.replace(" ", "-"), value="exposure.start")
    else:
        yield also("frame-1", blank="exposure")


def _flicker(shot: Shot) -> Iterator[Row]:
    """What makes frame differ from frame, where this camera or this light does."""
    if shot.camera["widest_f"] and not _at_widest(shot):
        yield also("alike", note="closes")
    hz = shot.brief["mains_hz"]
    if hz:
        yield also("mains", note="faster", steady=STEADY[hz], hz=hz)


def _at_widest(shot: Shot) -> bool:
    """Whether a lens that would close is kept where it does not."""
    widest, exposure = shot.camera["widest_f"], shot.brief["exposure"]
    if widest is None:
        return False
    return exposure is None or all(rung[0] == widest for rung in exposure["ladder"])


def _dew(shot: Shot) -> Iterator[Row]:
    """The heater; without one the glass is looked at within 5 degrees of the dew point."""
    if shot.brief["heater"]:
        yield also("heater", note="on")
    elif shot.brief["dew"]:
        yield also("dew", note="looked", blank="degrees")
