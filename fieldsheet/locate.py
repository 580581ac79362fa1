"""Where in the user's files a problem or a warning of the planning comes from."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from fieldsheet.catalog.read import Catalog
from fieldsheet.plan.problem import PlanProblem
from fieldsheet.problems import Problem
from fieldsheet.sheet.why import ASSUMED
from fieldsheet.sheet.words import say

# By the first word of a warning's id: the key that a hand would change first.
_KEYS = {
    "interval": "interval_s",
    "move": "interval_s",
    "phase": "phase",
    "swap": "swap",
    "need": "needs",
    "sun": "start",
    "long": "start",
    "compass": "zero_bearing_deg",
    "pack": "rig.power",
    "peak": "rig.power",
    "packs": "temperature_c",
    "payload": "rail",
    "camera": "camera.battery",
    "heater": "heater",
    "cards": "camera.card_gb",
}


def located(catalog: Catalog, brief: Mapping[str, Any], problem: PlanProblem) -> Problem:
    """A problem of planning in the words and at the line of the file that it comes from."""
    key = catalog.as_written(brief["shot"]["id"], problem.key)
    file, line = catalog.locate(brief["shot"]["id"], key)
    spans = brief["place"]["zone"]["spans"]
    found, right = (say(f"{problem.id}.{part}", problem.args_, spans) for part in ("found", "right"))
    return Problem(file, line, key, found, right, problem.id)


def warning_at(catalog: Catalog, shot_id: str, warning: Mapping[str, Any]) -> str:
    """File and line of what a warning of a plan is about, the shot's title where that is no one key."""
    if warning["id"] == ASSUMED:
        first = catalog.assumed(shot_id)[0]
        return f"{first.file}:{first.line}"
    number = warning["args"].get("number")
    kind = warning["id"].removeprefix("warning.").partition("-")[0]
    key = _KEYS.get(kind, "title") if number is None else f"keyframe.{number - 1}"
    file, line = catalog.locate(shot_id, catalog.as_written(shot_id, key))
    return f"{file}:{line}"
