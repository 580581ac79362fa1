"""What a rig's file says against itself."""

from __future__ import annotations

from collections.abc import Iterator

from ...problems import Problem
from ..document import Document
from ..words import show

# What says nothing of a rig that moves nothing.
MOVERS = ("keyframes", "orders", "settle_s", "load_kg")


def check_rig(rig: Document) -> Iterator[Problem]:
    """Axes and motion agree, and what the rig is told of interval and shutter fits the way it works."""
    motion, has_axes = rig.get("motion"), bool(rig.given(("axis",)))
    if motion == "none":
        if has_axes:
            yield rig.problem(
                ("motion",), "'none' for a rig with an axis", "'shoot-move-shoot' or 'continuous'"
            )
        else:
            for key in rig.written(MOVERS):
                yield rig.problem((key,), f"{key} for a rig without an axis", f"no {key}")
    elif motion is not None and not has_axes:
        right = "tables [axis.slide], [axis.pan], [axis.tilt] as the rig has them, or motion = 'none'"
        yield rig.problem(("axis",), f"no axis for a rig that moves {show(motion)}", right)
    if has_axes and motion != "none" and not rig.given(("keyframes",)):
        yield rig.problem(("keyframes",), "nothing", "{ most = 3, middle = 'free' }")
    if rig.get("interval_means") == "gap" and motion not in (None, "shoot-move-shoot"):
        found = f"'gap' for a rig whose motion is {show(motion)}"
        yield rig.problem(("interval_means",), found, "'start to start', or motion = 'shoot-move-shoot'")
    if rig.get("shutter_by") == "rig" and rig.get("trigger") == "camera":
        yield rig.problem(("shutter_by",), "'rig' where the camera fires", "'camera', or trigger = 'rig'")
