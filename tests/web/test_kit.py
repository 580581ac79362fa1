"""The kit: ticks that stay on this phone, for every shot or one night, and hold no update back."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from playwright.sync_api import BrowserContext, Page, expect

from fieldsheet.site.build import build_site
from tests.in_memory import in_memory
from tests.site.sample import changed, sample_packs, sample_shot
from tests.web.host import Host
from tests.web.pagelog import REFUSED

WEDGE = "Wedge for the upper bench"


@pytest.fixture(scope="module")
def site() -> dict[str, bytes]:
    """Two nights of one rig; the later one packs one thing more."""
    later = sample_shot("jetty", "Jetty", "2027-06-06")
    pack = next(section for section in later["sheet"]["checklist"] if section["name"] == "pack")
    pack["items"].append({**pack["items"][0], "id": "0123456789ab", "text": WEDGE, "note": ""})
    shots = [later, sample_shot("slipway", "Slipway")]
    return in_memory(build_site("Saltings", "saltings", shots, sample_packs()))


@pytest.fixture
def page(phone: BrowserContext, host: Host, site: dict[str, bytes]) -> Iterator[Page]:
    host.sites["/"] = site
    shown = phone.new_page()
    shown.goto(host.url("/kit/"))
    expect(shown.locator("#kit input").first).to_be_enabled()
    yield shown


def left(page: Page) -> int:
    return int(page.locator("#left").inner_text().split()[0])


def rows(page: Page) -> list[str]:
    texts: list[str] = page.locator("#kit .what:visible").evaluate_all(
        "(all) => all.map((row) => row.firstChild.textContent)"
    )
    return texts


def test_ticks_stay_on_the_phone_and_one_tap_takes_all_away_or_back(page: Page) -> None:
    all_rows = left(page)
    expect(page.locator("#untick")).to_be_hidden()
    for number in (0, 3):
        page.locator("#kit .item").nth(number).tap()
    expect(page.locator("#left")).to_have_text(f"{all_rows - 2} left")
    page.locator("#kit .item").nth(5).tap()
    expect(page.locator("#left")).to_have_text(f"{all_rows - 3} left")
    expect(page.locator(".undo")).to_be_visible()
    page.keyboard.press("Control+z")
    expect(page.locator("#left")).to_have_text(f"{all_rows - 2} left")
    page.reload()
    expect(page.locator("#kit input:checked")).to_have_count(2)
    page.get_by_role("button", name="Untick all").tap()
    expect(page.locator("#kit input:checked")).to_have_count(0)
    page.get_by_role("button", name="Put the 2 ticks back").click()
    expect(page.locator("#kit input:checked")).to_have_count(2)
    page.get_by_role("button", name="Untick all").click()
    expect(page.get_by_role("button", name="Put the 2 ticks back")).to_be_visible()
    page.locator("#kit .item").nth(1).click()
    expect(page.get_by_role("button", name="Untick all")).to_be_visible()
    page.reload()
    expect(page.locator("#kit input:checked")).to_have_count(1)


def test_only_what_the_chosen_night_needs_is_shown_and_counted(page: Page, host: Host) -> None:
    assert WEDGE in rows(page)
    expect(page.locator("#kit li", has_text=WEDGE)).to_contain_text("A · Jetty")
    everything = left(page)
    page.locator("#for").select_option(label="Sat 5 June 2027")
    expect(page.locator("#left")).to_have_text(f"{everything - 1} left")
    assert WEDGE not in rows(page)
    page.goto("about:blank")
    page.goto(host.url("/kit/#2027-06-05"))
    expect(page.locator("#for")).to_have_value("2027-06-05")
    expect(page.locator("#left")).to_have_text(f"{everything - 1} left")
    assert WEDGE not in rows(page)


def test_two_tabs_show_the_same_ticks(page: Page, host: Host) -> None:
    other = page.context.new_page()
    other.goto(host.url("/kit/"))
    expect(other.locator("#kit input").first).to_be_enabled()
    page.locator("#kit .item").first.tap()
    expect(other.locator("#kit input:checked")).to_have_count(1)


def test_ticks_hold_no_update_back_and_outlive_it(page: Page, host: Host, site: dict[str, bytes]) -> None:
    expect(page.locator("#offline")).to_have_attribute("data-stored", "ready")
    open_rows = left(page)
    page.locator("#kit .item").first.tap()
    expect(page.locator("#left")).to_have_text(f"{open_rows - 1} left")  # said once it is on the disk
    host.sites["/"] = changed(site, "kit/index.html", b"<h1>Kit", b"<h1>New kit")
    page.reload()
    page.get_by_role("button", name="Use it").tap()
    expect(page.locator("h1")).to_contain_text("New kit")
    expect(page.locator("#kit input:checked")).to_have_count(1)


def test_where_nothing_can_be_kept_it_is_said(
    phone: BrowserContext, host: Host, site: dict[str, bytes]
) -> None:
    host.sites["/"] = site
    shown = phone.new_page()
    shown.add_init_script(REFUSED)
    shown.goto(host.url("/kit/"))
    expect(shown.locator("#store-fault")).to_contain_text("does not let the page store anything")
    expect(shown.locator("#kit input").first).to_be_disabled()
