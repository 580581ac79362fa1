"""A page of a shot that cannot read its own plan says so and leaves what is printed."""

from __future__ import annotations

import base64
import re
from collections.abc import Callable
from typing import Any

import pytest
from playwright.sync_api import BrowserContext, Page, expect

from fieldsheet.sheet.sheet import make_sheet
from tests.web.host import Host

HERE = "/fs/saltings/"
FILE = "shots/slipway/index.html"
PLAN = re.compile(rb'(<script type="text/plain" id="plan"[^>]*>)([^<]+)')
DAMAGED = "This page is damaged: load it again, or use the card."


def _mistyped(packed: bytes) -> bytes:
    return packed[:100] + b"!" + packed[101:]


def _cut_short(packed: bytes) -> bytes:
    return base64.b64encode(base64.b64decode(packed)[:3000])


def _says_and_keeps_the_print(page: Page, words: str, demo_plan: dict[str, Any]) -> None:
    expect(page.locator("#lost")).to_have_text(words)
    expect(page.locator("#lost")).to_be_in_viewport()
    first_frame = page.locator(".figures [data-v='numbers.first_frame']")
    expect(first_frame).to_have_text(make_sheet(demo_plan)["numbers"]["first_frame"])
    expect(page.locator("main input:enabled")).to_have_count(0)


@pytest.mark.parametrize("damage", [_mistyped, _cut_short])
def test_a_damaged_plan_is_said(
    bare_phone: BrowserContext,
    host: Host,
    demo_site: dict[str, bytes],
    demo_plan: dict[str, Any],
    damage: Callable[[bytes], bytes],
) -> None:
    text, found = PLAN.subn(lambda plan: plan[1] + damage(plan[2]), demo_site[FILE])
    assert found == 1
    host.sites[HERE] = {**demo_site, FILE: text}
    faults: list[str] = []
    page = bare_phone.new_page()
    page.on("pageerror", lambda error: faults.append(str(error)))
    page.goto(host.url(HERE + "shots/slipway/"))
    _says_and_keeps_the_print(page, DAMAGED, demo_plan)
    assert len(faults) == 1, "what it was stands on the console"


def test_a_browser_that_cannot_unpack_by_itself_is_helped(
    kept_phone: BrowserContext, demo_host: Host, demo_plan: dict[str, Any]
) -> None:
    page = kept_phone.new_page()
    page.add_init_script("delete globalThis.DecompressionStream")
    page.goto(demo_host.url(HERE + "shots/slipway/"))
    page.locator(".item").first.tap()
    expect(page.locator(".item input").first).to_be_checked()
    expect(page.locator("#lost")).to_be_hidden()
