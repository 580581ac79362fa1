"""What is stored in the rig and what is keyed into it, in the order in which it asks."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from .row import Row, also, must
from .shot import Shot

WEIGHTY = ("interval", "gap", "frames", "dwell")


def keyframes(shot: Shot) -> Iterator[Row]:
    """Keyframes in the order of setting, each with what the rig calls it; a stand without axes is framed."""
    if not shot.drives:
        yield _framed(shot)
    elif not shot.moves:
        # One keyframe at most: nothing to come back to.
        yield must("stood", value="keyframes.0.line", blank="as-set")
    else:
        yield also("approach", note="backlash")
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
    """The rig's own menu in its order, each line with the number to key in."""
    for name in shot.rig["program_order"]:
        if not _asked(shot, name):
            continue
        named = "gap" if name == "interval" and shot.rig["interval_means"] == "gap" else name
        rule = "interval-camera" if named == "interval" and shot.rig["trigger"] == "camera" else named
        note = "covers" if name == "dwell" else None
        yield (must if named in WEIGHTY else also)(rule, note=note, value="numbers." + named)


def _asked(shot: Shot, name: str) -> bool:
    """A rig that never stands still has no dwell; a shot that does not move has no hold and no ease."""
    if name == "dwell":
        return bool(shot.rig["motion"] == "shoot-move-shoot")
    return shot.moves or name not in ("hold", "ease")
