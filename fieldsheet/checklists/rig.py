"""How the rig is built and made level.

Common practice, no source: stamp the feet in, load the payload, wait on sand or snow, then level; lock after
seat.  Safety stands where the hand is about to do the thing, and defers to local rules and the makers'
instructions.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from .aimed import looks
from .row import Row, must
from .shot import STEEP_DEG, Shot, home_of


def rig(shot: Shot) -> Iterator[Row]:
    """From bare ground to the loaded head; what may hurt comes first (Degani & Wiener 1990, rule 10)."""
    for hazard in shot.words["hazards"]:
        yield must("hazard", hazard, hazard=hazard)
    if shot.brief["night"]["rule"] == "night":
        yield must("way", note="cold")
    if shot.rail:
        yield _rail(shot.rail)
    yield must(_footing(shot), note="tip")
    if shot.incline_deg:
        yield must("end-stop")
    if shot.incline_deg > STEEP_DEG:
        yield must("tether", note="makers")
    for joint in shot.words["joints"]:
        yield must("joint", joint["name"], joint["seat"], note="lock", **_part(joint))
    if shot.incline_deg:
        yield must("carriage", note="falls")
    yield _payload(shot)


def _footing(shot: Shot) -> str:
    if shot.kind == "still":
        return "stand"
    return "fixed" if shot.upright else "feet"


def _part(joint: dict[str, Any]) -> dict[str, str]:
    return {key: joint[key] for key in ("name", "seat", "key", "lock")}


def _rail(rail: dict[str, Any]) -> Row:
    """How the rail lies in the world; left and right are seen from behind it, facing the subject."""
    rule = "rail-upright"
    args: dict[str, Any] = {"home": home_of(rail)}
    if rail["bearing_deg"] is not None:
        rule = "rail-incline" if rail["incline_deg"] else "rail-level"
        args["bearing"] = rail["bearing_deg"]
    if rule == "rail-incline":
        args["incline"] = abs(rail["incline_deg"])
    if rail["motor_end"]:
        return must(rule, note="motor", motor=rail["motor_end"].upper(), **args)
    return must(rule, note=None if rule == "rail-upright" else "behind", **args)


def _payload(shot: Shot) -> Row:
    if not shot.rail:
        return must("payload", note="ground")
    if shot.rail["payload_kg"] is None:
        return must("payload-rail", note="ground")
    return must("payload-weighed", note="ground", payload=shot.rail["payload_kg"])


def level(shot: Shot) -> Iterator[Row]:
    """Under its load and by hand; and the lens turned by hand where no axis does it.

    Before focus and keyframes, because levelling again voids them all.
    """
    yield must("level-" + _base(shot), note="first")
    yield from looks(shot)


def _base(shot: Shot) -> str:
    """What the bubble is laid on."""
    if shot.upright:
        return "upright"
    return "head" if shot.incline_deg else shot.kind
