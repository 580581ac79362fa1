"""The checklist under stress: next, undo, roles, reading out, "ready to roll", chosen warnings."""

from __future__ import annotations

import re
from collections.abc import Iterator

import pytest
from playwright.sync_api import BrowserContext, Locator, Page, expect

from tests.web.host import Host
from tests.web.pagelog import payloads
from tests.web.soon import kept

SHOT = "/fs/saltings/shots/slipway/"
OTHER_NIGHT = "2027-06-12"


@pytest.fixture
def page(demo_host: Host, kept_phone: BrowserContext) -> Iterator[Page]:
    """The shot's page in the evening; from then on its clock stands until the test runs it."""
    shown = kept_phone.new_page()
    shown.clock.install(time="2027-06-05T18:30:00+01:00")
    shown.goto(demo_host.url(SHOT))
    expect(shown.locator("#night")).to_be_enabled()
    shown.clock.pause_at("2027-06-05T19:00:00+01:00")
    yield shown
    expect(shown.locator("#store-fault")).to_be_hidden()


def _row(page: Page, text: str) -> Locator:
    return page.locator(".item", has_text=text).first


def _box(page: Page, text: str) -> Locator:
    return _row(page, text).locator("input[type=checkbox]")


def _ids(page: Page) -> list[str]:
    """The must-dos up to "ready to roll", but that frame 1 has fired."""
    found: list[str] = page.evaluate(
        """() => {
          const fired = document.getElementById('fired');
          return [...document.querySelectorAll('#check .item:not(.also) > label > input')]
            .filter((box) => box.compareDocumentPosition(fired) & Node.DOCUMENT_POSITION_FOLLOWING)
            .map((box) => box.dataset.item).slice(0, -1);
        }"""
    )
    return found


def _button(page: Page, name: str) -> Locator:
    return page.get_by_role("button", name=name, exact=True)


def _back(page: Page) -> Locator:
    """What takes "ready to roll" back, in its own place."""
    return page.locator("#ready").get_by_role("button", name="Undo: ready to roll")


def _hold(page: Page, button: Locator, ms: int) -> None:
    """A thumb that rolls a little on the glass."""
    button.scroll_into_view_if_needed()
    box = button.bounding_box()
    assert box
    x, y = box["x"] + 40, box["y"] + 20
    page.mouse.move(x, y)
    page.mouse.down()
    page.clock.run_for(ms // 2)
    page.mouse.move(x + 9, y - 35)
    page.clock.run_for(ms - ms // 2)
    page.mouse.up()


def _tab_to(page: Page, place: Locator) -> None:
    """By the Tab key alone."""
    for _ in range(150):
        if place.evaluate("(place) => place === document.activeElement"):
            return
        page.keyboard.press("Tab")
    pytest.fail(f"Tab does not reach {place}")


def test_a_whole_pre_roll_by_keyboard_and_ear_ends_in_ready(page: Page) -> None:
    """Headings, names with values and answers as a screen reader has them; nothing but keys is pressed."""
    for name in (r"^Power rigger \d left$", r"^Program operator \d left$", "^Ready to roll operator 7 left$"):
        expect(page.get_by_role("heading", name=re.compile(name))).to_have_count(1)
    interval = page.get_by_role("checkbox", name="Interval, start to start, 18 s", exact=True)
    expect(interval).to_have_count(1)
    expect(page.get_by_role("checkbox", name="Head seated: arrow to the front edge, LOCKED")).to_have_count(1)
    _tab_to(page, _button(page, "Read out, one at a time"))
    page.keyboard.press("Enter")
    readout = page.get_by_role("dialog", name="Read out")
    expect(_button(page, "Done")).to_be_focused()
    total = int(readout.locator(".place").inner_text().split()[-1])
    for number in range(1, total + 1):
        expect(readout.locator(".place")).to_have_text(f"{number} of {total}")
        page.keyboard.press("Enter")
    expect(readout.locator(".text")).to_have_text("All is done")
    page.keyboard.press("Enter")
    expect(readout).to_be_hidden()
    expect(_button(page, "Read out, one at a time")).to_be_focused()
    expect(page.locator(".progress")).to_have_text("All 28 must-dos done")
    expect(_box(page, "Interval")).to_be_checked()
    expect(page.locator("#next-open")).to_have_text("CheckReady to roll?")
    _tab_to(page, _button(page, "Ready to roll"))
    page.keyboard.press("Space")
    expect(page.locator("#ready .said")).to_have_text("Ready to roll 19:00:00")
    expect(_back(page)).to_be_focused()
    assert payloads(page, "ready") == [{"open": [], "forced": False}]


def test_ready_is_refused_with_its_reasons_unless_held_and_told_when_something_opens_again(
    page: Page,
) -> None:
    _row(page, "Back to frame 1").tap()
    musts = _ids(page)
    open_ones = [item for item in musts if item != _box(page, "Back to frame 1").get_attribute("data-item")]
    _button(page, "Ready to roll").tap()
    said = page.locator("#ready .said")
    expect(said).to_have_text("Not yet: 27 must-dos are open.")
    assert payloads(page, "ready") == []
    # Each reason leads to its row; those that are too many for one look are folded.
    page.locator("#ready summary").tap()
    hrefs = page.locator("#ready a").evaluate_all("(all) => all.map((link) => link.hash.slice(2))")
    assert hrefs == open_ones
    page.locator("#ready a").nth(2).tap()
    expect(page.locator(f"input[data-item='{open_ones[2]}']")).to_be_focused()
    hold = page.locator("#ready .press")
    expect(hold).to_have_text("Hold: ready with 27 open")
    _hold(page, hold, 900)
    expect(hold).to_have_text("Hold it for one second")
    _hold(page, hold, 1000)
    expect(said).to_have_text("Ready to roll 19:00:01, with 27 must-dos open")
    assert payloads(page, "ready") == [{"open": open_ones, "forced": True}]
    # What was accepted as open is not told again; a value that changes later is.
    _turn(page, OTHER_NIGHT)
    expect(said).to_contain_text("1 item open again since “ready to roll”, 19:00:0")
    expect(page.locator("#next-open")).to_have_text(re.compile("^1 open againBack to frame 1"))
    expect(page.locator("#ready a")).to_have_text(re.compile("^Back to frame 1"))
    page.locator("#printed").click()
    expect(said).to_have_text(re.compile("^Ready to roll 19:00:0., with 27"))
    _back(page).tap()
    expect(_button(page, "Ready to roll")).to_be_focused()
    # By key it is held too, and by what presses without holding it is asked for twice.
    page.keyboard.press("Enter")
    expect(hold).to_be_visible()  # as soon as what was taken back is stored
    hold.focus()
    page.keyboard.down("Enter")
    page.clock.run_for(1000)
    page.keyboard.up("Enter")
    undo = _back(page)
    expect(undo).to_be_focused()
    page.keyboard.press("Enter")
    _button(page, "Ready to roll").tap()
    expect(hold).to_be_visible()
    hold.evaluate("(button) => button.click()")
    expect(hold).to_have_text("Once more: Hold: ready with 27 open")
    hold.evaluate("(button) => button.click()")
    expect(undo).to_be_focused()
    assert [payload["forced"] for payload in payloads(page, "ready")] == [True] * 3
    assert len(payloads(page, "undo")) == 2


def _turn(page: Page, night: str) -> None:
    page.locator("#night").evaluate(
        "(input, night) => { input.value = night; input.dispatchEvent(new Event('change')); }", night
    )


def test_frame_1_fires_without_ready_and_both_page_and_log_say_so(page: Page) -> None:
    _button(page, "Frame 1 fired now").tap()
    expect(page.locator("#ready .said")).to_have_text(
        "Frame 1 fired without “ready to roll”: 28 must-dos open."
    )
    expect(_button(page, "Ready to roll")).to_be_hidden()
    expect(_row(page, "Card formatted")).to_be_hidden()
    assert [payload["unready"] for payload in payloads(page, "start")] == [_ids(page)]
    # The row that says so is done by it, and the bar goes on to what is done while it runs.
    expect(_box(page, "Frame 1 has fired")).to_be_checked()
    _row(page, "Frame 1 has fired").tap()
    expect(_box(page, "Frame 1 has fired")).to_be_checked()
    expect(page.locator("#next-open small")).to_have_text(re.compile("^Thunder heard"))
    page.locator("#fired").get_by_role("button", name="Undo").tap()
    expect(_box(page, "Frame 1 has fired")).not_to_be_checked()
    expect(page.locator("#ready .said")).to_have_text("")


def test_the_bar_goes_to_the_next_must_do_and_what_was_done_is_undone_step_by_step(page: Page) -> None:
    bar = page.locator("#next-open")
    first, second, also = _row(page, "A: rail"), _row(page, "A: power packs"), _row(page, "A: slide lead")
    expect(bar).to_have_text(re.compile("^Check · 28 leftA: rail, carriage"))
    bar.tap()
    expect(first.locator("input")).to_be_focused()
    expect(first).to_be_in_viewport()
    undo = page.locator(".undo")
    expect(undo).to_be_hidden()
    first.tap()
    expect(bar).to_have_text(re.compile("^Check · 27 leftA: power packs"))
    also.tap()
    expect(undo).to_have_text(re.compile("^Undo: A: slide lead"))
    first.click()
    expect(first.locator("input")).not_to_be_checked()
    expect(undo).to_have_text(re.compile("^Undo: A: rail"))
    page.clock.run_for(1000)
    undo.click()
    expect(first.locator("input")).to_be_checked()
    expect(first.locator("input")).to_be_focused()
    page.keyboard.press("Control+z")
    expect(also.locator("input")).not_to_be_checked()
    expect(also.locator("input")).to_be_focused()
    expect(undo).to_have_text(re.compile("^Undo: A: rail"))
    page.clock.run_for(10_000)
    expect(undo).to_be_hidden()
    page.keyboard.press("Control+z")  # longer than it is shown
    expect(first.locator("input")).not_to_be_checked()
    expect(bar).to_have_text(re.compile("^Check · 28 left"))
    second.tap()
    kept(page, "take", "tick", "tick", "untick", "tick", "untick", "untick", "tick")


def test_a_section_that_is_done_folds_when_one_goes_on_and_unfolds_by_a_tap(page: Page) -> None:
    level = page.locator(
        "#check > section", has=page.get_by_role("button", name=re.compile("^Level by hand"))
    )
    heading = level.get_by_role("button")
    assert level.locator("input[data-item]").count() == 1
    level.locator(".item").tap()
    expect(heading).to_have_text("Level by hand riggerdone")
    expect(level.locator(".item")).to_be_visible()  # nothing moves under the thumb
    page.locator("#next-open").tap()
    expect(level.locator(".item")).to_be_hidden()
    page.reload()
    expect(heading).to_have_attribute("aria-expanded", "false")
    heading.tap()
    level.locator(".item").tap()
    expect(heading).to_have_text("Level by hand rigger1 left")


def test_a_role_reads_its_own_and_no_must_do_is_lost(page: Page) -> None:
    rigger, operator = (
        page.locator("#check > section").filter(has_text=text).first for text in ("Feet stamped", "Frames")
    )
    _button(page, "operator").tap()
    expect(rigger.locator(".item").first).to_be_hidden()
    expect(rigger.get_by_role("button")).to_have_text(re.compile("rigger[0-9] left$"))
    expect(operator.locator(".item").first).to_be_visible()
    expect(page.locator(".progress")).to_have_text("28 of 28 must-dos left")
    page.reload()
    expect(_button(page, "operator")).to_have_attribute("aria-pressed", "true")
    expect(rigger.locator(".item").first).to_be_hidden()
    _button(page, "Read out, one at a time").tap()
    readout = page.get_by_role("dialog", name="Read out")
    whose = set()
    while readout.locator(".place").inner_text() != "End of the list":
        whose.add("rigger" in readout.locator(".whose").inner_text())
        page.keyboard.press("ArrowRight")
    assert whose == {False}
    expect(readout.locator(".value")).to_have_text(re.compile("must be done$"))
    page.keyboard.press("Escape")
    _button(page, "Ready to roll").tap()
    expect(page.locator("#ready .said")).to_have_text("Not yet: 28 must-dos are open.")


def _read_on(page: Page, text: str) -> None:
    """By the arrow key, to the item of that text."""
    for _ in range(70):
        if text in page.locator(".readout .text").inner_text():
            return
        page.keyboard.press("ArrowRight")
    pytest.fail(f"{text} is not read out")


def test_reading_out_shows_one_item_with_its_value_takes_its_figure_and_comes_back_to_the_row(
    page: Page,
) -> None:
    clock = _row(page, "Clock: camera")
    _button(page, "Read out, one at a time").tap()
    readout = page.get_by_role("dialog", name="Read out")
    _button(page, "Later").tap()
    expect(readout.locator(".place")).to_have_text(re.compile("^2 of"))
    _read_on(page, "Clock: camera")
    expect(readout.locator(".whose")).to_have_text("Camera (1 of 2) · operator")
    readout.get_by_role("textbox").fill("-3")
    _button(page, "Done").tap()
    expect(clock.locator("input[type=text]")).to_have_value("-3")
    page.keyboard.press("ArrowLeft")
    expect(readout.locator(".place")).to_contain_text("· done")
    _button(page, "Open again").click()
    expect(_button(page, "Done")).to_be_visible()
    _read_on(page, "Interval")
    expect(readout.locator(".value")).to_have_text("18 s")
    assert readout.locator(".said").evaluate("(said) => said.scrollHeight <= said.clientHeight")
    _button(page, "Close").tap()
    expect(_box(page, "Interval")).to_be_focused()
    expect(_row(page, "Interval")).to_be_in_viewport()
    assert payloads(page, "field")[0]["value"] == "-3"
    assert len(payloads(page, "tick")) == len(payloads(page, "untick")) == 1


def test_a_figure_is_its_items_own_where_a_press_leaves_the_cursor_in_the_field(page: Page) -> None:
    """As a voice presses, and some phones by touch."""
    _button(page, "Read out, one at a time").tap()
    _read_on(page, "Clock: camera")
    page.locator(".readout input").press_sequentially("-3")
    _button(page, "Done").evaluate("(button) => button.click()")
    expect(_row(page, "Clock: camera").locator("input[type=text]")).to_have_value("-3")
    item = _box(page, "Clock: camera").get_attribute("data-item")
    assert payloads(page, "field") == [{"item": item, "value": "-3"}]


def test_a_glove_that_bounces_has_tapped_once(page: Page) -> None:
    """On a row, and on what asks twice."""
    end = page.locator("#end-take")
    for place in (_row(page, "Cap off").locator("label"), end):
        place.scroll_into_view_if_needed()
        box = place.bounding_box()
        assert box
        for _ in range(2):
            page.touchscreen.tap(box["x"] + 40, box["y"] + 20)
    expect(_box(page, "Cap off")).to_be_checked()
    expect(end).to_contain_text("Tap again")
    kept(page, "take", "tick")


def test_an_item_is_taken_back_while_its_tick_is_still_being_stored(page: Page) -> None:
    box = _box(page, "Cap off")
    box.focus()
    page.evaluate("""() => { for (const _ of [1, 2]) document.activeElement.click(); }""")
    expect(box).not_to_be_checked()
    expect(page.locator(".undo")).to_be_visible()
    kept(page, "take", "tick", "untick")
    expect(box).not_to_be_checked()


def test_a_warning_is_closed_by_who_has_seen_it_and_opens_when_it_says_something_else(page: Page) -> None:
    _turn(page, OTHER_NIGHT)
    boxes = page.locator("#warnings > details")
    expect(boxes).to_have_count(3)
    no_go, minds = boxes.first, boxes.last
    no_go.locator("summary").tap()
    _hold(page, no_go.get_by_role("button", name="Hold: seen, chosen"), 300)
    assert payloads(page, "act") == []
    _hold(page, no_go.locator(".press"), 1000)
    expect(no_go).to_have_class(re.compile("chosen"))
    expect(no_go.locator("summary")).to_be_focused()
    minds.locator("summary").tap()
    for left in (4, 3, 2, 1):
        expect(minds).not_to_have_class(re.compile("chosen"))
        expect(minds.get_by_role("button", name="Seen, chosen")).to_have_count(left)
        minds.get_by_role("button", name="Seen, chosen").first.click()
    expect(minds).to_have_class(re.compile("chosen"))
    assert all(payload["act"].startswith("warning.") for payload in payloads(page, "act"))
    page.reload()
    expect(boxes).to_have_count(3)
    expect(boxes.first).to_have_class(re.compile("chosen"))
    no_go.locator("summary").tap()
    no_go.get_by_role("button", name="Open again").click()
    expect(no_go).not_to_have_class(re.compile("chosen"))
    # The moon stands elsewhere on the night after, so that is another warning.
    expect(minds).to_have_class(re.compile("chosen"))
    _turn(page, "2027-06-13")
    expect(minds).not_to_have_class(re.compile("chosen"))


def test_a_take_that_has_run_to_its_end_is_ended_from_the_top_and_the_log_keeps_it(page: Page) -> None:
    _row(page, "A: rail").tap()
    expect(page.locator("#end-take")).to_be_visible()
    page.clock.set_fixed_time("2027-06-05T23:59:00+01:00")
    page.evaluate("document.dispatchEvent(new Event('visibilitychange'))")
    expect(page.locator("#older-take")).to_have_text("This take has run to its end.")
    end = page.locator("#older-take + button")
    end.tap()
    expect(end).to_have_text("Tap again: ticks open again, the log keeps this take")
    end.click()
    expect(end).to_be_hidden()
    expect(_box(page, "A: rail")).not_to_be_checked()
    kept(page, "take", "tick", "end")
