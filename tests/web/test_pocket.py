"""Files that hold a shot or a catalog whole: opened without signal, with a store and without one."""

from __future__ import annotations

import io
import json
from collections.abc import Callable, Iterator
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
import zxingcpp
from PIL import Image
from playwright.sync_api import Browser, BrowserContext, FrameLocator, Page, expect

from fieldsheet.catalog.read import Catalog
from fieldsheet.press import Planned, plan_shot
from fieldsheet.sheet.sheet import make_sheet
from fieldsheet.site.pocket import catalog_file, pocket_of, shot_file
from fieldsheet.sky.sky import Sky
from tests.web.conftest import new_phone
from tests.web.watch import Watch

MOST_BYTES = 1_000_000
START = "2027-06-05T19:36:00+01:00"
OTHER_NIGHT, DAY = "2027-06-12", "Sat 12 June 2027"
SCRIPTLESS = "Nothing can be ticked in this view"
LOST = "Ticks go when this page is closed."
KEPT = "Ticks are kept in this browser"

# What a browser does that opens the file under an address without an origin: each store throws.
# Source: WHATWG, HTML, section 12.2.2 (localStorage); W3C, Indexed Database API 3.0, section 4.3 (open).
REFUSED = """(() => {
  const refuse = () => { throw new DOMException("no origin", "SecurityError"); };
  for (const name of ["localStorage", "sessionStorage"]) {
    Object.defineProperty(globalThis, name, { get: refuse });
  }
  IDBFactory.prototype.open = refuse;
  globalThis.BroadcastChannel = refuse;
})()"""
TEXTS = """() => Object.fromEntries([...document.querySelectorAll("[data-v]")].map((place) =>
  [place.dataset.v, place.childNodes[0]?.textContent ?? ""]))"""


@pytest.fixture(scope="module")
def planned(demo_planned: Planned) -> Planned:
    return demo_planned


@pytest.fixture(scope="module")
def folder(demo: Catalog, planned: Planned, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demo's files, in a folder whose name a phone may well have."""
    place = tmp_path_factory.mktemp("phone") / "Own files #2"
    place.mkdir()
    of = pocket_of(demo.title, demo.id, demo.base_url, planned.packs)
    for shot_id, plan in planned.plans.items():
        (place / f"{shot_id}.html").write_bytes(shot_file(of, plan, planned.sheets[shot_id]))
    (place / "everything.html").write_bytes(catalog_file(of, planned.plans, planned.sheets))
    return place


class Asked:
    """The browser's own record of what its pages asked for, and of their complaints."""

    def __init__(self, context: BrowserContext) -> None:
        self.addresses: list[str] = []
        self._context = context
        self._watch = Watch(context, "")

    def open(self, path: Path) -> Page:
        page = self._context.new_page()
        session = self._context.new_cdp_session(page)
        session.send("Network.enable")
        session.on("Network.requestWillBeSent", lambda sent: self.addresses.append(sent["request"]["url"]))
        page.goto(path.as_uri())
        return page

    def hear(self, path: Path) -> None:
        """Nothing but the file was asked for: the type that it holds is no request to anybody."""
        others = [url for url in self.addresses if not url.startswith("data:")]
        assert others and {url.partition("#")[0] for url in others} == {path.as_uri()}
        assert self._watch.complaints == []


@pytest.fixture(params=["kept", "refused"])
def offline(chromium: Browser, request: pytest.FixtureRequest) -> Iterator[BrowserContext]:
    context = new_phone(chromium)
    context.set_offline(True)
    if request.param == "refused":
        context.add_init_script(REFUSED)
    yield context
    context.close()


@pytest.fixture
def asked(offline: BrowserContext) -> Asked:
    return Asked(offline)


def is_refused(page: Page) -> bool:
    return page.evaluate("() => { try { return !localStorage; } catch { return true; } }") is True


def tick_one(page: Page) -> str:
    """Which item, once it is ticked and kept."""
    expect(page.locator("#night")).to_be_enabled()
    left = page.locator("#check .left").first
    count = int(left.inner_text().split()[0])
    item = page.locator("#check .item").first
    item.tap()
    expect(left).to_have_text(f"{count - 1} left")
    return f"input[data-item='{item.locator('input').first.get_attribute('data-item')}']"


@pytest.mark.parametrize("offline", ["kept"], indirect=True)
def test_a_file_asks_for_nothing_and_its_page_turns_as_at_the_desk(
    folder: Path, asked: Asked, demo: Catalog, sky: Sky
) -> None:
    path = folder / "slipway.html"
    assert path.stat().st_size < MOST_BYTES
    page = asked.open(path)
    expect(page.locator("#night")).to_be_enabled()
    assert page.evaluate("document.fonts.check('600 18px \"Fira Sans\"')")
    turn = "(input, night) => { input.value = night; input.dispatchEvent(new Event('change')); }"
    page.locator("#night").evaluate(turn, OTHER_NIGHT)
    expect(page.locator(".date b")).to_contain_text(DAY)
    sheet = make_sheet(plan_shot(demo.brief("slipway"), sky, {"night": OTHER_NIGHT}))
    shown = page.evaluate(TEXTS)
    assert {"numbers.first_frame", "numbers.frames", "keyframes.0.axes.pan"} <= shown.keys()
    assert {path: "" if text == "none" else text for path, text in shown.items()} == {
        path: said_at(sheet, path) for path in shown
    }
    for name in ("Every frame", "Other nights", "Hand over", "Log", "In the frame"):
        page.locator("summary", has_text=name).first.tap()
    for theme in ("Dark", "Night", "Day"):
        page.get_by_role("button", name=theme, exact=True).tap()
        assert page.locator("html").get_attribute("data-theme") == theme.lower()
    asked.hear(path)


def said_at(sheet: Any, path: str) -> str:
    for key in path.split("."):
        sheet = sheet[int(key)] if isinstance(sheet, list) else sheet[key]
    return str(sheet)


def test_ticks_outlive_the_page_where_the_browser_keeps_them_else_it_says_high_up_that_they_go(
    folder: Path, offline: BrowserContext, asked: Asked
) -> None:
    page = asked.open(folder / "hoist.html")
    ticked = tick_one(page)
    goes = is_refused(page)
    note = page.locator("#kept")
    expect(page.locator("#offline")).to_contain_text(LOST if goes else KEPT)
    expect(page.locator("#offline")).to_contain_text("The guide is not in it, but on the site: https://")
    assert page.locator("a[href*=guide]").count() == 0
    if goes:
        expect(note).to_contain_text(LOST)
        assert note.evaluate("(note) => note.getBoundingClientRect().top") < 200
    else:
        expect(note).to_be_hidden()
    page.get_by_role(
        "link", name="Set", exact=True
    ).tap()  # a place in the page is an entry of the tab's history
    page.reload()
    expect(page.locator(ticked)).to_be_checked()
    page.close()
    page = asked.open(folder / "hoist.html")
    expect(page.locator("#night")).to_be_enabled()
    expect(page.locator("#check input:checked")).to_have_count(0 if goes else 1)
    asked.hear(folder / "hoist.html")


@pytest.mark.parametrize("offline", ["refused"], indirect=True)
def test_a_take_leaves_the_file_as_a_log_and_as_a_code_for_the_site_s_own_page(
    folder: Path, asked: Asked, demo: Catalog
) -> None:
    page = asked.open(folder / "clouds.html")
    tick_one(page)
    page.locator("#hand > summary").tap()
    page.get_by_role("button", name="You have it: show the code").tap()
    code = page.locator("#hand .code").first
    expect(code.locator("svg")).to_be_visible()
    (found,) = zxingcpp.read_barcodes(Image.open(io.BytesIO(code.screenshot())))
    assert found.text.startswith(f"{demo.base_url.rstrip('/')}/shots/clouds/#t=")
    with page.expect_download() as waiting:
        page.get_by_role("button", name="Share or save the log", exact=True).tap()
    kinds = [event["kind"] for event in json.loads(waiting.value.path().read_text("utf-8"))["events"]]
    assert kinds == ["take", "tick"]
    asked.hear(folder / "clouds.html")


@pytest.mark.parametrize("offline", ["refused"], indirect=True)
def test_frame_1_is_fired_late_and_the_way_on_is_taken(folder: Path, asked: Asked) -> None:
    page = asked.open(folder / "slipway.html")
    page.clock.install(time=datetime.fromisoformat(START) - timedelta(seconds=60))
    page.reload()
    expect(page.locator("#night")).to_be_enabled()
    page.clock.pause_at(datetime.fromisoformat(START) + timedelta(minutes=24))
    expect(page.locator("#now strong")).to_have_text("First frame not fired")
    page.locator("#wrong > summary").tap()
    page.get_by_label("first frame at").fill("20:01")
    page.locator("#wrong").get_by_role("button", name="It starts late").click()
    expect(page.locator("#wrong .way")).to_have_count(5)
    page.locator("#wrong .way").first.get_by_role("button").first.click()
    expect(page.locator("#changed")).to_be_visible()
    page.clock.pause_at(datetime.fromisoformat(START) + timedelta(minutes=25))
    page.locator("#now button:has-text('Frame 1 fired now')").tap()
    expect(page.locator("body")).to_have_attribute("data-phase", "rolling")
    asked.hear(folder / "slipway.html")


def test_a_catalog_s_file_shows_the_shot_that_is_tapped_and_leads_back_to_the_list(
    folder: Path, asked: Asked, planned: Planned
) -> None:
    path = folder / "everything.html"
    page = asked.open(path)
    titles = {shot_id: sheet["title"] for shot_id, sheet in planned.sheets.items()}
    expect(page.locator("li[data-of] strong")).to_have_count(len(titles))
    assert set(page.locator("li[data-of] strong").all_inner_texts()) == set(titles.values())
    page.get_by_role("button", name="Night", exact=True).tap()
    page.get_by_role("link", name=titles["hoist"]).tap()
    expect(page.locator("h1")).to_have_text(titles["hoist"])
    expect(page.get_by_role("button", name="Night", exact=True)).to_have_attribute("aria-pressed", "true")
    ticked = tick_one(page)
    page.get_by_role("link", name="Set", exact=True).tap()
    page.reload()
    expect(page.locator("h1")).to_have_text(titles["hoist"])
    if not is_refused(page):
        page.evaluate("() => localStorage.clear()")  # as a browser with many files at once was seen to do
    page.locator("#all-shots").tap()
    expect(page.locator("html")).to_have_attribute("data-theme", "night")
    page.get_by_role("link", name=titles["slipway"]).tap()
    expect(page.locator("h1")).to_have_text(titles["slipway"])
    expect(page.locator("#night")).to_be_enabled()
    expect(page.locator("#check input:checked")).to_have_count(0)
    page.go_back()
    page.get_by_role("link", name=titles["hoist"]).tap()
    expect(page.locator(ticked)).to_be_checked()
    asked.hear(path)


def test_a_frame_without_an_origin_is_truly_refused_and_ticks_all_the_same(
    folder: Path, bare_phone: BrowserContext
) -> None:
    """Source of what it may not: WHATWG, HTML, section 4.8.5 (sandbox without allow-same-origin)."""
    bare_phone.set_offline(True)
    watch = Watch(bare_phone, "")
    outer = folder / "outer.html"
    outer.write_text(
        '<!doctype html><iframe sandbox="allow-scripts" width=350 height=700 src="clouds.html"></iframe>'
    )
    page = bare_phone.new_page()
    page.goto(outer.as_uri())
    inner: FrameLocator = page.frame_locator("iframe")
    expect(inner.locator("#kept")).to_contain_text(LOST)
    left = inner.locator("#check .left").first
    count = int(left.inner_text().split()[0])
    inner.locator("#check .item").first.click()
    expect(left).to_have_text(f"{count - 1} left")
    assert watch.complaints == []


@pytest.mark.parametrize("name", ["slipway", "everything"])
def test_a_view_without_scripts_shows_every_plan_and_says_that_it_cannot_tick(
    folder: Path, chromium: Browser, planned: Planned, name: str
) -> None:
    context = chromium.new_context(
        viewport={"width": 360, "height": 740}, java_script_enabled=False, offline=True
    )
    page = context.new_page()
    page.goto((folder / f"{name}.html").as_uri())
    sheets = planned.sheets if name == "everything" else {name: planned.sheets[name]}
    expect(page.locator("h1")).to_have_count(len(sheets) + (name == "everything"))
    assert sum(SCRIPTLESS in note for note in page.locator("#kept").all_inner_texts()) == len(sheets)
    first = page.locator(".keyed [data-v='numbers.first_frame']").all_inner_texts()
    assert sorted(first) == sorted(sheet["numbers"]["first_frame"] for sheet in sheets.values())
    context.close()


ALTERED: dict[str, Callable[[str], str]] = {
    "script": lambda text: text.replace('"use strict"', '"use  strict"'),
    "style": lambda text: text.replace("--ink:#111", "--ink:#112"),
}


@pytest.mark.parametrize("what", ALTERED)
def test_the_policy_lets_nothing_run_that_was_altered(
    folder: Path, bare_phone: BrowserContext, what: str
) -> None:
    text = (folder / "hoist.html").read_text("utf-8")
    altered = ALTERED[what](text)
    assert altered != text
    (folder / f"{what}.html").write_text(altered, "utf-8")
    watch = Watch(bare_phone, "")
    page = bare_phone.new_page()
    page.goto((folder / f"{what}.html").as_uri())
    if what == "script":
        expect(page.locator("#kept")).to_contain_text(SCRIPTLESS)
    assert any(f"policy: {what}-src" in said for said in watch.complaints)


# The same deeds in both bases, and all that they answer.
BASES = """async () => {
  const [disk, { makeBase }] = await Promise.all([import("/app/keep/idb.js"), import("/pocket/memory.js")]);
  const make = (base) => {
    const events = base.createObjectStore("events", { keyPath: ["take", "counter"] });
    events.createIndex("kind", "kind");
    base.createObjectStore("names");
  };
  let rows = {};
  const memory = (from) => makeBase(make, from, (kept) => { rows = structuredClone(kept); });
  async function deeds(base, again) {
    const told = [];
    const within = async (mode, act) => {
      const work = base.transaction(["events", "names"], mode);
      const done = mode === "readwrite" ? disk.committed(work) : null;
      const asked = act(work.objectStore("events"), work.objectStore("names"), work);
      told.push(await Promise.all(asked.map(disk.result)));
      await done;
    };
    const event = (take, counter, kind) => ({ take, counter, kind, bytes: new Uint8Array([counter]).buffer });
    const all = (events, names) => [events.getAll(), events.getAllKeys(), events.count(), names.getAllKeys(),
      events.getAll(IDBKeyRange.bound(["b"], ["b", []])), events.get(["a", 2]), events.getKey(["a", 9]),
      events.index("kind").getAll("tick"), names.get("me")];
    await within("readwrite", (events, names) => [
      events.add(event("a", 1, "take")), events.add(event("a", 2, "tick")), events.add(event("b", 1, "tick")),
      names.put("x", "me")]);
    await within("readonly", all);
    await within("readwrite", (events, names) => [
      events.delete(IDBKeyRange.bound(["a"], ["a", []])), names.put("y", "me"), names.delete("no")]);
    await within("readonly", all);
    const work = base.transaction(["events", "names"], "readwrite");
    const gone = disk.committed(work).catch(() => {});
    work.objectStore("events").add(event("c", 1, "tick"));
    work.abort();
    if (!again) await gone;
    await within("readonly", all);
    return told.map((answers) => answers.map((one) => JSON.stringify(one, (_, value) =>
      value instanceof ArrayBuffer ? [...new Uint8Array(value)] : value) ?? "undefined"));
  }
  const [real, own] = [await deeds(await disk.openBase("compared", make)), await deeds(memory({}), true)];
  const kept = await disk.result(memory(rows).transaction().objectStore("events").count());
  return { real, own, kept };
}"""


def test_the_base_in_memory_answers_as_the_one_on_the_disk(modules_page: Page) -> None:
    """Against the browser's own IndexedDB; what it held comes back from what it told to keep."""
    found = modules_page.evaluate(BASES)
    assert found["own"] == found["real"]
    assert "tick" in found["real"][1][0] and found["kept"] == 1
