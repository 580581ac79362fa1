"""The page of a year in a browser: nothing from elsewhere, no wider than a small phone, in every theme."""

from __future__ import annotations

import pytest
from playwright.sync_api import BrowserContext, Page, expect

from fieldsheet.catalog.read import Catalog
from fieldsheet.press import plan_shot
from fieldsheet.sheet.sheet import make_sheet
from fieldsheet.site.build import build_site
from fieldsheet.sky.sky import Sky
from tests.web.host import Host

YEAR = "/years/slipway/"
TOO_WIDE = """() => [...document.querySelectorAll('body *')]
  .filter((node) => node.getBoundingClientRect().right > innerWidth + 0.5).map((node) => node.tagName)"""


@pytest.fixture(scope="module")
def site(demo: Catalog, sky: Sky, packs: dict[int, bytes]) -> dict[str, bytes]:
    plan = plan_shot(demo.brief("slipway"), sky, {})
    return build_site("Saltings", "saltings", [{"plan": plan, "sheet": make_sheet(plan)}], packs)


@pytest.fixture
def page(phone: BrowserContext, host: Host, site: dict[str, bytes]) -> Page:
    host.sites["/"] = site
    return phone.new_page()


@pytest.mark.parametrize("theme", ["day", "dark", "night"])
def test_it_fits_a_small_phone_and_asks_nothing_of_elsewhere(page: Page, host: Host, theme: str) -> None:
    asked: list[str] = []
    said: list[str] = []
    page.on("request", lambda request: asked.append(request.url))
    page.on("console", lambda message: said.append(message.text))
    page.set_viewport_size({"width": 360, "height": 740})
    page.goto(host.url(YEAR))
    page.get_by_role("button", name=theme.capitalize()).click()
    expect(page.locator("html")).to_have_attribute("data-theme", theme)
    assert page.evaluate(TOO_WIDE) == []
    assert all(url.startswith(host.url("/")) for url in asked) and len(asked) > 4
    assert said == []


def test_the_shot_leads_there_and_back(page: Page, host: Host) -> None:
    page.goto(host.url("/shots/slipway/"))
    page.get_by_role("link", name="A year of nights").click()
    expect(page).to_have_url(host.url(YEAR))
    expect(page.locator("h1")).to_have_text("Slipway: dusk to the core")
    good = page.locator("svg.year use[href='#good']").count()
    assert good == page.locator(".nights li").count() > 10
    expect(page.locator("main > p b").first).to_have_text(str(good))
    page.get_by_role("link", name="This shot").click()
    expect(page).to_have_url(host.url("/shots/slipway/"))


def test_marks_are_told_apart_without_colour(page: Page, host: Host) -> None:
    """Good marks are filled, near ones a heavy outline, the rest a thin small one."""
    page.goto(host.url(YEAR))
    look = """(name) => { const of = getComputedStyle(document.getElementById(name));
      return [of.fill, of.stroke, of.strokeWidth]; }"""
    ink = page.evaluate("getComputedStyle(document.body).color")
    assert page.evaluate(look, "good")[0] == ink
    assert page.evaluate(look, "near") == ["none", ink, "1.5px"]
    assert page.evaluate(look, "fails")[0] == "none"


def test_needs_on_the_shots_page_turn_with_the_night(page: Page, host: Host) -> None:
    page.goto(host.url("/shots/slipway/"))
    row = page.locator("#needs tr", has_text="moon down at the end")
    expect(row).to_contain_text("−11.8°, met")
    page.get_by_role("button", name="One night later").click()
    page.get_by_role("button", name="One night later").click()
    page.get_by_role("button", name="One night later").click()
    expect(row.locator("td")).to_have_text("10.9°, not met")
    expect(row.locator("td")).to_have_class("differs")
    expect(page.locator("#warnings")).to_contain_text("Not the night that the shot needs")
