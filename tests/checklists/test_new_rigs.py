"""Each rig that `new` writes: its list names what it has, and nothing that it has not."""

from __future__ import annotations

import re
import tomllib
from typing import Any

import pytest

from fieldsheet.sheet.sheet import make_sheet
from fieldsheet.sky.sky import Sky
from fieldsheet.starts.made import first_catalog
from tests.answered import HILL, answered

TYPED = {**HILL, "load_kg": "8", "payload_kg": "3", "night": "2027-06-05"}
TELLS = {
    "slide": r"\brails?\b|carriage|\bbelt|travel\b|end stop|tether",
    "pan": r"\bpans?\b",
    "tilt": r"Tilt 0",
    "any": r"\bjog|keyframe|\bK\d|dwell|driven|on the rig|goes right|goes up",
    "cable": r"\blead:|strain relief|lead for|missed trigger, see",
    "power": r"power|pack A\d|polarity",
    "remote": r"remote(?! socket)",
}
"""What a rig may lack, and the words that only one who has it is to read."""


def _has(rig: dict[str, Any]) -> set[str]:
    axes = rig.get("axis", {})
    return {*axes, *(key for key in ("cable", "power", "remote") if key in rig), *(["any"] if axes else [])}


@pytest.mark.parametrize(
    ("kind", "subject", "typed"),
    [
        ("rail-and-head", "core", {}),
        ("rail-and-head", "sun", {"travel": "1240 mm", "incline_deg": "-12"}),
        ("head", "moon", {}),
        ("lift", "view", {"travel": "1240 mm"}),
        ("turntable", "pole", {}),
        ("static", "view", {"bearing_deg": "300"}),
    ],
)
def test_a_first_list_names_what_the_rig_has_and_nothing_else(
    sky: Sky, kind: str, subject: str, typed: dict[str, str]
) -> None:
    given = answered(sky, {**TYPED, "rig_kind": kind, "subject": subject, **typed})
    files, planned = first_catalog(given, "nights")
    (rig,) = [tomllib.loads(data.decode()) for path, data in files.items() if path.startswith("rigs/")]
    parts = make_sheet(planned)["checklist"]
    lines = [f"{item['text']} | {item['value']} | {item['note']}" for part in parts for item in part["items"]]
    everything = "\n".join(lines).casefold()
    foreign = re.compile("|".join(TELLS[name].casefold() for name in TELLS.keys() - _has(rig)))
    assert [line for line in everything.splitlines() if foreign.search(line)] == []
    named = [joint["name"] for joint in rig["joint"]] + [cable["name"] for cable in rig.get("cable", [])]
    named += [pack["name"] for pack in rig.get("power", {}).get("pack", [])] + list(rig.get("axis", {}))
    assert [name for name in named if name.casefold() not in everything] == []
