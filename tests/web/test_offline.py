"""Without signal: a version is whole or not there, and changes only by a tap, never during a take."""

from __future__ import annotations

import json
import re

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, Playwright, expect

from fieldsheet.site.guide import CHAPTERS, GUIDE
from fieldsheet.site.version import is_carried
from tests.site.sample import changed, sample_site
from tests.web.conftest import chromium_path
from tests.web.host import Host
from tests.web.killable import FLAGS, Killable
from tests.web.pagelog import on_log
from tests.web.soon import soon

HERE = "/fs/saltings/"
OLD, NEW = b"Saltings</h1>", b"Saltings, new</h1>"
BEGIN = on_log("return log.beginTake('slipway', {});")
TICK = on_log("await log.append(take, 'tick', {item: 'cap', value: 'off'});", given="take")
END = on_log("await log.append(take, 'end', {});", given="take")
TICKS = on_log(
    """const {reduce} = await import("/app/takes/added.js");
  return [...reduce(await log.events(take)).ticks.keys()];""",
    given="take",
)


@pytest.fixture(scope="module")
def old() -> dict[str, bytes]:
    return sample_site()


@pytest.fixture(scope="module")
def new(old: dict[str, bytes]) -> dict[str, bytes]:
    return changed(old, "index.html", OLD, NEW)


def opened(page: Page, host: Host, path: str = HERE) -> Page:
    """The page at `path`, once it says that it is ready."""
    page.goto(host.url(path))
    expect(page.locator("#offline")).to_have_attribute("data-stored", "ready")
    return page


def newer(page: Page, state: str) -> None:
    expect(page.locator("#offline")).to_have_attribute("data-newer", state)


def heading(page: Page) -> str:
    return page.locator("h1").first.inner_text()


def versions(page: Page) -> list[str]:
    """Names of the stored versions on this origin."""
    names: list[str] = page.evaluate("caches.keys()")
    return sorted(name for name in names if re.search(r"\|[0-9a-f]{64}$", name))


def named(site: dict[str, bytes], catalog: str = "saltings", path: str = HERE) -> str:
    return f"fieldsheet|{path}|{catalog}|{json.loads(site['version.json'])['version']}"


def test_the_first_visit_stores_everything_and_says_how_much(
    phone: BrowserContext, host: Host, old: dict[str, bytes]
) -> None:
    host.sites[HERE] = old
    page = opened(phone.new_page(), host)
    sizes = [entry["size"] for entry in json.loads(old["version.json"])["files"].values()]
    kilobytes = (sum(sizes) + 500) // 1000
    said = page.locator("#offline .stored").inner_text()
    assert said == f"Ready without signal · {len(sizes)} files, {kilobytes} KB"
    assert versions(page) == [named(old)]
    assert not [path for path in host.asked if path.endswith(".pdf")]


def test_every_page_opens_with_the_server_dead(
    phone: BrowserContext, host: Host, old: dict[str, bytes]
) -> None:
    host.sites[HERE] = old
    page = opened(phone.new_page(), host)
    host.kill()
    carried = [path for path in old if path.endswith(".html") and is_carried(path)]
    guide = [path for path in carried if path.startswith(GUIDE)]
    paths = [path for path in carried if path not in guide]
    assert len(paths) == 7 and len(guide) == 1 + len(CHAPTERS)
    folders = [path.removesuffix("index.html") for path in paths]
    for path in [*paths, *(folder + "?x=1#frag" for folder in folders), ""]:
        opened(page, host, HERE + path)
        name = path.partition("?")[0]
        title = old[name if name.endswith(".html") else name + "index.html"].decode()
        begins = re.search("<h1>(.*?)[<\\n]", title)
        assert begins and heading(page).startswith(begins[1].strip())
    page.goto(host.url(HERE))
    page.get_by_role("link", name="Guide").click()
    for chapter in CHAPTERS:
        page.get_by_role("link", name=chapter.title).click()
        expect(page.locator("h1")).to_have_text(chapter.title)
        page.get_by_role("link", name="Guide", exact=True).click()
    page.goto(host.url(HERE + "shots/slipway"))
    assert page.url == host.url(HERE + "shots/slipway/")
    host.start()


def test_a_host_that_redirects_does_not_break_the_stored_pages(
    phone: BrowserContext, host: Host, old: dict[str, bytes]
) -> None:
    host.sites[HERE] = old
    pages = [HERE + path for path in old if path.endswith("index.html")]
    host.redirects = {path: path.removesuffix("index.html") for path in pages}
    page = opened(phone.new_page(), host)
    host.kill()
    for path in ("index.html", "shots/slipway/index.html", "shots/jetty/"):
        opened(page, host, HERE + path)
    host.start()


def test_a_new_version_is_offered_serves_after_the_tap_and_only_changes_are_fetched(
    phone: BrowserContext, host: Host, old: dict[str, bytes], new: dict[str, bytes]
) -> None:
    host.sites[HERE] = old
    page = opened(phone.new_page(), host)
    host.sites[HERE] = new
    host.asked.clear()
    page.reload()
    newer(page, "offered")
    assert page.locator("#offline .newer").inner_text() == "A new version of these sheets is here"
    assert set(host.asked) <= {HERE + name for name in ("version.json", "index.html", "worker.js")}
    page.reload()
    newer(page, "offered")
    assert heading(page) == "Saltings"
    host.kill()
    page.reload()
    newer(page, "offered")
    page.get_by_role("button", name="Use it").tap()
    expect(page.locator("h1")).to_have_text("Saltings, new")
    opened(page, host)
    assert versions(page) == [named(new)]
    newer(page, "none")
    host.start()


def test_the_other_tab_follows(
    phone: BrowserContext, host: Host, old: dict[str, bytes], new: dict[str, bytes]
) -> None:
    host.sites[HERE] = old
    first, second = opened(phone.new_page(), host), opened(phone.new_page(), host)
    host.sites[HERE] = new
    first.reload()
    newer(first, "offered")
    first.get_by_role("button", name="Use it").tap()
    expect(second.locator("h1")).to_have_text("Saltings, new")


def test_a_torn_deploy_is_not_offered_and_its_mending_is(
    bare_phone: BrowserContext, host: Host, old: dict[str, bytes], new: dict[str, bytes]
) -> None:
    host.sites[HERE] = old
    page = opened(bare_phone.new_page(), host)
    host.sites[HERE] = {**new, "index.html": old["index.html"]}
    page.reload()
    newer(page, "torn")
    assert page.get_by_role("button", name="Use it").count() == 0
    host.kill()
    for path in ("", "shots/slipway/"):
        opened(page, host, HERE + path)
    assert heading(opened(page, host)) == "Saltings"
    host.start()
    host.sites[HERE] = new
    page.reload()
    newer(page, "offered")
    assert versions(page) == sorted([named(old), named(new)])


def test_a_torn_first_visit_is_not_ready_and_is_mended_by_the_button(
    bare_phone: BrowserContext, host: Host, old: dict[str, bytes]
) -> None:
    host.sites[HERE] = {path: data for path, data in old.items() if path != "sky/2028.pack"}
    page = bare_phone.new_page()
    page.goto(host.url(HERE))
    expect(page.locator("#offline .stored")).to_contain_text("Not ready without signal: sky/2028.pack")
    assert page.evaluate("(name) => caches.has(name)", f"fieldsheet|{HERE}|saltings|pointer") is False
    host.sites[HERE] = old
    page.get_by_role("button", name="Fetch again").tap()
    expect(page.locator("#offline")).to_have_attribute("data-stored", "ready")
    host.kill()
    opened(page, host)
    host.start()


def test_during_an_open_take_a_new_version_waits(
    phone: BrowserContext, host: Host, old: dict[str, bytes], new: dict[str, bytes]
) -> None:
    host.sites[HERE] = old
    page = opened(phone.new_page(), host)
    take = page.evaluate(BEGIN)
    host.sites[HERE] = new
    page.reload()
    newer(page, "held")
    assert "waits until the take is ended" in page.locator("#offline .newer").inner_text()
    page.get_by_role("button", name="Use it now").tap()
    newer(page, "asked")
    page.reload()
    newer(page, "held")
    assert heading(page) == "Saltings"
    page.evaluate(END, take)
    page.reload()
    newer(page, "offered")


def test_a_take_begun_after_the_offer_holds_the_tap_too(
    phone: BrowserContext, host: Host, old: dict[str, bytes], new: dict[str, bytes]
) -> None:
    host.sites[HERE] = old
    page = opened(phone.new_page(), host)
    host.sites[HERE] = new
    page.reload()
    newer(page, "offered")
    page.evaluate(BEGIN, host.url(HERE))
    page.get_by_role("button", name="Use it").tap()
    newer(page, "held")
    page.reload()
    assert heading(page) == "Saltings"


def test_a_host_that_goes_back_to_the_old_version_withdraws_the_offer(
    phone: BrowserContext, host: Host, old: dict[str, bytes], new: dict[str, bytes]
) -> None:
    host.sites[HERE] = old
    page = opened(phone.new_page(), host)
    for site, state in ((new, "offered"), (old, "none")):
        host.sites[HERE] = site
        page.reload()
        newer(page, state)
    assert versions(page) == [named(old)]


def test_sites_that_share_an_origin_do_not_harm_each_other(
    phone: BrowserContext, host: Host, old: dict[str, bytes], new: dict[str, bytes]
) -> None:
    moor = sample_site("moor", "Moor")
    host.sites = {"/fs/saltings/": old, "/fs/moor/": moor, "/copy/": old}
    page = phone.new_page()
    for path in host.sites:
        opened(page, host, path)
    host.sites["/fs/saltings/"] = new
    opened(page, host)
    newer(page, "offered")
    page.get_by_role("button", name="Use it").tap()
    expect(page.locator("h1")).to_have_text("Saltings, new")
    opened(page, host)
    others = [named(moor, "moor", "/fs/moor/"), named(old, path="/copy/")]
    assert versions(page) == sorted([named(new), *others])
    host.kill()
    for path, title in (("/fs/moor/", "Moor"), ("/copy/", "Saltings"), (HERE, "Saltings, new")):
        assert heading(opened(page, host, path)) == title
    host.start()


DAMAGE = """async (name) => {
  const cache = await caches.open(name);
  const keys = await cache.keys();
  const at = (path) => keys.find((key) => key.url.endsWith(path));
  await cache.delete(at("sky/2027.pack"));
  await cache.put(at("shots/jetty/index.html"), new Response("cut"));
}"""


def test_gaps_in_the_store_are_named_and_mended(
    phone: BrowserContext, host: Host, old: dict[str, bytes]
) -> None:
    host.sites[HERE] = old
    page = opened(phone.new_page(), host)
    host.kill()  # first, else a page that still looks at its store could mend it at once
    page.evaluate(DAMAGE, named(old))
    page.reload()
    said = page.locator("#offline .stored")
    expect(said).to_have_text("Not ready without signal: shots/jetty/index.html, sky/2027.pack missing")
    host.start()
    host.asked.clear()
    page.get_by_role("button", name="Fetch again").tap()
    expect(page.locator("#offline")).to_have_attribute("data-stored", "ready")
    fetched = {path.removeprefix(HERE) for path in host.asked} - {"version.json", "worker.js"}
    assert fetched == {"shots/jetty/index.html", "sky/2027.pack"}


COUNT = """async (name) => (await caches.has(name)) && (await (await caches.open(name)).keys()).length"""


def wait_for_files(page: Page, name: str, least: int) -> int:
    """Until the cache of that name holds `least` entries; how many it holds then."""
    soon(page, lambda: page.evaluate(COUNT, name) >= least, True)
    count: int = page.evaluate(COUNT, name)
    return count


def test_killed_in_the_middle_of_an_update_the_old_version_is_whole(
    killable: Killable, host: Host, old: dict[str, bytes]
) -> None:
    new = old
    for path in ("index.html", "shots/jetty/index.html", "shots/slipway/index.html"):
        new = changed(new, path, b"</h1>", b", new</h1>")
    host.sites[HERE] = old
    opened(killable.start(), host)
    killable.kill()
    host.sites[HERE] = new
    host.slow_s = {"shots/slipway/index.html": 30}
    page = opened(killable.start(), host)
    everything_but_one = len(json.loads(new["version.json"])["files"])  # with the list itself
    assert wait_for_files(page, named(new), everything_but_one) == everything_but_one
    killable.kill()
    host.kill()
    page = killable.start()
    for path in ("", "shots/jetty/", "shots/slipway/"):
        assert not heading(opened(page, host, HERE + path)).endswith("new")
    host.slow_s = {}
    host.start()
    host.asked.clear()
    opened(page, host)
    newer(page, "offered")
    assert HERE + "shots/jetty/index.html" not in host.asked, "what had arrived is fetched twice"
    page.get_by_role("button", name="Use it").click()
    expect(page.locator("h1")).to_have_text(re.compile(", new$"))
    for path in ("shots/slipway/", "shots/jetty/", ""):
        expect(opened(page, host, HERE + path).locator("h1")).to_have_text(re.compile(", new$"))


def test_killed_in_the_middle_of_the_first_visit_the_next_one_completes_it(
    killable: Killable, host: Host, old: dict[str, bytes]
) -> None:
    host.sites[HERE] = old
    host.slow_s = {"site.webmanifest": 30}
    page = killable.start()
    page.goto(host.url(HERE), wait_until="commit")
    wait_for_files(page, named(old), len(json.loads(old["version.json"])["files"]))
    killable.kill()
    host.slow_s = {}
    host.asked.clear()
    page = opened(killable.start(), host)
    assert HERE + "icons/icon-512.png" not in host.asked, "what had arrived is fetched twice"
    host.kill()
    opened(page, host)
    host.start()


def test_killed_right_after_a_tick_the_tick_is_kept(
    killable: Killable, host: Host, old: dict[str, bytes]
) -> None:
    host.sites[HERE] = old
    page = opened(killable.start(), host)
    take = page.evaluate(BEGIN)
    page.evaluate(TICK, take)
    killable.kill()
    host.kill()
    page = opened(killable.start(), host)
    host.start()
    assert page.evaluate(TICKS, take) == ["cap"]


def test_plain_http_is_said(driver: Playwright, host: Host, old: dict[str, bytes]) -> None:
    host.sites[HERE] = old
    browser = driver.chromium.launch(
        executable_path=chromium_path(), args=[*FLAGS, "--host-resolver-rules=MAP phone.test 127.0.0.1"]
    )
    page = browser.new_page()
    page.goto(host.url(HERE, "phone.test"))
    expect(page.locator("#offline .stored")).to_contain_text("No offline store over plain http")
    assert page.evaluate(BEGIN, host.url(HERE, "phone.test")), "without randomUUID a take still gets a name"
    browser.close()


def test_a_browser_without_a_store_is_said(chromium: Browser, host: Host, old: dict[str, bytes]) -> None:
    host.sites[HERE] = old
    page = chromium.new_page()
    page.add_init_script("delete Navigator.prototype.serviceWorker")
    page.goto(host.url(HERE))
    expect(page.locator("#offline .stored")).to_contain_text("This browser keeps no offline store")
    page.context.close()
