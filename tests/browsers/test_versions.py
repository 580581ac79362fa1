"""Pages survive without signal, and a version of the site is whole or not there, whatever interrupts it."""

from __future__ import annotations

import json
import re

import pytest

from fieldsheet.site.guide import GUIDE
from fieldsheet.site.version import is_carried
from tests.browsers.engine import Engine
from tests.browsers.sheets import HERE, SHOT, Sheets
from tests.browsers.shifted import shifted
from tests.site.sample import changed
from tests.web.host import Host

ALTERED = ("index.html", "kit/index.html", "shots/jetty/index.html", "shots/slipway/index.html")
NEW = ", new"
DAY_MS = 86_400_000
MINUTE_S = 60

Site = dict[str, bytes]


@pytest.fixture(scope="session")
def new(site: Site) -> Site:
    """The next version: its pages say so in their headings."""
    for path in ALTERED:
        site = changed(site, path, b"</h1>", NEW.encode() + b"</h1>")
    return site


def _opens_all(sheets: Sheets, is_new: bool) -> None:
    for path in ALTERED:
        sheets.open(path.removesuffix("index.html"))
        assert sheets.heading().endswith(NEW) is is_new, path


def test_with_the_server_gone_every_page_opens(
    sheets: Sheets, engine: Engine, host: Host, site: Site
) -> None:
    host.kill()
    paths = [path for path in site if path.endswith(".html") and is_carried(path)]
    kinds = {path.split("/")[0] for path in paths}
    assert kinds == {"index.html", GUIDE.rstrip("/"), "kit", "nights", "open", "shots"}
    for path in paths:
        if path.startswith(GUIDE):
            engine.open(host.url(HERE + path))  # which says nothing of what is stored
        else:
            sheets.open(path)
        title = re.search(rb"<h1>(.*?)[<\n]", site[path])
        assert title and sheets.heading().startswith(title[1].decode().strip()), path
    sheets.open("shots/slipway?seen=1#tonight")  # as somebody types it: the folder without its stroke
    assert engine.evaluate("location.pathname") == HERE + SHOT


def test_a_new_version_in_the_middle_of_a_take_is_held_and_then_swapped_whole(
    sheets: Sheets, host: Host, new: Site
) -> None:
    sheets.open()
    first, second = sheets.items(2)
    sheets.tick(first)
    host.sites = {HERE: new}
    sheets.reload()
    sheets.newer("held")
    sheets.tick(second)
    _opens_all(sheets, is_new=False)
    sheets.open()
    sheets.is_ticked(first, second)
    sheets.end_take()
    sheets.newer("offered")
    host.kill()
    _opens_all(sheets, is_new=False)
    sheets.newer("offered")
    sheets.use_newer()
    _opens_all(sheets, is_new=True)
    assert sheets.kept() == [first, second]


def test_killed_in_the_middle_of_an_update_the_old_version_serves_and_the_new_one_comes_later(
    sheets: Sheets, engine: Engine, host: Host, new: Site
) -> None:
    sheets.open()
    (item,) = sheets.items(1)
    host.sites = {HERE: new}
    host.slow_s = {"shots/slipway/index.html": MINUTE_S}
    sheets.open("")
    _await_all_but_one(engine, new)
    engine.kill()
    host.kill()
    engine.start()
    _opens_all(sheets, is_new=False)
    host.slow_s = {}
    host.start()
    sheets.open("")
    sheets.newer("offered")
    sheets.use_newer()
    _opens_all(sheets, is_new=True)
    sheets.tick(item)


def _await_all_but_one(engine: Engine, site: Site) -> None:
    """Until the cache of the version, with its list, lacks a single file."""
    listed = json.loads(site["version.json"])
    name = json.dumps(f"fieldsheet|{HERE}|saltings|{listed['version']}")
    files = f"caches.open({name}).then((cache) => cache.keys()).then((all) => all.length)"
    engine.until(
        f"caches.has({name}).then((is_there) => is_there && {files}).then((n) => n >= {len(listed['files'])})"
    )


def test_a_storage_that_fills_up_in_the_middle_of_an_update_leaves_the_old_version_whole(
    sheets: Sheets, engine: Engine, host: Host, new: Site
) -> None:
    sheets.open("")
    print(f"{engine.name}: filled by {engine.fills_by}")
    engine.fill_up(host.url("/"))
    host.sites = {HERE: new}
    sheets.open("")
    sheets.newer("torn")
    host.kill()
    _opens_all(sheets, is_new=False)


def test_a_store_thirty_days_old_opens_without_signal_with_its_ticks(
    sheets: Sheets, engine: Engine, host: Host
) -> None:
    """By the page's clock; what makers of phones clear of themselves after a while no test here can see."""
    sheets.open()
    first, second = sheets.items(2)
    sheets.tick(first)
    engine.quit()
    host.kill()
    engine.start()
    engine.before(shifted(30 * DAY_MS))
    sheets.open()
    assert engine.evaluate("Date.now() - RealDate.now()") > 29 * DAY_MS
    sheets.is_ticked(first)
    sheets.tick(second)
    assert sheets.kept() == [first, second]
    for path in ("", "kit/", "shots/jetty/"):
        sheets.open(path)


def test_sites_under_two_paths_of_a_host_keep_their_pages_and_ticks_apart(
    sheets: Sheets, engine: Engine, host: Host, site: Site
) -> None:
    deep = Sheets(engine, host, "/a/deep/er/path/")
    host.sites = {HERE: site, deep.place: site}
    deep.open()
    first, second = deep.items(2)
    deep.tick(first)
    sheets.open()
    sheets.tick(second)
    host.kill()
    deep.open()
    deep.is_ticked(first)
    sheets.open()
    sheets.is_ticked(second)
    assert (deep.kept(), sheets.kept()) == ([first], [second])
