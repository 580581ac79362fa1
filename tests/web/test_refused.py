"""A browser that does not let the site keep its files: the page says what that means, and what to do."""

from __future__ import annotations

import pytest
from playwright.sync_api import BrowserContext, expect

from tests.site.sample import changed, sample_site
from tests.web.host import Host
from tests.web.test_offline import newer, opened

HERE = "/fs/saltings/"
THROW = "() => Promise.reject(new DOMException('denied', '{}'))"
REFUSED = "this browser refused to store them. The sheets open only where there is signal, and ticks may go"
FULL = "this phone's storage is full. The sheets open only where there is signal. Make room on the phone"


@pytest.mark.parametrize(
    ("part", "fault", "words"),
    [
        ("CacheStorage.prototype.open", "SecurityError", REFUSED),
        ("CacheStorage.prototype.match", "NotAllowedError", "nothing is stored yet"),
        ("LockManager.prototype.request", "SecurityError", REFUSED),
        ("Cache.prototype.put", "UnknownError", REFUSED),
        ("Cache.prototype.put", "QuotaExceededError", FULL),
    ],
)
def test_what_the_browser_refused_is_told_with_what_to_do(
    bare_phone: BrowserContext, host: Host, part: str, fault: str, words: str
) -> None:
    host.sites[HERE] = sample_site()
    page = bare_phone.new_page()
    page.add_init_script(f"{part} = {THROW.format(fault)};")
    page.goto(host.url(HERE))
    said = page.locator("#offline .stored")
    expect(said).to_contain_text(f"Not ready without signal: {words}")
    assert "denied" not in said.inner_text() and "version.json" not in said.inner_text()
    expect(page.get_by_role("button", name="Fetch again")).to_be_visible()
    if words in (REFUSED, FULL):
        expect(said).to_contain_text("leave this tab open, save the log as a file, and carry the card.")


def test_a_new_version_that_a_full_phone_cannot_take_leaves_the_old_one_and_says_so(
    phone: BrowserContext, host: Host
) -> None:
    old = sample_site()
    host.sites[HERE] = old
    page = opened(phone.new_page(), host)
    host.sites[HERE] = changed(old, "index.html", b"Saltings</h1>", b"Saltings, new</h1>")
    page.reload()
    newer(page, "offered")
    page.evaluate(f"() => {{ Cache.prototype.put = {THROW.format('QuotaExceededError')}; }}")
    page.get_by_role("button", name="Use it").tap()
    said = page.locator("#offline .newer")
    expect(said).to_have_text("Not taken: this phone's storage is full. This version stays.")
    page.reload()
    newer(page, "offered")
    expect(page.locator("h1")).to_have_text("Saltings")


@pytest.mark.parametrize(("granted", "words"), [(True, "has promised"), (False, "has not promised")])
def test_whether_it_may_be_cleared_is_told_with_what_to_do(
    bare_phone: BrowserContext, modules_url: str, granted: bool, words: str
) -> None:
    page = bare_phone.new_page()
    page.add_init_script(f"StorageManager.prototype.persisted = async () => {str(granted).lower()};")
    page.goto(modules_url + "app/")
    text = page.evaluate("import('/app/keep/room.js').then(({roomText}) => roomText())")
    assert f"The browser {words} to keep it" in text
    assert ("save each take as a file" in text and "home screen" in text) == (not granted)
