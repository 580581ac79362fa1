"""Who keeps out of the picture, and for how long."""

from __future__ import annotations

from typing import Any

import pytest

from fieldsheet.catalog.read import Catalog
from fieldsheet.press import plan_shot
from fieldsheet.sheet.sheet import make_sheet
from fieldsheet.sky.sky import Sky
from tests.checklists.shots import item_of, shot


@pytest.mark.parametrize(("rule", "note"), [("night", "item.keep-out.lamps"), ("day", None)])
def test_lamps_are_forbidden_where_it_gets_dark(rule: str, note: str | None) -> None:
    item = item_of(*shot(night={"rule": rule, "date": "2027-06-05"}), "keep-out")
    assert (item["note"], item["value"], item["must"]) == (note, "keep_out", True)


def test_its_sector_changes_with_the_night(demo: Catalog, sky: Sky) -> None:
    def told(changes: dict[str, Any]) -> str:
        sheet = make_sheet(plan_shot(demo.brief("slipway"), sky, changes))
        items = (item for part in sheet["checklist"] for item in part["items"])
        return str(next(item["value"] for item in items if item["path"] == "keep_out"))

    assert told({}) == "087° (088° mag) to 355° (355° mag)"
    assert told({"night": "2027-07-05"}) != told({})
