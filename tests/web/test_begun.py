"""A new version of the sheets arrives in the middle of a take: the take goes on with its own plan."""

from __future__ import annotations

import copy
from typing import Any

import pytest
from playwright.sync_api import BrowserContext, Locator, Page, expect

from fieldsheet.catalog.read import Catalog
from fieldsheet.press import plan_shot
from fieldsheet.sheet.sheet import make_sheet
from fieldsheet.site.build import build_site
from fieldsheet.sky.sky import Sky
from tests.in_memory import in_memory
from tests.web.host import Host
from tests.web.pagelog import on_log, payloads

HERE = "/fs/saltings/"
SHOT = HERE + "shots/slipway/"
CAP = ".item:has-text('Cap off')"
Made = tuple[dict[str, Any], dict[str, bytes]]


def _made(demo: Catalog, sky: Sky, packs: dict[int, bytes], **other: Any) -> Made:
    brief = {**copy.deepcopy(demo.brief("slipway")), **other}
    plan = plan_shot(brief, sky, {})
    site = build_site("Saltings", "saltings", [{"plan": plan, "sheet": make_sheet(plan)}], packs)
    return plan, in_memory(site)


@pytest.fixture(scope="module")
def old(demo: Catalog, sky: Sky, packs: dict[int, bytes]) -> Made:
    return _made(demo, sky, packs)


@pytest.fixture(scope="module")
def new(demo: Catalog, sky: Sky, packs: dict[int, bytes]) -> Made:
    """The same shot with a frame every 20 s, set the other way round in nothing."""
    return _made(demo, sky, packs, interval_ms=20_000)


def _open(page: Page, host: Host, site: dict[str, bytes]) -> Page:
    host.sites[HERE] = site
    page.goto(host.url(SHOT))
    expect(page.locator("#offline")).to_have_attribute("data-stored", "ready")
    return page


def _interval(page: Page) -> Locator:
    return page.locator("[data-v='numbers.interval']").first


def test_taken_in_the_middle_of_a_take_it_leaves_the_take_its_plan_until_the_end(
    phone: BrowserContext, host: Host, old: Made, new: Made
) -> None:
    page = _open(phone.new_page(), host, old[1])
    page.locator(CAP).first.tap()
    expect(page.locator("#end-take")).to_be_visible()
    _open(page, host, new[1])
    newer = page.locator("#offline .newer")
    expect(newer).to_contain_text("It waits until the take is ended: slipway.")
    expect(_interval(page)).to_have_text("18 s")
    page.get_by_role("button", name="Use it now").tap()
    expect(newer).to_contain_text("The take goes on with its own plan, as it was begun: slipway.")
    host.kill()
    page.get_by_role("button", name="Yes, use it").press("Enter")  # two taps so soon are a glove's

    told = page.locator("#older-plan")
    begun, now = old[0]["revision"], new[0]["revision"]
    expect(told).to_have_text(
        f"This take goes on with revision {begun}, as it was begun; these sheets are now {now}."
    )
    expect(_interval(page)).to_have_text("18 s")
    assert page.locator("main .differs:visible").count() == 0
    expect(page.locator(f"{CAP} input").first).to_be_checked()
    page.locator("#later").tap()
    expect(page.locator("#changed-what")).to_have_text("Not the printed night.")
    expect(_interval(page)).to_have_text("18 s")
    page.locator("#printed").click()
    other = page.locator(".item:has-text('Bubble unchanged')").first
    other.tap()
    expect(other.locator("input")).to_be_checked()
    for _ in range(2):
        page.locator("#end-take").click()
    expect(told).to_contain_text(f"That take was of revision {begun}; these sheets are now {now}.")
    host.start()
    assert len(payloads(page, "tick")) == 2
    expect(page.locator(f"{CAP} input").first).to_be_disabled()
    page.get_by_role("button", name="Show them").tap()
    expect(_interval(page)).to_have_text("20 s")
    expect(told).to_be_hidden()
    expect(page.locator(f"{CAP} input").first).to_be_enabled()
    expect(page.locator(f"{CAP} input").first).not_to_be_checked()


def test_begun_on_a_turned_page_it_stays_turned(
    phone: BrowserContext, host: Host, old: Made, new: Made
) -> None:
    page = _open(phone.new_page(), host, new[1])
    plan = {**old[0], "changes": {"night": "2027-06-07"}}
    page.evaluate(on_log("await log.beginTake('slipway', plan, plan.changes);", given="plan"), plan)
    page.reload()
    expect(page.locator("#older-plan")).to_contain_text(f"goes on with revision {old[0]['revision']}")
    expect(_interval(page)).to_have_text("18 s")
    expect(page.locator("#changed-what")).to_have_text("Not the printed night.")
    expect(page.locator("#night")).to_have_value("2027-06-07")


@pytest.mark.parametrize(
    "other",
    [
        pytest.param({"version": 2}, id="of a format that this page does not read"),
        pytest.param({"keyframes": []}, id="with other keyframes"),
        pytest.param({"picture": None}, id="that is none"),
    ],
)
def test_a_plan_that_the_page_cannot_show_locks_it_and_says_so(
    phone: BrowserContext, host: Host, old: Made, new: Made, other: dict[str, Any]
) -> None:
    page = phone.new_page()
    host.sites[HERE] = new[1]
    page.goto(host.url(SHOT))
    begin = on_log("await log.beginTake('slipway', plan);", given="plan")
    page.evaluate(begin, {**old[0], **other})
    page.reload()
    begun, shown = old[0]["revision"], new[0]["revision"]
    expect(page.locator("#older-plan")).to_have_text(
        f"This take was begun on revision {begun}; the page shows {shown}, and nothing can be ticked on it. "
        "It has no places for that plan: end the take to begin anew."
    )
    expect(_interval(page)).to_have_text("20 s")
    expect(page.locator(f"{CAP} input").first).to_be_disabled()
    for _ in range(2):
        page.locator("#end-take").click()
    expect(page.locator(f"{CAP} input").first).to_be_enabled()
