"""A night at the place, with no host left: the demo's page turns, ticks and remembers by itself."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from playwright.sync_api import BrowserContext, Locator, Page, expect

from fieldsheet.press import plan_shot
from fieldsheet.sheet.sheet import make_sheet
from fieldsheet.sky.sky import Sky
from tests.web.host import Host
from tests.web.killable import Killable

HERE = "/fs/saltings/"
SHOT = HERE + "shots/slipway/"
OTHER_NIGHT = "2027-06-12"
DAY = "Sat 12 June 2027"
TEXTS = """() => Object.fromEntries([...document.querySelectorAll("[data-v]")].map((place) =>
  [place.dataset.v, place.childNodes[0]?.textContent ?? ""]))"""


@pytest.fixture
def turned(demo_brief: dict[str, Any], sky: Sky) -> Callable[[str], str]:
    """What the sheet of the other night says at a path such as "numbers.frames"."""
    sheet = make_sheet(plan_shot(demo_brief, sky, {"night": OTHER_NIGHT}))

    def at(path: str) -> str:
        part: Any = sheet
        for key in path.split("."):
            part = part[int(key)] if isinstance(part, list) else part[key]
        return str(part)

    return at


def installed(page: Page, host: Host, site: dict[str, bytes]) -> None:
    """The shot's page once everything is stored; then the host is gone for good."""
    host.sites[HERE] = site
    page.goto(host.url(SHOT))
    expect(page.locator("#offline")).to_have_attribute("data-stored", "ready")
    host.kill()


def row(page: Page) -> Locator:
    """The item whose value is the clock time of the first frame, which differs from night to night."""
    return page.locator(".item", has_text="Frame 1 has fired").first


def turn_and_tick(page: Page) -> None:
    """To the other night, and a tick; returns once the page says that it is on the disk."""
    left = page.locator("#check > section", has_text="Frame 1 has fired").first.locator(".left")
    page.locator("#night").evaluate(
        "(input, night) => { input.value = night; input.dispatchEvent(new Event('change')); }", OTHER_NIGHT
    )
    expect(page.locator(".date b")).to_contain_text(DAY)
    count = int(left.inner_text().split()[0])
    row(page).click()
    expect(left).to_have_text(f"{count - 1} left")


def assert_the_other_night_is_there(page: Page, turned: Callable[[str], str]) -> None:
    """Night, every text of the plan, and the tick."""
    expect(page.locator("#night")).to_be_enabled()
    expect(page.locator("#night")).to_have_value(OTHER_NIGHT)
    expect(page.locator(".date b")).to_contain_text(DAY)
    expect(page.locator("#changed")).to_be_visible()
    shown = page.evaluate(TEXTS)
    assert {"numbers.first_frame", "numbers.frames", "keyframes.0.axes.pan"} <= shown.keys()
    said = {path: "" if text == "none" else text for path, text in shown.items()}
    assert said == {path: turned(path) for path in shown}
    expect(row(page).locator("input")).to_be_checked()
    assert page.locator("input[data-item]:checked").count() == 1


def test_with_the_host_gone_a_turned_night_and_its_tick_come_back_at_every_reload(
    host: Host, phone: BrowserContext, demo_site: dict[str, bytes], turned: Callable[[str], str]
) -> None:
    page = phone.new_page()
    installed(page, host, demo_site)
    page.reload()
    expect(page.locator("#night")).to_be_enabled()
    turn_and_tick(page)
    for _ in range(2):
        page.reload()
        assert_the_other_night_is_there(page, turned)
    host.start()


def test_with_the_host_gone_a_phone_killed_after_the_tick_comes_back_with_night_and_tick(
    host: Host, killable: Killable, demo_site: dict[str, bytes], turned: Callable[[str], str]
) -> None:
    page = killable.start()
    installed(page, host, demo_site)
    page.reload()
    expect(page.locator("#night")).to_be_enabled()
    turn_and_tick(page)
    killable.kill()
    page = killable.start()
    page.goto(host.url(SHOT))
    assert_the_other_night_is_there(page, turned)
    host.start()
