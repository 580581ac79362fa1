"""What to carry.  The kit page gathers these rows over the whole catalog.

So a row here says nothing but its subject: the same thing, needed by two shots, is the same row, and the
leads of two rigs, though of one name, are two.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from .row import Row, also, house, must
from .shot import STEEP_DEG, Shot

BARE: dict[str, tuple[tuple[str, tuple[str, ...]], ...]] = {
    "rail": (("rail", ("rail",)), ("carriage", ("carriage",)), ("feet", ("feet", "foot"))),
    "head": (("feet", ("feet", "foot", "tripod")),),
    "still": (("stand", ("",)),),
}
"""What stands there but for its joints: a part, and the words of a joint's name that make it idle."""


def pack(shot: Shot) -> Iterator[Row]:
    """The packing list: the rig by its letter, power, remote, camera, and what everybody forgets."""
    rig, letter = shot.rig["id"], shot.rig["letter"]
    several = "letter" if shot.words["other_letters"] else None
    yield must("pack-rig", rig, note=several, letter=letter, names=", ".join(_parts(shot)))
    if shot.incline_deg:
        yield also("pack-stop", rig, letter=letter)
    if shot.incline_deg > STEEP_DEG:
        yield also("pack-tether", rig, letter=letter)
    for cable in shot.words["cables"]:
        yield _lead(shot, cable)
    yield from _power(shot)
    if shot.remote:
        yield also("pack-remote", rig, letter=letter, kind=shot.remote["kind"])
    camera = shot.camera
    yield must("pack-camera", camera["id"], note="note", title=camera["title"], focal=camera["focal_mm"])
    if shot.brief["heater"]:
        yield also("pack-heater")
    yield must("pack-lamp")
    yield must("pack-phone-cold") if shot.brief["deep_cold"] else also("pack-phone")
    if shot.words["permit"]:
        yield also("pack-permit", shot.words["permit"], permit=shot.words["permit"])
    for text in shot.words["pack"]:
        yield also("pack-extra", text, text=text)


def pieces(shot: Shot) -> int:
    """How many lines the packing list has, house items included: as many come home."""
    written = [house(item) for item in shot.words["house"] if item["section"] == "pack"]
    return len({(row.rule, row.subject) for row in [*pack(shot), *written]})


def _parts(shot: Shot) -> list[str]:
    """What stands there, a thing once: a joint may bring the carriage, a foot or the whole stand."""
    joints = [joint["name"] for joint in shot.words["joints"]]
    bare = [
        part for part, words in BARE[shot.kind] if not any(word in name for name in joints for word in words)
    ]
    return [*bare, *joints]


def _lead(shot: Shot, cable: dict[str, Any]) -> Row:
    """A lead; the one to the camera is another for another camera."""
    rig, letter, name = shot.rig["id"], shot.rig["letter"], cable["name"]
    subject = (rig, name, cable["from"], cable["to"])
    if cable["fits"] != "camera":
        ends = {"start": cable["from"], "end": cable["to"]}
        return also("pack-lead", *subject, note="note", letter=letter, name=name, **ends)
    args = {"letter": letter, "name": name, "camera": shot.camera["title"]}
    plug = shot.words["remote_plug"]
    if plug:
        return also("pack-camera-lead", *subject, shot.camera["id"], note="note", plug=plug, **args)
    return also("pack-camera-lead", *subject, shot.camera["id"], **args)


def _power(shot: Shot) -> Iterator[Row]:
    if not shot.power:
        return
    rig, letter = shot.rig["id"], shot.rig["letter"]
    names = ", ".join(one["name"] for one in shot.power["packs"])
    if shot.spares:
        spare = "; ".join(f"{one['name']}: {one['seat']}" for one in shot.spares)
        yield must("pack-packs", rig, note="spare", letter=letter, names=names, spare=spare)
    elif names:
        yield must("pack-pack", rig, letter=letter, name=names)
    else:
        yield must("pack-supply", rig, letter=letter, supply=shot.power["supply"])
    if shot.power["isolating_lead"]:
        yield also("pack-isolating", rig, letter=letter)
