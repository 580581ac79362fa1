"""What `--tardy` makes late comes late, and comes; what a browser runs at once is run at once."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, Page

from tests.web.conftest import new_phone
from tests.web.host import Host
from tests.web.tardy import SCRIPT

PAGE = b"""<!doctype html><title>-</title><details id=box></details><dialog id=talk></dialog>
<input id=day type=date><input id=tick type=checkbox>"""


def _heard(place: str, kind: str, deed: str) -> str:
    return f"new Promise((done) => {{ {place}.addEventListener('{kind}', done); {deed}; }})"


def _stored(mode: str, what: str, heard: str) -> str:
    """What a transaction is asked for, and when it is heard of; the base is opened before."""
    return f"""(() => {{
      const all = base.transaction('all', '{mode}').objectStore('all');
      const asked = {what};
      return new Promise((done) => {{ {heard} = done; }});
    }})()"""


LATE = {
    "a box unfolds": _heard("box", "toggle", "box.open = true"),
    "a dialog closes": _heard("talk", "close", "talk.showModal(); talk.close()"),
    "a date is chosen": _heard("day", "change", "day.dispatchEvent(new Event('change'))"),
    "the address changes": _heard("window", "hashchange", "location.hash = 'a'"),
    "looked at again": _heard("document", "visibilitychange", "document.dispatchEvent(new Event(kind))"),
    "another tab's word": _heard("here", "message", "there.postMessage(1)"),
    "the host's answer": "fetch('/')",
    "a frame": "new Promise(requestAnimationFrame)",
    "a file is read": "new Blob(['a']).text()",
    "a turn at the store": "navigator.locks.request('a', () => {})",
    "on the disk": _stored("readwrite", "all.put(1, 1)", "all.transaction.oncomplete"),
    "read from it": _stored("readonly", "all.getAll()", "asked.onsuccess"),
}
FIRST = """async () => {
  const [here, there] = [new BroadcastChannel('a'), new BroadcastChannel('a')];
  const kind = 'visibilitychange';
  const opening = indexedDB.open('tardy');
  opening.onupgradeneeded = () => opening.result.createObjectStore('all');
  await new Promise((done) => { opening.onsuccess = done; });
  const base = opening.result;
  const deed = %s;
  const first = await Promise.race([deed, new Promise((done) => setTimeout(done, 25, 'a timer'))]);
  await deed;
  return first;
}"""


@pytest.fixture
def page(chromium: Browser, host: Host) -> Iterator[Page]:
    host.sites = {"/": {"index.html": PAGE}}
    phone = new_phone(chromium)
    phone.add_init_script(SCRIPT)
    shown = phone.new_page()
    shown.goto(host.url("/"))
    yield shown
    phone.close()


def test_what_may_come_late_comes_after_a_timer_and_comes(page: Page) -> None:
    for what, deed in LATE.items():
        assert page.evaluate(FIRST % deed) == "a timer", what


COUNTED = """async (writes) => {
  const opening = indexedDB.open('lost');
  opening.onupgradeneeded = () => opening.result.createObjectStore('all', {autoIncrement: true});
  const base = await new Promise((done) => { opening.onsuccess = () => done(opening.result); });
  const all = base.transaction('all', writes ? 'readwrite' : 'readonly').objectStore('all');
  if (writes) return void all.add(1);
  const asked = all.count();
  return new Promise((done) => { asked.onsuccess = () => done(asked.result); });
}"""


def test_what_was_written_is_lost_where_the_page_goes_before_it_is_on_the_disk(page: Page) -> None:
    for waits in (False, True):
        page.evaluate(COUNTED, True)
        if waits:
            assert page.evaluate(COUNTED, False) == 1, "who reads waits for it"
        page.reload()
        assert page.evaluate(COUNTED, False) == int(waits)


def test_what_a_browser_runs_at_once_is_run_at_once(page: Page) -> None:
    heard = page.evaluate(
        """() => {
          const heard = [];
          const hear = ({type}) => heard.push(type);
          for (const kind of ['click', 'input', 'change']) tick.addEventListener(kind, hear, {once: true});
          tick.click();
          tick.click();
          return heard;
        }"""
    )
    assert heard == ["click", "input", "change"]
