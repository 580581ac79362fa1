"""The pages of the site as a scenario uses them; what stands where on a page is known here alone."""

from __future__ import annotations

import json
from typing import Any

from tests.browsers.engine import ARRIVED, LEAVING, Engine
from tests.web.host import Host

HERE = "/fs/saltings/"
SHOT = "shots/slipway/"

STATE = "document.querySelector('#offline')?.dataset"
BOXES = "[...document.querySelectorAll('.item input[data-item]')]"
SHOWN = f"{BOXES}.filter((box) => box.parentElement.getClientRects().length > 0)"
TICKED = f"{BOXES}.filter((box) => box.checked)"
FAULT = "#store-fault"

# Every event that is on disk; a plan is long, and is left out.
EVENTS = """new Promise((found, lost) => {
  const opening = indexedDB.open(NAME);
  opening.onerror = () => lost(opening.error);
  opening.onsuccess = () => {
    const base = opening.result;
    const all = base.transaction("events").objectStore("events").getAll();
    all.onerror = () => lost(all.error);
    all.onsuccess = () => {
      base.close();
      found(all.result.map(({payload: {item}, ...event}) => ({...event, item})));
    };
  };
})"""
KEYS = {"take", "shot", "device", "counter", "utc_ms", "kind"}


class Sheets:
    """The site at one address in one browser."""

    def __init__(self, engine: Engine, host: Host, place: str = HERE) -> None:
        self.engine = engine
        self.host = host
        self.place = place

    def open(self, path: str = SHOT) -> None:
        """A page of the site, once it says that the site is stored whole."""
        self.engine.open(self.host.url(self.place + path))
        self._settle()

    def reload(self) -> None:
        self.engine.reload()
        self._settle()

    def heading(self) -> str:
        return self.engine.text("h1")

    def items(self, many: int) -> list[str]:
        """Ids of the first rows that are to be seen."""
        shown = self.engine.evaluate(f"{SHOWN}.map((box) => box.dataset.item)")
        assert len(shown) >= many
        return list(shown[:many])

    def tap(self, item: str) -> None:
        """On a row."""
        self.engine.tap(f"#i{item} > label")

    def tick(self, item: str) -> None:
        """Taps on a row, and waits until the tick is on disk."""
        self.tap(item)
        is_kept = f"all.some(({{kind, item}}) => kind === 'tick' && item === {json.dumps(item)})"
        self.engine.until(f"({self._events}).then((all) => {is_kept})")

    def is_ticked(self, *items: str) -> None:
        """Waits until these rows are ticked, and no others."""
        found = f"JSON.stringify({TICKED}.map((box) => box.dataset.item).sort())"
        wanted = json.dumps(sorted(items), separators=(",", ":"))
        self.engine.until(f"{found} === {json.dumps(wanted)}")

    def log(self) -> list[dict[str, Any]]:
        """What is on disk, in the order of its keeping; fails where an event is half or one is missing."""
        events = sorted(self.engine.evaluate(self._events), key=lambda event: event["counter"])
        assert all(event.keys() - {"item"} == KEYS for event in events)
        assert [event["counter"] for event in events] == list(range(1, len(events) + 1))
        assert (
            [event["kind"] for event in events].count("take") == 1 == len({event["take"] for event in events})
        )
        return events

    def kept(self) -> list[str]:
        """The items whose ticks are on disk, in the order in which they were kept."""
        return [event["item"] for event in self.log() if event["kind"] == "tick"]

    def said_fault(self) -> str:
        """What the page says of its store, once it says something."""
        return str(self.engine.until(f"document.querySelector('{FAULT}').textContent"))

    def newer(self, state: str) -> None:
        """Waits until a newer version is "held", "offered" or "torn", or until there is "none"."""
        self.engine.until(f"{STATE}?.newer === '{state}'")

    def use_newer(self) -> None:
        self.engine.evaluate(LEAVING)
        self.engine.tap("#offline .newer + button")
        self.engine.until(ARRIVED)
        self._settle()

    def end_take(self) -> None:
        for _ in range(2):
            self.engine.tap("#end-take")
        self.engine.until("document.querySelector('#end-take').hidden")

    def choose_theme(self, theme: str) -> None:
        self.engine.tap(f"[data-set-theme={theme}]")

    @property
    def _events(self) -> str:
        return EVENTS.replace("NAME", json.dumps(f"fieldsheet|{self.place}|saltings|log"))

    def _settle(self) -> None:
        """Until the page is ready without signal; where it has rows, until they may be ticked."""
        self.engine.until(f"{STATE}?.stored === 'ready'")
        self.engine.until(f"{BOXES}.every((box) => !box.disabled)")
