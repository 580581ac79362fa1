"""How long the page of a shot is deaf while it computes the nights around it, on a phone four times slower.

    python -m tests.bench.other_nights [SHOT ...]

Each task of the page that takes 50 ms or longer keeps a tap waiting (W3C, Long Tasks API).
"""

from __future__ import annotations

import sys

from playwright.sync_api import sync_playwright

from fieldsheet.catalog.read import read_catalog
from fieldsheet.press import plan_catalog, press
from tests.conftest import DEMO
from tests.in_memory import in_memory
from tests.web.conftest import chromium_path
from tests.web.host import Host
from tests.web.killable import FLAGS

SLOWER = 4
WATCH = """() => { window.tasks = [];
  new PerformanceObserver((list) => tasks.push(...list.getEntries().map(({duration}) => duration)))
    .observe({entryTypes: ['longtask']}); }"""
OPEN = """() => new Promise((resolve) => {
  tasks.length = 0;
  const from = performance.now();
  document.querySelector('#others summary').click();
  const look = () => {
    const made = document.querySelectorAll('.nights small').length;
    if (made < 45) return setTimeout(look, 50);
    setTimeout(() => resolve({all_ms: performance.now() - from, tasks}), 200);
  };
  look();
})"""


def main(shots: list[str]) -> None:
    """Prints, for each shot, the whole time and the tasks that were long."""
    demo = read_catalog(DEMO)
    host = Host()
    host.sites["/"] = in_memory(press(demo, plan_catalog(demo)))
    with sync_playwright() as driver:
        browser = driver.chromium.launch(executable_path=chromium_path(), args=FLAGS)
        for shot in shots or list(demo.shots):
            page = browser.new_page(viewport={"width": 360, "height": 740})
            page.goto(host.url(f"/shots/{shot}/"))
            page.wait_for_selector("#night:enabled")
            page.wait_for_timeout(2000)
            session = page.context.new_cdp_session(page)
            session.send("Emulation.setCPUThrottlingRate", {"rate": SLOWER})
            page.evaluate(WATCH)
            found = page.evaluate(OPEN)
            long_ms = sorted((round(task) for task in found["tasks"]), reverse=True)
            print(f"{shot}: 45 nights in {found['all_ms']:.0f} ms; tasks of 50 ms or more: {long_ms}")
            page.close()
        browser.close()
    host.kill()


if __name__ == "__main__":
    main(sys.argv[1:])
