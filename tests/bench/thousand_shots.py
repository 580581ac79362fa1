"""How a catalog of 1,000 shots feels: bytes, build, load, find, in a slowed-down browser of a phone's size.

Run it by hand: python -m tests.bench.thousand_shots
"""

from __future__ import annotations

import time
from datetime import date, timedelta
from typing import Any

from playwright.sync_api import Page, sync_playwright

from fieldsheet.sheet.words import day_text
from fieldsheet.site.build import build_site
from fieldsheet.site.entries import SiteShot
from fieldsheet.site.version import DESK, is_carried
from tests.in_memory import in_memory
from tests.site.sample import sample_packs, sample_shot
from tests.web.conftest import chromium_path
from tests.web.host import Host
from tests.web.killable import FLAGS

SHOTS = 1000
PER_NIGHT = 3
SLOWER = 4
DAY_MS = 86_400_000
NAMES = ("Slipway", "Jetty", "Mole", "Light", "Quarry", "Weir", "Saltings", "Chapel", "Viaduct", "Orchard")
KINDS = ("dusk to the core", "moonrise", "clouds", "stars about the pole", "crowd", "fog", "harbour works")

TIMED = """(act) => new Promise((done) => {
  const begun = performance.now();
  act === null ? 0 : (() => {
    const field = document.getElementById(act.id);
    field.value = act.value;
    field.dispatchEvent(new Event(act.event));
  })();
  requestAnimationFrame(() => setTimeout(() => done(performance.now() - begun), 0));
})"""
LOAD = "performance.getEntriesByType('navigation')[0].loadEventEnd"


def made_up(number: int, one: SiteShot) -> SiteShot:
    """The demo's shot on another night under another name, and with a rig of another letter."""
    days = number // PER_NIGHT
    night = date(2027, 6, 5) + timedelta(days=days)
    shift_ms = days * DAY_MS + number % PER_NIGHT * 600_000
    title = f"{NAMES[number % len(NAMES)]} {number}: {KINDS[number % len(KINDS)]}"
    plan, sheet = one["plan"], one["sheet"]
    moved: dict[str, Any] = {name: _moved(plan["window"][name], shift_ms) for name in ("start", "end")}
    moved |= {
        "deadlines": [{**row, "time": _moved(row["time"], shift_ms)} for row in plan["window"]["deadlines"]]
    }
    said = day_text(night.toordinal() - date(1970, 1, 1).toordinal())
    return {
        "plan": {
            **plan,
            "shot": {"id": f"shot-{number}", "title": title},
            "window": {**plan["window"], **moved, "night": night.isoformat()},
        },
        "sheet": {
            **sheet,
            "title": title,
            "letter": "ABC"[number % 3],
            "night": said,
            "night_date": night.isoformat(),
        },
    }


def _moved(stamp: dict[str, Any], shift_ms: int) -> dict[str, Any]:
    return {**stamp, "utc_ms": stamp["utc_ms"] + shift_ms}


def main() -> None:
    one = sample_shot("slipway", "Slipway")
    shots = [made_up(number, one) for number in range(SHOTS)]
    begun = time.perf_counter()
    site = in_memory(build_site("A season", "season", shots, sample_packs()))
    print(f"{SHOTS} shots, {len(site)} files, built in {time.perf_counter() - begun:.1f} s")
    for path in ("index.html", "kit/index.html", "version.json"):
        print(f"{path}: {len(site[path]) / 1000:.0f} KB, {len(site[path]) / SHOTS:.0f} bytes a shot")
    carried = sum(len(data) for path, data in site.items() if is_carried(path))
    years = sum(len(data) for path, data in site.items() if path.startswith(DESK))
    print(f"carried: {carried / 1e6:.1f} MB; pages of years, for the desk: {years / 1e6:.1f} MB")
    host = Host()
    host.sites["/"] = site
    with sync_playwright() as driver:
        browser = driver.chromium.launch(executable_path=chromium_path(), args=FLAGS)
        context = browser.new_context(viewport={"width": 360, "height": 740}, is_mobile=True, has_touch=True)
        page = context.new_page()
        context.new_cdp_session(page).send("Emulation.setCPUThrottlingRate", {"rate": SLOWER})
        page.route("**/worker.js*", lambda route: route.abort())  # storing is measured apart
        # Playwright's own clock would stand in for what measures, too.
        page.add_init_script("Date.now = () => Date.UTC(2027, 8, 1, 12)")
        index(page, host)
        kit(page, host)
        context.close()
        storing(browser.new_page(), host)
        browser.close()
    host.kill()


def index(page: Page, host: Host) -> None:
    page.goto(host.url("/"))
    page.locator("#find").wait_for()
    nodes = page.evaluate("document.getElementsByTagName('*').length")
    print(f"index: load {page.evaluate(LOAD):.0f} ms, {nodes} elements (CPU slowed {SLOWER} times)")
    for typed in ("q", "quarry", "quarry fog", ""):
        spent = page.evaluate(TIMED, {"id": "find", "value": typed, "event": "input"})
        print(f"  find '{typed}': {spent:.0f} ms, {page.locator('#found').inner_text() or 'all'}")


def kit(page: Page, host: Host) -> None:
    page.goto(host.url("/kit/"))
    page.locator("#for").wait_for()
    print(f"kit: load {page.evaluate(LOAD):.0f} ms")
    spent = page.evaluate(TIMED, {"id": "for", "value": "2027-09-02", "event": "change"})
    print(f"  one night: {spent:.0f} ms")


def storing(page: Page, host: Host) -> None:
    begun = time.perf_counter()
    page.goto(host.url("/"))
    page.wait_for_selector("[data-stored='ready']", timeout=300_000)
    print(f"stored whole in {time.perf_counter() - begun:.1f} s")
    begun = time.perf_counter()
    page.reload()
    page.wait_for_selector("[data-stored='ready']", timeout=300_000)
    print(f"checked again in {time.perf_counter() - begun:.1f} s")


if __name__ == "__main__":
    main()
