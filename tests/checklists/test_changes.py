"""Changes while it runs are items: of the interval, on whatever counts it, and of packs."""

from __future__ import annotations

import copy
from typing import Any

import pytest

from fieldsheet.catalog.read import Catalog
from fieldsheet.press import plan_shot
from fieldsheet.sheet.sheet import make_sheet
from fieldsheet.sky.sky import Sky
from tests.checklists.shots import TWO_PACKS, items
from tests.checklists.shots import shot as shot_of

PHASES = [
    {"from": {"event": "sunset", "offset_s": 0}, "interval_ms": 24_000},
    {"from": {"frame": 99_000}, "interval_ms": 30_000},
]


@pytest.mark.parametrize(
    ("shot", "rig", "said"),
    [
        ("slipway", {}, "Interval change {}, on the rig"),
        ("slipway", {"trigger": "camera"}, "Interval change {}, on camera and rig"),
        ("hoist", {}, "Gap change {}, on the rig"),
        ("pole-circle", {}, "Interval change {}, on the camera"),
    ],
)
def test_each_phase_is_confirmed_where_it_is_keyed(
    demo: Catalog, sky: Sky, shot: str, rig: dict[str, Any], said: str
) -> None:
    brief = copy.deepcopy(demo.brief(shot))
    brief["rig"] |= rig
    without = _rolling(make_sheet(plan_shot(brief, sky, {})))
    sheet = make_sheet(plan_shot({**brief, "phases": PHASES}, sky, {}))
    names = [said.format(number) for number in (1, 2)]
    changes = [item for item in _rolling(sheet) if item["text"] in names]
    assert not [item for item in without if item["text"] in names]
    assert [item["value"] for item in changes] == sheet["phases"]
    assert changes[1]["value"] == "not in this shot"
    assert len({item["id"] for item in changes}) == 2 and all(item["must"] for item in changes)


def _rolling(sheet: dict[str, Any]) -> list[dict[str, Any]]:
    return [item for part in sheet["checklist"] if part["name"] == "rolling" for item in part["items"]]


@pytest.mark.parametrize(
    ("takes_wh", "swaps"), [(4.9, []), (5.0, ["swaps.0"]), (9.9, ["swaps.0"]), (10.0, ["swaps.0", "swaps.1"])]
)
def test_a_swap_that_another_night_may_need_is_there(takes_wh: float, swaps: list[str]) -> None:
    """Half of what the packs before it give, 10 Wh each: no night is twice as long as this one."""
    brief, plan = shot_of(
        rig={"power": {"packs": [{}] * 3, "can_swap": True}},
        words={"power": {**TWO_PACKS, "packs": [*TWO_PACKS["packs"], {"name": "3", "seat": "in the car"}]}},
    )
    plan["power"]["supplies"][0]["total_wh"] = takes_wh
    found = items(brief, plan, "swap")
    assert [item["value"] for item in found if item["value"]] == swaps
    assert len([item for item in found if item["blank"] == "blank.frame"]) == len(swaps)
    brief["rig"]["power"]["can_swap"] = False
    assert items(brief, plan, "swap") == []
