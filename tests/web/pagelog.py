"""The log of takes that a page keeps: scripts that open it, and what stands in it."""

from __future__ import annotations

from typing import Any

from playwright.sync_api import Page

# A browser that lets no page keep anything.
REFUSED = "IDBFactory.prototype.open = () => { throw new DOMException('no', 'SecurityError'); };"


def on_log(body: str, given: str = "", clock: str = "Date.now") -> str:
    """A script for `page.evaluate`: `body` has the log of the page's site as `log`.

    given: what the script is handed, as a parameter is written.  clock: what the log takes the time from.
    """
    return f"""async ({given}) => {{
  const [{{openLog, logName}}, {{siteOf}}] = await Promise.all(
    ["takes/log", "keep/site"].map((name) => import(`/app/${{name}}.js`)));
  const log = await openLog(logName(siteOf(document)), {clock});
  {body}
}}"""


EVENTS = on_log(
    """const [newest] = await log.takes(shot);
  return newest ? log.events(newest.take) : [];""",
    given="shot",
)


def events(page: Page, shot: str = "slipway") -> list[dict[str, Any]]:
    """The events of the newest take of a shot, in order; none where it has no take."""
    found: list[dict[str, Any]] = page.evaluate(EVENTS, shot)
    return found


def payloads(page: Page, *kinds: str) -> list[dict[str, Any]]:
    """What the events of these kinds hold, in the newest take of the demo's dusk-to-core shot."""
    return [event["payload"] for event in events(page) if event["kind"] in kinds]
