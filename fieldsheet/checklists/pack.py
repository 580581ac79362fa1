"""What to carry.  The kit page gathers these rows over the whole catalog.

So a row here says nothing but its subject: the same thing, needed by two shots, is the same row, and the
leads of two rigs, though of one name, are two.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from .row import Row, also, house, must
from .shot import STEEP_DEG, Shot


def pack(shot: Shot) -> Iterator[Row]:
    """The packing list: the rig by its letter, power, remote, camera, and what everybody forgets."""
    rig, letter = shot.rig["id"], shot.rig["letter"]
    several = "letter" if shot.words["other_letters"] else None
    yield also("pack-" + shot.kind, rig, note=several, letter=letter)
    if shot.words["joints"]:
        names = ", ".join(joint["name"] for joint in shot.words["joints"])
        yield must("pack-joints", rig, letter=letter, names=names)
    if shot.incline_deg:
        yield must("pack-stop", rig, letter=letter)
    if shot.incline_deg > STEEP_DEG:
        yield must("pack-tether", rig, letter=letter)
    for cable in shot.words["cables"]:
        yield _lead(shot, cable)
    yield from _power(shot)
    if shot.remote:
        yield must("pack-remote", rig, letter=letter, kind=shot.remote["kind"])
    yield from _camera(shot)
    yield also("pack-lamp")
    for text in shot.words["pack"]:
        yield also("pack-extra", text, text=text)


def pieces(shot: Shot) -> int:
    """How many lines the packing list has, house items included: as many come home."""
    written = [house(item) for item in shot.words["house"] if item["section"] == "pack"]
    return len({(row.rule, row.subject) for row in [*pack(shot), *written]})


def _lead(shot: Shot, cable: dict[str, Any]) -> Row:
    """A lead; the one to the camera is another for another camera."""
    rig, letter, name = shot.rig["id"], shot.rig["letter"], cable["name"]
    subject = (rig, name, cable["from"], cable["to"])
    if cable["fits"] != "camera":
        ends = {"start": cable["from"], "end": cable["to"]}
        return must("pack-lead", *subject, note="note", letter=letter, name=name, **ends)
    args = {"letter": letter, "name": name, "camera": shot.camera["title"]}
    plug = shot.words["remote_plug"]
    if plug:
        return must("pack-camera-lead", *subject, shot.camera["id"], note="note", plug=plug, **args)
    return must("pack-camera-lead", *subject, shot.camera["id"], **args)


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
        yield must("pack-isolating", rig, letter=letter)


def _camera(shot: Shot) -> Iterator[Row]:
    camera = shot.camera
    yield also("pack-camera", camera["id"], note="note", title=camera["title"], focal=camera["focal_mm"])
    yield must("pack-cards")
