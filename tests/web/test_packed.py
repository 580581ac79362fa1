"""What the phone keeps of the site's scripts is packed, and comes out as it was listed.

Python's gzip reads what the browser wrote. Source: RFC 1952.
"""

from __future__ import annotations

import base64
import gzip

import pytest
from playwright.sync_api import BrowserContext, Page, expect

from tests.site.sample import changed, sample_site
from tests.web.host import Host
from tests.web.test_offline import HERE, NEW, OLD, heading, named, newer, opened

SHELL_MOST_BYTES = 250_000
ASIDE = ("shots/", "nights/", "sky/", "tides/", "guide/")

# Path -> the bytes that lie in the store, in base 64.
KEPT = """async ([name, here]) => {
  const cache = await caches.open(name);
  const kept = {};
  for (const key of await cache.keys()) {
    const bytes = new Uint8Array(await (await cache.match(key)).arrayBuffer());
    const signs = Array.from(bytes, (byte) => String.fromCharCode(byte));
    kept[new URL(key.url).pathname.slice(here.length)] = btoa(signs.join(""));
  }
  return kept;
}"""
CANNOT = "delete globalThis.DecompressionStream; delete globalThis.CompressionStream"
# One is cut short, one is not gzip at all.
SPOIL = """async ([name, first, second]) => {
  const cache = await caches.open(name);
  const [cut, foreign] = [first, second].map((path) => new URL(path, document.baseURI).href);
  const stored = await cache.match(cut);
  const bytes = await stored.clone().arrayBuffer();
  await cache.put(cut, new Response(bytes.slice(0, bytes.byteLength - 9), { headers: stored.headers }));
  await cache.put(foreign, new Response("cut", { headers: stored.headers }));
}"""
AS_BEFORE = """async (name) => {
  const cache = await caches.open(name);
  const serving = await cache.match(new URL("serving", document.baseURI));
  await cache.put(new URL("pointer", document.baseURI), serving);
  await cache.delete(new URL("serving", document.baseURI));
}"""


@pytest.fixture(scope="module")
def site() -> dict[str, bytes]:
    return sample_site()


def kept(page: Page, site: dict[str, bytes]) -> dict[str, bytes]:
    """Path -> the bytes in the store, of all that the version carries."""
    found = page.evaluate(KEPT, [named(site), HERE])
    return {path: base64.b64decode(text) for path, text in found.items() if path != "version.json"}


def scripts(site: dict[str, bytes]) -> list[str]:
    return [path for path in site if path.endswith(".js")]


def test_the_shell_is_kept_in_a_quarter_of_a_million_bytes(
    phone: BrowserContext, host: Host, site: dict[str, bytes]
) -> None:
    host.sites[HERE] = site
    held = kept(opened(phone.new_page(), host), site)
    shell = sum(len(data) for path, data in held.items() if not path.startswith(ASIDE))
    print(f"shell {shell} bytes as kept")
    assert shell <= SHELL_MOST_BYTES


def test_every_script_is_packed_and_every_other_file_is_as_it_came(
    phone: BrowserContext, host: Host, site: dict[str, bytes]
) -> None:
    host.sites[HERE] = site
    held = kept(opened(phone.new_page(), host), site)
    assert set(scripts(site)) <= set(held)
    for path, data in held.items():
        assert (gzip.decompress(data) if path.endswith(".js") else data) == site[path], path


def test_a_browser_that_cannot_pack_keeps_them_as_they_came_and_opens_without_signal(
    phone: BrowserContext, host: Host, site: dict[str, bytes]
) -> None:
    host.sites[HERE] = site
    phone.add_init_script(CANNOT)
    page = opened(phone.new_page(), host)
    held = kept(page, site)
    assert {path: held[path] for path in scripts(site)} == {path: site[path] for path in scripts(site)}
    host.kill()
    opened(page, host, HERE + "shots/slipway/")
    expect(page.locator(".item input:enabled").first).to_be_attached()
    host.start()


def test_packed_scripts_that_are_damaged_are_named_and_mended(
    phone: BrowserContext, host: Host, site: dict[str, bytes]
) -> None:
    host.sites[HERE] = site
    page = opened(phone.new_page(), host)
    damaged = ["app/night.js", "app/open.js"]
    host.kill()  # first, else a page that still looks at its store could mend it at once
    page.evaluate(SPOIL, [named(site), *damaged])
    page.reload()
    said = page.locator("#offline .stored")
    expect(said).to_have_text(f"Not ready without signal: {', '.join(damaged)} missing")
    host.start()
    page.get_by_role("button", name="Fetch again").tap()
    expect(page.locator("#offline")).to_have_attribute("data-stored", "ready")
    held = kept(page, site)
    assert [gzip.decompress(held[path]) for path in damaged] == [site[path] for path in damaged]


def test_a_store_of_before_the_packing_goes_on_and_takes_the_next_version(
    phone: BrowserContext, host: Host, site: dict[str, bytes]
) -> None:
    host.sites[HERE] = site
    phone.add_init_script(f"if (!location.search.includes('packs')) {{ {CANNOT} }}")
    page = opened(phone.new_page(), host)
    page.evaluate(AS_BEFORE, f"fieldsheet|{HERE}|saltings|pointer")
    host.kill()
    opened(page, host, HERE + "shots/slipway/")
    host.start()
    host.sites[HERE] = changed(site, "index.html", OLD, NEW)
    page.goto(host.url(HERE + "?packs"))
    newer(page, "offered")
    page.get_by_role("button", name="Use it").tap()
    expect(page.locator("h1")).to_have_text("Saltings, new")
    host.kill()
    assert heading(opened(page, host, HERE + "?packs")) == "Saltings, new"
    host.start()
