"""Every kind of page, in every theme, folded and unfolded: no fault that an outside checker finds."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import axe_playwright_python
import pytest
from playwright.sync_api import Browser, Page, ViewportSize, expect

from fieldsheet.catalog.read import Catalog
from fieldsheet.exchange.carrycode import digits_of
from fieldsheet.site.guide import CHAPTERS, GUIDE
from tests.web.host import Host
from tests.web.soon import soon
from tests.web.watch import Watch

HERE = "/fs/saltings/"
SHOT = "shots/slipway/"
PAGES = ("", "nights/2027-06-05/", "kit/", "open/", "years/slipway/")
EVENING, ROLLING = "2027-06-05T18:30:00+01:00", "2027-06-05T20:50:00+01:00"
THEMES = ("day", "dark", "night")
AXE = (Path(axe_playwright_python.__file__).parent / "axe.min.js").read_text("utf-8")
# axe-core's rules for W3C Web Content Accessibility Guidelines 2.2, A and AA, and what its makers advise.
ALL = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]
ALL_BUT_COLOURS = {"runOnly": ALL, "rules": {"color-contrast": {"enabled": False}}}
COLOURS = {"runOnly": {"type": "rule", "values": ["color-contrast"]}}
# What it cannot see: cells of a sign or two, and drawings; both are in the tokens whose contrast is computed
# in test_theme.py. And a heading of a row may stand behind the cell that it heads.
UNSEEN_BY_AXE = ("too short to determine", "background gradient", "data cells are missing")
RUN = """async ([rules, include, exclude]) => {
  const kinds = ["violations", "incomplete"];
  const found = await axe.run({include, exclude}, {...rules, resultTypes: kinds});
  return kinds.flatMap((kind) => found[kind].flatMap(({id, nodes}) => nodes.map(({target, any, all, none}) =>
    `${id} at ${target.join(" ")}: ${[...any, ...all, ...none].map(({message}) => message).join("; ")}`)));
}"""
# The bar at the thumb lies over something at any scroll, which then counts as too small: it is apart.
BAR = ".jump"
# Drawings; and of a year's nights, which are drawn as their legend is, only that.
DRAWN = ["svg", "table:not(.legend):has(.fails)"]
FEWER = """() => {
  for (const one of document.querySelectorAll("p, li, dt, dd, tr")) {
    if ([...one.parentElement.children].indexOf(one) > 12) one.remove();
  }
}"""
HIDE_BAR = "(hidden) => { const bar = document.querySelector('.jump'); if (bar) bar.hidden = hidden; }"

UPRIGHT: ViewportSize = {"width": 360, "height": 740}


@pytest.fixture(scope="module")
def page(chromium: Browser, demo_host: Host) -> Iterator[Page]:
    """One page for all: it goes from one state to the next."""
    context = chromium.new_context(viewport=UPRIGHT, is_mobile=True, has_touch=True)
    context.set_default_timeout(25_000)
    watch = Watch(context, f"127.0.0.1:{demo_host.port}")
    shown = context.new_page()
    shown.clock.set_fixed_time(EVENING)
    yield shown
    assert watch.complaints == []
    context.close()


def _open(page: Page, host: Host, path: str) -> None:
    page.set_viewport_size(UPRIGHT)  # the test before may have turned it
    page.goto(host.url(HERE + path))
    if path == SHOT:
        expect(page.locator("#night")).to_be_enabled()


# Some are filled when they are unfolded.
EMPTY = """() => [...document.querySelectorAll("details[open]")]
  .filter((box) => box.getClientRects().length > 0 && box.children.length < 2)
  .map((box) => box.textContent)"""


def _unfold(page: Page) -> None:
    """All boxes but those of other nights, of which each is like the next."""
    page.evaluate("""() => Promise.all(
      [...document.querySelectorAll("details:not([open], #others, #others *)")].map((box) => {
        const told = new Promise((done) => box.addEventListener("toggle", done, {once: true}));
        box.open = true;
        return told;
      }))""")
    soon(page, lambda: page.evaluate(EMPTY), [])


def _theme(page: Page, theme: str) -> None:
    page.evaluate("(theme) => document.querySelector(`[data-set-theme=${theme}]`).click()", theme)


def _faults(page: Page, themes: tuple[str, ...] = THEMES) -> list[str]:
    """What axe has against the page at its top, and against its colours in the themes."""
    page.evaluate("scrollTo(0, 0)")
    if page.evaluate("typeof axe") == "undefined":
        page.evaluate(AXE)
    page.evaluate(HIDE_BAR, True)
    found = page.evaluate(RUN, [ALL_BUT_COLOURS, ["html"], []])
    for theme in themes:
        _theme(page, theme)
        found += [f"{theme}: {fault}" for fault in page.evaluate(RUN, [COLOURS, ["html"], DRAWN])]
    page.evaluate(HIDE_BAR, False)
    if page.locator(BAR).count():
        found += page.evaluate(RUN, [{"runOnly": ALL}, [BAR], []])
    return [fault for fault in found if not any(said in fault for said in UNSEEN_BY_AXE)]


@pytest.mark.parametrize("path", PAGES)
def test_lists_and_years(page: Page, demo_host: Host, path: str) -> None:
    _open(page, demo_host, path)
    _unfold(page)
    assert _faults(page) == []


def test_the_guide(page: Page, demo_host: Host) -> None:
    """Of parts that are many and alike some are looked at, and colours where they are closest together."""
    for path in (GUIDE, *(f"{GUIDE}{chapter.name}/" for chapter in CHAPTERS)):
        _open(page, demo_host, path)
        _unfold(page)
        assert page.evaluate("document.documentElement.scrollWidth") == 360, path
        page.evaluate(FEWER)
        _theme(page, "night")
        page.evaluate(AXE)
        assert page.evaluate(RUN, [{"runOnly": ALL}, ["html"], []]) == [], path


def test_a_shot_folded_and_unfolded_with_a_tick(page: Page, demo_host: Host) -> None:
    """Unfolded it has no other colours than folded: they are looked at where they are closest together."""
    _open(page, demo_host, SHOT)
    page.locator(".item").first.tap()
    expect(page.locator("#end-take")).to_be_visible()
    assert _faults(page) == []
    _unfold(page)
    assert _faults(page, ("night",)) == []


def test_a_plan_from_elsewhere(page: Page, demo_host: Host, demo: Catalog) -> None:
    digits = digits_of({**demo.brief("slipway"), "revision": "ABC123"})
    _open(page, demo_host, "open/#p=" + digits)
    expect(page.locator("#opened")).to_be_visible()
    assert _faults(page) == []
    page.get_by_text("Pass it on").tap()
    page.get_by_role("button", name="Show the plan's code").tap()
    expect(page.locator("#pass svg")).to_be_visible()
    _unfold(page)
    assert _faults(page, ("night",)) == []


def test_a_shot_while_it_rolls_is_read_out_and_handed_over(page: Page, demo_host: Host) -> None:
    page.clock.set_fixed_time(ROLLING)
    _open(page, demo_host, SHOT)
    page.get_by_role("button", name="Frame 1 fired now").first.tap()
    expect(page.locator("#changed")).to_be_visible()  # it goes by when frame 1 fired
    page.evaluate("document.documentElement.style.fontSize = '36px'")
    strip, bar, ahead = (page.locator(at).bounding_box() for at in (".undo", ".jump", "#next-open"))
    assert strip and bar and ahead
    assert strip["y"] >= bar["y"] and strip["x"] >= ahead["x"] + ahead["width"] - 1, "what is next is covered"
    page.evaluate("document.documentElement.style.fontSize = ''")
    assert _faults(page, ("night",)) == []
    page.locator("#hand > summary").tap()
    page.get_by_role("button", name="Show the code").tap()
    expect(page.locator("#hand svg")).to_be_visible()
    assert _faults(page, ("night",)) == []
    page.get_by_role("button", name="Read out, one at a time").tap()
    expect(page.get_by_role("dialog")).to_be_visible()
    assert _faults(page, ()) == [], "its colours cannot be told, as it lies over the page"
    page.keyboard.press("Escape")
    expect(page.get_by_role("dialog")).to_be_hidden()


SIZES = [
    pytest.param(320, 740, "", id="as narrow as 400 % of a desk's screen, 1.4.10"),
    pytest.param(360, 740, "36px", id="with text at 200 %, 1.4.4"),
    pytest.param(740, 360, "", id="lying on its side, 1.3.4"),
]
# What the bar cuts with dots stands on the page too; a browser's own date field counts what it keeps unseen.
CUT = """() => [...document.querySelectorAll("body *:not(.jump *, .unseen, svg *, [type=date])")]
  .filter((place) => {
    const {overflowX, overflowY} = getComputedStyle(place);
    return place.offsetParent && ((overflowX === "hidden" && place.scrollWidth > place.clientWidth + 1)
      || (overflowY === "hidden" && place.scrollHeight > place.clientHeight + 1));
  }).map((place) => place.outerHTML.slice(0, 90))"""


@pytest.mark.parametrize(("width", "height", "text"), SIZES)
def test_unfolded_it_keeps_on_the_screen_and_whole(
    page: Page, demo_host: Host, width: int, height: int, text: str
) -> None:
    """W3C Web Content Accessibility Guidelines 2.2, the numbers named."""
    _open(page, demo_host, SHOT)
    _unfold(page)
    page.set_viewport_size({"width": width, "height": height})
    page.evaluate("(text) => { document.documentElement.style.fontSize = text; }", text)
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    assert page.evaluate(CUT) == []


# Of each that takes the focus: whether it is on top where it came to stand, and marked.
FOCUS = """() => {
  const can = [...document.querySelectorAll("a[href], button, input, select, summary")];
  const shown = can.filter((one) => !one.disabled && one.getClientRects().length > 0);
  const wrong = shown.filter((one) => {
    one.focus();
    const {left, right, top, bottom} = one.getBoundingClientRect();
    const on_top = document.elementFromPoint((left + right) / 2, (top + bottom) / 2);
    const clear = on_top && (one.contains(on_top) || on_top.contains(one));
    const around = [one, one.parentElement, one.closest("label")];
    const marked = around.some((place) => place && parseFloat(getComputedStyle(place).outlineWidth) >= 2
      && getComputedStyle(place).outlineStyle !== "none");
    return !clear || !marked || document.activeElement !== one;
  });
  return [shown.length, wrong.map((one) => one.outerHTML.slice(0, 90))];
}"""


def test_the_focus_is_seen_and_never_under_the_bar(page: Page, demo_host: Host) -> None:
    """W3C Web Content Accessibility Guidelines 2.2, 2.4.7 and 2.4.11."""
    _open(page, demo_host, SHOT)
    _unfold(page)
    page.keyboard.press("Tab")
    count, wrong = page.evaluate(FOCUS)
    assert count > 100 and wrong == []


def test_by_keys_alone_an_item_is_ticked_and_unticked(page: Page, demo_host: Host) -> None:
    _open(page, demo_host, SHOT)
    box = page.locator(".item input[type=checkbox]:not(:checked)").first
    name = box.get_attribute("data-item")
    box = page.locator(f"[data-item='{name}']")
    page.locator("#next-open").focus()
    page.keyboard.press("Enter")
    box.focus()
    for ticked in (True, False):
        page.keyboard.press("Space")
        expect(box).to_be_checked(checked=ticked)
        expect(box).to_be_focused()


MOVES = """() => [...document.querySelectorAll("*")].filter((place) => {
  const {transitionDuration, animationName, scrollBehavior} = getComputedStyle(place);
  return parseFloat(transitionDuration) > 0 || animationName !== "none" || scrollBehavior !== "auto";
}).map((place) => place.outerHTML.slice(0, 90))"""


def test_nothing_moves_by_itself(page: Page, demo_host: Host) -> None:
    """What is held down fills as a clock does; nothing else ever moves."""
    _open(page, demo_host, SHOT)
    assert page.evaluate(MOVES) == []
