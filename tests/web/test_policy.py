"""No page asks anything of another origin, and none breaks the policy that it carries."""

from __future__ import annotations

import itertools
import json
from functools import partial

import pytest
from playwright.sync_api import BrowserContext, CDPSession, Page, expect

from tests.site.sample import sample_site
from tests.web.host import Host
from tests.web.soon import soon
from tests.web.watch import Watch

HERE = "/fs/saltings/"


@pytest.fixture(scope="module")
def site() -> dict[str, bytes]:
    return sample_site()


def headers_of(site: dict[str, bytes]) -> dict[str, str]:
    """What a host sends that reads _headers."""
    lines = site["_headers"].decode().splitlines()
    assert lines[0] == "/*"
    return dict(line.strip().split(": ", 1) for line in lines[1:])


@pytest.mark.parametrize("reads_headers_file", [True, False])
def test_every_page_works_within_the_policy_online_and_offline(
    phone: BrowserContext, host: Host, site: dict[str, bytes], reads_headers_file: bool
) -> None:
    host.sites[HERE] = site
    host.headers = headers_of(site) if reads_headers_file else {}
    page = phone.new_page()
    # The second of a kind, what stays at the desk, and the guide, which runs no script but the theme's.
    left_out = ("jetty", "06-06", "files/", "guide/")
    paths = [path for path in site if path.endswith(".html") and not any(name in path for name in left_out)]
    assert len(paths) == 6, "one page of each kind"
    themes = itertools.cycle(("Dark", "Night", "Day"))
    for alive in (True, False):
        if not alive:
            host.kill()
        for path in paths:
            # The year of a shot is for the desk: a phone does not keep it.
            kept = not path.startswith("years/")
            if not (kept or alive):
                continue
            page.goto(host.url(HERE + path))
            if kept:
                expect(page.locator("#offline")).to_have_attribute("data-stored", "ready")
            page.get_by_role("button", name=next(themes), exact=True).tap()
            assert page.evaluate("document.fonts.check('600 18px \"Fira Sans\"')")
    host.start()


BREACHES = {
    "img-src": "document.body.append(Object.assign(new Image(), {src: 'http://127.0.0.1:9/x.png'}))",
    "connect-src": "fetch('http://127.0.0.1:9/x').catch(() => 0)",
    "style-src": "document.body.setAttribute('style', 'color: blue')",
    "script-src": "document.body.append(Object.assign(document.createElement('script'), {text: '1'}))",
    "anything at all": "console.error('anything at all')",
    "not caught": "setTimeout(() => { throw new Error('not caught') })",
}


def _heard(watch: Watch, complaint: str) -> bool:
    return any(complaint in said for said in watch.complaints)


def test_the_watch_hears_each_kind_of_breach(
    bare_phone: BrowserContext, host: Host, site: dict[str, bytes]
) -> None:
    host.sites[HERE] = site
    watch = Watch(bare_phone, f"127.0.0.1:{host.port}")
    page = bare_phone.new_page()
    page.goto(host.url(HERE))
    for complaint, deed in BREACHES.items():
        assert not _heard(watch, complaint)
        page.evaluate(f"() => {{ {deed} }}")
        soon(page, partial(_heard, watch, complaint), True)


def manifest_of(session: CDPSession, page: Page) -> tuple[dict[str, object], list[object]]:
    answer = session.send("Page.getAppManifest")
    return json.loads(answer["data"]), answer["errors"]


def test_the_browser_finds_no_fault_in_the_manifest_and_names_the_app_by_place_and_catalog(
    whole_phone: BrowserContext, host: Host, site: dict[str, bytes]
) -> None:
    host.sites = {HERE: site, "/fs/moor/": sample_site("moor", "Moor"), "/copy/": site}
    page = whole_phone.new_page()
    session = whole_phone.new_cdp_session(page)
    names = []
    for path in host.sites:
        page.goto(host.url(path))
        manifest, errors = manifest_of(session, page)
        assert errors == []
        assert manifest["scope"] == "./"
        names.append(session.send("Page.getAppId")["appId"])
    assert names == [
        host.url(f"{path}?catalog={catalog}")
        for path, catalog in ((HERE, "saltings"), ("/fs/moor/", "moor"), ("/copy/", "saltings"))
    ]
