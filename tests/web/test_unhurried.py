"""What comes after the ticks is waited for where it is opened before; where it does not come, ticks go on."""

from __future__ import annotations

import re
from datetime import datetime, timedelta

import pytest
from playwright.sync_api import BrowserContext, Page, Route, expect

from fieldsheet.site.version import version_json
from tests.web.host import Host
from tests.web.pagelog import REFUSED
from tests.web.rebuilt import renamed
from tests.web.soon import kept, soon

HERE = "/fs/saltings/"
SHOT = HERE + "shots/slipway/"
FAILED = "This part of the page did not load: load the page again. Ticks and clock go on without it."


NOT_OPENED = "Not opened. A part of this page did not load: load it again. Nothing on this phone has changed."
NO_CODE = (
    "A part of this page did not load: load the page again for the plan's code. Share or save it as a file."
)
NOW = datetime.fromisoformat("2027-06-05T19:00:00+01:00")
HANGS = "IDBFactory.prototype.open = () => new EventTarget();"
DEAF = "delete globalThis.BroadcastChannel;"
CODE, TAKES, PLANS = b"as digitsOf", b"as showTakes", b"as showPlans"
FIRST = b"older-plan"  # what a thumb needs at once


def file_with(site: dict[str, bytes], exported: bytes) -> str:
    """The file whose name is a hash, by what it exports."""
    [path] = [path for path, data in site.items() if path.endswith(".js") and exported in data]
    return path


def without(site: dict[str, bytes], *exported: bytes) -> dict[str, bytes]:
    """The site as a host has it that lost these files."""
    gone = [file_with(site, what) for what in exported]
    return {path: data for path, data in site.items() if path not in gone}


def next_version(site: dict[str, bytes], *exported: bytes) -> dict[str, bytes]:
    """These files are others now."""
    files = renamed(site, [file_with(site, what) for what in exported])
    return {**files, "version.json": version_json(files)}


@pytest.fixture
def page(host: Host, bare_phone: BrowserContext, demo_site: dict[str, bytes]) -> Page:
    host.sites[HERE] = dict(demo_site)
    return bare_phone.new_page()


def ticked(page: Page) -> None:
    page.locator(".item input:enabled").first.tap()
    expect(page.locator(".progress")).to_have_text("27 of 28 must-dos left")  # said once it is on the disk


@pytest.mark.parametrize("store", [HANGS, REFUSED])
def test_without_an_answer_of_the_store_the_list_and_what_follows_it_are_shown(
    page: Page, host: Host, store: str
) -> None:
    skies: list[Route] = []
    page.route("**/*.pack", lambda route: skies.append(route))
    page.add_init_script(store)
    page.goto(host.url(SHOT))
    expect(page.locator(".progress")).to_have_text("28 of 28 must-dos left")
    page.route("**/*.pack", lambda route: route.continue_())
    for sky in skies:
        sky.continue_()
    expect(page.locator("#night")).to_be_enabled()
    expect(page.locator(".item input:enabled")).to_have_count(0)


def test_a_page_that_cannot_show_its_take_says_so_and_keeps_what_is_ticked(
    page: Page, host: Host, demo_site: dict[str, bytes]
) -> None:
    whole = demo_site["shots/slipway/index.html"]
    torn = re.sub(
        rb'(<table[^>]*id="?rolling"?[^>]*>).*?(?=</table>)', rb"\1", whole, count=1, flags=re.DOTALL
    )
    host.sites[HERE] = {**demo_site, "shots/slipway/index.html": torn}
    assert torn != whole
    page.goto(host.url(SHOT))
    expect(page.locator("#lost")).to_contain_text("This page is damaged")
    page.locator(".item input").first.evaluate("(box) => box.click()")
    kept(page, "take", "tick")
    expect(page.locator("#night")).to_be_enabled()
    expect(page.locator("#lost")).to_contain_text("This page is damaged")


def test_what_is_opened_too_early_is_waited_for_and_then_filled(
    page: Page, host: Host, demo_site: dict[str, bytes]
) -> None:
    skies: list[Route] = []
    page.route("**/*.pack", lambda route: skies.append(route))
    host.slow_s[file_with(demo_site, b"as makeRest")] = 3
    page.goto(host.url(SHOT))
    ticked(page)
    page.locator("#wrong > summary").tap()
    expect(page.locator("#wrong > p")).to_have_text("One moment …")
    by_ear = page.locator("body > [role=status]")
    expect(by_ear).to_have_text("One moment …")
    page.locator("#frame > summary").press("Enter")
    expect(page.locator("#frame figure").first).to_be_visible()
    expect(by_ear).to_have_text("Loaded: When it goes wrong, In the frame.")
    expect(page.locator("#frame > summary")).to_be_focused()
    page.get_by_label("first frame at").fill("20:00")
    page.get_by_role("button", name="It starts late").tap()
    answer = page.locator("#wrong > [role=status]")
    expect(answer).to_have_text("Not yet: the sky file is still on its way.")
    page.get_by_role("button", name="Shorter").tap()
    expect(page.locator("#wrong")).to_contain_text("No plan with 17.5 s: the sky file is still on its way.")
    expect(page.locator("#wrong > p", has_text="One moment")).to_have_count(0)
    for sky in skies:
        sky.continue_()
    expect(answer).to_have_text(re.compile("of [45] ways are possible"))
    expect(page.get_by_role("button", name=re.compile("Take it: interval 17.5 s"))).to_be_visible()
    expect(page.locator("#lost")).to_be_hidden()


# Each piece of the page's making is held back until it is let go.
IN_PIECES = """window.held = []; {
  const post = MessagePort.prototype.postMessage;
  MessagePort.prototype.postMessage = function (word) { held.push(() => post.call(this, word)); };
}"""
PIECES = 5  # before anything may be kept; one more before what follows
LIVE = """() => [...document.querySelectorAll('main :is(button, input, select, textarea)')]
  .filter((one) => !one.disabled && one.checkVisibility() && !one.matches('.fold, .roles > button'))
  .map((one) => one.outerHTML)"""


def test_between_two_pieces_of_its_making_nothing_can_be_kept_and_nothing_is_lost(
    host: Host, page: Page
) -> None:
    faults: list[str] = []
    page.on("pageerror", lambda error: faults.append(str(error)))
    page.add_init_script(IN_PIECES)
    page.goto(host.url(SHOT))
    for _ in range(PIECES):
        soon(page, lambda: page.evaluate("held.length"), 1)
        assert page.evaluate(LIVE) == []
        page.keyboard.press("Control+z")
        page.locator("#next-open").evaluate("(link) => link.click()")
        page.locator("#power > summary").evaluate("(box) => box.click()")
        page.evaluate("location.hash = '#r=ABCDEF'")
        page.evaluate("held.pop()()")
    soon(page, lambda: page.evaluate("held.length"), 1)
    page.evaluate("held.pop()()")
    expect(page.locator("#stale")).to_contain_text("This card is revision ABCDEF")
    page.locator("#power > summary").evaluate("(box) => { box.parentElement.open = true; }")
    expect(page.locator("#power table").first).to_be_visible()
    box = page.locator(".item input").first
    box.check()
    kept(page, "take", "tick")
    assert faults == []


def test_ticks_go_on_where_it_does_not_arrive_and_the_page_says_so(
    page: Page, host: Host, demo_site: dict[str, bytes]
) -> None:
    host.sites[HERE] = without(demo_site, b"as makeRest")
    page.goto(host.url(SHOT))
    page.locator("#wrong > summary").tap()
    expect(page.locator("#wrong > .warning")).to_have_text(FAILED)
    expect(page.locator("#lost")).to_have_text("A part of this page did not load: the printed night only.")
    ticked(page)
    expect(page.locator("#later")).to_be_disabled()
    kept(page, "take", "tick")
    page.reload()
    expect(page.locator(".item input:checked").first).to_be_visible()


def test_where_what_works_the_page_does_not_arrive_it_stands_as_printed_and_says_so(
    page: Page, host: Host, demo_site: dict[str, bytes]
) -> None:
    first = f"**/{file_with(demo_site, FIRST)}"
    page.route(first, lambda route: route.abort("connectionfailed"))
    page.goto(host.url(SHOT))
    expect(page.get_by_role("alert")).to_have_text(
        "A part of this page did not load: load it again, or use the card."
    )
    expect(page.locator(".item input")).to_have_count(0)
    page.unroute(first)
    page.reload()
    ticked(page)
    expect(page.locator("#lost")).to_be_hidden()


@pytest.mark.parametrize(
    "script",
    ["PerformanceObserver.prototype.observe = () => {};", "delete globalThis.PerformanceObserver;"],
    ids=["it is loaded behind another", "the browser does not tell"],
)
def test_a_page_of_which_no_paint_is_told_is_worked_all_the_same(page: Page, host: Host, script: str) -> None:
    page.add_init_script(script)
    page.goto(host.url(SHOT))
    ticked(page)


def test_whatever_else_does_not_arrive_is_said_where_it_was_asked_for(
    page: Page, host: Host, demo_site: dict[str, bytes]
) -> None:
    host.sites[HERE] = without(demo_site, CODE, TAKES, PLANS)
    page.goto(host.url(HERE))
    kept_all = "did not load, but are kept: load the page again."
    expect(page.locator("#takes")).to_have_text(f"The takes on this phone {kept_all}")
    expect(page.locator("#plans")).to_have_text(f"Plans from elsewhere {kept_all}")
    page.goto(host.url(HERE + "open/#p=123"))
    expect(page.locator("#not-opened")).to_have_text(NOT_OPENED)


def waits(page: Page) -> bool:
    """Whether sections say that they wait, half a second later."""
    page.clock.run_for(500)
    return page.locator("#wrong > p").count() > 0


def test_old_pages_whose_files_a_new_version_took_say_so_and_the_take_goes_on(
    host: Host, bare_phone: BrowserContext, demo_site: dict[str, bytes]
) -> None:
    """Neither heard that it should load anew; of one nothing but its first files had come."""
    host.sites[HERE] = demo_site
    asleep, slow, other = (bare_phone.new_page() for _ in range(3))
    asleep.add_init_script(DEAF)
    slow.add_init_script(DEAF + HANGS)
    asleep.goto(host.url(SHOT))
    ticked(asleep)
    expect(asleep.locator("#offline")).to_have_attribute("data-stored", "ready")
    slow.clock.install(time=NOW - timedelta(minutes=1))
    slow.clock.pause_at(NOW)
    slow.goto(host.url(SHOT))
    soon(slow, lambda: waits(slow), True)

    host.sites[HERE] = next_version(demo_site, b"as makeRest", CODE)
    other.goto(host.url(HERE))
    other.get_by_role("button", name="Use it now").tap()
    other.get_by_role("button", name="Yes, use it").press("Enter")  # two taps so soon are a glove's
    expect(other.locator("#offline")).to_have_attribute("data-newer", "none")
    bare_phone.new_cdp_session(other).send("Network.clearBrowserCache")

    slow.locator("#wrong > summary").tap()
    slow.clock.run_for(2000)
    expect(slow.locator("#wrong > .warning")).to_have_text(FAILED)
    asleep.locator("#hand > summary").tap()
    asleep.get_by_role("button", name="Show the plan's code").tap()
    expect(asleep.locator("#hand")).to_contain_text(NO_CODE)
    kept(asleep, "take", "tick")
    asleep.reload()
    expect(asleep.locator(".item input:checked").first).to_be_visible()
    asleep.locator("#hand > summary").tap()
    asleep.get_by_role("button", name="Show the plan's code").tap()
    expect(asleep.get_by_role("img", name="Code of this plan")).to_be_visible()
