"""The list of shots: the next one first by the phone's clock, in order of night without it."""

from __future__ import annotations

import pytest
from playwright.sync_api import Browser, BrowserContext, expect

from tests.site.sample import sample_site
from tests.web.host import Host

TITLES = ".rows .what strong"


@pytest.fixture(scope="module")
def site() -> dict[str, bytes]:
    return sample_site()


def test_the_next_shot_stands_first_and_past_ones_last(
    phone: BrowserContext, host: Host, site: dict[str, bytes]
) -> None:
    host.sites["/"] = site
    page = phone.new_page()
    for now, order, past in (
        ("2027-06-01T12:00:00Z", ["Slipway", "Jetty by moon"], []),
        ("2027-06-05T21:00:00Z", ["Slipway", "Jetty by moon"], []),  # it rolls: still the one to look at
        ("2027-06-06T12:00:00Z", ["Jetty by moon", "Slipway"], ["Slipway"]),
        ("2027-07-01T12:00:00Z", ["Jetty by moon", "Slipway"], ["Jetty by moon", "Slipway"]),
    ):
        page.clock.set_fixed_time(now)
        page.goto(host.url("/"))
        expect(page.locator(TITLES)).to_have_text(order)
        assert page.locator(f".past {TITLES.removeprefix('.rows ')}").all_inner_texts() == past


def test_without_scripts_the_list_is_there_and_says_that_nothing_is_stored(
    chromium: Browser, host: Host, site: dict[str, bytes]
) -> None:
    host.sites["/"] = site
    context = chromium.new_context(java_script_enabled=False)
    page = context.new_page()
    page.goto(host.url("/"))
    assert page.locator(TITLES).all_inner_texts() == ["Slipway", "Jetty by moon"]
    assert "not stored on the phone" in page.locator("#offline").inner_text()
    context.close()
