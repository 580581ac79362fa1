"""Power and storage on the page: worked out again from what it carries, told in lines, drawn as it falls."""

from __future__ import annotations

import json
from collections.abc import Iterator
from typing import Any

import pytest
from playwright.sync_api import BrowserContext, Page, expect

from fieldsheet.sheet.sheet import changing
from tests.web.host import Host

HERE = "/fs/saltings/"
SHOT = HERE + "shots/slipway/"
COMPLETED = """async () => {
  const {carriedPlan} = await import('/app/shown/carried.js');
  const {power, storage} = await carriedPlan(document.getElementById('plan').textContent);
  return {supplies: power.supplies, storage};
}"""


@pytest.fixture
def page(demo_host: Host, kept_phone: BrowserContext) -> Iterator[Page]:
    faults: list[str] = []
    page = kept_phone.new_page()
    page.on("pageerror", lambda error: faults.append(str(error)))
    page.goto(demo_host.url(SHOT))
    expect(page.locator("#night")).to_be_enabled()
    yield page
    assert faults == []


def _bare(value: Any) -> Any:
    """Numbers to a billionth, instants without their local time, which the page leaves out."""
    if isinstance(value, dict):
        return {key: _bare(part) for key, part in value.items() if key != "local"}
    if isinstance(value, list):
        return [_bare(part) for part in value]
    return round(value, 9) if isinstance(value, float) else value


def test_the_page_works_out_what_it_does_not_carry(page: Page, demo_plan: dict[str, Any]) -> None:
    planned = {"supplies": demo_plan["power"]["supplies"], "storage": demo_plan["storage"]}
    assert len(planned["supplies"]) == 3
    assert _bare(page.evaluate(COMPLETED)) == _bare(json.loads(json.dumps(planned)))


def test_the_section_tells_every_line_and_draws_every_supply(page: Page, demo_plan: dict[str, Any]) -> None:
    box = page.locator("#power")
    expect(box.locator("tr")).to_have_count(0)
    box.locator("summary").tap()
    told = [[line["name"], line["text"]] for line in changing(demo_plan)["power"]]
    expect(box.locator("tr")).to_have_count(len(told))
    rows = box.locator("tr").evaluate_all(
        "(rows) => rows.map((row) => [...row.cells].map((c) => c.textContent))"
    )
    assert rows == told
    expect(box.locator("svg")).to_have_count(3)
    # The rig's line jumps back up at the swap; camera and heater fall all the way.
    ways = box.locator("svg path:not(.reserve)").evaluate_all(
        "(all) => all.map((one) => one.getAttribute('d'))"
    )
    assert [way.count("M") for way in ways] == [2, 1, 1]
    assert box.locator("svg rect").count() == 1
    boxes = box.locator("svg path:not(.reserve)").evaluate_all(
        "(all) => all.map((way) => way.getBBox()).map(({x, y, width, height}) => ({x, y, width, height}))"
    )
    for way in boxes:
        assert (way["x"], way["width"]) == (0, 340)
        assert way["y"] >= 16 and way["y"] + way["height"] <= 78 and way["height"] > 10


def test_another_night_is_told_anew(page: Page) -> None:
    box = page.locator("#power")
    box.locator("summary").tap()
    cards = box.locator("tr", has_text="cards")
    expect(cards).to_contain_text("26.4 of 64 GB")
    page.locator("#later").tap()
    expect(page.locator("#changed")).to_be_visible()
    page.locator("#night").evaluate(
        "(input) => { input.value = '2027-09-20'; input.dispatchEvent(new Event('change')); }"
    )
    expect(cards).not_to_contain_text("26.4 of 64 GB")
    expect(cards).to_contain_text("of 64 GB")


def test_the_kit_page_says_what_is_charged_and_what_is_not_emptied(demo_site: dict[str, bytes]) -> None:
    kit = demo_site["kit/index.html"].decode()
    assert "B1 for 31 min on the charger, 9 h 5 min at hand: full again before leaving" in kit
    assert '<li class="warning"><b>Full frame, 14 mm:</b> 68.1 GB in 3 shots on 3 nights' in kit


def test_no_line_is_cut_off_on_a_narrow_phone(page: Page) -> None:
    page.locator("#power summary").tap()
    expect(page.locator("#power svg")).to_have_count(3)
    wide = page.evaluate("document.documentElement.scrollWidth")
    assert wide <= page.evaluate("innerWidth")
