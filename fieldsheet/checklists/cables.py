"""Each lead from which port to which, and how its plug is turned; nothing is switched on yet."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from .row import Row, also
from .shot import Shot


def cables(shot: Shot) -> Iterator[Row]:
    """Leads in, then relieved; full travel and five real frames show one that is not.

    The camera's plug is told where a lead of the rig fits it.
    """
    leads, plug = shot.words["cables"], shot.words["remote_plug"]
    for lead in leads:
        yield _lead(lead, plug)
    if leads:
        yield also("strain-" + shot.kind, note="loop")


def _lead(lead: dict[str, Any], plug: str | None) -> Row:
    name, start = lead["name"], lead["from"]
    args = {"name": name, "start": start, "end": lead["to"], "key": lead["key"]}
    if lead["fits"] == "camera" and plug:
        return also("cable", name, start, lead["to"], note="fits", plug=plug, **args)
    return also("cable", name, start, lead["to"], note="start", **args)
