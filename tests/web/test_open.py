"""A plan from elsewhere: opened, it is worked out by the phone and shown; kept, it is with the list of shots.

What is no plan, or one that cannot be worked out, is refused in words, with nothing stored."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import BrowserContext, FilePayload, Page, expect

from fieldsheet.exchange.carrycode import brief_of as brief_of_code
from fieldsheet.exchange.carrycode import digits_of
from fieldsheet.press import Planned
from fieldsheet.sheet.sheet import make_sheet
from tests.web.codes import address_in
from tests.web.host import Host

HERE = "/fs/saltings/"
EVENING = "2027-06-05T19:10:00+01:00"
TEXTS = """() => [...document.querySelectorAll("[data-v]")].map(
  (place) => [place.dataset.v, place.textContent])"""
ROWS = """() => Object.fromEntries(["limits", "deadlines", "sky"].map((id) => {
  const {rows} = document.getElementById(id).tBodies[0];
  return [id, [...rows].map((row) => [...row.cells].map((cell) => cell.textContent))]; }))"""
STORED = """async () => {
  const ask = (request) => new Promise((done) => { request.onsuccess = () => done(request.result); });
  const found = [];
  for (const {name} of await indexedDB.databases()) {
    const base = await ask(indexedDB.open(name));
    const rows = () => ask(base.transaction("plans").objectStore("plans").getAll());
    if (name.endsWith("|plans")) found.push(...await rows());
    base.close();
  }
  return found; }"""
Plan = dict[str, Any]


@pytest.fixture(scope="module")
def plans(demo_planned: Planned) -> dict[str, Plan]:
    return demo_planned.plans


def brief_of(plan: Plan, **changed: Any) -> Plan:
    """The file that a phone gives away; of another revision than the page's own."""
    brief = {key: value for key, value in plan["brief"].items() if key != "words"}
    return {**brief, "revision": "ABC123", **changed}


def opened(phone: BrowserContext, host: Host, path: str = "open/") -> Page:
    page = phone.new_page()
    page.clock.set_fixed_time(EVENING)
    page.goto(host.url(HERE + path))
    return page


def take_in(page: Page, file: Plan | bytes) -> None:
    text = file if isinstance(file, bytes) else json.dumps(file).encode()
    sent: FilePayload = {"name": "plan.json", "mimeType": "application/json", "buffer": text}
    page.locator("#file").set_input_files(sent)


def text_at(sheet: Any, path: str) -> str:
    for key in path.split("."):
        sheet = sheet[int(key) if isinstance(sheet, list) else key]
    return str(sheet)


def test_every_text_of_an_opened_plan_is_the_desks(
    kept_phone: BrowserContext, demo_host: Host, plans: dict[str, Plan]
) -> None:
    page = opened(kept_phone, demo_host)
    for shot, plan in plans.items():
        sheet = make_sheet({**plan, "revision": "ABC123"})
        page.goto(demo_host.url(HERE + "open/"))
        take_in(page, brief_of(plan))
        expect(page.locator("#opened")).to_be_visible()
        texts = page.evaluate(TEXTS)
        assert [(path, text) for path, text in texts if text != text_at(sheet, path)] == [], shot
        shown = {path for path, _ in texts}
        assert {f"numbers.{name}" for name in ("first_frame", *sheet["program"])} <= shown
        set_ = [path for path, _ in texts if path.endswith(".clock")]
        assert set_ == [f"keyframes.{index}.clock" for index in sheet["set_order"]], (
            "in the order to set them"
        )
        axes = {f"keyframes.{at}.axes.{axis['name']}" for at in sheet["set_order"] for axis in sheet["axes"]}
        assert axes <= shown
        rows = page.evaluate(ROWS)
        assert rows["deadlines"] == [[row["label"], row["clock"]] for row in sheet["deadlines"]]
        assert rows["limits"] == [[row["label"], row["clock"]] for row in sheet["limits"]]
        assert rows["sky"] == [[row["name"], row["clock"], row["frame"]] for row in sheet["sky"]]
        warned = page.locator("#warnings").inner_text()
        assert all(warning["head"] in warned for warning in sheet["warnings"] if warning["level"] != "mind")
        assert page.locator("#strip svg").count() == 1
    assert page.evaluate(STORED) == [], "opening stores nothing"


def test_a_plan_is_kept_by_a_tap_opens_without_network_and_goes_by_two(
    kept_phone: BrowserContext, demo_host: Host, plans: dict[str, Plan]
) -> None:
    page = opened(kept_phone, demo_host)
    expect(page.locator("#offline")).to_have_attribute("data-stored", "ready")
    take_in(page, brief_of(plans["hoist"], shot={"id": "far-wall", "title": "Far wall"}))
    origin = page.locator("#origin")
    expect(origin).to_contain_text("From a file, revision ABC123")
    expect(origin).to_contain_text("Not with it: its checklist")
    page.get_by_role("button", name="Keep it on this phone").tap()
    expect(origin).to_contain_text("it stands with the list of shots")
    (kept,) = page.evaluate(STORED)
    kept_phone.set_offline(True)
    try:
        page.reload()
        expect(origin).to_contain_text("Kept on this phone since Sat 5 June 2027, 19:10, revision ABC123")
        page.goto(demo_host.url(HERE))
        row = page.locator("#plans li")
        expect(row).to_contain_text("Far wall")
        expect(row).to_contain_text("Tue 8 June 2027 · revision ABC123")
        row.get_by_role("link").tap()
        expect(page.locator("#opened h1")).to_have_text("Far wall")
        page.locator("#later").tap()
        expect(page.locator("#changed")).to_contain_text("Not the printed night")
        expect(page.locator("[data-v=night]")).to_contain_text("Wed 9 June 2027")
        assert page.evaluate(STORED) == [kept], "a turned page keeps nothing"
        page.goto(demo_host.url(HERE))
        row.get_by_role("button", name="Delete").tap()
        assert len(page.evaluate(STORED)) == 1, "one tap may be a slip"
        row.get_by_role("button", name="Tap again: delete it").tap()
        expect(page.locator("#plans section")).to_have_count(0)
        assert page.evaluate(STORED) == []
    finally:
        kept_phone.set_offline(False)


def test_a_shot_of_this_site_in_the_same_revision_is_its_own_page(
    kept_phone: BrowserContext, demo_host: Host, plans: dict[str, Plan]
) -> None:
    page = opened(kept_phone, demo_host)
    take_in(page, brief_of(plans["hoist"]))
    expect(page.locator("#origin")).to_contain_text(f"as revision {plans['hoist']['revision']}")
    page.goto(demo_host.url(HERE + "open/"))
    take_in(page, brief_of(plans["hoist"], revision=plans["hoist"]["revision"]))
    page.wait_for_url(demo_host.url(HERE + "shots/hoist/"))


def put(*path: str | int, value: Any) -> Callable[[Plan], None]:
    def spoil(brief: Plan) -> None:
        part: Any = brief
        for key in path[:-1]:
            part = part[key]
        part[path[-1]] = value

    return spoil


SPOILT: list[tuple[Callable[[Plan], None], str]] = [
    (put("format", value="fieldsheet take"), "This file is not a plan."),
    (put("version", value=2), "This plan is of version 2, and this page reads version 1: update it first."),
    (put("version", value="1"), "its version is missing"),
    (put("revision", value="<b>"), "its revision is missing"),
    (put("frames", value=1e12), "frames is missing or out of range"),
    (put("interval_ms", value=0), "interval ms is missing or out of range"),
    (put("rig", "interval_step_ms", value=0), "rig interval step ms is missing or out of range"),
    (put("rig", "axes", "slide", "step", value=0), "rig axes is missing or out of range"),
    (put("place", "latitude_deg", value=91), "place latitude deg is missing or out of range"),
    (put("place", "zone", "spans", value=[]), "place zone spans is missing or out of range"),
    (put("shot", "id", value="../../other"), "shot id is missing or out of range"),
    (put("shot", "title", value="\u202edne"), "a text in it is none"),
    (put("shot", "title", value="a" * 3000), "a text in it is none"),
    (put("shot", "title", value="\u2068\u05d0"), "a text in it is none"),
    (put("shot", "title", value="\u2068\u05d0\u2069 12\u2069"), "a text in it is none"),
    (put("place", "landmarks", value=[[[[[[[[[[[[[[1]]]]]]]]]]]]]]), "it holds more than a plan does"),
    (
        lambda brief: brief["keyframes"].extend(brief["keyframes"] * 50),
        "keyframes is missing or out of range",
    ),
    (put("keyframes", value=[{}, {}]), "keyframes 1 at is missing or out of range"),
    (put("zero_bearing_deg", value={}), "zero bearing deg is missing or out of range"),
    (put("place", "title", value=None), "place title is missing or out of range"),
    (put("zero_sighting", value={}), "zero sighting is missing or out of range"),
    (put("subject", value={}), "subject name is missing or out of range"),
    (put("exposure", value={"ladder": 7}), "exposure turned by is missing or out of range"),
    (
        put("night", "date", value="2031-06-05"),
        "This plan is for Thu 5 June 2031; the sky that is stored here runs from",
    ),
    (put("night", "date", value="2031-99-99"), "night date is missing or out of range"),
]


def test_what_is_no_plan_is_refused_in_words_and_nothing_is_stored(
    kept_phone: BrowserContext, demo_host: Host, plans: dict[str, Plan]
) -> None:
    page = opened(kept_phone, demo_host)
    refused = page.locator("#not-opened")
    texts: list[tuple[bytes, str]] = [
        (b"", "it is no JSON, or was cut off"),
        (b"\xff\xd8\xff", "it is no JSON, or was cut off"),
        (b"[" * 100_000, "it is no JSON, or was cut off"),
        (b"[]", "This file is not a plan."),
        (b" " * 2_000_001, "larger than 2 MB"),
        (b'{"format": "fieldsheet plan", "version": 1}', "what it is worked out from is missing"),
    ]
    for spoil, words in SPOILT:
        brief = json.loads(json.dumps(brief_of(plans["slipway"])))
        spoil(brief)
        texts.append((json.dumps(brief).encode(), words))
    for text, words in texts:
        take_in(page, text)
        expect(refused).to_contain_text(words)
        expect(refused).to_contain_text("Nothing on this phone has changed.")
        assert page.locator("#opened").is_hidden()
        refused.evaluate("(place) => { place.textContent = ''; }")
    assert page.evaluate(STORED) == []
    page.goto(demo_host.url(HERE + "open/#k=gone"))  # the page is open already: only the address changes
    expect(refused).to_contain_text("not kept on this phone any more")


def test_the_desks_own_plan_opens_with_its_words_left_behind(
    kept_phone: BrowserContext, demo_host: Host, plans: dict[str, Plan]
) -> None:
    page = opened(kept_phone, demo_host)
    plan = json.loads(json.dumps(plans["slipway"]))
    plan["brief"]["shot"]["title"] = "\u2068\u05d0 12\u2069"  # as the desk holds a Hebrew one apart
    take_in(page, {**plan, "revision": "ABC123"})
    expect(page.locator("h1:visible")).to_have_text("\u2068\u05d0 12\u2069")
    page.get_by_role("button", name="Keep it on this phone").tap()
    expect(page.locator("#origin")).to_contain_text("Kept")
    (kept,) = page.evaluate(STORED)
    assert "words" not in json.loads(kept["text"])


def code_of(page: Page, box: str) -> str:
    """The address in the plan's code on the screen, read from a picture of it in each theme."""
    place = page.locator(box)
    place.evaluate("(box) => { box.open = true; }")
    place.get_by_role("button", name="Show the plan's code").tap()
    return address_in(page, place.locator(".code:visible"))


def test_the_code_on_a_shots_page_opens_its_plan_on_another_phone_without_network(
    kept_phone: BrowserContext, demo_host: Host, plans: dict[str, Plan]
) -> None:
    plan = plans["slipway"]
    page = opened(kept_phone, demo_host, "shots/slipway/")
    expect(page.locator("#night")).to_be_enabled()
    address = code_of(page, "#hand")
    root, digits = address.split("open/#p=")
    assert root == demo_host.url(HERE)
    brief = brief_of_code(digits)
    assert brief["revision"] == plan["revision"]
    other = digits_of({**brief, "revision": "ABC123"})  # a phone whose site has not this revision
    expect(page.locator("#offline")).to_have_attribute("data-stored", "ready")
    kept_phone.set_offline(True)
    try:
        page.goto(demo_host.url(HERE + "open/#p=" + other))
        expect(page.locator("#origin")).to_contain_text("From a code, revision ABC123")
        expect(page.locator("#origin")).to_contain_text("nor what its night must have")
        sheet = make_sheet({**plan, "revision": "ABC123"})
        texts = page.evaluate(TEXTS)
        assert [(path, text) for path, text in texts if text != text_at(sheet, path)] == []
        assert page.evaluate(STORED) == []
        assert code_of(page, "#pass") == address.replace(digits, other), "and hands it on"
        page.goto(address)
        page.wait_for_url(demo_host.url(HERE + "shots/slipway/"))
    finally:
        kept_phone.set_offline(False)


def test_a_code_that_is_none_or_of_the_future_is_refused_in_words(
    kept_phone: BrowserContext, demo_host: Host, plans: dict[str, Plan]
) -> None:
    page = opened(kept_phone, demo_host)
    digits = digits_of(brief_of(plans["clouds"]))
    far = digits_of(brief_of(plans["clouds"], night={"rule": "day", "date": "2033-06-05"}))
    for spoilt, words in [
        ("", "This is not the code of a plan."),
        ("9" * 100_000, "This code is too long to be that of a plan."),
        ("1e3", "This is not the code of a plan."),
        ("9" + digits[1:], "This code is of version 9, and this page reads version 1: update it first."),
        (digits[:-1], "This code is damaged"),
        (digits[:40] + ("1" if digits[40] != "1" else "2") + digits[41:], "This code is damaged"),
        (far, "This plan is for Sun 5 June 2033; the sky that is stored here runs from"),
    ]:
        refused = page.locator("#not-opened")
        refused.evaluate("(place) => { place.textContent = ''; }")  # what it said of the code before
        page.goto(demo_host.url(HERE + "open/#p=" + spoilt))  # it is open: only the address changes
        expect(refused).to_contain_text(words)
        expect(refused).to_contain_text("Nothing on this phone has changed.")
    assert page.evaluate(STORED) == []


def test_a_plan_too_long_for_a_code_says_so_and_goes_as_a_file(
    kept_phone: BrowserContext, demo_host: Host, plans: dict[str, Plan], tmp_path: Path
) -> None:
    page = opened(kept_phone, demo_host)
    sighting = "between the third and the fourth bollard " * 9
    plan = plans["slipway"]
    keyframes = [
        {**keyframe, "sighting": sighting + str(at)} for at, keyframe in enumerate(plan["brief"]["keyframes"])
    ]
    take_in(page, brief_of(plan, keyframes=keyframes))
    box = page.locator("#pass")
    box.locator("summary").tap()
    box.get_by_role("button", name="Show the plan's code").tap()
    expect(box).to_contain_text("too long for a code")
    assert box.locator("svg").count() == 0
    with page.expect_download() as waiting:
        box.get_by_role("button", name="Share or save the plan").tap()
    waiting.value.save_as(tmp_path / "plan.json")
    again = opened(kept_phone, demo_host)
    take_in(again, (tmp_path / "plan.json").read_bytes())
    expect(again.locator("#opened .keyframes")).to_contain_text(sighting.strip())
