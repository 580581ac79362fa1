"""What is stored in the rig and what is keyed into it, in the order in which it asks."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from .row import Row, also, must
from .shot import Shot

WEIGHTY = ("interval", "gap", "frames")
"""What five real frames do not show to be wrong."""


def keyframes(shot: Shot) -> Iterator[Row]:
    """Keyframes in the order of setting, each with what the rig calls it; a stand without axes is framed."""
    if not shot.drives:
        yield _framed(shot)
    elif not shot.moves:
        # One keyframe at most: nothing to come back to.
        yield must("stood", value="keyframes.0.line", blank="as-set")
    else:
        yield from (_stored(shot.plan["keyframes"][number - 1]) for number in shot.plan["move"]["set_order"])


def _stored(keyframe: dict[str, Any]) -> Row:
    """Tape marks on every axis: without them a bump ends the night.

    The sighting stands with the keyframe's own figures, where another night renews it.
    """
    number = keyframe["number"]
    slots: dict[str, Any] = {"value": f"keyframes.{number - 1}.line", "blank": "as-set"}
    args = {"number": number, "name": keyframe["name"], "on_rig": keyframe["rig_number"]}
    return must("stored", str(number), note="on-rig", **slots, **args)


def _framed(shot: Shot) -> Row:
    """What to frame is what the shot's keyframe, if it has one, aims at, or else its sighting."""
    said = [what for keyframe in shot.brief["keyframes"] for what in ("aim", "sighting") if keyframe[what]]
    return must("framed", value=f"keyframes.0.{said[0]}" if said else None)


def program(shot: Shot) -> Iterator[Row]:
    """Each line with the number to key in: the rig's own menu in its order, then the camera's own timer.

    Where both are keyed, each line names its device; a rig that fires nothing and stays put is not keyed.
    """
    two = shot.rig["trigger"] == "camera"
    for name in shot.rig["program_order"] if shot.moves or not two else ():
        if _asked(shot, name):
            yield _keyed(shot, name, "-rig" if two else "")
    if two:
        yield must("interval-camera", value="numbers.interval")
        yield must("frames-camera", value="numbers.frames")


def _keyed(shot: Shot, name: str, device: str) -> Row:
    named = "gap" if name == "interval" and shot.rig["interval_means"] == "gap" else name
    weight = must if named in WEIGHTY else also
    return weight(named + device, note="covers" if name == "dwell" else None, value="numbers." + named)


def _asked(shot: Shot, name: str) -> bool:
    """A rig that never stands still has no dwell; a shot that does not move has no hold and no ease."""
    if name == "dwell":
        return bool(shot.rig["motion"] == "shoot-move-shoot")
    return shot.moves or name not in ("hold", "ease")
