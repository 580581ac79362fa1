"""A page whose markup is of one version and whose scripts are of another notices, and is loaded again."""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import BrowserContext, expect

from fieldsheet.site.version import version_json
from tests.web.host import Host
from tests.web.rebuilt import HASHED, renamed

HERE = "/fs/saltings/"
SHOT = HERE + "shots/slipway/"
PAGE, SCRIPT = "shots/slipway/index.html", "app/shot.js"
MADE = re.compile(rb'<meta name="generator" content="([0-9a-f]{8})">')
OTHER = b"0ther0ne"
TORN = "This page is of two versions: load it again, or use the card."


def mark(site: dict[str, bytes]) -> bytes:
    found = MADE.search(site[PAGE])
    assert found
    return found[1]


def newer(site: dict[str, bytes]) -> dict[str, bytes]:
    """The next version: its own mark in pages and scripts, and the files that hold it under other names."""
    own = mark(site)
    holders = [path for path, data in site.items() if own in data and HASHED.fullmatch(path)]
    files = {path: data.replace(own, OTHER) for path, data in renamed(site, holders).items()}
    return {**files, "version.json": version_json(files)}


def test_pages_and_scripts_hold_the_same_mark(demo_site: dict[str, bytes]) -> None:
    own = mark(demo_site)
    pages = [data for path, data in demo_site.items() if b'<script type="module"' in data]
    assert len(pages) > 10 and all(MADE.search(data) for data in pages)
    assert {found[1] for data in pages for found in MADE.finditer(data)} == {own}
    assert [path for path, data in demo_site.items() if path.endswith(".js") and own in data] != []
    assert newer(demo_site).keys() != demo_site.keys()


@pytest.mark.parametrize("mends", [True, False])
def test_a_host_that_changes_between_page_and_script_is_asked_again_once(
    host: Host, bare_phone: BrowserContext, demo_site: dict[str, bytes], mends: bool
) -> None:
    """As one swapped in by another tab's tap; what is torn still says so and goes on."""
    other = newer(demo_site)
    host.sites[HERE] = {**other, PAGE: demo_site[PAGE]}
    host.slow_s[SCRIPT] = 0.5
    page = bare_phone.new_page()
    page.goto(host.url(SHOT), wait_until="commit")
    if mends:
        host.sites[HERE] = other
        expect(page.locator("meta[name=generator]")).to_have_attribute("content", OTHER.decode())
    else:
        expect(page.get_by_role("alert").filter(has_text=TORN)).to_be_visible()
    expect(page.locator("#night")).to_be_enabled()
    expect(page.get_by_text(TORN)).to_have_count(0 if mends else 1)
    assert host.asked.count(SHOT) == 2
