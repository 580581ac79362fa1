"""Cards kept on the phone: only when asked for, next shots first, of the version that serves."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from playwright.sync_api import BrowserContext, Page, expect

from fieldsheet.site.version import version_json
from tests.site.sample import CARDS, SHEETS, changed, sample_shot, sample_site
from tests.web.host import Host

PAPER = ["cards/slipway.pdf", "sheets/slipway.pdf", "cards/jetty.pdf"]
ENDS = {name: sample_shot(name, name, night)["plan"]["window"]["end"]["utc_ms"]
        for name, night in (("slipway", "2027-06-05"), ("jetty", "2027-06-06"))}  # fmt: skip


@pytest.fixture(scope="module")
def site() -> dict[str, bytes]:
    return sample_site()


@pytest.fixture
def page(phone: BrowserContext, host: Host, site: dict[str, bytes]) -> Iterator[Page]:
    """The index, ready without signal, a week before the shots."""
    host.sites["/"] = site
    shown = phone.new_page()
    shown.clock.set_fixed_time("2027-06-01T12:00:00Z")
    shown.goto(host.url("/"))
    cards(shown, "open")
    yield shown


def cards(page: Page, state: str) -> None:
    expect(page.locator("#offline")).to_have_attribute("data-cards", state)


def keep(page: Page) -> None:
    page.get_by_role("button", name="Keep cards").tap()
    cards(page, "kept")


def asked_for(host: Host) -> list[str]:
    return [path.removeprefix("/") for path in host.asked if path.endswith(".pdf")]


READ = (
    """async (path) => { const answer = await fetch(path); return [answer.status, await answer.text()]; }"""
)


def recarded(site: dict[str, bytes], path: str, data: bytes) -> dict[str, bytes]:
    """The same version with another PDF."""
    files = {**site, path: data}
    return {**files, "version.json": version_json(files, ENDS)}


def test_nothing_is_fetched_unasked_and_what_there_is_is_named(page: Page, host: Host) -> None:
    assert asked_for(host) == []
    expect(page.locator("#offline .cards")).to_have_text("Cards: 3 files, 0.1 MB not on this phone")
    expect(page.locator("#offline .stored")).to_contain_text("Ready without signal")


@pytest.mark.parametrize(
    ("now", "order"),
    [
        ("2027-06-01T12:00:00Z", PAPER),
        ("2027-06-06T12:00:00Z", ["cards/jetty.pdf", "cards/slipway.pdf", "sheets/slipway.pdf"]),
    ],
)
def test_asked_for_they_come_next_shots_first_and_open_without_signal(
    page: Page, host: Host, now: str, order: list[str]
) -> None:
    page.clock.set_fixed_time(now)
    page.reload()
    keep(page)
    assert asked_for(host) == order
    expect(page.locator("#offline .cards")).to_have_text("Cards kept: 3 files, 0.1 MB")
    host.kill()
    page.reload()
    cards(page, "kept")
    assert page.evaluate(READ, "cards/slipway.pdf") == [200, CARDS["slipway"].decode()]
    assert page.evaluate(READ, "sheets/slipway.pdf") == [200, SHEETS["slipway"].decode()]
    host.start()


def test_progress_and_what_is_to_come_are_said(page: Page, host: Host) -> None:
    host.slow_s = {"sheets/slipway.pdf": 1.5}
    page.get_by_role("button", name="Keep cards").tap()
    said = "Fetching card 2 of 3, 0.1 MB to come: sheets/slipway.pdf"
    expect(page.locator("#offline .cards")).to_have_text(said)
    cards(page, "kept")


def test_a_changed_card_is_fetched_again_and_no_other(page: Page, host: Host, site: dict[str, bytes]) -> None:
    keep(page)
    host.sites["/"] = recarded(site, "cards/jetty.pdf", b"%PDF-1.7 drawn anew")
    host.asked.clear()
    page.reload()
    expect(page.locator("#offline")).to_have_attribute("data-newer", "none")
    cards(page, "kept")
    assert page.evaluate(READ, "cards/jetty.pdf") == [200, "%PDF-1.7 drawn anew"]
    assert asked_for(host) == ["cards/jetty.pdf"]


def test_cards_follow_the_version_that_serves_not_the_one_that_waits(
    page: Page, host: Host, site: dict[str, bytes]
) -> None:
    keep(page)
    new = changed(site, "index.html", b"Saltings</h1>", b"Saltings, new</h1>")
    host.sites["/"] = recarded(new, "cards/slipway.pdf", b"%PDF-1.7 of the new version")
    host.asked.clear()
    page.reload()
    expect(page.locator("#offline")).to_have_attribute("data-newer", "offered")
    cards(page, "kept")
    assert page.evaluate(READ, "cards/slipway.pdf") == [200, CARDS["slipway"].decode()]
    assert asked_for(host) == []
    page.get_by_role("button", name="Use it").tap()
    expect(page.locator("h1")).to_have_text("Saltings, new")
    cards(page, "kept")
    assert page.evaluate(READ, "cards/slipway.pdf") == [200, "%PDF-1.7 of the new version"]
    assert asked_for(host) == ["cards/slipway.pdf"]


def test_a_card_gone_from_the_catalog_goes_from_the_phone(
    page: Page, host: Host, site: dict[str, bytes]
) -> None:
    keep(page)
    files = {path: data for path, data in site.items() if path != "sheets/slipway.pdf"}
    host.sites["/"] = {**files, "version.json": version_json(files, ENDS)}
    page.reload()
    expect(page.locator("#offline .cards")).to_have_text("Cards kept: 2 files, 0.1 MB")
    assert (
        page.evaluate(
            "async (name) => (await (await caches.open(name)).keys()).length", "fieldsheet|/|saltings|cards"
        )
        == 2
    )


def test_what_could_not_be_had_is_named_and_the_rest_is_kept(
    bare_phone: BrowserContext, host: Host, site: dict[str, bytes]
) -> None:
    host.sites["/"] = {path: data for path, data in site.items() if path != "cards/slipway.pdf"}
    page = bare_phone.new_page()
    page.goto(host.url("/"))
    cards(page, "open")
    page.get_by_role("button", name="Keep cards").tap()
    why = "cards/slipway.pdf did not arrive as listed"
    said = f"Cards: 2 files, 0.1 MB kept; 1 file, 0.1 MB not on this phone; {why}"
    expect(page.locator("#offline .cards")).to_have_text(said)
    host.sites["/"] = site
    keep(page)


def test_a_full_phone_is_said(page: Page) -> None:
    full = "Promise.reject(new DOMException('no', 'QuotaExceededError'))"
    page.evaluate(f"() => {{ Cache.prototype.put = () => {full}; }}")
    page.get_by_role("button", name="Keep cards").tap()
    expect(page.locator("#offline .cards")).to_contain_text("this phone's storage is full")


def test_without_paper_there_is_no_word_of_cards(
    phone: BrowserContext, host: Host, demo_site: dict[str, bytes]
) -> None:
    host.sites["/"] = demo_site
    page = phone.new_page()
    page.goto(host.url("/"))
    cards(page, "none")
    expect(page.get_by_role("button", name="Keep cards")).to_be_hidden()
