"""Chromium by Playwright, on a profile that outlives it."""

from __future__ import annotations

import json
import shutil
from pathlib import Path
from typing import Any

from playwright.sync_api import Error, Page, Playwright

from tests.browsers.engine import Engine, as_json
from tests.browsers.wire import DriverError
from tests.web.killable import Killable


class Chromium(Engine):
    name = "chromium"
    packages = ("chromium",)
    fills_by = "the browser's own quota"

    def __init__(self, profile: Path, driver: Playwright) -> None:
        super().__init__(profile)
        self._browser = Killable(driver, str(shutil.which("chromium")), profile)
        self._tabs: list[Page] = []
        self._page: Page

    @classmethod
    def is_here(cls) -> bool:
        return shutil.which("chromium") is not None

    def start(self) -> None:
        self._page = self._browser.start()
        self._tabs = [self._page]
        self._page.set_viewport_size({"width": 360, "height": 740})

    def quit(self) -> None:
        self._browser.quit()

    def kill(self) -> None:
        self._browser.kill()

    def living(self) -> list[str]:
        return self._browser.living()

    def evaluate(self, expression: str) -> Any:
        try:
            return json.loads(self._page.evaluate(as_json(expression)))
        except Error as error:
            raise DriverError(str(error)) from error

    def before(self, source: str) -> None:
        self._page.add_init_script(source)

    def tap(self, selector: str) -> None:
        self._page.locator(selector).click()

    def go(self, url: str) -> None:
        self._page.goto(url)

    def go_again(self) -> None:
        self._page.reload()

    def new_tab(self) -> None:
        self._page = self._page.context.new_page()
        self._page.set_viewport_size({"width": 360, "height": 740})
        self._tabs.append(self._page)

    def turn_to(self, tab: int) -> None:
        self._page = self._tabs[tab]

    def fill_up(self, url: str) -> None:
        # Started anew: for a while it would go by how much room there was.
        self.quit()
        self.start()
        session = self._page.context.new_cdp_session(self._page)
        session.send("Storage.overrideQuotaForOrigin", {"origin": url, "quotaSize": 1})
