"""How the rig is built and made level.

Common practice, no source: stamp the legs, load the payload, wait on sand or snow, then level; lock after
seat.  Safety stands where the hand is about to do the thing, and defers to local rules and the makers'
instructions.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from .row import Row, also, must
from .shot import STEEP_DEG, Shot, home_of


def rig(shot: Shot) -> Iterator[Row]:
    """From bare ground to the loaded head; what may hurt comes first (Degani & Wiener 1990, rule 10)."""
    for hazard in shot.words["hazards"]:
        yield must("hazard", hazard, hazard=hazard)
    if shot.brief["night"]["rule"] == "night":
        yield must("way", note="cold")
    if shot.words["other_letters"]:
        yield must("letters", note="which", letter=shot.rig["letter"])
    if shot.rail:
        yield _rail(shot.rail)
    yield must("stand" if shot.kind == "still" else "legs", note="tip")
    if shot.incline_deg:
        yield must("end-stop")
    if shot.incline_deg > STEEP_DEG:
        yield must("tether", note="makers")
    for joint in shot.words["joints"]:
        name = joint["name"]
        yield must("joint", name, joint["seat"], note="seat", name=name, key=joint["key"], seat=joint["seat"])
        yield must("lock", name, joint["seat"], name=name, lock=joint["lock"])
    if shot.incline_deg:
        yield must("carriage", note="falls")
    yield _payload(shot)


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
    payload_kg = shot.rail["payload_kg"] if shot.rail else None
    if payload_kg is None:
        return also("payload", note="ground")
    return also("payload-weighed", note="ground", payload=payload_kg)


def level(shot: Shot) -> Iterator[Row]:
    """Level before focus and before keyframes, because levelling again voids them all; then the zeros."""
    across = "turned" if shot.has("pan") else "both-ways"
    yield must(f"level-{shot.kind}-{across}", note="first")
    if shot.has("slide"):
        yield must("level-ends")
    if shot.brief["tilt_deg"] is not None and not shot.has("tilt"):
        yield must("tilt-by-hand", tilt=shot.brief["tilt_deg"])
    yield _zero(shot)
    if shot.has("tilt") and not shot.has("pan"):
        yield also("zero-tilt")
    if shot.rail:
        yield must("zero-slide", home=home_of(shot.rail))


def _zero(shot: Shot) -> Row:
    """What pan 0, or a lens that does not pan, looks at: by its sighting, or else by a compass."""
    rule = "look"
    if shot.has("pan"):
        rule = "zero" if shot.has("tilt") else "zero-pan"
    bearing, sighting = shot.brief["zero_bearing_deg"], shot.brief["zero_sighting"]
    if sighting:
        return must(rule, note="sighting", bearing=bearing, sighting=sighting)
    return must(rule, note="compass", bearing=bearing)
