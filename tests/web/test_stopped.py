"""After a stop: what is of the programme that was left says so, and never passes for the new one's."""

from __future__ import annotations

import re
from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, expect

from tests.web.conftest import new_phone
from tests.web.host import Host
from tests.web.soon import soon
from tests.web.test_hand import arrived, code_of, events, hand, kinds, press
from tests.web.test_now import DAY, DONE, SHOT, fire, go, opened
from tests.web.watch import Watch

STOPPED = re.compile(r"Going on after frame 400, from 21:5\d")


@pytest.fixture
def page(demo_host: Host, kept_phone: BrowserContext) -> Iterator[Page]:
    """The demo's shot, rolling since 19:36."""
    page = opened(kept_phone, demo_host, f"{DAY}19:36:00+01:00", SHOT)
    fire(page)
    yield page


def _mark(page: Page, what: str) -> None:
    page.locator("#now .mark-now").tap()
    page.locator(f"#now .words button:has-text('{what}')").tap()
    expect(page.locator("#now .marked p")).to_contain_text(what)


def _stop(page: Page, frame: str, minutes: str) -> None:
    page.locator("#wrong > summary").tap()
    expect(page.get_by_label("minutes until it rolls")).not_to_have_value("")  # what is likely is filled in
    page.get_by_label("stopped after frame").fill(frame)
    page.get_by_label("minutes until it rolls").fill(minutes)
    page.get_by_label("minutes until it rolls").press("Enter")
    expect(page.locator("#wrong > [role=status]")).to_have_text(re.compile("^[34] of 4 ways are possible; "))
    page.locator("#wrong .way").first.get_by_role("button", name="Take it").click()


def _aloud(page: Page, line: str) -> str:
    page.locator("#hand").evaluate("(box) => { box.open = true; }")
    place = page.locator(".aloud > div", has=page.locator(f"dt:text-is('{line}')")).locator("dd")
    expect(place).not_to_be_empty()
    return place.inner_text()


def test_marks_read_aloud_say_before_which_stop_they_were(page: Page) -> None:
    go(page, f"{DAY}20:36:00+01:00")
    _mark(page, "plane")
    go(page, f"{DAY}21:36:00+01:00")
    assert "Plane frame 201" in _aloud(page, "faults") and "stop" not in _aloud(page, "faults")
    _stop(page, "400", "20")
    expect(page.locator("#changed-what")).to_have_text(STOPPED)
    expect(page.locator("#printed")).to_be_focused()
    page.clock.run_for(1000)
    expect(page.locator(".aloud")).to_contain_text("Plane frame 201, before the stop after frame 400")
    assert "by the plan: look which one is in" in _aloud(page, "pack")
    go(page, f"{DAY}21:56:00+01:00")
    fire(page)
    go(page, f"{DAY}21:59:00+01:00")
    _mark(page, "plane")
    page.clock.run_for(1000)
    expect(page.locator(".aloud")).to_contain_text(
        re.compile(r"Plane frame 201, before the stop after frame 400 and frame 1\d(;|$)", re.MULTILINE)
    )
    _stop(page, "11", "10")
    page.clock.run_for(1000)
    expect(page.locator(".aloud")).to_contain_text(
        re.compile(r"201, before the stop after frame 400 and frame 1\d, before the stop after frame 11")
    )
    go(page, f"{DAY}22:12:00+01:00")
    fire(page)
    go(page, f"{DAY}23:30:00+01:00")
    expect(page.locator("#now .cells")).to_contain_text("after 411")
    page.locator("#printed").click()
    expect(page.locator("#changed-what")).not_to_contain_text("Going on")
    page.clock.run_for(1000)
    expect(page.locator(".aloud")).to_contain_text(
        re.compile(r"Plane frame 201 and frame 1\d, in what was left")
    )


OPEN = """() => [...document.querySelectorAll(".item")]
  .filter((row) => !row.closest("[hidden]") && !row.querySelector("input").checked)
  .map((row) => row.querySelector(".what").firstChild.textContent.trim())"""
FRAME_1 = ["Frame 1 set to", "K1 START stored, tape marked"]
BACK = ["Back to frame 1: hold the left key for three seconds", "Frame 1 has fired"]
K2, K3 = "K2 MIDDLE stored, tape marked", "K3 END stored, tape marked"


def test_what_lies_behind_is_not_open_again_and_what_is_to_be_done_says_what_changed(
    demo_host: Host, kept_phone: BrowserContext
) -> None:
    """Packs that are in, a card that is formatted, tents that stand; not the start, keyframes and figures."""
    page = opened(kept_phone, demo_host, f"{DAY}19:10:00+01:00", SHOT)
    page.evaluate("""() => document.querySelectorAll('.item input:enabled:not(:checked)').forEach((box) => {
      if (!box.closest('li').querySelector('[data-v="numbers.first_frame"]')) box.click(); })""")
    call = ["Frame 1 has fired"]
    soon(page, lambda: page.evaluate(OPEN), call)
    _ask_late(page, "20:01")
    soon(page, lambda: page.evaluate(OPEN), ["Frame 1 set to", "Frames", *call])
    frames = page.locator(".item", has_text="Frames").locator(".was")
    expect(frames).to_have_text("was 753, now 669")
    page.locator("#printed").click()
    soon(page, lambda: page.evaluate(OPEN), call)
    # Another night is another evening: also what is full and empty then.
    page.locator("#night").fill("2027-06-08")
    page.locator("#night").dispatch_event("change")
    expect(page.locator("#changed-what")).to_contain_text("Not the printed night")
    of_a_night = ["Stay, park", "Full pack ", "Swap to A2"]
    soon(page, lambda: [text[:10] for text in page.evaluate(OPEN) if text[:10] in of_a_night], of_a_night)
    page.locator("#printed").click()
    go(page, f"{DAY}19:36:00+01:00")
    fire(page)
    soon(page, lambda: page.evaluate(OPEN), [])
    go(page, f"{DAY}20:05:00+01:00")
    page.locator("#now .next button:has-text('Done')").tap()
    expect(page.locator("#now .rolling > .line")).to_contain_text("pack A2 on")
    go(page, f"{DAY}21:10:00+01:00")
    for frame, opens in (
        ("40", [FRAME_1[0], K3, K2, FRAME_1[1], "Frames", *BACK]),
        ("313", [FRAME_1[0], K3, K2, FRAME_1[1], "Frames", *BACK]),
        ("400", [FRAME_1[0], "K2 END stored, tape marked", FRAME_1[1], "Frames", *BACK]),
    ):
        _stop(page, frame, "15")
        expect(page.locator("#changed-what")).to_contain_text(f"after frame {frame}")
        soon(page, lambda: page.evaluate(OPEN), opens)
        if frame == "313":
            assert re.match(
                r"A2 by the log: put in at frame 97, before the stop, \d+\.\d of \d+\.\d Wh left then$",
                _aloud(page, "pack"),
            )
            stored = page.locator(".item", has_text=K3).locator(".was")
            expect(stored).to_have_text("stored for another run")
        page.locator("#printed").click()
        expect(page.locator("#changed-what")).not_to_contain_text("Going on")
        page.clock.run_for(1000)
        soon(page, lambda: page.evaluate(OPEN), [])


# All that the page says of its plan, and of packs and cards.
SAID = """() => [...document.querySelectorAll('[data-v], [data-keyframe], #power')]
  .map((one) => one.textContent)"""


def test_a_way_after_a_stop_and_what_the_log_says_of_packs_go_along(
    page: Page, demo_host: Host, chromium: Browser
) -> None:
    """The phone that takes over works out the same way, on the pack that the other one's log has put in."""
    other = new_phone(chromium)
    watch = Watch(other, f"127.0.0.1:{demo_host.port}")
    ann, ben = page, opened(other, demo_host, f"{DAY}21:11:00+01:00", SHOT)
    go(ann, f"{DAY}20:05:00+01:00")
    ann.locator(DONE).tap()
    expect(ann.locator("#now .rolling > .line")).to_contain_text("pack A2 on")
    go(ann, f"{DAY}21:10:00+01:00")
    _stop(ann, "313", "15")
    expect(ann.locator("#changed-what")).to_contain_text("Going on after frame 313")
    ben.goto(code_of(ann))
    press(arrived(ben), "Keep it")
    expect(arrived(ben)).to_contain_text("Kept: ")
    for one in (ann, ben):
        one.locator("#power").evaluate("(box) => { box.open = true; }")
        expect(hand(one).locator(".aloud")).to_contain_text(
            "A2 by the log: put in at frame 97, before the stop"
        )
    (sent,) = kinds(events(ann), "changes")
    assert sent["changes"]["way"]["after"]["swapped"] == [97]
    assert kinds(events(ben), "changes") == [sent]
    soon(ben, lambda: ben.evaluate(SAID), ann.evaluate(SAID))
    expect(ben.locator("#changed-what")).to_have_text(str(ann.locator("#changed-what").text_content()))
    other.close()
    assert watch.complaints == []


def _ask_late(page: Page, at: str) -> None:
    page.locator("#wrong > summary").tap()
    expect(page.get_by_label("minutes until it rolls")).not_to_have_value("")
    assert page.get_by_label("stopped after frame").input_value() == "", "it has not rolled"
    page.get_by_label("first frame at").fill(at)
    page.get_by_label("first frame at").press("Enter")
    way = page.locator("#wrong .way").nth(1)
    way.locator("summary").tap()
    way.get_by_role("button", name="Take it").click()
    expect(page.locator("#changed-what")).to_contain_text(f"Late start {at} taken")


def test_a_way_that_is_taken_is_never_shown_as_the_one_before_it_ran(page: Page) -> None:
    """Its start is not yet in the log when the page is turned: the old one must not time it."""
    go(page, f"{DAY}19:40:00+01:00")
    page.evaluate("""() => {
      window.said = [];
      const place = document.querySelector("#changed-what");
      new MutationObserver(() => window.said.push(place.textContent))
        .observe(place, {childList: true, characterData: true, subtree: true});
    }""")
    _stop(page, "10", "15")
    expect(page.locator("#changed-what")).to_contain_text("Going on after frame 10")
    page.clock.run_for(1000)
    said = page.evaluate("window.said")
    assert said and not [text for text in said if "Timed from" in text]


def test_what_a_rig_was_told_in_a_take_is_not_the_next_take_s(page: Page) -> None:
    _stop(page, "400", "15")
    expect(page.locator("#changed-what")).to_contain_text("Going on after frame 400")
    for _ in range(2):
        page.locator("#end-take").click()
    expect(page.locator("#end-take")).to_be_hidden()
    expect(page.locator("#changed")).to_be_hidden()
    page.reload()
    expect(page.locator("#night")).to_be_enabled()
    expect(page.locator("#changed")).to_be_hidden()
