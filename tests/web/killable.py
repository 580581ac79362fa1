"""A browser that is killed without warning, as a phone kills it, and comes back with what it had stored."""

from __future__ import annotations

import time
from pathlib import Path

from playwright.sync_api import Browser, Page, Playwright

from tests.web.group import Group

FLAGS = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--disable-dev-shm-usage",
    # As wide as on a phone; without windows Chromium would fit its letters to whole pixels.
    "--font-render-hinting=none",
]
START_MOST_S = 40


class Killable:
    """One Chromium on one profile folder; `start` gives its page, `kill` is SIGKILL to the process group."""

    def __init__(self, driver: Playwright, executable: str, profile: Path) -> None:
        self._driver = driver
        self._executable = executable
        self._profile = profile
        self._group: Group | None = None
        self._browser: Browser | None = None

    def start(self) -> Page:
        port_file = self._profile / "DevToolsActivePort"
        port_file.unlink(missing_ok=True)
        mode = ["--headless=new", "--remote-debugging-port=0", f"--user-data-dir={self._profile}"]
        self._group = Group([self._executable, *FLAGS, *mode, "about:blank"])
        self._browser = self._driver.chromium.connect_over_cdp(f"http://127.0.0.1:{self._port(port_file)}")
        page = self._browser.contexts[0].pages[0]
        page.set_default_timeout(25_000)
        return page

    def kill(self) -> None:
        if self._group is not None:
            self._group.kill()
            self._group = None

    def quit(self) -> None:
        """Ends as by the hand of a person."""
        if self._browser is not None and self._group is not None:
            self._browser.new_browser_cdp_session().send("Browser.close")
            self._group.leave()
            self._group = None

    def living(self) -> list[str]:
        """Names of its processes that run still."""
        return self._group.living() if self._group else []

    def _port(self, port_file: Path) -> int:
        until = time.monotonic() + START_MOST_S
        while time.monotonic() < until:
            if port_file.exists() and (lines := port_file.read_text().splitlines()):
                return int(lines[0])
            time.sleep(0.05)
        raise TimeoutError("the browser did not open its debugging port")
