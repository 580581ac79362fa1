"""The list of shots: the next night first by the phone's clock, past ones folded, found by typing."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, expect

from tests.site.sample import sample_site
from tests.web.host import Host

TITLES = "#nights .rows strong"
FOLDED = "#past .rows strong"


@pytest.fixture(scope="module")
def site() -> dict[str, bytes]:
    return sample_site()


@pytest.fixture
def page(phone: BrowserContext, host: Host, site: dict[str, bytes]) -> Iterator[Page]:
    host.sites["/"] = site
    yield phone.new_page()


def at(page: Page, host: Host, now: str) -> Page:
    page.clock.set_fixed_time(now)
    page.goto(host.url("/"))
    expect(page.locator("#find")).to_be_visible()
    return page


@pytest.mark.parametrize(
    ("now", "shown", "folded"),
    [
        ("2027-06-01T12:00:00Z", ["Slipway", "Jetty by moon"], []),
        ("2027-06-05T21:00:00Z", ["Slipway", "Jetty by moon"], []),  # it rolls: still the one to look at
        ("2027-06-06T12:00:00Z", ["Jetty by moon"], ["Slipway"]),
        ("2027-07-01T12:00:00Z", [], ["Jetty by moon", "Slipway"]),
    ],
)
def test_the_next_night_stands_first_and_past_ones_are_folded_latest_first(
    page: Page, host: Host, now: str, shown: list[str], folded: list[str]
) -> None:
    at(page, host, now)
    assert page.locator(TITLES).all_text_contents() == shown
    assert page.locator(FOLDED).all_text_contents() == folded
    assert page.locator(FOLDED).first.is_visible() is False
    if folded:
        expect(page.locator("summary")).to_have_text(f"Past nights: {len(folded)}")
        page.locator("summary").tap()
        expect(page.locator(FOLDED).first).to_be_visible()


def test_typing_leaves_the_shots_that_hold_every_word_past_ones_too(page: Page, host: Host) -> None:
    at(page, host, "2027-06-06T12:00:00Z")
    field, found = page.locator("#find"), page.locator("#found")
    visible = page.locator(".rows strong:visible")
    for typed, titles, words in (
        ("gull", ["Jetty by moon", "Slipway"], "2 shots"),
        ("GULL sat", ["Slipway"], "1 shot"),
        ("jetty 6 june", ["Jetty by moon"], "1 shot"),
        ("nowhere", [], "0 shots"),
    ):
        field.fill(typed)
        expect(found).to_have_text(words)
        # A row off the screen is laid out a picture later; until then it reads as empty.
        expect(visible).to_have_text(titles, use_inner_text=True)
    field.fill("")
    expect(found).to_be_hidden()
    expect(visible).to_have_text(["Jetty by moon"], use_inner_text=True)


def test_a_night_leads_to_its_page_and_says_what_is_to_settle(page: Page, host: Host) -> None:
    at(page, host, "2027-06-01T12:00:00Z")
    expect(page.locator("h2").first).to_contain_text("1 to settle")
    page.get_by_role("link", name="Sat 5 June 2027").tap()
    expect(page.locator("h1")).to_have_text("Sat 5 June 2027")


def test_without_scripts_the_list_is_there_and_says_that_nothing_is_stored(
    chromium: Browser, host: Host, site: dict[str, bytes]
) -> None:
    host.sites["/"] = site
    context = chromium.new_context(java_script_enabled=False)
    page = context.new_page()
    page.goto(host.url("/"))
    assert page.locator(TITLES).all_inner_texts() == ["Slipway", "Jetty by moon"]
    assert "not stored on the phone" in page.locator("#offline").inner_text()
    expect(page.locator("#find")).to_be_hidden()
    # What is laid out only when it comes near the screen reads as empty until the first picture is painted.
    lazy = page.locator("section").evaluate_all(
        "(all) => all.map((one) => getComputedStyle(one).contentVisibility)"
    )
    assert set(lazy) == {"visible"}
    context.close()
