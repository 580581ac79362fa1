"""The page of a year in a browser: nothing from elsewhere, no wider than a small phone, in every theme."""

from __future__ import annotations

import pytest
from playwright.sync_api import BrowserContext, Page, expect

from fieldsheet.catalog.read import Catalog
from fieldsheet.press import plan_shot
from fieldsheet.sheet.sheet import make_sheet
from fieldsheet.site.build import build_site
from fieldsheet.site.entries import SiteShot
from fieldsheet.sky.sky import Sky
from tests.in_memory import in_memory
from tests.web.host import Host

YEAR = "/years/slipway/"
TOO_WIDE = """() => [...document.querySelectorAll('body *')]
  .filter((node) => node.getBoundingClientRect().right > innerWidth + 0.5).map((node) => node.tagName)"""


@pytest.fixture(scope="module")
def site(demo: Catalog, sky: Sky, packs: dict[int, bytes]) -> dict[str, bytes]:
    plan = plan_shot(demo.brief("slipway"), sky, {})
    shot: SiteShot = {"plan": plan, "sheet": make_sheet(plan)}
    return in_memory(build_site("Saltings", "saltings", [shot], packs))


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
    good = page.locator(".year td.good").count()
    assert good == page.locator(".nights li").count() > 10
    expect(page.locator("main > p b").first).to_have_text(str(good))
    page.get_by_role("link", name="This shot").click()
    expect(page).to_have_url(host.url("/shots/slipway/"))


def test_nights_are_told_apart_without_colour(page: Page, host: Host) -> None:
    """Good ones are filled, open ones framed by dashes, near ones by a line; no plan has a large cross."""
    page.goto(host.url(YEAR))
    look = """(kind) => {
      const cell = document.querySelector('.year td.fails');
      cell.className = kind;
      const of = getComputedStyle(cell);
      const sign = getComputedStyle(cell.querySelector('i'));
      return [of.backgroundColor, of.borderTopStyle, of.borderTopColor, parseFloat(sign.fontSize) > 20];
    }"""
    ink = page.evaluate("getComputedStyle(document.body).color")
    clear = "rgba(0, 0, 0, 0)"
    assert page.evaluate(look, "good")[0] == ink
    assert page.evaluate(look, "open")[:3] == [clear, "dashed", ink]
    assert page.evaluate(look, "near") == [clear, "solid", ink, False]
    assert page.evaluate(look, "fails") == [clear, "solid", clear, False]
    assert page.evaluate(look, "none") == [clear, "solid", clear, True]


def test_every_night_stands_in_the_column_of_its_weekday(page: Page, host: Host) -> None:
    page.goto(host.url(YEAR))
    months = page.locator(".year table")
    assert months.count() == 12, "whole months"
    expect(page.locator("main > p", has_text="good nights of")).to_contain_text(
        "of 366, Tue 1 June 2027 to Wed 31 May 2028"
    )
    june = months.first
    expect(june.locator("caption")).to_have_text("June 2027")
    # The 5th of June 2027 is a Saturday.
    week = june.locator("tr").nth(1).locator("td")
    assert week.evaluate_all("(all) => all.map((cell) => (cell.firstChild?.data ?? '').trim())") == [
        *("", "1", "2", "3", "4", "5", "6")
    ]
    assert page.locator(".year td[class]").count() == 366


@pytest.mark.parametrize("width", [360, 1280])
def test_letters_fit_their_night(page: Page, host: Host, width: int) -> None:
    page.set_viewport_size({"width": width, "height": 900})
    page.goto(host.url(YEAR))
    letters = page.locator(".year td > i")
    assert "a b +3" in letters.all_inner_texts()
    sizes = letters.evaluate_all(
        """(all) => all.map((one) =>
          [one.scrollWidth, one.clientWidth, parseFloat(getComputedStyle(one).fontSize)])"""
    )
    assert all(wide <= room and size >= 12 for wide, room, size in sizes)


def test_the_moon_s_bar_is_as_long_as_she_is_lit(page: Page, host: Host) -> None:
    page.goto(host.url(YEAR))
    size = "(name) => getComputedStyle(document.querySelector(name)).backgroundSize"
    for eighths in range(1, 9):
        assert page.evaluate(size, f".year .m{eighths}") == f"{eighths * 12.5:g}% 3px"


def test_on_paper_it_has_the_ink_of_the_day_in_any_theme(page: Page, host: Host) -> None:
    page.goto(host.url(YEAR))
    page.get_by_role("button", name="Night").click()
    page.emulate_media(media="print")
    assert page.evaluate("getComputedStyle(document.querySelector('h1')).color") == "rgb(17, 17, 17)"
    expect(page.locator(".store")).to_be_hidden()


def test_needs_on_the_shots_page_turn_with_the_night(page: Page, host: Host) -> None:
    page.goto(host.url("/shots/slipway/"))
    row = page.locator("#needs tr", has_text="moon down at the end")
    expect(row).to_contain_text("met: down by 11.6°")
    page.get_by_role("button", name="One night later").click()
    page.get_by_role("button", name="One night later").click()
    page.get_by_role("button", name="One night later").click()
    expect(row.locator("td")).to_have_text("not met: up by 11.2° (changed, printed: met: down by 11.6°)")
    expect(row.locator("td")).to_have_class("differs")
    expect(page.locator("#warnings")).to_contain_text("Not the night that the shot needs")
