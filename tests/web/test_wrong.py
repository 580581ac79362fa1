"""When it goes wrong: the ways to go on after a late start or a stop, computed without signal."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest
from playwright.sync_api import BrowserContext, Page, expect

from fieldsheet.catalog.read import Catalog
from fieldsheet.press import plan_shot
from fieldsheet.sheet.sheet import make_sheet
from fieldsheet.sky.sky import Sky
from tests.web.host import Host
from tests.web.soon import soon

HERE = "/fs/saltings/"
MINUTE_MS = 60_000
TOLD = """(box) => ({
  head: box.querySelector('div > p > b').textContent,
  steps: [...box.querySelectorAll('li')].map((one) => one.textContent),
  ways: [...box.querySelectorAll('.way')].map((way) => ({
    head: way.querySelector('summary').textContent,
    lines: [...way.querySelectorAll('tr')].map((row) => [...row.cells].map((cell) => cell.textContent)),
    keyed: [...way.querySelectorAll('.line, .soft')].map((one) => one.textContent),
  })),
})"""


@pytest.fixture
def page(host: Host, bare_phone: BrowserContext, demo_site: dict[str, bytes]) -> Iterator[Page]:
    """The demo's shot, all of it loaded and then without signal, its section open."""
    faults: list[str] = []
    host.sites[HERE] = demo_site
    page = bare_phone.new_page()
    page.on("pageerror", lambda error: faults.append(str(error)))
    page.goto(host.url(HERE + "shots/slipway/"))
    expect(page.locator("#night")).to_be_enabled()
    bare_phone.set_offline(True)
    page.locator("#wrong > summary").tap()
    yield page
    assert faults == []


def _ask(page: Page, button: str, **typed: str) -> None:
    labels = {"at": "first frame at", "frame": "stopped after frame", "minutes": "minutes until it rolls"}
    for name, text in typed.items():
        page.get_by_label(labels[name]).fill(text)
    page.locator("#wrong").get_by_role("button", name=button).click()


def _sheet(demo: Catalog, sky: Sky, changes: dict[str, Any]) -> dict[str, Any]:
    return make_sheet(plan_shot(demo.brief("slipway"), sky, changes))


def _told(sheet: dict[str, Any]) -> dict[str, Any]:
    """What a page should show of it."""
    return {
        "head": sheet["head"],
        "steps": sheet["steps"],
        "ways": [
            {
                "head": way["head"],
                "lines": [[line["name"], line["text"]] for line in way["lines"]],
                "keyed": [
                    text for row in way["keyframes"] for key in ("line", "off", "aimed") if (text := row[key])
                ],
            }
            for way in sheet["options"]
        ],
    }


def test_a_late_start_and_a_stop_are_told_as_at_the_desk(
    page: Page, demo: Catalog, demo_plan: dict[str, Any], sky: Sky
) -> None:
    start_ms, box = demo_plan["window"]["start"]["utc_ms"], page.locator("#wrong")
    _ask(page, "It starts late", at="20:01")
    expect(box.locator(".way")).to_have_count(5)
    late = _sheet(demo, sky, {"start_ms": start_ms + 25 * MINUTE_MS})["late"]
    soon(page, lambda: box.evaluate(TOLD), _told(late))
    assert len(late["options"][1]["lines"]) > 5
    assert [way.get_attribute("open") for way in box.locator(".way").all()] == ["", None, None, None, None]
    _ask(page, "It stopped", frame="612", minutes="20")
    expect(box.locator(".way")).to_have_count(4)
    stopped = {"frame": 612, "rolling_ms": start_ms + 611 * 18_000 + 20 * MINUTE_MS}
    soon(page, lambda: box.evaluate(TOLD), _told(_sheet(demo, sky, {"stopped": stopped})["recovery"]))


def test_what_is_mistyped_is_said_in_a_line_and_nothing_is_lost(page: Page) -> None:
    said, ways = page.locator("#wrong > [role=status]"), page.locator("#wrong .way")
    _ask(page, "It starts late", at="20.01")
    expect(ways).to_have_count(5)
    for button, typed, words in (
        ("It starts late", {"at": "25:00"}, "Not a clock time: “25:00”. Write 20:15."),
        ("It starts late", {"at": "19:00"}, "19:00 is not later than planned."),
        ("It stopped", {"frame": "6l2", "minutes": "20"}, "Not a frame: “6l2”. Write what the rig shows"),
        ("It stopped", {"frame": "612", "minutes": ""}, "Not minutes: “”. Write a whole number, such as 15."),
        (
            "It stopped",
            {"frame": "0", "minutes": "20"},
            "Stopped after frame 0: the shot has frames 1 to 752",
        ),
        (
            "It stopped",
            {"frame": "753", "minutes": "20"},
            "Stopped after frame 753: the shot has frames 1 to 752",
        ),
    ):
        _ask(page, button, **typed)
        expect(said).to_contain_text(words)
        expect(ways).to_have_count(5)
        for name, text in typed.items():
            label = {
                "at": "first frame at",
                "frame": "stopped after frame",
                "minutes": "minutes until it rolls",
            }[name]
            expect(page.get_by_label(label)).to_have_value(text)
