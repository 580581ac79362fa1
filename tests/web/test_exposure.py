"""The section on exposure: made on the phone, and shifted there by a click."""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import BrowserContext, Page, expect

from tests.web.host import Host


@pytest.fixture
def page(phone: BrowserContext, host: Host, demo_site: dict[str, bytes]) -> Page:
    host.sites["/"] = demo_site
    page = phone.new_page()
    page.goto(host.url("/shots/slipway/"))
    page.locator("#exposure > summary").tap()
    return page


def test_it_is_empty_until_it_is_opened(demo_site: dict[str, bytes]) -> None:
    assert (
        b'<details id="exposure"><summary>Exposure</summary></details>'
        in demo_site["shots/slipway/index.html"]
    )
    assert b'id="exposure"' not in demo_site["shots/clouds/index.html"]


def test_lines_picture_and_bands_are_those_of_the_sheet(page: Page) -> None:
    lines = page.locator("#exposure .pairs tr")
    expect(lines.first).to_contain_text("f/2.8 · 1/2000 s · ISO 100")
    expect(page.locator("#exposure svg path")).to_have_count(2)
    rows = page.locator("#exposure .clicks tbody tr")
    assert rows.count() >= 10
    expect(rows.nth(1)).to_contain_text("stay")
    expect(rows.last).to_contain_text("f/2.8 · 13 s · ISO 3200")
    wide = page.evaluate("document.documentElement.scrollWidth")
    assert wide <= 360
    for box in page.locator("#exposure button").all():
        assert (box.bounding_box() or {"height": 0})["height"] >= 44


def test_a_click_ahead_or_behind_shifts_the_rest_and_goes_back(page: Page) -> None:
    brighter, darker = page.locator("#exposure button").all()
    expect(brighter).to_be_enabled()
    brighter.tap()
    first = page.locator("#exposure .pairs tr")
    expect(first.first).to_contain_text("+0.33 stops")
    expect(page.locator("#exposure .pairs")).to_contain_text("1/1600 s")
    expect(page.locator("#changed-what")).to_have_text("Not the printed exposure.")
    expect(page.locator("#exposure .clicks .differs").first).to_be_visible()
    darker.tap()
    expect(first.first).to_contain_text("1/2000 s")
    expect(page.locator("#changed")).to_be_hidden()
    darker.tap()
    expect(first.first).to_contain_text(re.compile("−0.33 stops"))
