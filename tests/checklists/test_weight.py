"""Weight: what is lost without a line, and no later line shows.  Common practice, no source."""

from __future__ import annotations

from typing import Any

import pytest

from tests.checklists.shots import LATCH, SWAP, TILTED, items, rules, shot

SLOPE: dict[str, Any] = {"rail": {"incline_deg": 20.0}}
STEEP: dict[str, Any] = {"rail": {"incline_deg": -45.0}}
STILL: dict[str, Any] = {"axes": (), "keyframes": 0, "rig": {"motion": "none"}}


PLAIN = [
    *("pack-rig", "pack-camera", "pack-lamp", "joint", "payload-rail", "plug-pack", "power-on-remote"),
    *("stored", "look-again", "battery", "interval", "frames", "first-frame", "thunder"),
]


@pytest.mark.parametrize(
    ("rule", "changes"),
    [
        *[(rule, {}) for rule in PLAIN],
        *[(rule, SLOPE) for rule in ("carriage", "holds", "down")],
        *[("tether", STEEP), ("remote-hangs", {"words": {"remote": TILTED}}), ("swap-apart", SWAP)],
        *[("camera-off", {"words": {"joints": [LATCH]}}), ("stand-still", STILL), ("sun", {})],
    ],
)
def test_without_these_the_night_the_rig_or_a_person_is_lost(rule: str, changes: dict[str, Any]) -> None:
    assert all(item["must"] for item in items(*shot(**changes)) if item["message"] == "item." + rule)
    assert rule in rules(*shot(**changes))


@pytest.mark.parametrize(
    "rule", ["hazard", "clock", "strain-rail", "cable", "dwell", "file", "count-rig", "pieces"]
)
def test_what_a_later_line_shows_or_nobody_misses_carries_less_weight(rule: str) -> None:
    assert not any(item["must"] for item in items(*shot()) if item["message"] == "item." + rule)
    assert rule in rules(*shot())
