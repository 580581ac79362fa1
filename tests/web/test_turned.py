"""A shot turned to another night or spot: kept until it is turned back, and never ticked on other numbers."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from playwright.sync_api import BrowserContext, Locator, Page, expect

from tests.web.host import Host
from tests.web.pagelog import events, on_log
from tests.web.soon import kept, soon

HERE = "/fs/saltings/"
SHOT = HERE + "shots/slipway/"
NEXT_YEAR = "2028-03-03"
LOST = "sky/2028.pack"
DROP = """async (path) => {
  for (const name of await caches.keys()) {
    const cache = await caches.open(name);
    for (const request of await cache.keys()) if (request.url.endsWith(path)) await cache.delete(request);
  }
}"""


# What is done when the page is idle is kept, until a test has it done.
HOLD_IDLE = "globalThis.held = []; globalThis.requestIdleCallback = (act) => held.push(act);"
DO_IDLE = """async (most) => {
  let done = 0;
  for (; held.length > 0 && done < most; done += 1) {
    held.shift()();
    await new Promise((over) => setTimeout(over));
  }
  return done;
}"""


@pytest.fixture
def page(demo_host: Host, kept_phone: BrowserContext) -> Page:
    """The shot's page, stored on a phone."""
    return _opened(kept_phone, demo_host)


@pytest.fixture
def losing(host: Host, bare_phone: BrowserContext, demo_site: dict[str, bytes]) -> Iterator[Page]:
    """The same on a phone of its own: a lost file may be missed aloud, the scripts have no fault."""
    faults: list[str] = []
    host.sites[HERE] = demo_site
    bare_phone.on("weberror", lambda error: faults.append(str(error.error)))
    yield _opened(bare_phone, host)
    assert faults == []


def _opened(phone: BrowserContext, host: Host) -> Page:
    page = phone.new_page()
    page.goto(host.url(SHOT))
    expect(page.locator("#offline")).to_have_attribute("data-stored", "ready")
    expect(page.locator("#night")).to_be_enabled()
    return page


def _turn(page: Page, night: str) -> None:
    page.locator("#night").evaluate(
        "(input, night) => { input.value = night; input.dispatchEvent(new Event('change')); }", night
    )


def _lose_next_year(page: Page, host: Host, site: dict[str, bytes]) -> None:
    """Gone from the host, the phone's store, and what the browser keeps by itself.

    In this order: the page may still be looking whether its store is whole, and would fetch it again.
    """
    host.sites[HERE] = {path: data for path, data in site.items() if path != LOST}
    page.evaluate(DROP, LOST)
    page.context.new_cdp_session(page).send("Network.clearBrowserCache")


def _is_locked(page: Page) -> bool:
    return bool(
        page.locator(".item input, .as-set input, #fired button").evaluate_all(
            "(all) => all.length > 50 && all.every((one) => one.disabled)"
        )
    )


def _row(page: Page, text: str) -> Locator:
    return page.locator(".item", has_text=text).first


def test_a_take_whose_night_can_no_longer_be_computed_is_locked_until_one_goes_back(
    losing: Page, host: Host, demo_site: dict[str, bytes]
) -> None:
    """Its ticks would confirm another night's numbers."""
    page = losing
    _turn(page, NEXT_YEAR)
    expect(page.locator(".date b")).to_contain_text("Fri 3 March 2028")
    _row(page, "Cap off").tap()
    expect(page.locator("#end-take")).to_be_visible()
    before = events(page)
    assert [event["kind"] for event in before] == ["take", "tick"]
    assert before[0]["payload"]["changes"] == {"night": NEXT_YEAR}
    _lose_next_year(page, host, demo_site)
    page.reload()
    expect(page.locator("#lost")).to_contain_text("The sky file of 2028 is not on this phone")
    banner = page.locator("#changed")
    expect(banner).to_contain_text("This take is for Fri 3 March 2028; it shows the printed plan.")
    expect(banner).to_contain_text(
        "the computed sky runs from 2027-01-04 to 2027-12-27. Nothing can be ticked"
    )
    expect(page.locator(".date b")).to_have_text("Sat 5 June 2027")
    soon(page, lambda: _is_locked(page), True)
    _row(page, "Bubble unchanged").tap(force=True)
    page.locator("#printed").click()
    expect(banner).to_be_hidden()
    bubble = _row(page, "Bubble unchanged").locator("input")
    expect(bubble).not_to_be_checked()
    bubble.check()
    expect(page.locator("#fired button").first).to_be_enabled()
    kept(page, "take", "tick", "changes", "tick")
    page.reload()
    expect(bubble).to_be_checked()
    expect(banner).to_be_hidden()
    after = events(page)
    assert after[:2] == before and [event["kind"] for event in after[2:]] == ["changes", "tick"]
    assert after[2]["payload"]["changes"] == {}


def test_another_night_that_can_be_computed_unlocks_the_take_too(
    losing: Page, host: Host, demo_site: dict[str, bytes]
) -> None:
    page = losing
    _turn(page, NEXT_YEAR)
    _row(page, "Cap off").tap()
    expect(page.locator("#end-take")).to_be_visible()
    _lose_next_year(page, host, demo_site)
    page.reload()
    expect(page.locator("#changed")).to_contain_text("Nothing can be ticked here.")
    expect(page.locator("#night")).to_be_enabled()  # its limits are set by now
    page.locator("#night").evaluate("(input) => input.removeAttribute('max')")
    _turn(page, "2028-06-05")
    expect(page.locator("#refused")).to_contain_text("No plan for that night")
    expect(page.locator("#changed")).to_contain_text("Nothing can be ticked here.")
    soon(page, lambda: _is_locked(page), True)
    page.locator("#later").tap()
    expect(page.locator("#changed")).to_contain_text("Not the printed night.")
    expect(page.locator("#refused")).to_be_hidden()
    soon(page, lambda: _is_locked(page), False)


def test_a_night_and_a_spot_outlive_a_reload_without_a_take_until_one_goes_back(page: Page) -> None:
    _turn(page, "2027-06-12")
    page.locator("#spot summary").tap()
    for field, text in zip(page.locator("#spot input").all(), ("37.2 N", "8.5 W", "9"), strict=True):
        field.fill(text)
    page.locator("#spot").get_by_role("button", name="Compute for this spot").tap()
    both = "Not the printed night and spot."
    expect(page.locator("#changed")).to_contain_text(both)
    first_frame = page.locator(".figures [data-v='numbers.first_frame']").inner_text()
    page.reload()
    expect(page.locator("#changed")).to_contain_text(both)
    expect(page.locator(".date b")).to_contain_text("Sat 12 June 2027")
    expect(page.locator(".figures [data-v='numbers.first_frame']")).to_have_text(first_frame)
    expect(page.locator("#end-take")).to_be_hidden()
    page.locator("#printed").click()
    expect(page.locator("#changed")).to_be_hidden()
    page.reload()
    expect(page.locator("#night")).to_be_enabled()
    expect(page.locator("#changed")).to_be_hidden()
    expect(page.locator(".date b")).to_have_text("Sat 5 June 2027")


def test_what_a_page_is_turned_to_is_kept_for_its_shot_alone(page: Page, demo_host: Host) -> None:
    _turn(page, "2027-06-12")
    expect(page.locator("#changed")).to_be_visible()
    page.goto(demo_host.url(HERE + "shots/hoist/"))
    expect(page.locator("#night")).to_be_enabled()
    expect(page.locator("#changed")).to_be_hidden()
    page.goto(demo_host.url(SHOT))
    expect(page.locator("#changed")).to_contain_text("Not the printed night.")


def test_a_turned_page_whose_night_is_lost_says_so_and_is_locked(
    losing: Page, host: Host, demo_site: dict[str, bytes]
) -> None:
    page = losing
    _turn(page, NEXT_YEAR)
    expect(page.locator("#changed")).to_be_visible()
    _lose_next_year(page, host, demo_site)
    page.reload()
    expect(page.locator("#lost")).to_be_visible()
    expect(page.locator("#changed")).to_contain_text("This page was turned to Fri 3 March 2028; it shows the")
    soon(page, lambda: _is_locked(page), True)
    page.locator("#printed").click()
    expect(page.locator("#changed")).to_be_hidden()
    soon(page, lambda: _is_locked(page), False)


def test_a_night_that_came_with_another_tab_s_take_outlives_its_end_and_a_reload(
    page: Page, demo_host: Host
) -> None:
    other = page.context.new_page()
    other.goto(demo_host.url(SHOT))
    expect(other.locator("#night")).to_be_enabled()
    _turn(other, "2027-06-08")
    expect(other.locator("#changed")).to_be_visible()
    _row(other, "Cap off").tap()
    page.bring_to_front()
    expect(page.locator(".date b")).to_contain_text("Tue 8 June 2027")
    for _ in range(2):
        page.locator("#end-take").click()
    expect(page.locator("#end-take")).to_be_hidden()
    expect(page.locator(".date b")).to_contain_text("Tue 8 June 2027")
    page.reload()
    expect(page.locator("#night")).to_be_enabled()
    expect(page.locator("#changed")).to_contain_text("Not the printed night.")
    expect(page.locator(".date b")).to_contain_text("Tue 8 June 2027")


KEEP = """async (text) => {
  const {siteOf} = await import('/app/keep/site.js');
  sessionStorage.setItem(siteOf(document).prefix + 'turned|slipway', text);
}"""


@pytest.mark.parametrize("stored", ['{"night":"2027-06-05"}', "null", "7", '{"night":'])
def test_what_was_kept_and_turns_nothing_leaves_the_printed_plan(page: Page, stored: str) -> None:
    """Such as a night that a page built anew prints."""
    page.evaluate(KEEP, stored)
    page.reload()
    expect(page.locator("#night")).to_be_enabled()
    expect(page.locator("#changed")).to_be_hidden()
    expect(page.locator(".date b")).to_have_text("Sat 5 June 2027")
    soon(page, lambda: _is_locked(page), False)


BEGIN_LATER = on_log(
    """const {carriedPlan} = await import("/app/shown/carried.js");
  const printed = await carriedPlan(document.getElementById('plan').textContent);
  await log.beginTake('slipway', printed, {start_ms: printed.window.start.utc_ms + minutes * 60000});""",
    given="minutes",
)


END_IT = on_log("const [{take}] = await log.takes('slipway'); await log.append(take, 'end', {});")


def test_another_start_is_over_with_its_take_also_where_that_ended_out_of_sight(
    page: Page, demo_host: Host
) -> None:
    """In the list of takes, say: the tab had gone there."""
    page.evaluate(BEGIN_LATER, 25)
    expect(page.locator("#changed")).to_contain_text("Not the printed start.")
    page.goto(demo_host.url(HERE))
    page.evaluate(END_IT)
    page.goto(demo_host.url(SHOT))
    expect(_row(page, "Cap off").locator("input")).to_be_enabled()
    expect(page.locator("#changed")).to_be_hidden()


def test_the_other_nights_follow_another_start(page: Page, demo_host: Host) -> None:
    page.locator("#others > summary").tap()
    row = page.locator(".nights details", has_text="printed").locator("summary b").nth(1)
    expect(row).to_contain_text("19:36–", timeout=30_000)
    expect(page.locator(".nights small")).to_have_count(45, timeout=30_000)
    other = page.context.new_page()
    other.goto(demo_host.url(SHOT))
    other.evaluate(BEGIN_LATER, 10)
    expect(page.locator("#changed")).to_contain_text("Not the printed start.")
    expect(row).to_contain_text("19:46–", timeout=30_000)


def test_a_date_outside_the_sky_s_span_is_refused_in_words(page: Page) -> None:
    _turn(page, "2029-05-01")
    said = (
        "No plan for Tue 1 May 2029: nights can be asked for from Mon 4 January 2027 "
        "to Wed 27 December 2028. The page still shows Sat 5 June 2027."
    )
    expect(page.locator("#refused")).to_have_text(said)
    expect(page.locator("#changed")).to_be_hidden()
    expect(page.locator(".date b")).to_have_text("Sat 5 June 2027")
    _turn(page, "2027-06-08")
    expect(page.locator("#refused")).to_be_hidden()
    expect(page.locator("#changed")).to_be_visible()


def test_a_year_half_typed_is_no_date_yet_and_what_is_left_so_is_refused(page: Page) -> None:
    page.locator("#night").focus()
    _turn(page, "0202-06-05")
    expect(page.locator("#refused")).to_be_hidden()
    page.locator("#night").blur()
    expect(page.locator("#refused")).to_contain_text("The page still shows Sat 5 June 2027.")
    expect(page.locator("#night")).to_have_value("2027-06-05")


def test_a_night_is_worked_out_ahead_in_pieces_and_asked_for_meanwhile_is_the_same(
    host: Host, bare_phone: BrowserContext, demo_site: dict[str, bytes]
) -> None:
    host.sites[HERE] = demo_site
    page = bare_phone.new_page()
    page.add_init_script(HOLD_IDLE)
    page.goto(host.url(SHOT))
    soon(page, lambda: page.evaluate("held.length"), 1)
    assert page.evaluate(DO_IDLE, 3) == 3, "one piece blocks a thumb for as long as all take"
    page.locator("#later").tap()
    expect(page.locator("[data-v='when']")).to_contain_text("Sun 6 June 2027")
    meanwhile = page.locator("[data-v]").all_text_contents()
    assert page.evaluate(DO_IDLE, 1000) > 3
    page.locator("#earlier").tap()
    expect(page.locator("[data-v='when']")).to_have_text("Sat 5 June 2027")
    page.locator("#later").tap()
    expect(page.locator("[data-v='when']")).to_contain_text("Sun 6 June 2027")
    assert page.locator("[data-v]").all_text_contents() == meanwhile
