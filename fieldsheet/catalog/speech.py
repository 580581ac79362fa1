"""What a shot's files say in words: nothing computes with it, people read it."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from .models.camera import Camera
from .models.head import CatalogFile, HouseItem
from .models.place import Place
from .models.rig import Rig
from .models.shot import Shot
from .models.table import Table


def words(
    shot: Shot, place: Place, rig: Rig, camera: Camera, head: CatalogFile, other_letters: Sequence[str]
) -> dict[str, Any]:
    """The part of a brief that checklist, page and card read out, as JSON values."""
    return {
        "hazards": list(place.hazards),
        "abort": list(place.abort),
        "access": list(place.access),
        "permit": place.permit,
        "stays": shot.stays,
        "notes": list(shot.notes),
        "crew": [{"role": role, "who": shot.crew[role]} for role in head.roles if role in shot.crew],
        "roles": {section: role for role, sections in head.roles.items() for section in sections},
        "joints": [_written(joint) for joint in rig.joint],
        "cables": [_written(cable) for cable in rig.cable],
        "remote": _written(rig.remote) if rig.remote else None,
        "power": _power(rig),
        "shutter_by": rig.shutter_by,
        "back_to_start": rig.back_to_start,
        "remote_plug": camera.remote_plug,
        "switch_off": list(camera.switch_off),
        "viewfinder": camera.viewfinder,
        "file_roll": camera.file_roll,
        "pack": list(dict.fromkeys([*rig.pack, *camera.pack, *shot.pack])),
        "house": [_house(item) for item in head.house if concerns(item, shot)],
        "other_letters": sorted(set(other_letters) - {rig.letter}),
    }


def _power(rig: Rig) -> dict[str, Any] | None:
    if rig.power is None:
        return None
    power = rig.power
    return {
        **{key: getattr(power, key) for key in ("supply", "isolating_lead", "sleeps")},
        "packs": [{"name": pack.name, "seat": pack.seat} for pack in power.pack],
    }


def concerns(item: HouseItem, shot: Shot) -> bool:
    """Whether a house item is for this shot's place, rig and camera."""
    return all(
        only in (None, here)
        for only, here in ((item.place, shot.place), (item.rig, shot.rig), (item.camera, shot.camera))
    )


def _house(item: HouseItem) -> dict[str, Any]:
    return {key: getattr(item, key) for key in ("section", "text", "note", "must", "role")}


def _written(table: Table) -> dict[str, Any]:
    """A table of words under its TOML keys."""
    return table.model_dump(by_alias=True)
