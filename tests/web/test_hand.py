"""Handing over: a take goes to another phone as a code on one screen, and comes back as a file.

Nothing is lost, nothing comes twice, and what is no take of this page changes nothing."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from functools import partial
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, BrowserContext, FilePayload, Locator, Page, expect

from tests.web.codes import address_in
from tests.web.host import Host
from tests.web.soon import soon
from tests.web.watch import Watch

HERE = "/fs/saltings/"
SHOT = HERE + "shots/slipway/"
EVENING = "2027-06-05T19:10:00+01:00"
SOON = "19:1[0-9]"  # its clock runs on
STORED = """async () => {
  const bases = (await indexedDB.databases()).map(({name}) => name).sort();
  const ask = (request) => new Promise((done, fail) => {
    request.onsuccess = () => done(request.result); request.onerror = () => fail(request.error); });
  const found = {};
  for (const name of bases) {
    const base = await ask(indexedDB.open(name));
    for (const store of base.objectStoreNames) {
      const kept = base.transaction(store).objectStore(store);
      found[`${name.split("|").at(-1)} ${store}`] = await ask(kept.getAll());
    }
    base.close();
  }
  return found; }"""
Event = dict[str, Any]


@pytest.fixture(scope="module")
def phones(chromium: Browser, demo_host: Host) -> Iterator[list[BrowserContext]]:
    """Two phones that have stored the site."""
    made = []
    for _ in range(2):
        context = chromium.new_context(viewport={"width": 360, "height": 740}, is_mobile=True, has_touch=True)
        context.set_default_timeout(25_000)
        made.append((context, Watch(context, f"127.0.0.1:{demo_host.port}")))
    yield [context for context, _ in made]
    for context, watch in made:
        context.close()
        assert watch.complaints == []


@pytest.fixture
def two(phones: list[BrowserContext], demo_host: Host) -> Iterator[tuple[Page, Page]]:
    """The shot's page on both, with nothing done on either."""
    pages = [opened(phone, demo_host.url(SHOT)) for phone in phones]
    yield pages[0], pages[1]
    for phone in phones:
        phone.set_offline(False)
        for page in phone.pages:
            page.close()
        session = phone.new_cdp_session(phone.new_page())
        done = {"origin": demo_host.url(""), "storageTypes": "indexeddb,local_storage"}
        session.send("Storage.clearDataForOrigin", done)
        for page in phone.pages:
            page.close()


def opened(phone: BrowserContext, url: str) -> Page:
    page = phone.new_page()
    page.clock.install(time=EVENING)
    page.goto(url)
    expect(page.locator("#night")).to_be_enabled()
    return page


def stored(page: Page) -> dict[str, list[Any]]:
    found: dict[str, list[Any]] = page.evaluate(STORED)
    return found


def events(page: Page) -> list[Event]:
    """What the log holds, in an order of its own."""
    return sorted(
        stored(page).get("log events", []), key=lambda one: (one["take"], one["device"], one["counter"])
    )


def kinds(log: list[Event], kind: str) -> list[Any]:
    return [one["payload"] for one in log if one["kind"] == kind]


def _ticks(page: Page) -> int:
    return len(kinds(events(page), "tick"))


def tick(page: Page, *texts: str) -> None:
    for text in texts:
        box = page.locator(".item", has_text=text).first.locator("input[data-item]")
        before = _ticks(page)
        box.evaluate("(box) => box.click()")
        expect(box).to_be_checked()
        soon(page, partial(_ticks, page), before + 1)


def hand(page: Page) -> Locator:
    box = page.locator("#hand")
    box.evaluate("(box) => { box.open = true; }")
    expect(box.locator(".aloud dd").first).not_to_be_empty()
    return box


def press(place: Page | Locator, name: str) -> None:
    place.get_by_role("button", name=name, exact=True).tap()


def call_it(page: Page, name: str) -> None:
    field = hand(page).get_by_label("This phone is called")
    field.fill(name)
    field.blur()
    soon(page, lambda: kinds(events(page), "name"), [{"name": name}])


def code_of(page: Page) -> str:
    """The address in the code on the screen, read from a picture of it in each theme."""
    press(hand(page), "You have it: show the code")
    return address_in(page, page.locator(".code").first)


def saved(page: Page, folder: Path) -> Path:
    with page.expect_download() as waiting:
        press(hand(page), "Share or save the log")
    path = folder / "take.json"
    waiting.value.save_as(path)
    return path


def arrived(page: Page) -> Locator:
    return page.locator("#arrived")


def take_in(page: Page, file: Path | FilePayload) -> None:
    hand(page).locator("input[type=file]").set_input_files(file)
    expect(arrived(page)).to_be_visible()


def test_a_take_goes_by_code_without_network_and_comes_back_by_file(
    two: tuple[Page, Page], phones: list[BrowserContext], tmp_path: Path
) -> None:
    ann, ben = two
    tick(ann, "Cap off", "Bubble unchanged")
    ann.locator("#fired button", has_text="fired now").evaluate("(button) => button.click()")
    call_it(ann, "Mara")
    press(hand(ann), "I have it")
    expect(hand(ann)).to_contain_text(re.compile(f"Mara has the watch since {SOON}"))
    sent = events(ann)
    code = code_of(ann)
    expect(ben.locator("#offline")).to_have_attribute("data-stored", "ready")
    phones[1].set_offline(True)
    soon(ben, lambda: len(stored(ben).get("log device", [])), 1)
    before = stored(ben)
    ben.goto(code)  # the page is open already: only the address changes
    expect(arrived(ben)).to_contain_text("A take from Mara")
    expect(arrived(ben)).to_contain_text(re.compile(f"begun {SOON}, frame 1 fired {SOON}:[0-9]{{2}}"))
    expect(arrived(ben)).to_contain_text("2 ticks, 0 marks")
    expect(arrived(ben)).to_contain_text(re.compile(f"Has the watch: Mara, since {SOON}"))
    assert stored(ben) == before, "opening stores nothing"
    press(arrived(ben), "Keep it")
    expect(arrived(ben)).to_contain_text(f"Kept: {len(sent)} entries from Mara.")
    assert "#" not in ben.url
    got = events(ben)
    (joined,) = kinds(got, "joined")
    assert joined == {"via": "code", "from": sent[0]["device"], "events": len(sent)}
    assert [one for one in got if one["kind"] != "joined"] == sent, "plan and all, as they were written"
    expect(ben.locator(".item", has_text="Cap off").first.locator("input[data-item]")).to_be_checked()
    arrived(ben).get_by_label("This phone is called").fill("Jo")
    arrived(ben).get_by_label("This phone is called").blur()
    press(arrived(ben), "I have it")
    expect(arrived(ben)).to_be_hidden()
    expect(ben.locator("#hand summary")).to_contain_text("Jo has the watch")
    ben.locator(".item", has_text="Cap off").first.locator("input[data-item]").evaluate(
        "(box) => box.click()"
    )
    tick(ben, "Heater")
    phones[1].set_offline(False)
    expect(hand(ben)).to_contain_text("joined by code from Mara")
    file = saved(ben, tmp_path)
    whole = events(ben)
    tick(ann, "Tilt 0 is level")  # on Mara's phone the take went on meanwhile
    mine = events(ann)
    take_in(ann, file)
    expect(arrived(ann)).to_contain_text("A take from Jo")
    expect(arrived(ann)).to_contain_text("Kept, it alters here: 1 tick taken back.")
    assert events(ann) == mine
    press(arrived(ann), "Keep it")
    expect(arrived(ann)).to_contain_text("from Jo.")
    both = events(ann)
    union = {(one["device"], one["counter"]): one for one in [*whole, *mine]}
    told = [one for one in both if (one["device"], one["counter"]) not in union]
    assert [one for one in both if one not in told] == [union[key] for key in sorted(union)]
    assert [(one["kind"], one["payload"]["via"]) for one in told] == [("joined", "file")]
    expect(ann.locator(".item", has_text="Cap off").first.locator("input[data-item]")).not_to_be_checked()
    expect(ann.locator(".item", has_text="Tilt 0 is level").first.locator("input[data-item]")).to_be_checked()
    expect(hand(ann)).to_contain_text("Jo has the watch")
    expect(hand(ann)).to_contain_text("Entries in this take: Mara (this phone)")
    press(arrived(ann), "Close")
    take_in(ann, file)
    expect(arrived(ann)).to_contain_text("This phone has all")
    assert events(ann) == both


def test_a_phone_with_a_take_of_its_own_asks_which_one_goes_on_and_loses_neither(
    two: tuple[Page, Page],
) -> None:
    ann, ben = two
    for items in (("Cap off", "Swap to"), ("Frame 1 will be", "Dwell after firing")):
        ann.locator("#later").tap()  # the take begins for another night, and is changed to yet another
        tick(ann, *items)
    expect(ann.locator("#changed")).to_be_visible()
    code = code_of(ann)
    tick(ben, "Bubble unchanged")
    own = events(ben)
    ben.goto(code)
    expect(arrived(ben)).to_contain_text(
        re.compile(f"an open take of this shot of its own, begun {SOON}. Which one goes on")
    )
    before = stored(ben)
    press(arrived(ben), "Go on with mine, leave theirs")
    expect(arrived(ben)).to_be_hidden()
    assert stored(ben) == before
    ben.goto("about:blank")
    ben.goto(code)  # the page is opened by it
    press(arrived(ben), "Keep theirs, end mine")
    theirs = events(ann)
    expect(arrived(ben)).to_contain_text(f"Kept: {len(theirs)} entries")
    log = events(ben)
    assert len(kinds(theirs, "changes")) == 1
    assert all(one in log for one in [*own, *theirs])
    added = [one for one in log if one not in own and one not in theirs]
    assert sorted((one["kind"], one["take"] == own[0]["take"]) for one in added) == [
        ("end", True),
        ("joined", False),
    ]
    expect(ben.locator(".item", has_text="Cap off").first.locator("input[data-item]")).to_be_checked()


def as_file(text: str, name: str = "take.json") -> FilePayload:
    return {"name": name, "mimeType": "application/json", "buffer": text.encode()}


def spoilt(file: Path, **changed: Any) -> str:
    return json.dumps({**json.loads(file.read_text()), **changed})


def with_payload(file: Path, kind: str, payload: Any) -> str:
    whole = json.loads(file.read_text())
    last = max(whole["events"], key=lambda one: int(one["counter"]))
    more = {**last, "counter": last["counter"] + 1, "kind": kind, "payload": payload}
    return json.dumps({**whole, "events": [*whole["events"], more]})


def gone_on(file: Path, frame: Any, minutes: float = 200) -> str:
    """The take, gone on after a frame so many minutes after the planned start."""
    plan = json.loads(file.read_text())["events"][0]["payload"]["plan"]
    rolling_ms = plan["window"]["start"]["utc_ms"] + int(minutes * 60_000)
    way = {"id": "sky", "frame": frame, "rolling_ms": rolling_ms}
    return with_payload(file, "changes", {"changes": {"way": way}})


def test_what_is_no_take_of_this_page_is_refused_with_the_reason_and_changes_nothing(
    two: tuple[Page, Page], tmp_path: Path
) -> None:
    ann, ben = two
    tick(ann, "Cap off")
    code = code_of(ann)
    file = saved(ann, tmp_path)
    tick(ben, "Bubble unchanged")
    first = json.loads(file.read_text())["events"][0]
    large = tmp_path / "large.json"
    large.write_text("[" + "1," * 5_000_000 + "1]")
    files: dict[str, tuple[Path | FilePayload, str]] = {
        "no log": (as_file(json.dumps({"a": 1})), "not the log of a take"),
        "cut off": (as_file(file.read_text()[:-90]), "no JSON, or was cut off"),
        "newer": (
            as_file(spoilt(file, version=2)),
            "of version 2; this page reads version 1: update it first",
        ),
        "ten megabytes": (large, "larger than 10 MB"),
        "words for a frame": (as_file(with_payload(file, "count", {"frame": "<b>1</b>"})), "count"),
        "no changes": (
            as_file(with_payload(file, "changes", {"changes": {"night": {"a": 1}}})),
            "changes that no page makes",
        ),
        "numbers of no log": (
            as_file(spoilt(file, events=[first, {**first, "counter": 9_999_999, "kind": "later"}])),
            "numbers that no log comes to",
        ),
        "begun twice": (
            as_file(spoilt(file, events=[first, {**first, "device": "0"}])),
            "does not begin as the take of that name",
        ),
        "no way": (as_file(with_payload(file, "changes", {"changes": {"way": None}})), "no page makes"),
        "on from no frame of the shot": (as_file(gone_on(file, 5000)), "has frames 1 to 752 to stop after"),
        "on from frame 0": (as_file(gone_on(file, 0)), "stopped after frame 0: the shot has frames"),
        "on from no number": (as_file(gone_on(file, "12<b>")), "no page makes"),
        "on before it stood": (
            as_file(gone_on(file, 400, 0)),
            "turned to what has no plan: rolling again at",
        ),
        "no day": (
            as_file(with_payload(file, "changes", {"changes": {"night": "2027-02-31"}})),
            "changes that no page makes",
        ),
        "a shot not here": (
            as_file(spoilt(file).replace('"slipway"', '"nowhere"')),
            "a shot that is not on this site",
        ),
    }
    digits = code.partition("#t=")[2]
    codes = {
        "damaged": (digits[:-1] + str((int(digits[-1]) + 1) % 10), "checksum is wrong"),
        "newer": ("2" + digits[1:], "of version 2, and this page reads version 1"),
        "words": ("<script>alert(1)</script>", "not the code of a take"),
        "too long": ("7" * 100_000, "too long"),
    }
    before = stored(ben)
    for chosen, reason in files.values():
        take_in(ben, chosen)
        expect(arrived(ben)).to_contain_text(re.compile(f"Not taken in.*{re.escape(reason)}.*has changed"))
        arrived(ben).get_by_role("button", name="Close").press("Enter")  # two taps so soon are a glove's
    for text, reason in codes.values():
        ben.evaluate("(hash) => { location.hash = hash; }", f"t={text}")
        expect(arrived(ben)).to_contain_text(re.compile(f"Not taken in.*{re.escape(reason)}.*has changed"))
        arrived(ben).get_by_role("button", name="Close").press("Enter")  # two taps so soon are a glove's
    ben.evaluate("(hash) => { location.hash = hash; }", "r=ABC123")
    expect(ben.locator("#stale")).to_be_visible()
    expect(arrived(ben)).to_be_hidden()
    assert stored(ben) == before


SCRIPT = "<img src=x onerror=alert(1)><script>alert(2)</script>"


def test_what_was_written_on_another_phone_stays_text_here(two: tuple[Page, Page], tmp_path: Path) -> None:
    ann, ben = two
    tick(ann, "Cap off")
    call_it(ann, SCRIPT[:24])
    file = saved(ann, tmp_path)
    whole = json.loads(file.read_text())
    items = dict(list(whole["events"][0]["payload"]["plan"]["items"].items())[:8])
    counter = 50
    for kind, payload in (
        ("note", {"text": SCRIPT}),
        ("mark", {"what": SCRIPT[:40], "frame": 7, "file": SCRIPT[:40]}),
        ("watch", {"who": SCRIPT}),
        ("field", {"item": SCRIPT, "value": SCRIPT}),
        ("tick", {"item": SCRIPT, "value": SCRIPT}),
        ("ready", {"open": [f"{SCRIPT}!", *items], "forced": True}),
        ("act", {"act": SCRIPT}),
        ("later-kind", {"text": SCRIPT, "deep": [{SCRIPT: SCRIPT}]}),
    ):
        counter += 1
        whole["events"].append({**whole["events"][0], "counter": counter, "kind": kind, "payload": payload})
    take_in(ben, as_file(json.dumps(whole)))
    expect(arrived(ben)).to_contain_text(f"A take from {SCRIPT[:24]}")
    expect(arrived(ben)).to_contain_text(f"Has the watch: {SCRIPT}")
    press(arrived(ben), "Keep it")
    expect(arrived(ben)).to_contain_text(f"Kept: {len(whole['events'])} entries")
    aloud = hand(ben).locator(".aloud")
    expect(aloud).to_contain_text(f"not done: {SCRIPT}!; not done: {next(iter(items.values()))}; ")
    expect(aloud).to_contain_text("; 4 more not done")
    ben.locator("#log").evaluate("(box) => { box.open = true; }")
    expect(ben.locator("#log")).to_contain_text(SCRIPT)
    assert ben.locator("img, body script:not([type='text/plain'])").count() == 0
    assert code_of(ben).partition("#t=")[2].isdigit(), "and goes on from here as a code"


def test_the_log_of_another_shot_is_told_of_and_stands_on_its_own_page(
    two: tuple[Page, Page], tmp_path: Path, demo_host: Host
) -> None:
    ann, ben = two
    ann.goto(demo_host.url(HERE + "shots/hoist/"))
    expect(ann.locator("#night")).to_be_enabled()
    ann.locator("input[data-item]").first.evaluate("(box) => box.click()")
    soon(ann, lambda: [one["kind"] for one in events(ann)], ["take", "tick"])
    take_in(ben, saved(ann, tmp_path))
    expect(arrived(ben)).to_contain_text("It is the log of another shot:")
    arrived(ben).get_by_role("button", name="Keep it with").tap()
    expect(arrived(ben)).to_contain_text("Kept: 2 entries")
    assert {one["shot"] for one in events(ben)} == {"hoist"}
    ben.goto(demo_host.url(HERE + "shots/hoist/"))
    expect(ben.locator("input[data-item]").first).to_be_checked()
