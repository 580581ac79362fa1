"""What no `expect` can see, a store or a variable of the page, is asked for again until it is there."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from playwright.sync_api import Page

from tests.web.pagelog import events

EVERY_MS = 50
TIMES = 400
DRAWN = "() => new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done)))"


def soon(page: Page, read: Callable[[], Any], expected: Any) -> None:
    """What `read` gives becomes equal to `expected`; the browser of the page works meanwhile."""
    for _ in range(TIMES):
        if read() == expected:
            return
        page.wait_for_timeout(EVERY_MS)
    assert read() == expected


def kept(page: Page, *kinds: str, shot: str = "slipway") -> None:
    """The newest take of the shot holds entries of these kinds, in this order, and no others."""
    soon(page, lambda: _kinds(page, shot), list(kinds))


def turned(page: Page, times: int, shot: str = "slipway") -> None:
    """So often the newest take of the shot has kept what its page was turned to."""
    soon(page, lambda: _kinds(page, shot).count("changes"), times)


def _kinds(page: Page, shot: str) -> list[str]:
    return [event["kind"] for event in events(page, shot)]


def drawn(page: Page) -> None:
    """What was changed is on the screen."""
    page.evaluate(DRAWN)
