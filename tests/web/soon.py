"""What no `expect` can see, a store or a variable of the page, is asked for again until it is there."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from playwright.sync_api import Page

EVERY_MS = 50
TIMES = 400
KINDS = """async (shot) => {
  const [{openLog, logName}, {siteOf}] = await Promise.all(
    ['takes/log', 'keep/site'].map((name) => import(`/app/${name}.js`)));
  const log = await openLog(logName(siteOf(document)));
  const [take] = await log.takes(shot);
  return take ? (await log.events(take.take)).map(({kind}) => kind) : [];
}"""
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
    soon(page, lambda: page.evaluate(KINDS, shot), list(kinds))


def turned(page: Page, times: int, shot: str = "slipway") -> None:
    """So often the newest take of the shot has kept what its page was turned to."""
    soon(page, lambda: page.evaluate(KINDS, shot).count("changes"), times)


def drawn(page: Page) -> None:
    """What was changed is on the screen."""
    page.evaluate(DRAWN)
