"""Which defaults a shot lives on: the keys that its files leave open, with the values taken for them."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any

from pydantic import BaseModel

from .brief import longest_shutter_ms
from .defaults import COLD, NOMINAL_AIR, SCENE_EV, TEMPERATURE_C, TILT_DEG
from .files import CATALOG_FILE
from .idle import idle_keys
from .models.camera import Camera
from .models.power import Battery, Heater, Pack
from .models.shot import Shot
from .read import Catalog
from .speech import concerns
from .words import show

_NUMBER = re.compile(r"\.(\d+)\.")


def defaults_taken(catalog: Catalog, shot_id: str) -> list[tuple[str, str]]:
    """(key, value) as text, such as ("rig.settle_s", "1"), shot first; absent optional parts are no defaults.

    A shutter time that is taken for another than is written is told with them.  Raises KeyError for an
    unknown shot.
    """
    files = catalog.files(shot_id)
    shot = files[0]
    brief = catalog.brief(shot_id)
    taken = [pair for file in files for pair in _open_keys(type(file).__name__.lower(), file)]
    if shot.order is None:
        taken.append(("shot.order", brief["order"]))
    if shot.tilt_deg is None and brief["tilt_deg"] is not None:
        taken.append(("shot.tilt_deg", str(TILT_DEG)))
    if files[1].air is None:
        taken.append(("place.air", NOMINAL_AIR))
    taken += _of_exposure(shot, files[3])
    taken += _of_cold(catalog, shot_id)
    open_ms = longest_shutter_ms(shot.longest_shutter_s)
    if open_ms != shot.longest_shutter_s * 1000:
        written, held = show(shot.longest_shutter_s), show(open_ms // 1000)
        taken.append(("shot.longest_shutter_s", f"{written} is {held} s on many cameras"))
    taken += _open_keys("catalog.print", catalog.head.print)
    for number, item in enumerate(catalog.head.house, start=1):
        if concerns(item, shot):
            taken += _open_keys(f"catalog.house.{number}", item)
    idle = idle_keys(shot, files[2], files[3])
    return [(key, value) for key, value in taken if key not in idle]


def defaults_by_file(catalog: Catalog, shot_id: str) -> dict[str, list[tuple[str, str]]]:
    """The same by the file in which each would be written: its key there, and the value taken for it."""
    by_file: dict[str, list[tuple[str, str]]] = {}
    for path, value in defaults_taken(catalog, shot_id):
        kind, _, key = path.partition(".")
        title = "title" if kind == "shot" else f"{kind}.title"
        file = CATALOG_FILE if kind == "catalog" else catalog.locate(shot_id, title)[0]
        by_file.setdefault(file, []).append((_NUMBER.sub(r" \1 ", key), value))
    return by_file


def assumed_by_line(catalog: Catalog, shot_id: str) -> list[tuple[str, str]]:
    """(file and line, key and value) of what its files give without having measured it, by file and line."""
    found = sorted(catalog.assumed(shot_id), key=lambda one: (one.file, one.line))
    return [(f"{one.file}:{one.line}", f"{one.own_key} = {one.value}") for one in found]


def _of_exposure(shot: Shot, camera: Camera) -> Iterator[tuple[str, str]]:
    """What limits the exposure, and what its bases are for, where the shot leaves that to others."""
    if shot.exposure is None:
        return
    iso, shutter = camera.iso[1], camera.shutters[1]
    ends = f"f/{shot.exposure.bright.f} and f/{shot.exposure.dark.f}, those of the two exposures"
    open_keys = [
        ("bright.at", shot.exposure.bright.at, "the brightest moment of the window"),
        ("dark.at", shot.exposure.dark.at, "the darkest moment of the window"),
        ("iso_max", shot.exposure.iso_max, f"{iso}, the camera's"),
        ("shutter_max", shot.exposure.shutter_max, f"{shutter}, the camera's, within longest_shutter_s"),
        ("apertures", shot.exposure.apertures or shot.exposure.aperture == "fixed" or None, ends),
    ]
    yield from ((f"shot.exposure.{key}", taken) for key, given, taken in open_keys if given is None)
    for number, keyframe in enumerate(shot.keyframe, start=1):
        if keyframe.scene_ev is None:
            yield f"shot.keyframe.{number}.scene_ev", str(SCENE_EV)


def _of_cold(catalog: Catalog, shot_id: str) -> Iterator[tuple[str, str]]:
    """The temperature and the curve that packs are judged by where nobody gave others."""
    shot, place, rig, camera = catalog.files(shot_id)
    packs = rig.power.pack if rig.power else []
    given: dict[str, Pack | Battery | Heater | None] = {
        **{f"rig.power.pack.{n}": pack for n, pack in enumerate(packs, start=1) if pack.capacity_mah},
        "camera.battery": camera.battery,
        "shot.heater": shot.heater,
    }
    supplies = {key: supply for key, supply in given.items() if supply is not None}
    if supplies and shot.temperature_c is None and place.air is None:
        yield "shot.temperature_c", str(TEMPERATURE_C)
    curve = ", ".join(f"[{degrees}, {left}]" for degrees, left in COLD)
    for key, supply in supplies.items():
        if supply.cold is None:
            yield f"{key}.cold", f"{curve}: our own estimate between two published points"


def _open_keys(path: str, table: BaseModel) -> Iterator[tuple[str, str]]:
    for name, field in type(table).model_fields.items():
        key = f"{path}.{field.alias or name}"
        value = getattr(table, name)
        if name in table.model_fields_set:
            yield from _inside(key, value)
        elif value is not None and value != [] and value != {}:
            yield key, _shown(value)
    for name, value in (table.model_extra or {}).items():
        yield from _inside(f"{path}.{name}", value)


def _inside(key: str, value: Any) -> Iterator[tuple[str, str]]:
    """The open keys of the tables that a written value holds; tables of a list count from 1."""
    if isinstance(value, BaseModel):
        yield from _open_keys(key, value)
    elif isinstance(value, list):
        for number, item in enumerate(value, start=1):
            yield from _inside(f"{key}.{number}", item)


def _shown(value: Any) -> str:
    if isinstance(value, BaseModel):
        parts = [
            f"{field.alias or name} {getattr(value, name)}"
            for name, field in type(value).model_fields.items()
        ]
        return ", ".join(parts)
    if isinstance(value, bool):
        return show(value)
    return ", ".join(map(str, value)) if isinstance(value, list) else str(value)
