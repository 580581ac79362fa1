"""A real browser for the tests: Debian's Chromium, driven by Playwright through its executable path.

Where its package without windows is here too, that one: the same engine, a third faster to drive.
"""

from __future__ import annotations

import functools
import http.server
import math
import shutil
import threading
import time
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, BrowserContext, Locator, Page, Playwright, expect, sync_playwright

from fieldsheet.catalog.read import Catalog
from fieldsheet.press import Planned, press
from tests.in_memory import in_memory
from tests.web.host import Host
from tests.web.killable import FLAGS, Killable
from tests.web.watch import Watch

ROOT = Path(__file__).resolve().parents[2]

# A second touch of one spot so soon is taken for a bounce of the glove, and does nothing: app/touch/glove.js.
BOUNCE_S = 0.45
SPOT_PX = 60

# How long a site takes to be stored hangs on how busy the machine is; that is for a benchmark to say.
expect.set_options(timeout=25_000)


def chromium_path() -> str:
    """Debian's Chromium without windows, else the whole one; build/test installs them."""
    return shutil.which("chromium-headless-shell") or whole_chromium_path()


def whole_chromium_path() -> str:
    """Debian's Chromium, with all that belongs to the browser and not to its pages."""
    found = shutil.which("chromium")
    if found is None:
        raise RuntimeError("no chromium on the PATH: run build/test, which installs it")
    return found


class _Quiet(http.server.SimpleHTTPRequestHandler):
    extensions_map = {**http.server.SimpleHTTPRequestHandler.extensions_map, ".js": "text/javascript"}

    def log_message(self, format: str, *args: object) -> None:
        pass


@pytest.fixture(scope="session")
def driver() -> Iterator[Playwright]:
    with sync_playwright() as running:
        yield running


@pytest.fixture(scope="session")
def chromium(driver: Playwright) -> Iterator[Browser]:
    browser = driver.chromium.launch(executable_path=chromium_path(), args=FLAGS)
    yield browser
    browser.close()


@pytest.fixture
def whole_phone(driver: Playwright) -> Iterator[BrowserContext]:
    """A phone whose browser knows of apps and their manifests."""
    browser = driver.chromium.launch(executable_path=whole_chromium_path(), args=FLAGS)
    yield new_phone(browser)
    browser.close()


@pytest.fixture(scope="session")
def modules_url() -> Iterator[str]:
    """Address under which the bare modules of site_templates/app are served, for import() in a page."""
    handler = functools.partial(_Quiet, directory=str(ROOT / "site_templates"))
    server = http.server.ThreadingHTTPServer(("127.0.0.1", 0), handler)
    threading.Thread(target=server.serve_forever, daemon=True).start()
    yield f"http://127.0.0.1:{server.server_address[1]}/"
    server.shutdown()
    server.server_close()


def page_at(chromium: Browser, url: str) -> Iterator[Page]:
    """A page of a browser of its own, as long as a fixture yields from it."""
    context = chromium.new_context()
    page = context.new_page()
    page.goto(url)
    yield page
    context.close()


@pytest.fixture
def modules_page(chromium: Browser, modules_url: str) -> Iterator[Page]:
    """A page from which `import('/app/NAME.js')` works."""
    yield from page_at(chromium, modules_url + "app/")


@pytest.fixture(scope="module")
def pure(chromium: Browser, modules_url: str) -> Iterator[Page]:
    """A page for the functions that touch no store."""
    yield from page_at(chromium, modules_url + "app/")


@pytest.fixture(scope="session")
def demo_site(demo: Catalog, demo_planned: Planned) -> dict[str, bytes]:
    """The files of the demo's site, without cards."""
    return in_memory(press(demo, demo_planned))


@pytest.fixture
def host() -> Iterator[Host]:
    """A host with nothing on it yet."""
    serving = Host()
    yield serving
    serving.kill()


@pytest.fixture(autouse=True)
def unhurried(monkeypatch: pytest.MonkeyPatch) -> None:
    """Taps come as from a person, who looks before the next."""
    tap = Locator.tap
    last: dict[str, Any] = {"at_s": 0.0, "spot": (0.0, 0.0)}

    def tap_in_time(place: Locator, **how: Any) -> None:
        place.scroll_into_view_if_needed()
        box: Any = place.bounding_box() or {}
        spot = (box.get("x", 0) + box.get("width", 0) / 2, box.get("y", 0) + box.get("height", 0) / 2)
        if math.dist(spot, last["spot"]) < SPOT_PX:
            time.sleep(max(0.0, last["at_s"] + BOUNCE_S - time.monotonic()))
        tap(place, **how)
        last.update(at_s=time.monotonic(), spot=spot)

    monkeypatch.setattr(Locator, "tap", tap_in_time)


def new_phone(browser: Browser) -> BrowserContext:
    """A fresh browser of a phone's size, with touch."""
    context = browser.new_context(viewport={"width": 360, "height": 740}, is_mobile=True, has_touch=True)
    context.set_default_timeout(25_000)
    return context


@pytest.fixture
def bare_phone(chromium: Browser) -> Iterator[BrowserContext]:
    context = new_phone(chromium)
    yield context
    context.close()


@pytest.fixture
def phone(bare_phone: BrowserContext, host: Host) -> Iterator[BrowserContext]:
    """The same, and the test fails if anything asks off the host, breaks the policy or logs an error."""
    watch = Watch(bare_phone, f"127.0.0.1:{host.port}")
    yield bare_phone
    assert watch.complaints == []


@pytest.fixture(scope="module")
def demo_host(demo_site: dict[str, bytes]) -> Iterator[Host]:
    """A host with the demo's site, the same for all tests of a file: none of them alters it."""
    serving = Host()
    serving.sites = {"/fs/saltings/": demo_site}
    yield serving
    serving.kill()


@pytest.fixture(scope="module")
def storing(chromium: Browser, demo_host: Host) -> Iterator[tuple[Page, Watch]]:
    """An empty page of a phone, beside which tests open theirs."""
    context = new_phone(chromium)
    yield context.new_page(), Watch(context, f"127.0.0.1:{demo_host.port}")
    context.close()


@pytest.fixture
def kept_phone(storing: tuple[Page, Watch], demo_host: Host) -> Iterator[BrowserContext]:
    """A phone on which the demo's site is stored, perhaps, but nothing that a person has done; as `phone`."""
    empty, watch = storing
    context = empty.context
    watch.complaints.clear()
    yield context
    assert watch.complaints == []
    for page in context.pages:
        if page is not empty:
            page.close()
    session = context.new_cdp_session(empty)
    done = {"origin": demo_host.url(""), "storageTypes": "indexeddb,local_storage"}
    session.send("Storage.clearDataForOrigin", done)
    session.detach()


@pytest.fixture
def killable(driver: Playwright, tmp_path: Path) -> Iterator[Killable]:
    """A browser whose whole process group can be killed and started again on the same stored data."""
    browser = Killable(driver, chromium_path(), tmp_path / "profile")
    yield browser
    browser.kill()
