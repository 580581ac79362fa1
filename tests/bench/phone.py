"""What a phone in the field carries, and how long it keeps a thumb waiting: offline, four times slower.

    python -m tests.bench.phone [--lighthouse]

On the demo's largest page, and in a catalog of 100 shots.  With --lighthouse it also asks an outside opinion
of every kind of page and every shot, five times each: that takes node, a network, a quarter of an hour, and a
folder that goes again.
"""

from __future__ import annotations

import gzip
import json
import os
import statistics
import subprocess
import sys
import tempfile
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from playwright.sync_api import Browser, Page, sync_playwright

from fieldsheet.catalog.read import read_catalog
from fieldsheet.press import plan_catalog, press
from fieldsheet.site.build import build_site
from fieldsheet.site.version import is_carried
from tests.bench.thousand_shots import made_up
from tests.conftest import DEMO
from tests.in_memory import in_memory
from tests.site.sample import sample_packs, sample_shot
from tests.web.conftest import chromium_path, whole_chromium_path
from tests.web.host import Host
from tests.web.killable import FLAGS

SHOTS = 100
SLOWER = 4
TIMES = 7
EVENING = "2027-06-05T18:30:00+01:00"
ASIDE = ("shots/", "nights/", "sky/", "tides/", "guide/")
LIGHTHOUSE = "lighthouse@12.2.3"
KINDS = ("performance", "accessibility", "best-practices")
ASKED = 5  # a score varies from run to run with what else the machine does

# When the first row can be ticked.
READY = """() => { const look = () => document.querySelector(".item input:enabled")
  ? window.ready_ms = performance.now() : requestAnimationFrame(look); look(); }"""
# Path -> bytes that the phone's store holds of a version.
KEPT = """async () => {
  const kept = {};
  for (const name of await caches.keys()) {
    if (!/[|][0-9a-f]{64}$/.test(name)) continue;
    const cache = await caches.open(name);
    for (const key of await cache.keys()) {
      kept[new URL(key.url).pathname.slice(1)] = (await (await cache.match(key)).arrayBuffer()).byteLength;
    }
  }
  return kept;
}"""
PAINT = "performance.getEntriesByName('first-contentful-paint')[0].startTime"
# From a tap on the next open row until it is on the disk, and what is left was counted anew.
TICK = """() => new Promise((done) => {
  const row = document.querySelector(".item input:enabled:not(:checked)");
  const begun = performance.now();
  new MutationObserver((_, watch) => { watch.disconnect(); done(performance.now() - begun); })
    .observe(document.getElementById("next-open"), {subtree: true, childList: true, characterData: true});
  row.click();
})"""
# From a tap on the next night until the frame that shows it.
NIGHT = """() => new Promise((done) => {
  const begun = performance.now();
  document.getElementById("later").click();
  requestAnimationFrame(() => setTimeout(() => done(performance.now() - begun), 0));
})"""


def main(arguments: list[str]) -> None:
    demo = read_catalog(DEMO)
    sites = {
        "the demo": press(demo, plan_catalog(demo)),
        f"{SHOTS} shots": build_site(
            "A season",
            "season",
            [made_up(number, sample_shot("slipway", "Slipway")) for number in range(SHOTS)],
            sample_packs(),
        ),
    }
    with sync_playwright() as driver:
        browser = driver.chromium.launch(executable_path=chromium_path(), args=FLAGS)
        for name, files in sites.items():
            site = in_memory(files)
            print(f"{name}:")
            weigh("as it arrives", {path: len(data) for path, data in site.items() if is_carried(path)})
            largest = max(
                (path for path in site if path.startswith("shots/")), key=lambda path: len(site[path])
            )
            time_page(browser, site, largest)
        browser.close()
    if "--lighthouse" in arguments:
        ask_outside(in_memory(sites["the demo"]))


def weigh(how: str, sizes: Mapping[str, int]) -> None:
    """Raw bytes, by path, of what the phone carries."""
    shots = [size for path, size in sizes.items() if path.startswith("shots/")]
    shell = {path: size for path, size in sizes.items() if not path.startswith(ASIDE)}
    scripts = sum(size for path, size in shell.items() if path.endswith(".js"))
    lists = sum(size for path, size in shell.items() if path.endswith(".html"))
    bare = sum(shell.values()) - lists
    print(f"  {how}: shell {bare} bytes, of it {scripts} of scripts; lists of shots {lists}")
    print(f"    a shot {statistics.mean(shots):.0f} bytes, at most {max(shots)}; site {sum(sizes.values())}")


def time_page(browser: Browser, site: Mapping[str, bytes], path: str) -> None:
    host = Host()
    host.sites["/"] = site
    context = browser.new_context(viewport={"width": 360, "height": 740}, is_mobile=True, has_touch=True)
    page = context.new_page()
    page.add_init_script(f"Date.now = () => Date.parse('{EVENING}') + performance.now()")
    page.add_init_script(f"({READY})()")
    page.goto(host.url(f"/{path}"))
    page.wait_for_selector("[data-stored='ready']", timeout=120_000)
    weigh("as it is kept", page.evaluate(KEPT))
    host.kill()
    context.new_cdp_session(page).send("Emulation.setCPUThrottlingRate", {"rate": SLOWER})
    painted, ready = [], []
    for _ in range(TIMES):
        page.reload()
        page.wait_for_selector(".item input:enabled", state="attached")
        painted.append(page.evaluate(PAINT))
        ready.append(page.evaluate("window.ready_ms"))
    page.wait_for_selector("[data-stored='ready']", timeout=120_000)  # what is stored is checked first
    page.wait_for_selector("#night:enabled")
    print(f"  {path}, server gone, CPU slowed {SLOWER} times, middle and worst of {TIMES}:")
    report("first contentful paint", painted)
    report("until a row can be ticked", ready)
    report("a tick stored and shown", measured(page, TICK))
    report("another night", measured(page, NIGHT))
    context.close()


def measured(page: Page, what: str) -> list[float]:
    taken = []
    for _ in range(TIMES):
        taken.append(page.evaluate(what))
        page.wait_for_timeout(500)
    return taken


def report(what: str, taken: list[float]) -> None:
    print(f"    {what}: {statistics.median(taken):.0f} ms, {max(taken):.0f} ms")


def ask_outside(site: Mapping[str, bytes]) -> None:
    """Lighthouse, as on a phone, on each shot and a page of each other kind: per cent."""
    host = Host()  # one that packs
    host.sites["/"] = {path: gzip.compress(data, mtime=0) for path, data in site.items()}
    host.headers = {"Content-Encoding": "gzip"}
    with tempfile.TemporaryDirectory() as folder:
        subprocess.run(["npm", "install", "--no-audit", "--no-fund", LIGHTHOUSE], cwd=folder, check=True)
        for path in pages_to_ask_of(site):
            found = [opinion(host.url(f"/{path}"), Path(folder)) for _ in range(ASKED)]
            scores = {
                kind: sorted(round(one["categories"][kind]["score"] * 100) for one in found) for kind in KINDS
            }
            middle = {kind: statistics.median(taken) for kind, taken in scores.items()}
            lacking = {
                id for one in found for id, audit in one["audits"].items() if audit["score"] not in (None, 1)
            }
            print(f"  /{path}: middle {middle} of {scores['performance']}, {sorted(lacking)}", flush=True)
    host.kill()


def pages_to_ask_of(site: Mapping[str, bytes]) -> list[str]:
    """Paths without their index.html: the first of each kind, and all shots."""
    pages = sorted(path.removesuffix("index.html") for path in site if path.endswith(".html"))
    kinds = {path.split("/")[0]: path for path in reversed(pages)}
    return [path for path in pages if path.startswith("shots/") or path in kinds.values()]


def opinion(url: str, folder: Path) -> Any:
    """What Lighthouse, installed in the folder, found on a page."""
    out = folder / "found.json"
    chrome = " ".join(["--headless=new", *FLAGS])
    subprocess.run(
        ["npx", "--no-install", "lighthouse", url, "--quiet", "--output=json"]
        + [f"--output-path={out}", f"--chrome-flags={chrome}"],
        cwd=folder,
        env={**os.environ, "CHROME_PATH": whole_chromium_path()},
        check=True,
    )
    return json.loads(out.read_text("utf-8"))


if __name__ == "__main__":
    main(sys.argv[1:])
