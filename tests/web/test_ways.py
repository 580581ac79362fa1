"""What goes wrong is taken by a tap: the page turns to it whole, says so on top, and one tap goes back."""

from __future__ import annotations

import datetime
import re
from collections.abc import Iterator
from typing import Any

import pytest
from playwright.sync_api import BrowserContext, Page, expect

from fieldsheet.catalog.read import Catalog
from fieldsheet.press import plan_shot
from fieldsheet.sheet.sheet import make_sheet
from fieldsheet.sky.sky import Sky
from tests.web.host import Host
from tests.web.pagelog import on_log
from tests.web.soon import soon, turned

MINUTE_MS = 60_000
BEFORE = datetime.datetime(2027, 6, 5, 18, 30, tzinfo=datetime.UTC)
# Every keyframe that is shown, in the order in which it stands: its name, its figures, what is ticked.
LIST = """() => [...document.querySelectorAll('.keyframes > li:not([hidden])')].map((row) => {
  const text = (at) => {
    const found = row.querySelector(at)?.cloneNode(true);
    found?.querySelectorAll('.unseen').forEach((one) => one.remove());
    return (found?.textContent ?? '').replace(/\\s/g, '');
  };
  return {head: text('h3'), axes: text('.axes'), item: text('.items .what'),
          differs: row.querySelectorAll('.differs').length > 0};
})"""


@pytest.fixture
def page(host: Host, bare_phone: BrowserContext, demo_site: dict[str, bytes]) -> Iterator[Page]:
    """The demo's shot, loaded and then without signal, an hour before it begins."""
    faults: list[str] = []
    host.sites["/fs/saltings/"] = demo_site
    page = bare_phone.new_page()
    page.on("pageerror", lambda error: faults.append(str(error)))
    page.clock.install(time=BEFORE)
    page.goto(host.url("/fs/saltings/shots/slipway/"))
    expect(page.locator("#night")).to_be_enabled()
    bare_phone.set_offline(True)
    yield page
    assert faults == []


def _ask(page: Page, button: str, **typed: str) -> None:
    page.locator("#wrong > summary").tap()
    labels = {"at": "first frame at", "frame": "stopped after frame", "minutes": "minutes until it rolls"}
    for name, text in typed.items():
        page.get_by_label(labels[name]).fill(text)
    page.locator("#wrong").get_by_role("button", name=button).tap()


def _take(page: Page, number: int) -> None:
    way = page.locator("#wrong .way").nth(number - 1)
    if way.get_attribute("open") is None:
        way.locator("summary").tap()
    way.get_by_role("button", name="Take it").tap()


def _listed(sheet: dict[str, Any]) -> list[dict[str, Any]]:
    axes = sheet["axes"]
    rows = []
    for index in sheet["set_order"]:
        row = sheet["keyframes"][index]
        figures = [f"{axis['letter']} {row['axes'][axis['name']]} {axis['unit']}" for axis in axes]
        head = f"{row['key']} {row['name']} on rig: {row['on_rig']} {row['clock']} frame {row['frame']}"
        item = f"{row['key']} {row['name']} stored, tape marked"
        rows.append({"head": head, "axes": " ".join(figures), "item": item})
    return rows


def _shows(page: Page, sheet: dict[str, Any], differs: bool) -> None:
    """The list of keyframes is the sheet's, no more and no less, and what is keyed in, too."""
    listed = [{key: text.replace(" ", "") for key, text in row.items()} for row in _listed(sheet)]
    soon(page, lambda: page.evaluate(LIST), [{**row, "differs": differs} for row in listed])
    for name in ("frames", "interval", "dwell", "ease"):
        text = page.locator(f".keyed [data-v='numbers.{name}']").evaluate(
            "(one) => one.firstChild.textContent"
        )
        assert text == sheet["numbers"][name], name


@pytest.fixture
def sheets(demo: Catalog, sky: Sky) -> Any:
    return lambda changes: make_sheet(plan_shot(demo.brief("slipway"), sky, changes))


def test_a_late_start_is_taken_by_a_tap_and_left_by_one(
    page: Page, demo_plan: dict[str, Any], sheets: Any
) -> None:
    start_ms = demo_plan["window"]["start"]["utc_ms"] + 25 * MINUTE_MS
    _ask(page, "It starts late", at="20:01")
    _take(page, 2)
    expect(page.locator("#changed-what")).to_have_text(
        "Late start 20:01 taken. The frames alone: fewer, up to the planned end."
    )
    assert page.evaluate("scrollY") == 0
    _shows(page, sheets({"way": {"id": "frames", "start_ms": start_ms}}), True)
    page.locator("#wrong > summary").tap()
    page.get_by_role("button", name="Longer").tap()
    page.get_by_role("button", name="Take it: interval 18.5 s").tap()
    expect(page.locator("#changed-what")).to_contain_text("Not the printed interval. Late start 20:01 taken.")
    _shows(page, sheets({"way": {"id": "frames", "start_ms": start_ms}, "interval_ms": 18_500}), True)
    page.locator("#wrong > summary").tap()
    page.get_by_role("button", name="Not after all").tap()
    expect(page.locator("#changed-what")).not_to_contain_text("interval")
    page.locator("#printed").click()
    expect(page.locator("#changed")).to_be_hidden()
    _shows(page, sheets({}), False)


def test_whatever_turns_the_page_by_a_slip_is_undone_by_one_tap(page: Page) -> None:
    """A way is of its night: stepping there and back would not bring it back."""
    what = page.locator("#changed-what")
    for box in ("#exposure", "#spot"):
        page.locator(f"{box} > summary").tap()
    page.locator("#exposure .shift button").first.tap()
    _ask(page, "It starts late", at="20:01")
    _take(page, 2)
    expect(what).to_contain_text("Not the printed exposure. Late start 20:01 taken.")
    expect(page.locator(".undo")).to_have_text(re.compile("^Undo: Late start 20:01 taken."))
    taken = what.inner_text()
    page.locator("#spot input").first.fill("37.2 N")
    for button, name in (
        ("#spot button:has-text('Compute')", "another spot"),
        ("#later", "turned to Sun 6 June 2027"),
        ("#exposure .shift button >> nth=1", "exposure shift"),
    ):
        page.locator(button).tap()
        expect(what).not_to_have_text(taken)
        expect(page.locator(".undo")).to_have_text(f"Undo: {name}")
        page.clock.run_for(1000)
        page.locator(".undo").tap()
        expect(what).to_have_text(taken)


def test_after_a_stop_no_row_is_left_of_a_keyframe_that_is_gone_or_of_a_card_to_be_wiped(
    page: Page, demo_plan: dict[str, Any], sheets: Any
) -> None:
    """Past the middle keyframe two are left, the first of them where the rig stands; the third is none."""
    third = page.locator(".keyframes [data-keyframe='2'] input[data-item]")
    card = page.locator(".item", has_text="Card formatted")
    expect(third).not_to_be_checked()
    expect(card).to_be_visible()
    _ask(page, "It stopped", frame="400", minutes="20")
    _take(page, 4)
    rolling_ms = demo_plan["window"]["start"]["utc_ms"] + 399 * 18_000 + 20 * MINUTE_MS
    sheet = sheets({"way": {"id": "sky", "frame": 400, "rolling_ms": rolling_ms}})
    assert len(sheet["keyframes"]) == 2
    expect(page.locator("#changed-what")).to_have_text(
        "Going on after frame 400, from 21:56. Go on where it would be by now."
    )
    _shows(page, sheet, True)
    expect(third).to_be_checked()
    expect(card).to_be_hidden()
    assert "K3" not in page.locator(".keyframes").inner_text()
    # Until it rolls, the same stop is asked again, of what was planned before it.
    _ask(page, "It stopped", minutes="30")
    expect(page.locator("#wrong b").first).to_contain_text("Stopped after frame 400 of 753")
    _take(page, 1)
    later = sheets({"way": {"id": "second", "frame": 400, "rolling_ms": rolling_ms + 10 * MINUTE_MS}})
    _shows(page, later, True)
    page.context.set_offline(False)
    page.reload()
    expect(page.locator("#changed-what")).to_contain_text("End the clip here, begin a second")
    _shows(page, later, True)
    page.locator("#printed").click()
    expect(page.locator("#changed")).to_be_hidden()
    _shows(page, sheets({}), False)
    expect(third).not_to_be_checked()
    expect(card).to_be_visible()


def test_everything_that_may_go_wrong_is_found_in_that_box(page: Page) -> None:
    for name, place in (("Another spot", "#spot"), ("The light runs", "#exposure")):
        page.locator("#wrong > summary").tap()
        page.get_by_role("button", name=name).tap()
        expect(page.locator(place)).to_have_attribute("open", "")
        page.locator("#wrong > summary").tap()
    page.locator("#wrong > summary").tap()
    field = page.get_by_label("another interval, in seconds")
    for typed, words in (("x", "Not seconds: “x”. Write 18."), ("18.2", "The rig takes 18 s or 18.5 s.")):
        field.fill(typed)
        field.blur()
        expect(page.locator("#wrong > div [role=status]")).to_contain_text(words)
    expect(page.locator("#changed")).to_be_hidden()
    page.get_by_role("button", name="Nights around").tap()
    expect(page.locator("#others")).to_have_attribute("open", "")


def test_the_page_follows_the_rig_and_no_tick_opens_for_it(page: Page, demo_plan: dict[str, Any]) -> None:
    """Frames 201 and 401 show a minute and two late: 18.3 s. What is keyed in and what is ticked stays."""
    start_ms = demo_plan["window"]["start"]["utc_ms"]
    swap = page.locator(".item", has=page.locator("[data-v='swaps.0']")).first
    swap.evaluate("(row) => { for (let at = row; at; at = at.parentElement) at.hidden = false; }")
    box = swap.locator("input[type=checkbox]")
    box.evaluate("(box) => box.click()")
    expect(box).to_be_checked()
    expect(page.locator("#end-take")).to_be_visible()
    was = swap.inner_text()
    page.context.set_offline(False)
    page.evaluate(
        on_log(
            """const [{take}] = await log.takes(shot);
  await log.append(take, 'start', {utc_ms: start_ms});
  for (const frame of [201, 401]) {
    now_ms = start_ms + (frame - 0.5) * 18300;
    await log.append(take, 'count', {frame});
  }""",
            given="[shot, start_ms, now_ms = start_ms]",
            clock="() => now_ms",
        ),
        ["slipway", start_ms],
    )
    as_it_runs = re.compile(r"As the rig runs: 18\.[23]\d* s from frame to frame, where it is told 18 s\.")
    what = page.locator("#changed-what")
    expect(what).to_have_text(as_it_runs)
    expect(page.locator("#printed")).to_be_hidden()
    expect(page.locator(".keyed [data-v='numbers.interval']")).to_have_text("18 s")
    expect(box).to_be_checked()
    assert swap.inner_text() != was, "its moments are those of the rig"
    assert (
        page.evaluate(
            "sessionStorage.getItem(Object.keys(sessionStorage).find((key) => key.includes('turned')))"
        )
        == "{}"
    )
    # It had not stopped after all: start and counts hold as they did; a slip to the printed plan is undone.
    _ask(page, "It stopped", frame="400", minutes="20")
    expect(page.get_by_label("first frame at")).to_be_hidden()
    _take(page, 1)
    expect(what).to_contain_text("Going on after frame 400")
    page.locator("#printed").click()
    expect(what).to_have_text(as_it_runs)
    page.clock.run_for(1000)
    page.locator(".undo").tap()
    expect(what).to_contain_text("Going on after frame 400")
    turned(page, 3)
    page.reload()
    expect(what).to_contain_text("Going on after frame 400")
    page.locator("#wrong > summary").tap()
    page.get_by_role("button", name="Not after all").tap()
    expect(what).to_have_text(as_it_runs)


def test_files_go_on_counting_after_a_stop_until_their_number_is_written_anew(modules_page: Page) -> None:
    first = {"id": "sky", "frame": 400, "rolling_ms": 0}
    steps: list[tuple[dict[str, Any], int]] = [
        ({"kind": "take", "payload": {"changes": {"way": {"id": "frames", "start_ms": 0}}}}, 0),
        ({"kind": "field", "payload": {"item": "file", "value": "0017"}}, 0),
        ({"kind": "changes", "payload": {"changes": {"way": first}}}, 400),
        ({"kind": "field", "payload": {"item": "other", "value": "4"}}, 400),
        (
            {
                "kind": "changes",
                "payload": {"changes": {"way": {**first, "frame": 30, "after": {"way": first}}}},
            },
            430,
        ),
        ({"kind": "field", "payload": {"item": "file", "value": "0500"}}, 0),
        ({"kind": "changes", "payload": {"changes": {}}}, 0),
    ]
    events = [event for event, _ in steps]
    counted = modules_page.evaluate(
        """async (events) => {
          const {firedSince} = await import('/app/takes/stops.js');
          return events.map((_, at) => firedSince(events.slice(0, at + 1), 'file'));
        }""",
        events,
    )
    assert counted == [before for _, before in steps]
