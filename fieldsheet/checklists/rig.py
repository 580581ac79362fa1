"""How the rig is built and made level.

Common practice, no source: stamp the feet in, seat and lock, hold what could run down, load the payload, wait
on sand or snow, then level.  Safety stands where the hand is about to do the thing, and defers to local rules
and the makers' instructions.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from .aimed import looks
from .row import Row, also, must, tied
from .shot import STEEP_DEG, Shot, home_of


def rig(shot: Shot) -> Iterator[Row]:
    """From bare ground to the loaded head; what may hurt comes first (Degani & Wiener 1990, rule 10)."""
    for hazard in shot.words["hazards"]:
        yield also("hazard", hazard, hazard=hazard)
    dark = shot.brief["night"]["rule"] == "night"
    if dark:
        yield must("way", note="cold")
    yield must("keep-out", note="lamps" if dark else None, value="keep_out")
    if shot.rail:
        yield _rail(shot, shot.rail)
    # Feet carry a rail that lies; what stands or is clamped can be pushed only once it is put together.
    lies = shot.kind == "rail" and not shot.upright
    if lies:
        yield must("feet", note="tip")
    for joint in shot.words["joints"]:
        yield must("joint", joint["name"], joint["seat"], note="lock", **_part(joint))
    if shot.incline_deg:
        yield from _held(shot)
    if not lies:
        yield _pushed(shot)
    if shot.incline_deg > STEEP_DEG:
        yield _tether(shot)
    yield _payload(shot)


def _pushed(shot: Shot) -> Row:
    """Joints that are locked hold an upright rail; without them this alone does."""
    if not shot.upright:
        return must("stand-" + shot.kind, note="tip")
    return (also if shot.words["joints"] else must)("fixed", note="tip")


def _held(shot: Shot) -> Iterator[Row]:
    """In one breath with the carriage's own seat: until power holds it, nothing else does."""
    joints = shot.words["joints"]
    # Where a joint says what it lets go, its own lock carries the weight.
    weight = also if any(joint["release"] for joint in joints) else must
    held = weight("carriage", note="falls")
    yield tied(held) if joints else held
    yield tied(also("end-stop"))


def _tether(shot: Shot) -> Row:
    payload = shot.brief["rail"]["payload_kg"]
    if payload is None:
        return must("tether", note="makers")
    return must("tether", note="weighed", payload=payload)


def _part(joint: dict[str, Any]) -> dict[str, str]:
    return {key: joint[key] for key in ("name", "seat", "key", "lock")}


def _rail(shot: Shot, rail: dict[str, Any]) -> Row:
    """How the rail lies in the world; left and right are seen from behind it, facing the subject."""
    rule = "rail-upright"
    args: dict[str, Any] = {"home": home_of(rail)}
    if rail["bearing_deg"] is not None:
        rule = "rail-incline" if rail["incline_deg"] else "rail-level"
        args["value"] = "rail_runs"
    if rule == "rail-incline":
        args["incline"] = abs(rail["incline_deg"])
    if rail["motor_end"]:
        return also(rule, note="motor", motor=rail["motor_end"].upper(), **args)
    return also(rule, note=None if rule == "rail-upright" else "behind", **args)


def _payload(shot: Shot) -> Row:
    """The last thing on, for the level is taken under it."""
    where = "incline" if shot.incline_deg else shot.kind
    return must("payload-" + where, note="load")


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
