"""Two shots that need the same rig, camera or person at the same time."""

from __future__ import annotations

import random
from itertools import combinations
from typing import Any

import pytest

from fieldsheet.plan.clashes import clashes
from fieldsheet.sheet.clashes import clash_text

HOUR_MS = 3_600_000
NOON_MS = 1_812_196_800_000  # 2027-06-05 12:00 UTC


def _plan(title: str, from_h: float, until_h: float, **needs: Any) -> dict[str, Any]:
    """A plan as far as clashes look at it: on site and end in hours after noon."""
    named = {"rig": "rail", "camera": "14", "place": "point", "crew": ["Runa"], "way_h": 0, **needs}
    on_site = {"id": "on-site", "time": {"utc_ms": NOON_MS + int(from_h * HOUR_MS)}}
    leave = {"id": "leave", "time": {"utc_ms": NOON_MS + int((from_h - named["way_h"]) * HOUR_MS)}}
    return {
        "shot": {"title": title},
        "place": {"id": named["place"]},
        "window": {"deadlines": [leave, on_site], "end": {"utc_ms": NOON_MS + int(until_h * HOUR_MS)}},
        "brief": {
            "rig": {"id": named["rig"], "title": named["rig"]},
            "camera": {"id": named["camera"], "title": named["camera"]},
            "place": {"zone": {"spans": [[0, 0, "UTC"]]}, "approach_ms": int(named["way_h"] * HOUR_MS)},
            "words": {"crew": [{"role": "operator", "who": who} for who in named["crew"]]},
        },
    }


@pytest.mark.parametrize(
    ("second", "kinds"),
    [
        (_plan("b", 2, 4), ["camera", "rig"]),
        (_plan("b", 2, 4, rig="post"), ["camera"]),
        (_plan("b", 2, 4, rig="post", camera="50"), []),
        (_plan("b", 2, 4, rig="post", camera="50", place="quarry"), ["person"]),
        (_plan("b", 2, 4, rig="post", camera="50", place="quarry", crew=["Osk"]), []),
        (_plan("b", 3, 4), []),
        (_plan("b", 3.25, 4, rig="post", camera="50", place="quarry", way_h=0.5), ["person"]),
        (_plan("b", -2, 0.5), ["camera", "rig"]),
    ],
)
def test_what_both_need_while_they_overlap(second: dict[str, Any], kinds: list[str]) -> None:
    """The first is on site from 12:00 to 15:00; a need ends with the shot."""
    found = clashes([_plan("a", 0, 3), second])
    assert [clash["kind"] for clash in found] == kinds
    assert found == clashes([second, _plan("a", 0, 3)]), "whichever comes first in the catalog"


def test_a_season_clashes_as_its_pairs_do() -> None:
    """What leaves long before it is on site, and what is long on its way home, overlaps what lies between."""
    rng = random.Random(2027)
    plans = [
        _plan(f"{n}", from_h, from_h + rng.choice([1, 5]), place=rng.choice("pq"), way_h=rng.choice([0, 6]))
        for n, from_h in enumerate(sorted(rng.sample(range(120), 40)))
    ]
    found = [clash for pair in combinations(plans, 2) for clash in clashes(pair)]
    assert len(found) > 40
    assert clashes(plans) == sorted(found, key=lambda one: (one["from_ms"], one["kind"], one["what"]))


def test_a_clash_is_said_with_its_hours() -> None:
    (clash,) = clashes([_plan("a", 0, 3), _plan("b", 2, 4, camera="50")])
    assert clash_text(clash) == "a and b both need the rig rail: 14:00–15:00"
    person = _plan("b", 2, 4, camera="50", rig="post", place="quarry")
    (clash,) = clashes([_plan("a", 0, 3), person])
    assert clash_text(clash) == "Runa would be at a and at b at once: 14:00–15:00"
