"""The page of a night: all that falls due in one list, the next thing first, by the phone's clock."""

from __future__ import annotations

import pytest
from playwright.sync_api import BrowserContext, Page, expect

from tests.site.sample import CLASH, sample_site
from tests.web.host import Host
from tests.web.soon import soon

NIGHT = "/nights/2027-06-05/"


@pytest.fixture(scope="module")
def site() -> dict[str, bytes]:
    return sample_site()


@pytest.fixture
def page(phone: BrowserContext, host: Host, site: dict[str, bytes]) -> Page:
    host.sites["/"] = site
    return phone.new_page()


def test_it_names_shots_crew_paper_and_clashes(page: Page, host: Host) -> None:
    page.goto(host.url(NIGHT))
    expect(page.locator("h1")).to_have_text("Sat 5 June 2027")
    expect(page.locator(".warning").first).to_have_text(CLASH)
    expect(page.locator(".rows li")).to_have_count(1)
    expect(page.locator(".rows li")).to_contain_text("operator Runa")
    links = page.locator("dd a").evaluate_all("(all) => all.map((link) => link.getAttribute('href'))")
    assert links == ["../../cards/slipway.pdf", "../../sheets/slipway.pdf"]
    page.locator(".rows a").tap()
    expect(page.locator("h1")).to_have_text("Slipway")


@pytest.mark.parametrize(
    ("now", "due", "gone"),
    [
        pytest.param("2027-06-01T12:00:00+01:00", None, [], id="days before"),
        pytest.param(
            "2027-06-05T18:50:00+01:00",
            ["next, 19:13", "A · stored by", "in 23:00 23 min"],
            ["leave", "on site", "level by"],
            id="setting up",
        ),
        pytest.param(
            "2027-06-05T20:51:17+01:00",
            ["next, 21:22", "civil dusk", "in 30:32 30 min 32 s"],
            ["frame 1", "sunset", "swap from"],
            id="rolling",
        ),
        pytest.param("2027-06-07T12:00:00+01:00", None, ["end"], id="over"),
    ],
)
def test_what_is_due_next_and_what_has_gone_by(
    page: Page, host: Host, now: str, due: list[str] | None, gone: list[str]
) -> None:
    page.clock.set_fixed_time(now)
    page.goto(host.url(NIGHT))
    if due is None:
        expect(page.locator("#next")).to_be_hidden()
    else:
        expect(page.locator("#next > *")).to_have_text(due, use_inner_text=True)
        expect(page.locator("#next b > span").first).to_have_attribute("aria-hidden", "true")
    past = page.locator("#moments .past th > span")
    soon(page, lambda: set(gone) <= set(past.all_inner_texts()), True)
    assert ("frame 1" in past.all_inner_texts()) is (now > "2027-06-05T19:36")
