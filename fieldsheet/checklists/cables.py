"""Each lead from which port to which, how its plug is turned, and the moment the power comes on."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from .row import Row, also, must
from .shot import Shot


def cables(shot: Shot) -> Iterator[Row]:
    """Leads in, relieved, then power: from then on the rig may move by itself."""
    leads, plug = shot.words["cables"], shot.words["remote_plug"]
    for lead in leads:
        yield _lead(lead, plug)
    if plug and all(lead["fits"] != "camera" for lead in leads):
        yield also("plug", plug=plug)
    if leads:
        yield must("strain-" + shot.kind, note="loop")
    if shot.drives:
        yield must("clear-" + shot.kind, note="stop")
    if shot.power:
        yield from _power_on(shot)


def _lead(lead: dict[str, Any], plug: str | None) -> Row:
    name, start = lead["name"], lead["from"]
    args = {"name": name, "start": start, "end": lead["to"], "key": lead["key"]}
    if lead["fits"] == "camera" and plug:
        return must("cable", name, start, lead["to"], note="fits", plug=plug, **args)
    return must("cable", name, start, lead["to"], note="start", **args)


def _power_on(shot: Shot) -> Iterator[Row]:
    assert shot.power is not None
    yield also("power-on")
    if shot.incline_deg:
        yield must("holds", note="sinks")
    if shot.power["sleeps"]:
        yield must("stays-on")
