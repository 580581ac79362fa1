"""The page while the shot runs: what is next, MARK, the rig's count, alerts; before it and after it."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime, timedelta
from functools import partial
from typing import Any

import pytest
from playwright.sync_api import BrowserContext, Locator, Page, expect

from tests.web.host import Host
from tests.web.pagelog import payloads
from tests.web.soon import soon

SITE = "/fs/saltings/"
SHOT = SITE + "shots/slipway/"
DAY = "2027-06-05T"
START = f"{DAY}19:36:00+01:00"
FIRE = "#now button:has-text('Frame 1 fired now')"
DONE = "#now .next button:has-text('Done')"


def opened(context: BrowserContext, host: Host, at: str, path: str = SHOT, script: str = "") -> Page:
    page = context.new_page()
    page.add_init_script(script)
    page.clock.install(time=datetime.fromisoformat(at) - timedelta(seconds=60))
    page.goto(host.url(path))
    if "/shots/" in path:
        expect(page.locator("#night")).to_be_enabled()
    page.clock.pause_at(at)
    return page


def go(page: Page, to: str) -> None:
    """On to a clock time of that evening, as if the page had been in sight all the time."""
    wanted_ms = datetime.fromisoformat(to).timestamp() * 1000
    page.clock.fast_forward(int(wanted_ms - page.evaluate("Date.now()")))
    page.clock.run_for(1000)


def fire(page: Page) -> None:
    page.locator(FIRE).tap()
    expect(page.locator("body")).to_have_attribute("data-phase", "rolling")


@pytest.fixture
def page(demo_host: Host, kept_phone: BrowserContext) -> Iterator[Page]:
    yield opened(kept_phone, demo_host, START)


@pytest.fixture
def rolling(page: Page) -> Page:
    fire(page)
    return page


def take_back(page: Page) -> None:
    """The strip takes no tap in its first moments."""
    page.clock.run_for(1000)
    page.locator(".undo").tap()


def cells(page: Page) -> Locator:
    """As they are seen and, unseen, heard."""
    return page.locator("#now .cells > div")


def first_lines(boxes: Locator) -> list[list[str]]:
    """Of each box the first two lines."""
    return [[line for line in box.split("\n") if line][:2] for box in boxes.all_inner_texts()]


def row(page: Page, name: str) -> Locator:
    return page.locator("#now .rolling > .pairs > div", has=page.locator(f"dt:text-is('{name}')")).locator(
        "dd"
    )


def test_before_frame_1_it_counts_down_on_the_evening_alone(
    demo_host: Host, kept_phone: BrowserContext
) -> None:
    page = opened(kept_phone, demo_host, "2027-06-04T19:00:00+01:00")
    expect(page.locator("#now")).to_be_hidden()
    go(page, f"{DAY}18:59:59+01:00")
    expect(cells(page)).to_have_text(
        ["Stored by 19:13, in 13:00 13 min", "first frame 19:36, in 36:00 36 min"], use_inner_text=True
    )
    expect(page.locator("#now")).to_contain_text("latest start 20:01")
    expect(page.locator(FIRE)).to_be_hidden()
    go(page, f"{DAY}19:37:04+01:00")
    expect(page.locator("#now strong")).to_have_text("First frame not fired")
    expect(cells(page)).to_have_text(["late by 1:05 1 min 5 s", "latest start 20:01"], use_inner_text=True)
    go(page, f"{DAY}20:02:00+01:00")
    expect(page.locator("#now strong")).to_contain_text("later than the latest start")
    fire(page)
    take_back(page)
    expect(page.locator("body")).to_have_attribute("data-phase", "before")
    go(page, f"{DAY}23:22:00+01:00")
    expect(page.locator("#now")).to_be_hidden()


def test_from_the_tap_on_the_next_act_stands_on_top_with_its_countdown(rolling: Page) -> None:
    page = rolling
    go(page, f"{DAY}19:40:59+01:00")
    expect(page.locator("#now strong")).to_have_text("One click slower every 27 frames")
    expect(page.locator("#now .next")).to_contain_text("next, after frame 24 closes")
    # Frame 24 closes at 19:42:54.
    expect(cells(page)).to_have_text(["in 1:54 1 min 54 s", "frame now 17 of 753"], use_inner_text=True)
    line = page.locator("#now .line")
    expect(line).to_have_text("A · Slipway: dusk to the core · 18 s × 753 · 19:36–23:22 · pack A1 on")
    expect(row(page, "axes")).to_have_text("S 5 mm · P +63.2° · T +26.2°")
    expect(row(page, "exposure")).to_have_text("f/2.8 · 1/2000 s · ISO 100")
    expect(row(page, "light")).to_contain_text("day · moon")
    expect(row(page, "left")).to_have_text("3 h 41 min, last shutter closes 23:21:49")
    expect(page.locator("#now #strip .now")).to_have_count(1)
    assert page.locator(".jump a[href='#now']").inner_text() == "Now"
    go(page, f"{DAY}19:45:04+01:00")
    expect(page.locator("#now .next")).to_have_attribute("data-due", "due")
    expect(cells(page).nth(0)).to_have_text("due 2:10 2 min 10 s ago", use_inner_text=True)
    expect(page.locator("#now .next")).to_contain_text("overdue, after frame 24 closes")


def test_what_is_done_gives_way_to_what_follows_and_comes_back_with_undo(rolling: Page) -> None:
    page = rolling
    go(page, f"{DAY}20:19:59+01:00")
    expect(page.locator("#now strong")).to_have_text("Swap to pack A2")
    expect(cells(page).nth(0)).to_have_text("now, time left 31:17 31 min 17 s", use_inner_text=True)
    expect(page.locator("#now .next")).to_contain_text("now, frames 86 to 251, 20:01 to 20:51")
    page.locator(DONE).tap()
    expect(page.locator("#now strong")).to_have_text("Rig count = camera count?")
    expect(page.locator("#now .line")).to_contain_text("pack A2 on")
    assert payloads(page, "act") == [{"act": "swap.1"}]
    take_back(page)
    expect(page.locator("#now strong")).to_have_text("Swap to pack A2")
    page.locator(DONE).click()
    page.locator(".acts summary").tap()
    page.clock.run_for(1000)
    page.locator(".acts button:has-text('done 20:20: undo')").tap()
    expect(page.locator("#now strong")).to_have_text("Swap to pack A2")
    go(page, f"{DAY}21:00:00+01:00")
    expect(page.locator("#now strong")).to_have_text("Swap to pack A2")
    expect(cells(page).nth(0)).to_have_text("due 8:44 8 min 44 s ago", use_inner_text=True)


def test_the_rig_s_count_corrects_the_page_and_can_be_undone(rolling: Page) -> None:
    page = rolling
    go(page, f"{DAY}20:36:08+01:00")
    judged = page.locator("#now .count p:not(.unseen)")
    page.locator("#now .rig-shows").tap()
    expect(page.locator("#now .count input")).to_have_value("201")
    expect(judged).to_have_text("On time, within one frame.")
    for _ in range(3):
        page.locator("#now .count button:has-text('\u22121')").tap()
    expect(judged).to_have_text("3 frames behind. Ends 23:23.")
    page.locator("#now .count .keep").tap()
    expect(row(page, "by the count")).to_contain_text("3 frames behind")
    assert payloads(page, "count") == [{"frame": 198}]
    expect(cells(page).nth(1)).to_have_text("frame now 198 of 753", use_inner_text=True)
    # A second one, half an hour on, 5 behind: then it is the interval.
    go(page, f"{DAY}21:06:08+01:00")
    page.locator("#now .rig-shows").tap()
    page.locator("#now .count input").fill("296")
    expect(judged).to_contain_text("18.30 s a frame instead of 18 s, give or take 0.03 s")
    page.locator("#now .count input").fill("66")
    expect(judged).to_contain_text("Frame 66 fits none of the other counts")
    page.locator("#now .count input").fill("800")
    expect(judged).to_have_text("A frame from 1 to 753.")
    expect(page.locator("#now .count .keep")).to_be_disabled()
    page.locator("#now .count input").fill("296")
    page.locator("#now .count .keep").tap()
    expect(row(page, "left")).to_contain_text("last shutter closes 23:25")
    expect(page.locator("#now .line")).to_contain_text("18 s × 753 · 19:36–23:26")
    expect(page.locator("[data-v='numbers.interval']").first).to_have_text("18 s")
    take_back(page)
    expect(row(page, "by the count")).to_contain_text("3 frames behind")


FULL = (
    "() => { IDBObjectStore.prototype.add = () => { throw new DOMException('no', 'QuotaExceededError'); }; }"
)


def test_a_count_that_the_phone_does_not_keep_is_not_what_an_undo_takes_back(rolling: Page) -> None:
    page = rolling
    for at, frame in ((f"{DAY}20:36:08+01:00", "201"), (f"{DAY}21:06:08+01:00", "296")):
        go(page, at)
        page.locator("#now .rig-shows").tap()
        page.locator("#now .count input").fill(frame)
        page.locator("#now .count .keep").tap()
        expect(page.locator("#now .count")).to_be_hidden()
        page.evaluate(FULL)
    expect(page.locator("#store-fault")).to_contain_text("storage is full")
    expect(page.locator(".undo")).to_have_text("Undo: rig shows frame 201")


def test_mark_stamps_frame_and_file_at_once_and_is_named_without_typing(rolling: Page) -> None:
    page = rolling
    field = page.locator(f"#i{page.locator('#fired').get_attribute('data-file')} input[type=text]")
    field.evaluate("(field) => { field.value = '9950'; field.dispatchEvent(new Event('change')); }")
    expect(page.locator("#rolling td").nth(1)).to_contain_text("0031")  # as soon as it is kept
    go(page, f"{DAY}20:36:08+01:00")
    page.locator("#now .mark-now").tap()
    told = page.locator("#now .marked p")
    expect(told).to_have_text("Marked at frame 201, file 0151. What was it?")
    go(page, f"{DAY}20:36:20+01:00")  # the frame is that of the tap
    page.locator("#now .words button:has-text('headlights')").tap()
    expect(told).to_have_text("Marked at frame 201, file 0151: headlights")
    stamps = [(mark["what"], mark["frame"], mark["file"]) for mark in payloads(page, "mark")]
    assert stamps == [("", 201, "0151"), ("headlights", 201, "0151")]
    assert payloads(page, "undo") == []
    page.locator("#now .mark-now").click()
    expect(told).to_contain_text("frame 202")
    page.locator("#now .marked button:has-text('Undo')").tap()
    expect(told).to_contain_text("headlights")
    go(page, f"{DAY}20:37:00+01:00")
    expect(page.locator("#now .marked")).to_be_hidden()
    go(page, f"{DAY}23:22:00+01:00")
    expect(page.locator("#now strong")).to_have_text("Ended 23:21:49")
    expect(cells(page)).to_have_text(["frames 753", "marks 1"], use_inner_text=True)
    expect(page.locator("#now .next")).to_contain_text("next in 2 h 48 min: Turn back")
    expect(page.locator("#now .controls")).to_be_hidden()
    page.locator("#now button:has-text('On the list: Wrap')").tap()
    expect(page.locator("#check h2:has-text('Wrap (1 of 2)')")).to_be_in_viewport()


WAKE = """window.asked = 0;
navigator.wakeLock.request = async () => {
  window.asked += 1;
  if (window.asked === 1) throw new DOMException('no', 'NotAllowedError');
  return new EventTarget();
};"""
BUZZ = "window.buzzed = 0; navigator.vibrate = () => { window.buzzed += 1; return true; };"


def buzzed(page: Page, times: int) -> None:
    soon(page, lambda: page.evaluate("window.buzzed"), times)


def test_a_swap_alerts_always_and_a_click_only_where_it_was_asked_for(
    demo_host: Host, kept_phone: BrowserContext
) -> None:
    page = opened(kept_phone, demo_host, START, script=BUZZ + WAKE)
    fire(page)
    go(page, f"{DAY}19:43:30+01:00")
    buzzed(page, 0)  # nobody asked for it
    page.locator(".alerts summary").tap()
    page.locator(".alerts button:has-text('Vibrate')").tap()
    buzzed(page, 1)  # so that it is known
    expect(page.locator(".alerts")).to_contain_text("this phone may stay silent")
    expect(page.locator(".alerts")).to_contain_text("keep it on in the phone's settings")
    page.evaluate("document.dispatchEvent(new Event('visibilitychange'))")  # looked at again
    expect(page.locator(".alerts")).to_contain_text("The screen is kept on")
    go(page, f"{DAY}20:01:30+01:00")
    buzzed(page, 2)
    expect(page.locator("#now .next")).to_have_attribute("data-due", "loud")
    go(page, f"{DAY}20:32:00+01:00")  # another band
    buzzed(page, 2)
    page.locator(".alerts button:has-text('clicks')").tap()
    page.locator(".alerts button:has-text('Sound')").tap()
    page.reload()  # it is remembered, and the take goes on
    expect(page.locator("#now strong")).to_have_text("Swap to pack A2")
    page.locator(".alerts summary").tap()
    expect(page.locator(".alerts button:has-text('Sound')")).to_have_attribute("aria-pressed", "true")
    go(page, f"{DAY}20:46:20+01:00")  # five minutes before the last frame for it
    buzzed(page, 1)
    page.locator(DONE).click()
    expect(page.locator("#now strong")).not_to_have_text("Swap to pack A2")
    go(page, f"{DAY}20:53:30+01:00")
    buzzed(page, 2)  # a band, now asked for; not the swap, which is done


def test_a_clock_that_was_set_back_is_said_until_the_rig_is_asked(rolling: Page) -> None:
    page = rolling
    go(page, f"{DAY}20:36:08+01:00")
    warning = page.locator("#now .rolling > .warning")
    expect(warning).to_be_hidden()
    page.clock.set_system_time(f"{DAY}19:50:00+01:00")
    page.clock.run_for(1000)
    expect(warning).to_contain_text("This phone's clock was set back by 46 min")
    page.reload()
    expect(page.locator("body")).to_have_attribute("data-phase", "rolling")
    expect(warning).to_be_hidden()  # what was kept last is the start, and that lies behind
    page.clock.set_system_time(f"{DAY}19:20:00+01:00")
    page.clock.run_for(1000)
    page.reload()
    page.clock.run_for(1000)
    expect(warning).to_contain_text("What was kept last lies 15 min ahead of")
    page.locator("#now .rig-shows").tap()
    page.locator("#now .count input").fill("201")
    page.locator("#now .count .keep").tap()
    expect(warning).to_be_hidden()
    expect(cells(page).nth(1)).to_have_text("frame now 201 of 753", use_inner_text=True)


def test_two_rigs_that_run_stand_on_the_night_s_page_and_the_first_page(
    demo_host: Host, kept_phone: BrowserContext
) -> None:
    fire(opened(kept_phone, demo_host, START))
    page = opened(kept_phone, demo_host, f"{DAY}22:42:00+01:00", SITE + "shots/pole-circle/")
    fire(page)
    for path in (SITE, SITE + "nights/2027-06-05/"):
        at = opened(kept_phone, demo_host, f"{DAY}22:55:00+01:00", path)
        boxes = at.locator(".running > a")
        expect(boxes).to_have_count(2)
        # A swap that is overdue goes before a count at 23:00.
        running = [
            ["A · Slipway: dusk to the core · frame 664 of 753", "Swap to pack A2"],
            ["B · Circle: stars about the pole · frame 27 of 300", "Rig count = camera count?"],
        ]
        soon(at, partial(first_lines, boxes), running)
    expect(at.locator(".alerts summary")).to_be_visible()
    at.evaluate("localStorage.clear()")  # what the shots' pages left there; the log still says that they run
    at.reload()
    expect(boxes.first).to_contain_text("Runs: open it for what is next")
    boxes.filter(has_text="Circle").tap()
    expect(at.locator("h1")).to_have_text("Circle: stars about the pole")
    expect(at.locator("body")).to_have_attribute("data-phase", "rolling")


@pytest.fixture
def modules_host(demo_host: Host, kept_phone: BrowserContext) -> Page:
    """A page from which the bare modules may be imported, with the tables of words."""
    page = kept_phone.new_page()
    page.goto(demo_host.url("/app/rolling/due.js"))
    return page


ACTS = """async ([plan, moments, done]) => {
  const [{nextActs}, {makeSheet}] =
    await Promise.all([import('/app/rolling/due.js'), import('/app/core/sheet.js')]);
  const acts = new Map(done.map((act) => [act, {}]));
  const sheet = makeSheet(plan);
  return moments.map(([fired_ms, now_ms]) => {
    const next = nextActs(plan, sheet, {fired_ms, counts: [], acts}, now_ms);
    return next.map(({act, kind, hand, loud}) => ({act, kind, hand, loud}));
  });
}"""


def test_what_falls_due_is_in_order_and_by_whose_hand(modules_host: Page, demo_plan: dict[str, Any]) -> None:
    start_ms = demo_plan["window"]["start"]["utc_ms"]
    moments = [[None, start_ms - 3_600_000], [start_ms, start_ms], [start_ms, start_ms + 6_000_000]]
    before, first, later = modules_host.evaluate(ACTS, [demo_plan, moments, ["exposure.257"]])
    assert [act["act"] for act in before][-1] == "start"
    assert {act["kind"] for act in before} == {"deadline", "start"}
    assert [act["act"] for act in first][:5] == [
        "exposure.25", "compare.20:00", "swap.1", "compare.20:30", "exposure.187",
    ]  # fmt: skip
    assert [act["act"] for act in first if act["loud"]] == [
        "swap.1",
        "end",
        "limit.turn-back",
        "limit.check-in",
    ]
    assert [act["act"] for act in first if not act["hand"]] == ["keyframe.2", "end"]
    # 1 h 40 min on: the swap's range is over; the band at 257 is done; what lapsed is gone.
    assert [act["act"] for act in later][:3] == ["swap.1", "exposure.323", "exposure.358"]
