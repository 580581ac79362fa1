"""Better keyframes in words: on paper, on the page and in the terminal, of the printed night alone."""

from __future__ import annotations

from typing import Any

import pytest

from fieldsheet.catalog.read import Catalog
from fieldsheet.press import plan_shot
from fieldsheet.sheet.sheet import make_sheet
from fieldsheet.site.compose import carried_plan
from fieldsheet.sky.sky import Sky
from fieldsheet.terminal.page import plan_page


@pytest.fixture(scope="module")
def planned(demo: Catalog, sky: Sky) -> dict[str, Any]:
    brief = demo.brief("moonrise")
    brief["camera"]["pixels"] = [6000, 4000]
    brief["rig"] |= {"joins": "straight", "keyframes": {"most": 5, "middle": "free"}}
    brief |= {"ease": [0, 0], "end": {"event": "moonrise", "offset_s": 4 * 3600}}
    return plan_shot(brief, sky, {})


def test_both_drifts_stand_beside_one_another(planned: dict[str, Any]) -> None:
    own, values, more = make_sheet(planned)["better"]
    assert (own["name"], values["name"]) == ("moon, K2 to K3", "as many keyframes")
    row = planned["better"][0]
    for line, drift in ((own, row["own"]), (values, row["offers"][0]["worst"])):
        assert f"{drift['share'] * 100:.1f} % of the width, {drift['px']:.0f} px at frame" in line["text"]
    assert "; K2 P " in values["text"] and "; K3 P " in values["text"]
    assert more["name"] == f"{len(row['offers'][1]['keyframes'])} keyframes"
    assert more["text"].count("frame ") == 1 + len(row["offers"][1]["keyframes"])


def test_the_terminal_tells_them_and_the_phone_carries_none(planned: dict[str, Any]) -> None:
    sheet = make_sheet(planned)
    page = plan_page(sheet, {})
    assert "\nLess drift, to compare\n" in page and sheet["better"][0]["text"] in page
    assert "better" not in carried_plan(planned)


def test_where_none_is_better_it_says_so(planned: dict[str, Any]) -> None:
    row = {**planned["better"][0], "offers": []}
    (line,) = make_sheet({**planned, "better": [row]})["better"]
    assert line["text"].endswith("; as good as can be set")
    lost = {**row, "own": {**row["own"], "share": None}}
    (line,) = make_sheet({**planned, "better": [lost]})["better"]
    assert "out of the lens at frame" in line["text"]
