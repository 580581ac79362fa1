"""The end of a take: two taps for each one, and none too many."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from playwright.sync_api import BrowserContext, Locator, Page, expect

from tests.web.host import Host
from tests.web.pagelog import on_log

HERE = "/fs/saltings/"
SHOT = HERE + "shots/slipway/"
ASKED = "Tap again: ticks open again, the log keeps this take"
UNASKED = "End this take, begin anew"
KINDS = on_log(
    """const takes = (await log.takes('slipway')).toReversed();
  return Promise.all(takes.map(async ({take}) => (await log.events(take)).map(({kind}) => kind)));"""
)
END_IT = on_log("const [{take}] = await log.takes('slipway'); await log.append(take, 'end', {});")
TAP_IN_ONE_GO = """(box, taps) => {
  for (const tap of taps) (tap === 'end' ? document.getElementById('end-take') : box).click();
}"""


@pytest.fixture
def page(demo_host: Host, kept_phone: BrowserContext) -> Iterator[Page]:
    """The shot's page with a take begun; from then on its timers run when the test says so."""
    page = kept_phone.new_page()
    page.clock.install(time="2027-06-05T18:30:00+01:00")
    page.goto(demo_host.url(SHOT))
    expect(page.locator("#night")).to_be_enabled()
    _row(page, "Cap off").tap()
    expect(_end(page)).to_be_visible()
    page.clock.pause_at("2027-06-05T19:00:00+01:00")
    yield page
    expect(page.locator("#store-fault")).to_be_hidden()


def _row(page: Page, text: str) -> Locator:
    return page.locator(".item", has_text=text).first


def _tap_in_one_go(page: Page, *taps: str) -> None:
    """Faster than the phone writes: on the button, or on the box of "Bubble unchanged"."""
    _row(page, "Bubble unchanged").locator("input").evaluate(TAP_IN_ONE_GO, list(taps))


def _end(page: Page) -> Locator:
    return page.locator("#end-take")


def test_a_take_begun_right_after_another_s_end_is_asked_for_twice_again(page: Page) -> None:
    _end(page).tap()
    expect(_end(page)).to_have_text(ASKED)
    _end(page).click()
    expect(_end(page)).to_be_hidden()
    page.clock.run_for(5000)
    _row(page, "Bubble unchanged").tap()
    expect(_end(page)).to_be_visible()
    expect(_end(page)).to_have_text(UNASKED)
    _end(page).click()
    expect(_end(page)).to_have_text(ASKED)
    assert page.evaluate(KINDS) == [["take", "tick", "end"], ["take", "tick"]]
    page.clock.run_for(2000)  # past the six seconds of the question before
    expect(_end(page)).to_have_text(ASKED)
    page.clock.run_for(4000)
    expect(_end(page)).to_have_text(UNASKED)


@pytest.mark.parametrize("taps", [3, 4])
def test_a_tap_too_many_raises_no_alarm(page: Page, taps: int) -> None:
    _tap_in_one_go(page, *["end"] * taps)
    expect(_end(page)).to_be_hidden()
    _row(page, "Bubble unchanged").tap()
    expect(_end(page)).to_have_text(UNASKED)
    expect(_end(page)).to_be_visible()
    assert page.evaluate(KINDS) == [["take", "tick", "end"], ["take", "tick"]]


def test_taps_meant_for_one_take_do_not_end_the_next(page: Page) -> None:
    """The phone is slow to write: the end, a tick and two more taps stand in line."""
    _tap_in_one_go(page, "end", "end", "bubble", "end", "end")
    expect(_end(page)).to_have_text(UNASKED)
    expect(_row(page, "Cap off").locator("input")).not_to_be_checked()
    expect(_row(page, "Bubble unchanged").locator("input")).to_be_checked()
    assert page.evaluate(KINDS) == [["take", "tick", "end"], ["take", "tick"]]


def test_a_take_that_another_tab_has_ended_is_not_ended_again(page: Page, demo_host: Host) -> None:
    _end(page).tap()
    expect(_end(page)).to_have_text(ASKED)
    other = page.context.new_page()
    other.goto(demo_host.url(SHOT))
    other.evaluate(END_IT)
    expect(_end(page)).to_be_hidden()
    _tap_in_one_go(page, "end")
    _row(page, "Bubble unchanged").tap()
    expect(_end(page)).to_be_visible()
    expect(_end(page)).to_have_text(UNASKED)
    assert page.evaluate(KINDS) == [["take", "tick", "end"], ["take", "tick"]]
