"""The page of a shot as it is heard: what each stop of the tab key is called, and what is said unasked."""

from __future__ import annotations

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
