"""The page of a shot as it is heard: what each stop of the tab key is called, and what is said unasked."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator

import pytest
from playwright.sync_api import BrowserContext, Page, expect

from tests.web.host import Host
from tests.web.test_now import DAY, SHOT, go, opened

# What a screen reader says unasked: the whole text of a live region, where it has changed and can be seen.
LISTEN = """() => {
  window.heard = [];
  const last = new WeakMap();
  new MutationObserver((records) => {
    for (const {target} of records) {
      const at = target.nodeType === Node.TEXT_NODE ? target.parentElement : target;
      const region = at?.closest?.("[role=status], [role=alert], [aria-live]");
      if (!region || !region.checkVisibility() || region.getAttribute("aria-live") === "off") continue;
      const text = region.innerText.replace(/\\s+/g, " ").trim();
      if (text !== "" && last.get(region) !== text) window.heard.push(text);
      last.set(region, text);
    }
  }).observe(document, {subtree: true, childList: true, characterData: true, attributeFilter: ["hidden"]});
}"""
CALLED = ("button", "checkbox", "link", "textbox", "DisclosureTriangle")


@pytest.fixture
def page(demo_host: Host, kept_phone: BrowserContext) -> Iterator[Page]:
    yield opened(kept_phone, demo_host, f"{DAY}19:36:00+01:00", SHOT, f"({LISTEN})()")


def _heard(page: Page) -> list[str]:
    said: list[str] = page.evaluate("window.heard.splice(0)")
    return said


def _called(page: Page) -> list[tuple[str, str, dict[str, object]]]:
    """Role, name and states of all that takes the focus, as the browser tells a screen reader."""
    session = page.context.new_cdp_session(page)
    nodes = session.send("Accessibility.getFullAXTree")["nodes"]
    session.detach()
    return [
        (
            node["role"]["value"],
            node.get("name", {}).get("value", ""),
            {one["name"]: one["value"].get("value") for one in node.get("properties", [])}
            | {"said": node.get("description", {}).get("value", "")},
        )
        for node in nodes
        if not node.get("ignored") and node["role"]["value"] in CALLED
    ]


def test_all_that_takes_the_focus_has_a_name_of_its_own_and_tells_its_state(page: Page) -> None:
    called = _called(page)
    assert [role for role, name, _ in called if name.strip() == ""] == []
    boxes = [(name, told) for role, name, told in called if role == "checkbox"]
    assert [name for name, often in Counter(name for name, _ in boxes).items() if often > 1] == []
    musts = page.locator(".items > li:not(.also)").count()
    assert sum(str(told["said"]).startswith("must-do") for _, told in boxes) == musts > 20
    names = [name for name, _ in boxes]
    assert not [name for name in names if re.search("[0-9]\u2013[0-9]", name)], "a dash is passed over"
    assert any(name.endswith("frames 86 to 251, 20:01 to 20:51") for name in names)
    keyframes = page.get_by_role("heading", level=3)
    expect(keyframes).to_have_text([re.compile(f"^K{number} ") for number in (3, 2, 1)])
    folds = [states for role, _, states in called if role == "DisclosureTriangle"]
    assert len(folds) > 8 and all("expanded" in states for states in folds)


def test_what_is_said_unasked_is_what_matters_and_the_focus_is_never_lost(page: Page) -> None:
    """From the stored site through frame 1 and a quiet stretch to a stop."""
    expect(page.locator("#offline")).to_have_attribute("data-stored", "ready")
    assert [text for text in _heard(page) if "Fetching" in text or "Looking" in text] == []
    page.locator("#now button:has-text('Frame 1 fired now')").focus()
    page.keyboard.press("Enter")
    expect(page.get_by_role("region", name="Now")).to_be_focused()
    expect(page.locator("body")).to_have_attribute("data-phase", "rolling")
    page.clock.run_for(1000)
    said = _heard(page)
    assert len(said) <= 4 and any("Frame 1 fired 19:36:00" in text for text in said)
    go(page, f"{DAY}20:04:00+01:00")
    assert any("Swap to pack A2" in text for text in _heard(page)), "what is due is said"
    page.clock.run_for(180_000)
    assert _heard(page) == [], "and said once"
    page.locator("#wrong > summary").focus()
    page.keyboard.press("Enter")
    page.get_by_label("first frame at").or_(page.get_by_label("stopped after frame")).last.focus()
    page.keyboard.press("Enter")
    expect(page.locator("#wrong > [role=status]")).to_contain_text("of 4 ways are possible")
    page.locator("#wrong .way button").first.focus()
    page.keyboard.press("Enter")
    expect(page.locator("#printed")).to_be_focused()
    page.clock.run_for(1000)
    said = _heard(page)
    assert sum("Going on after frame" in text for text in said) == 1
    assert not [text for text in said if "closes" in text], "it does not roll yet"
    what = page.locator("#changed-what")
    for text, fired in (("Going on after frame", False), ("frame 1 fired", True)):
        page.keyboard.press("Control+z")
        expect(page.locator(".jump > .unseen")).to_contain_text(f"Taken back: {text}")
        expect(what).not_to_contain_text("Going on")
        fires = page.get_by_role("region", name="Now").get_by_role("button", name="Frame 1 fired now")
        expect(fires).to_be_visible(visible=fired)
    page.keyboard.press("Control+z")
    expect(page.locator(".jump > .unseen")).to_have_text("Nothing to take back")


def test_before_frame_1_what_was_taken_back_turned_to_or_asked_for_is_said(page: Page) -> None:
    boxes = page.locator(".item input")
    for at in (0, 1):
        boxes.nth(at).press("Space")
        expect(boxes.nth(at)).to_be_checked()
    page.locator(".undo").press("Enter")
    expect(boxes.nth(1)).not_to_be_checked()
    name = str(boxes.nth(1).get_attribute("aria-label"))
    assert [text for text in _heard(page) if "Taken back" in text] == [f"Taken back: {name}"]
    page.get_by_role("button", name="Ready to roll", exact=True).press("Enter")
    page.locator("#ready .press").press("Enter", delay=20)
    assert "Hold it for one second" in _heard(page)
    page.locator("#later").press("Enter")
    expect(page.locator("#changed")).to_be_visible()
    assert any(text.startswith("Sun 6 June 2027") for text in _heard(page))
    aside = page.locator(".unseen", has_text="changed, printed").first
    expect(aside).to_have_css("white-space", "nowrap")  # broken at letters, it would be read by letters
    expect(page.locator("#deadlines td.differs .unseen").first).to_have_text("(changed, printed: 17:41)")
    page.locator("#printed").press("Enter")
    expect(page.locator("#changed")).to_be_hidden()
    expect(page.locator("h1")).to_be_focused()
    named = [str(one.get_attribute("aria-label")) for one in page.locator(".as-set input").all()]
    assert len(named) > 6 and all(name.endswith((", mm", ", °")) for name in named)


def test_what_is_next_is_said_once_in_its_order_and_the_focus_stays_beside_it(page: Page) -> None:
    cells = page.locator("#now .cells > div")
    page.locator("#now button:has-text('Frame 1 fired now')").press("Enter")
    expect(page.locator("body")).to_have_attribute("data-phase", "rolling")
    page.clock.run_for(1000)
    expect(cells.first).to_have_text("in 6:53 6 min 53 s", use_inner_text=True)
    shown = [cell.locator("b").get_attribute("aria-hidden") for cell in cells.all()]
    assert shown == ["true", None], "a length of time is heard with its units, a count as it stands"
    page.locator("#now .rig-shows").press("Enter")
    field = page.get_by_label("frame that the rig shows")
    field.focus()
    go(page, f"{DAY}19:43:30+01:00")
    expect(field).to_have_value("1")  # nothing is written over under the cursor
    _heard(page)
    page.get_by_role("button", name="Done: ").press("Enter")
    expect(page.get_by_role("region", name="Now")).to_be_focused()
    page.clock.run_for(1000)
    said = [text for text in _heard(page) if "Rig count" in text]
    assert said == ["next, 20:00 Rig count = camera count?"]
    expect(field).to_have_value("26")
    end = page.locator("#end-take")
    end.press("Enter")
    assert any(text.startswith("Tap again") for text in _heard(page))
    end.press("Enter")
    expect(page.locator("h1")).to_be_focused()
    assert any("ended" in text for text in _heard(page))
