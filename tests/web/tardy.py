"""`pytest --tardy tests/web`: every page runs late what a browser may run late, on half the processor.

A test that reads at once what a page will show in a later task passes nearly always on a quick machine; here
it fails. `tardy.js` says what comes late and by how much; modules come late from the host.
"""

from __future__ import annotations

import http.server
import time
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, BrowserContext, Page

from tests.web.host import Host
from tests.web.killable import Killable

SCRIPT = (Path(__file__).parent / "tardy.js").read_text("utf-8")
SLOWER = 2
MODULE_S = 0.06


def go_tardy() -> None:
    """From here on all pages are late. To be called before a browser or a host is started."""
    patch = pytest.MonkeyPatch()
    new_context, new_page = Browser.new_context, BrowserContext.new_page
    start, handler = Killable.start, Host._handler

    def late_context(browser: Browser, **how: Any) -> BrowserContext:
        context = new_context(browser, **how)
        context.add_init_script(SCRIPT)
        return context

    def late_start(killable: Killable) -> Page:
        page = start(killable)
        page.context.add_init_script(SCRIPT)
        return _slow(page)

    patch.setattr(Browser, "new_context", late_context)
    patch.setattr(BrowserContext, "new_page", lambda context: _slow(new_page(context)))
    patch.setattr(Killable, "start", late_start)
    patch.setattr(Host, "_handler", lambda host: _late(handler(host)))


def _slow(page: Page) -> Page:
    page.context.new_cdp_session(page).send("Emulation.setCPUThrottlingRate", {"rate": SLOWER})
    return page


def _late(handler: Any) -> type[http.server.BaseHTTPRequestHandler]:
    """Modules come late, also those that a service worker has: it gets the script before its own."""

    # Of whichever handler the host made for its sites: known only when it runs.
    class Late(handler):  # type: ignore[misc]
        def answer(self, name: str, data: bytes | None) -> None:
            asked_for = self.headers.get("Sec-Fetch-Dest")
            if asked_for == "script":
                time.sleep(MODULE_S)
            if asked_for == "serviceworker" and data is not None:
                data = SCRIPT.encode() + data
            super().answer(name, data)

    return Late
