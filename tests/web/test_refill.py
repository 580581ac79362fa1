"""What is filled anew under the focus keeps it (WCAG 2.2, 2.4.3): the rule by a table, then by lists."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from playwright.sync_api import BrowserContext, Locator, Page, expect

from tests.web.host import Host
from tests.web.soon import soon
from tests.web.test_now import DAY, SITE, fire, go, opened

FILL = """async ([before, focus, after]) => {
  const {refill} = await import("/app/touch/refill.js");
  document.body.innerHTML =
    `<details open><summary id=fold>fold</summary><ul>${before}</ul></details><button id=x>x`;
  document.getElementById(focus).focus();
  const made = document.createElement("ul");
  made.innerHTML = after;
  refill(document.querySelector("ul"), ...made.childNodes);
  return document.activeElement.id || document.activeElement.tagName;
}"""


def row(name: str, *ids: str, hidden: str = "") -> str:
    buttons = "".join(f'<button id="{one}"{" hidden" if one == hidden else ""}>b</button>' for one in ids)
    return f"<li{f' data-of={name}' if name else ''}>{buttons}</li>"


CASES: dict[str, tuple[str, str, str, str]] = {
    "the same row, further down": (row("a", "a1", "a2"), "a2", row("new", "n") + row("a", "A1", "A2"), "A2"),
    "without a name, the row at its place": (
        row("", "a") + row("", "b"), "b", row("", "A") + row("", "B"), "B",
    ),
    "a name that is gone, the row at its place": (row("a", "a") + row("b", "b"), "a", row("b", "B"), "B"),
    "the last row is gone, the one before": (row("a", "a") + row("b", "b"), "b", row("a", "A"), "A"),
    "its button is gone, another of the row": (row("a", "a1", "a2"), "a2", row("a", "A1"), "A1"),
    "its button is hidden, another of the row": (
        row("a", "a1", "a2"), "a2", row("a", "A1", "A2", hidden="A2"), "A1",
    ),
    "nothing in its row, the next": (row("a", "a") + row("b", "b"), "a", row("a") + row("b", "B"), "B"),
    "nothing after it, the one before": (row("a", "a") + row("b", "b"), "b", row("a", "A") + row("b"), "A"),
    "nothing left, the fold around": (row("a", "a"), "a", "", "fold"),
    "another place has it": (row("a", "a"), "x", row("a", "A"), "x"),
    "texts beside": ("words " + row("", "a"), "a", "other words " + row("", "A"), "A"),
}  # fmt: skip


@pytest.mark.parametrize("case", CASES)
def test_what_is_filled_anew_under_the_focus_keeps_it(pure: Page, case: str) -> None:
    before, focus, after, expected = CASES[case]
    assert pure.evaluate(FILL, [before, focus, after]) == expected


KEEP = """async ([kind, payload]) => {
  const [{openLog, logName}, {siteOf}] = await Promise.all(
    ['takes/log', 'keep/site'].map((name) => import(`/app/${name}.js`)));
  const log = await openLog(logName(siteOf(document)));
  const [{take}] = await log.openTakes();
  await log.append(take, kind, payload);
}"""


def _all_that_falls_due(page: Page) -> Locator:
    page.evaluate(KEEP, ["act", {"act": "compare.20:00"}])
    page.locator(".acts > summary").press("Enter")
    return page.locator(".acts [data-of='compare.20:00'] button")


def _log(page: Page) -> Locator:
    page.evaluate(KEEP, ["note", {"text": "first"}])
    page.locator("#log > summary").press("Enter")
    return page.locator("ol.log button[aria-description='note: first']")


def _other_nights(page: Page) -> Locator:
    page.locator("#others > summary").press("Enter")
    return page.locator(".nights [aria-current] summary")


def _takes(page: Page) -> Locator:
    page.goto(page.url.partition("shots/")[0])
    page.locator("#takes summary").press("Enter")
    return page.get_by_role("button", name="Share or save").first


LISTS: dict[str, tuple[Callable[[Page], Locator], str]] = {
    "all that falls due": (_all_that_falls_due, ".acts [data-of='compare.20:30'] button"),
    "the log": (_log, "ol.log button[aria-description='note: second']"),
    "other nights": (_other_nights, ".nights [aria-current] small"),
    "the takes": (_takes, "#takes i:has-text('entries')"),
}


@pytest.mark.parametrize("name", LISTS)
def test_every_list_that_another_tab_fills_anew_keeps_the_focus(
    demo_host: Host, kept_phone: BrowserContext, name: str
) -> None:
    page = opened(kept_phone, demo_host, f"{DAY}19:36:00+01:00")
    fire(page)
    go(page, f"{DAY}20:04:00+01:00")
    reach, filled = LISTS[name]
    page.clock.resume()
    control = reach(page)
    control.focus()
    page.evaluate("document.activeElement.old = true")
    other = kept_phone.new_page()
    other.goto(demo_host.url(SITE))
    other.evaluate(KEEP, ["note", {"text": "second"}])
    other.evaluate(KEEP, ["act", {"act": "compare.20:30"}])
    expect(page.locator(filled).first).to_be_visible()
    soon(page, lambda: page.evaluate("document.activeElement.old ?? null"), None)  # it was filled anew
    expect(control).to_be_focused()
