"""The page of a shot on a phone: another night turns all of it, ticks hold what they confirmed."""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, expect

from fieldsheet.catalog.read import read_catalog
from fieldsheet.press import plan_catalog, plan_shot, press
from fieldsheet.sheet.sheet import make_sheet
from fieldsheet.sky.sky import Sky
from tests.conftest import DEMO
from tests.in_memory import in_memory
from tests.web.bound import bound_texts, text_at
from tests.web.host import Host
from tests.web.pagelog import events, on_log
from tests.web.soon import turned

HERE = "/fs/saltings/"
SHOT = HERE + "shots/slipway/"
OTHER_NIGHT = "2027-06-12"
READY = "#check > section:has(#fired)"


@pytest.fixture
def page(demo_host: Host, kept_phone: BrowserContext) -> Iterator[Page]:
    page = kept_phone.new_page()
    page.goto(demo_host.url(SHOT))
    expect(page.locator("#night")).to_be_enabled()
    yield page


def _turn(page: Page, night: str) -> None:
    page.locator("#night").evaluate(
        "(input, night) => { input.value = night; input.dispatchEvent(new Event('change')); }", night
    )


TABLES = {
    "limits": ("label", "clock"),
    "deadlines": ("label", "clock"),
    "needs": ("name", "verdict"),
    "sky-lines": ("name", "text"),
    "sky": ("name", "clock", "frame"),
    "rolling": ("clock", "frame", "file"),
}


def _rows_of(sheet: dict[str, Any]) -> dict[str, list[list[str]]]:
    """What the page's tables should hold."""
    parts = {**sheet, "sky-lines": sheet["sky_lines"] + sheet["arch_lines"]}
    return {name: [[row[key] for key in keys] for row in parts[name]] for name, keys in TABLES.items()}


def _tables(page: Page) -> dict[str, list[list[str]]]:
    """What is seen of them."""
    tables: dict[str, list[list[str]]] = page.evaluate(
        """(names) => {
             const seen = (cell) => [...cell.childNodes]
               .filter((node) => node.className !== "unseen").map((node) => node.textContent).join("");
             return Object.fromEntries(names.map((name) => [name, [...document.getElementById(name).rows]
               .map((row) => [...row.cells].map(seen))]));
           }""",
        list(TABLES),
    )
    return tables


MARKS = {True: "good", False: "fails", None: "open"}


def _marks(page: Page) -> list[str]:
    marks: list[str] = page.locator("#needs tr").evaluate_all("(all) => all.map((row) => row.dataset.mark)")
    return marks


def _row(page: Page, text: str) -> Any:
    return page.locator(".item", has_text=text).first


def test_another_night_turns_everything_on_the_page_and_is_marked(
    page: Page, demo_brief: dict[str, Any], demo_plan: dict[str, Any], sky: Sky
) -> None:
    printed = make_sheet(demo_plan)
    other = make_sheet(plan_shot(demo_brief, sky, {"night": OTHER_NIGHT}))
    assert {path: text_at(printed, path) for path in bound_texts(page)} == bound_texts(page)
    assert _tables(page) == _rows_of(printed)
    assert _marks(page) == [MARKS[need["met"]] for need in printed["needs"]] == ["good"] * 5
    _turn(page, OTHER_NIGHT)
    expect(page.locator("#changed")).to_be_visible()
    shown = bound_texts(page)
    assert {
        path: text_at(other, path) or ("none" if text_at(printed, path) else "") for path in shown
    } == shown
    differing = {path for path in shown if text_at(printed, path) != text_at(other, path)}
    marked = set(
        page.eval_on_selector_all("[data-v].differs", "(all) => all.map((place) => place.dataset.v)")
    )
    assert marked == differing and "numbers.first_frame" in marked
    assert _tables(page) == _rows_of(other) != _rows_of(printed)
    assert _marks(page) == [MARKS[need["met"]] for need in other["needs"]]
    strip = page.locator("#strip").inner_text()
    for moment in other["strip"]["moments"]:
        assert moment["clock"] in strip
    assert page.locator("#sky td.differs").count() > 0 and page.locator("#strip .differs").count() > 0
    page.locator("#printed").click()
    expect(page.locator("#changed")).to_be_hidden()
    assert {path: text_at(printed, path) for path in shown} == bound_texts(page)
    assert page.locator(".differs:not([hidden])").count() == 0


def test_a_step_to_the_next_night_and_back(page: Page) -> None:
    page.locator("#later").tap()
    expect(page.locator(".date b")).to_contain_text("Sun 6 June 2027")
    page.locator("#earlier").tap()
    expect(page.locator(".date b")).to_have_text("Sat 5 June 2027")
    expect(page.locator("#changed")).to_be_hidden()


def test_a_night_without_a_plan_is_refused_and_the_page_stays(page: Page) -> None:
    before = bound_texts(page)
    page.locator("#night").evaluate("(input) => input.removeAttribute('max')")
    _turn(page, "2031-06-05")
    expect(page.locator("#refused")).to_contain_text("the computed sky runs from")
    assert bound_texts(page) == before


def test_a_date_half_typed_is_not_taken(page: Page) -> None:
    """While a year is typed, the years 0002, 0020 and 0202 go by."""
    before = bound_texts(page)
    _turn(page, "0202-06-05")
    assert bound_texts(page) == before
    expect(page.locator("#refused")).to_be_hidden()


@pytest.fixture
def unstored(chromium: Browser, host: Host, demo_site: dict[str, bytes]) -> Iterator[Page]:
    """A phone that keeps nothing but the log: every page asks the host for every file."""
    host.sites[HERE] = demo_site
    host.headers = {"Cache-Control": "no-store"}
    context = chromium.new_context(viewport={"width": 360, "height": 740}, service_workers="block")
    page = context.new_page()
    page.goto(host.url(SHOT))
    expect(page.locator("#night")).to_be_enabled()
    yield page
    context.close()


def test_a_take_stays_whole_while_the_sky_is_slow(unstored: Page, host: Host) -> None:
    """On a poor signal the sky comes late: what was ticked before shows at once and no second take begins."""
    cap, bubble = _row(unstored, "Cap off"), _row(unstored, "Bubble unchanged")
    cap.click()
    expect(unstored.locator("#end-take")).to_be_visible()
    host.slow_s = {"sky/2027.pack": 3.0, "sky/2028.pack": 3.0}
    unstored.reload()
    expect(cap.locator("input")).to_be_checked()
    expect(unstored.locator("#earlier")).to_be_disabled()
    bubble.click()
    expect(unstored.locator("#night")).to_be_enabled()
    assert unstored.evaluate(on_log("return (await log.takes('slipway')).length;")) == 1
    expect(cap.locator("input")).to_be_checked()
    expect(bubble.locator("input")).to_be_checked()


def test_without_a_sky_a_take_of_another_night_is_not_ticked(
    unstored: Page, host: Host, demo_site: dict[str, bytes]
) -> None:
    _turn(unstored, OTHER_NIGHT)
    _row(unstored, "Cap off").click()
    expect(unstored.locator("#end-take")).to_be_visible()
    host.sites[HERE] = {path: data for path, data in demo_site.items() if not path.startswith("sky/")}
    unstored.reload()
    expect(unstored.locator("#changed")).to_contain_text("This take is for Sat 12 June 2027")
    expect(_row(unstored, "Bubble unchanged").locator("input")).to_be_disabled()


def test_ticks_of_another_evening_say_so(page: Page) -> None:
    _row(page, "Cap off").tap()
    expect(page.locator("#end-take")).to_be_visible()
    expect(page.locator("#older-take")).to_be_hidden()
    page.clock.set_fixed_time(datetime.now(UTC) + timedelta(days=4))
    page.reload()
    expect(page.locator("#older-take")).to_contain_text("These ticks are of a take begun")


def test_a_tick_survives_a_reload_and_opens_again_when_its_value_changes(page: Page) -> None:
    first_frame, cap = _row(page, "Frame 1 has fired"), _row(page, "Cap off")
    count = page.locator(READY).locator(".left")
    left = int(count.inner_text().split()[0]) - 2
    for row in (first_frame, cap):
        row.tap()
    expect(count).to_have_text(f"{left} left")  # said once both are on disk
    page.reload()
    expect(page.locator("#night")).to_be_enabled()
    expect(first_frame.locator("input")).to_be_checked()
    _turn(page, OTHER_NIGHT)
    expect(first_frame.locator("input")).not_to_be_checked()
    expect(cap.locator("input")).to_be_checked()
    turned(page, 1)
    page.reload()
    expect(page.locator("#changed")).to_be_visible()
    expect(page.locator(".date b")).to_contain_text("Sat 12 June 2027")
    expect(first_frame.locator("input")).not_to_be_checked()


def test_an_untick_opens_the_row_again_and_sections_count_what_is_left(page: Page) -> None:
    section = page.locator(READY)
    left = int(section.locator(".left").inner_text().split()[0])
    _row(page, "Cap off").tap()
    expect(section.locator(".left")).to_have_text(f"{left - 1} left")
    _row(page, "Cap off").click()
    expect(section.locator(".left")).to_have_text(f"{left} left")


def test_ending_a_take_asks_twice_and_keeps_its_log(page: Page) -> None:
    _row(page, "Cap off").tap()
    end = page.locator("#end-take")
    end.tap()
    expect(end).to_contain_text("Tap again")
    expect(_row(page, "Cap off").locator("input")).to_be_checked()
    end.click()
    expect(end).to_be_hidden()
    expect(_row(page, "Cap off").locator("input")).not_to_be_checked()
    assert [event["kind"] for event in events(page)] == ["take", "tick", "end"]


def test_a_card_of_another_revision_is_told_apart(
    page: Page, demo_host: Host, demo_plan: dict[str, Any]
) -> None:
    expect(page.locator("#stale")).to_be_hidden()
    page.goto("about:blank")
    page.goto(demo_host.url(SHOT + f"#r={demo_plan['revision']}"))
    expect(page.locator("#night")).to_be_enabled()
    expect(page.locator("#stale")).to_be_hidden()
    page.goto("about:blank")
    page.goto(demo_host.url(SHOT + "#r=ZZZZZZ"))
    expect(page.locator("#stale")).to_contain_text("ZZZZZZ")


def test_a_take_begun_on_another_revision_says_so(page: Page, demo_plan: dict[str, Any]) -> None:
    """Without an offline store the host may change the plan under a take."""
    page.evaluate(on_log("await log.beginTake('slipway', {revision: 'ZZZZZZ'});"))
    page.reload()
    expect(page.locator("#older-plan")).to_contain_text("begun on revision ZZZZZZ")
    expect(page.locator("#older-plan")).to_contain_text(demo_plan["revision"])


def test_nothing_runs_out_of_the_screen_at_360_px(page: Page) -> None:
    assert page.evaluate("document.documentElement.scrollWidth") == 360
    small = page.evaluate(
        """() => [...document.querySelectorAll('button, .item, nav a')].filter((place) => place.offsetParent)
             .map((place) => [place.textContent.trim(), place.getBoundingClientRect()])
             .filter(([, box]) => box.height < 54 || box.width < 54).map(([text]) => text)"""
    )
    assert small == [], "targets for a glove are at least 54 px"


HOSTILE = """</script><script>document.title='hit'</script><img src=x onerror="document.title='hit'">"""


def test_markup_in_every_text_of_the_catalog_stays_text(
    host: Host, phone: BrowserContext, tmp_path: Path
) -> None:
    folder = tmp_path / "hostile"
    for source in DEMO.rglob("*.toml"):
        target = folder / source.relative_to(DEMO)
        target.parent.mkdir(parents=True, exist_ok=True)
        lines = source.read_text("utf-8").splitlines()
        written = [_with_markup(line, number) for number, line in enumerate(lines)]
        target.write_text("\n".join(written), "utf-8")
    catalog = read_catalog(folder)
    host.sites[HERE] = in_memory(press(catalog, plan_catalog(catalog)))
    page = phone.new_page()
    page.goto(host.url(SHOT))
    expect(page.locator("#night")).to_be_enabled()
    expect(page.locator("h1")).to_have_text(HOSTILE)
    assert page.title() == HOSTILE
    assert page.locator("main img").count() == 0
    _turn(page, OTHER_NIGHT)
    expect(page.locator("h1")).to_have_text(HOSTILE)
    assert page.title() == HOSTILE


FREE = {
    "back_to_start", "from", "key", "lock", "name", "note", "pair", "permit", "release", "remote_plug",
    "seat", "sighting", "stays", "supply", "text", "title", "to", "zero_sighting",
}  # fmt: skip


def _with_markup(line: str, number: int) -> str:
    """A line of TOML with free text replaced by markup; names of files, anchors, times and addresses stay."""
    key, separator, value = line.partition(" = ")
    if separator and key.strip() in FREE and not re.match(r'"\d\d:\d\d"', value):
        return f"{key} = '''{HOSTILE}{number if key.strip() == 'name' else ''}'''"
    return re.sub(r'\b(with|operator|rigger) = "[^"]*"', lambda found: f"{found[1]} = '''{HOSTILE}'''", line)
