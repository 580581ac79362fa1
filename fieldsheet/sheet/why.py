"""What stands behind each warning and each problem of planning: told at the desk, on request.

Python only, and in a table of its own: no page and no card says it.
"""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import dataclass
from importlib.resources import files


@dataclass(frozen=True)
class Why:
    """How something is worked out, the keys that it is worked out from, and what would keep it quiet.

    keys: dotted, those of the shot's file bare, the others' behind "place.", "rig." or "camera."; "N" stands
    for the keyframe that the message is about.
    """

    worked: str
    keys: Sequence[str]
    quiet: str


ASSUMED = "warning.assumed"
"""The one that comes from no keys that stand beforehand: from those that a shot's files mark."""

WHY: dict[str, Why] = {
    id: Why(**entry)
    for id, entry in json.loads(files(__package__).joinpath("why.json").read_text("utf-8")).items()
}
"""By the id of its message, such as "warning.interval-short"."""
