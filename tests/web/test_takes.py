"""The log on the phone: notes, the take as files, and takes that are deleted only when they are saved."""

from __future__ import annotations

import csv
import io
import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import BrowserContext, Download, Page, expect

from fieldsheet.exchange.report import report
from fieldsheet.exchange.takefile import Take, read_take
from tests.commands import Run
from tests.takes import a_night, carried, file_of
from tests.web.host import Host
from tests.web.pagelog import REFUSED, on_log
from tests.web.soon import kept

SITE = "/fs/saltings/"
PAGE = SITE + "shots/slipway/"
SCRIPT = "<img src=x onerror=alert(1)>"
JOIN = on_log("return log.join(events, () => []);", given="events")
REMOVE = on_log("return log.remove(take, events);", given="[take, events]")
PHOTO = """async (take) => {
  const {openPhotos} = await import('/app/takes/photos.js');
  const {siteOf} = await import('/app/keep/site.js');
  await openPhotos(siteOf(document)).keep(take, 0, new Uint8Array([1, 2, 3]).buffer);
}"""
STORED = """async () => {
  const rows = {};
  for (const {name} of await indexedDB.databases()) {
    const opening = indexedDB.open(name);
    const base = await new Promise((done) => { opening.onsuccess = () => done(opening.result); });
    for (const store of base.objectStoreNames) {
      const keys = base.transaction(store).objectStore(store).getAllKeys();
      rows[store] = await new Promise((done) => { keys.onsuccess = () => done(keys.result.map(String)); });
    }
    base.close();
  }
  return rows;
}"""
SHARES = """() => {
  window.shared = [];
  navigator.canShare = ({files}) => files.length > 0;
  navigator.share = async ({files}) => {
    window.shared.push(files.map(({name, type}) => `${name} ${type}`));
    if (window.refusal) throw new DOMException("no", window.refusal);
  };
}"""
SHARED = "async () => { while (window.shared.length === 0) await new Promise(requestAnimationFrame); }"
FULL = """() => {
  IDBObjectStore.prototype.add = () => { throw new DOMException('no', 'QuotaExceededError'); };
}"""


@pytest.fixture(scope="module")
def plan(demo_plan: dict[str, Any]) -> dict[str, Any]:
    return carried(demo_plan)


@pytest.fixture
def page(demo_host: Host, kept_phone: BrowserContext) -> Iterator[Page]:
    page = kept_phone.new_page()
    page.clock.set_fixed_time("2027-06-05T23:30:00+01:00")
    yield page


def shot_page(page: Page, host: Host) -> Page:
    page.goto(host.url(PAGE))
    expect(page.locator("#night")).to_be_enabled()
    page.locator("#log > summary").tap()
    return page


def takes_list(page: Page, host: Host, takes: list[list[dict[str, Any]]], photo: str = "") -> Page:
    """The list of shots with these takes on the phone, and opened."""
    page.goto(host.url(SITE))
    for take in takes:
        assert page.evaluate(JOIN, take) == len(take)
    if photo:
        page.evaluate(PHOTO, photo)
    page.reload()
    page.locator("#takes summary").tap()
    expect(page.locator(".takes > li")).to_have_count(len(takes))
    return page


def downloaded(page: Page, button: str) -> tuple[str, bytes]:
    with page.expect_download() as waiting:
        page.get_by_role("button", name=button).tap()
    return read(waiting.value)


def read(download: Download) -> tuple[str, bytes]:
    return download.suggested_filename, Path(download.path()).read_bytes()


def test_a_note_is_kept_as_text_and_can_be_taken_back(page: Page, demo_host: Host) -> None:
    shot_page(page, demo_host)
    expect(page.locator("#log")).to_contain_text("No take is open here")
    page.get_by_label("Note").fill(f"Fog\nfrom the sea {SCRIPT}")
    page.get_by_role("button", name="Keep the note").tap()
    lines = page.locator("ol.log > li")
    expect(lines).to_have_count(2)
    expect(lines.first.locator("span")).to_have_text(f"note: Fog from the sea {SCRIPT}")
    expect(lines.first.locator("b")).to_have_text("23:30:00")
    expect(page.get_by_label("Note")).to_have_value("")
    lines.first.get_by_role("button", name="Take back").tap()
    expect(page.locator("ol.log > .back span")).to_have_text(f"note: Fog from the sea {SCRIPT}")
    expect(page.locator("ol.log img")).to_have_count(0)


def test_a_note_that_a_full_phone_does_not_keep_stays_in_its_field(page: Page, demo_host: Host) -> None:
    shot_page(page, demo_host)
    page.evaluate(FULL)
    page.get_by_label("Note").fill("Fog")
    page.get_by_role("button", name="Keep the note").tap()
    expect(page.locator("#log [role=alert]")).to_have_text(
        "Not kept: this phone's storage is full. Use the card."
    )
    expect(page.get_by_label("Note")).to_have_value("Fog")


TURN_IN_THE_MIDDLE = """() => {
  const {prototype} = IDBDatabase;
  const {transaction} = prototype;
  let writes = 0;
  prototype.transaction = function (...asked) {
    const work = transaction.apply(this, asked);
    if (asked[1] === "readwrite" && ++writes === 2) document.getElementById("later").click();
    return work;
  };
}"""


def test_a_page_that_is_turned_while_its_take_is_being_begun_is_turned_whole(
    page: Page, demo_host: Host
) -> None:
    """The take is there, its first tick is not yet."""
    shot_page(page, demo_host)
    page.evaluate(TURN_IN_THE_MIDDLE)
    page.locator(".item", has_text="Cap off").first.tap()
    expect(page.locator("#changed-what")).to_have_text("Not the printed night.")
    kept(page, "take", "tick", "changes")


def test_the_take_goes_out_as_json_csv_and_text_that_the_desk_reads(
    page: Page, demo_host: Host, run: Run, tmp_path: Path
) -> None:
    shot_page(page, demo_host)
    page.locator(".item", has_text="Cap off").first.tap()
    page.locator("#later").tap()
    page.get_by_label("Note").fill('=1+1, "quoted"')
    page.get_by_role("button", name="Keep the note").tap()
    expect(page.locator("ol.log > li")).to_have_count(4)
    name, data = downloaded(page, "log as JSON")
    take = read_take(name, data)
    assert isinstance(take, Take)
    assert name == f"slipway-2027-06-05-{take.take[:8]}.json"
    assert [event["kind"] for event in take.events] == ["take", "tick", "changes", "note"]
    assert (
        take.events[2]["payload"]["planned"]["window"]["start"]["utc_ms"]
        > take.plan["window"]["end"]["utc_ms"]
    )
    assert "as changed: Sun 6 June 2027\n" in report(take) and "not in this log" not in report(take)
    name, table = downloaded(page, "log as CSV")
    rows = list(csv.DictReader(io.StringIO(table.decode(), newline=""), strict=True))
    assert name.endswith(".csv") and rows[3]["value"] == '\'=1+1, "quoted"'
    assert (
        rows[1]["utc"] == "2027-06-05T22:30:00.000Z" and rows[1]["local"] == "2027-06-05T23:30:00.000+01:00"
    )
    name, text = downloaded(page, "log as Text")
    assert name.endswith(".txt") and text.decode() == report(take)
    file = tmp_path / "night.json"
    file.write_bytes(data)
    assert run("log", file) == (0, text.decode(), "")


def test_a_take_is_deleted_only_when_all_of_it_has_been_saved(
    page: Page, demo_host: Host, plan: dict[str, Any]
) -> None:
    night = a_night(plan)
    other = [{**event, "take": "other"} for event in night[:-1]]
    takes_list(page, demo_host, [night, other], night[0]["take"])
    over = page.locator(".takes > li", has_text="over")
    expect(over).to_contain_text("19 entries")
    expect(over).to_contain_text("1 photo of 0 KB · not saved")
    over.get_by_role("button", name="Delete").tap()
    expect(page.locator("#takes [role=alert]")).to_contain_text("Save it first")
    page.evaluate(SHARES)
    page.evaluate("window.refusal = 'AbortError'")
    over.get_by_role("button", name="Share or save").tap()
    page.evaluate(SHARED)
    stem = "slipway-2027-06-05-5f0c2a91"
    assert page.evaluate("window.shared") == [[f"{stem}.json application/json", f"{stem}-K1.jpg image/jpeg"]]
    expect(over).to_contain_text("not saved")
    page.evaluate("window.refusal = 'NotAllowedError'")  # a browser that shares no such file saves it
    with page.expect_download() as waiting:
        over.get_by_role("button", name="Share or save").tap()
    assert read_take(*read(waiting.value)) == read_take(f"{stem}.json", file_of(night))
    expect(over).to_contain_text("· saved")
    over.get_by_role("button", name="Delete").click()
    expect(over.get_by_role("button", name="Tap again: delete it")).to_be_visible()
    assert len(page.evaluate(STORED)["events"]) == len(night) + len(other)
    over.get_by_role("button", name="Tap again: delete it").press("Enter")
    expect(page.locator(".takes > li")).to_have_count(1)
    stored = page.evaluate(STORED)
    assert {key.partition(",")[0] for key in stored["events"]} == {"other"}
    assert stored["photos"] == stored["saved"] == []


def test_a_take_that_another_tab_added_to_is_not_deleted(
    page: Page, demo_host: Host, plan: dict[str, Any]
) -> None:
    night = a_night(plan)
    takes_list(page, demo_host, [night])
    page.evaluate(SHARES)
    page.get_by_role("button", name="Share or save").tap()
    expect(page.locator(".takes > li")).to_contain_text("· saved")
    late = {**night[-1], "kind": "note", "counter": 20, "payload": {"text": "one more"}}
    second = page.context.new_page()
    second.goto(demo_host.url(SITE))
    assert second.evaluate(JOIN, [late]) == 1
    expect(page.locator(".takes > li")).to_contain_text("20 entries")
    page.get_by_role("button", name="Delete", exact=True).click()
    expect(page.locator("#takes [role=alert]")).to_contain_text("Save it first")
    assert page.evaluate(REMOVE, [night[0]["take"], len(night)]) is False
    assert len(page.evaluate(STORED)["events"]) == len(night) + 1


def test_all_that_are_saved_and_over_go_at_once_and_an_open_one_stays(
    page: Page, demo_host: Host, plan: dict[str, Any]
) -> None:
    night = a_night(plan)
    takes = [
        [{**event, "take": name} for event in night[:last]]
        for name, last in (("a", 19), ("b", 19), ("c", 18))
    ]
    takes_list(page, demo_host, takes)
    page.evaluate(SHARES)
    expect(page.get_by_role("button", name="Delete all")).to_be_hidden()
    for row in page.locator(".takes > li").all():
        row.get_by_role("button", name="Share or save").tap()
        expect(row).to_contain_text("· saved")
    page.get_by_role("button", name="Delete all").tap()
    page.get_by_role("button", name="Tap again: delete them").click()
    expect(page.locator(".takes > li")).to_have_count(1)
    expect(page.locator(".takes > li")).to_contain_text("running")
    page.get_by_role("button", name="End this take").tap()
    page.get_by_role("button", name="Tap again: end it").click()
    expect(page.locator(".takes > li")).to_contain_text("over")
    expect(page.locator(".takes > li")).to_contain_text("not saved")


def test_script_in_every_text_of_a_take_is_shown_as_text(
    page: Page, demo_host: Host, plan: dict[str, Any]
) -> None:
    night = _scripted(a_night(plan)[:-1])
    assert isinstance(read_take("x", file_of(night)), Take)
    takes_list(page, demo_host, [night])
    expect(page.locator(".takes strong")).to_have_text(SCRIPT)
    shot_page(page, demo_host)
    expect(page.locator("ol.log")).to_contain_text(f"ticked: {SCRIPT}: {SCRIPT}")
    expect(page.locator("ol.log")).to_contain_text(f"MARK {SCRIPT}: frame 143, file {SCRIPT}")
    _, text = downloaded(page, "log as Text")
    assert text.decode().startswith(f"{SCRIPT}\n")
    assert page.locator("main img").count() == 0


_NOT_TYPED = {
    "take", "shot", "device", "kind", "format", "revision", "night", "id", "events", "via", "from", "unit",
    "axis", "act",
}  # fmt: skip


def _scripted(value: Any) -> Any:
    """Every text that a person may have typed becomes script."""
    if isinstance(value, dict):
        named = {name: name in _NOT_TYPED and not isinstance(part, dict) for name, part in value.items()}
        return {name: part if named[name] else _scripted(part) for name, part in value.items()}
    if isinstance(value, list):
        return [_scripted(part) for part in value]
    return SCRIPT if isinstance(value, str) else value


def test_a_phone_that_can_keep_no_takes_says_so_on_the_list(page: Page, demo_host: Host) -> None:
    page.add_init_script(REFUSED)
    page.goto(demo_host.url(SITE))
    expect(page.locator("#takes")).to_have_text(
        "Not kept: this browser does not let the page store anything. Use the card."
    )


NOT_SHOWN = """async () => {
  const {makeTake} = await import("/app/list/take.js");
  const {openLog} = await import("/app/takes/log.js");
  const faults = [];
  const shown = [() => { throw new Error("not drawn"); }, () => {}];
  const take = makeTake(openLog("not shown"), "slipway", {
    carried: () => ({plan: {}, changes: {}}), turned() {}, shown: () => shown.shift()(),
    fault: (error) => faults.push(error),
  });
  const told = await take.tick("cap", "", true).catch(({message}) => message);
  await take.tick("remote", "", true);
  return [told, [...take.now.state.ticks.keys()], faults];
}"""


def test_what_cannot_be_shown_does_not_lose_what_is_kept_next(modules_page: Page) -> None:
    assert modules_page.evaluate(NOT_SHOWN) == ["not drawn", ["cap", "remote"], []]


CLOSED = """() => {
  IDBDatabase.prototype.transaction = () => { throw new DOMException('no', 'InvalidStateError'); };
}"""


def test_takes_that_cannot_be_read_any_more_are_said_to_be_so(
    page: Page, demo_host: Host, plan: dict[str, Any]
) -> None:
    takes_list(page, demo_host, [a_night(plan)])
    summary = page.locator("#takes summary")
    summary.press("Enter")
    page.evaluate(CLOSED)
    summary.press("Enter")
    expect(page.locator("#takes [role=alert]")).to_contain_text("the log was closed")


NO_STORE = """IDBFactory.prototype.open = () => {
  const request = {error: new DOMException('no', 'InvalidStateError')};
  setTimeout(() => request.onerror());
  return request;
};"""
FAULTS = {
    "a newer version's log": (
        "await new Promise((done) => { indexedDB.open(name, 2).onsuccess = done; });",
        "",
        "a newer version of this site has its log here",
    ),
    "a log deleted under the page": (
        "",
        "await new Promise((done) => { indexedDB.deleteDatabase(name).onsuccess = done; });",
        "the log was closed",
    ),
    "no store at all": (REFUSED, "", "store anything"),
    "a private window without a store": (NO_STORE, "", "store anything"),
}  # fmt: skip


@pytest.mark.parametrize("fault", FAULTS)
def test_why_nothing_is_kept_is_said(modules_page: Page, fault: str) -> None:
    before, between, words = FAULTS[fault]
    said = modules_page.evaluate(
        f"""async (name) => {{
          const {{openLog, logWords}} = await import("/app/takes/log.js");
          try {{
            {before}
            const log = await openLog(name);
            const take = await log.beginTake("slipway", {{}});
            {between}
            await log.append(take, "note", {{text: "x"}});
            return "kept";
          }} catch (error) {{ return logWords(error); }}
        }}""",
        json.dumps(fault),
    )
    assert said.startswith("Not kept:") and words in said
