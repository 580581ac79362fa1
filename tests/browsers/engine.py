"""What the scenarios ask of any browser, however it is driven."""

from __future__ import annotations

import contextlib
import json
import time
from abc import ABC, abstractmethod
from pathlib import Path
from typing import Any, ClassVar

from tests.browsers.wire import DriverError

WAIT_MOST_S = 25

# Where a finger would put down; an element that something else covers has no such place.
POINT = """(() => {
  const element = document.querySelector(SELECTOR);
  if (!element) return null;
  element.scrollIntoView({block: "center", behavior: "instant"});
  const box = element.getBoundingClientRect();
  const [x, y] = [Math.round(box.x + box.width / 2), Math.round(box.y + box.height / 2)];
  const hit = document.elementFromPoint(x, y);
  return hit && (element.contains(hit) || hit.contains(element)) ? [x, y] : null;
})()"""

# A page that has been left is told from the one that came after it.
LEAVING = "window.is_being_left = true"
ARRIVED = "!window.is_being_left && document.readyState === 'complete'"

# Every writing to the page's stores fails as it does where the disk is full.
FULL = """for (const [store, names] of [[IDBObjectStore, ["add", "put"]], [Cache, ["put"]]])
  for (const name of names)
    store.prototype[name] = () => { throw new DOMException("full", "QuotaExceededError"); };"""


class Engine(ABC):
    """One browser on one profile folder, with what it has stored there; its pages are its tabs.

    What is said of "the page" is of the tab that was turned to last.
    """

    name: ClassVar[str]
    packages: ClassVar[tuple[str, ...]]
    """Debian packages that it comes in."""
    fills_by: ClassVar[str] = "a stub of the page's own calls"

    def __init__(self, profile: Path) -> None:
        self.profile = profile

    @classmethod
    @abstractmethod
    def is_here(cls) -> bool:
        """Whether it is installed."""

    @abstractmethod
    def start(self) -> None:
        """Starts with one empty page; also again, on the same profile."""

    @abstractmethod
    def quit(self) -> None:
        """Ends as by the hand of a person."""

    @abstractmethod
    def kill(self) -> None:
        """Ends all its processes at once, as a phone does; does nothing where none runs."""

    @abstractmethod
    def living(self) -> list[str]:
        """Names of its processes that run still."""

    @abstractmethod
    def evaluate(self, expression: str) -> Any:
        """The expression's value in the page, as JSON; of a promise, what it comes to."""

    @abstractmethod
    def before(self, source: str) -> None:
        """Runs the source in every document that the page loads from now on, before its own scripts."""

    @abstractmethod
    def tap(self, selector: str) -> None: ...

    @abstractmethod
    def go(self, url: str) -> None:
        """Begins to load an address."""

    @abstractmethod
    def go_again(self) -> None:
        """Begins to load the page again."""

    @abstractmethod
    def new_tab(self) -> None:
        """Opens another page and turns to it."""

    @abstractmethod
    def turn_to(self, tab: int) -> None:
        """The first page is 0."""

    def open(self, url: str) -> None:
        """Loads an address in the page."""
        self.evaluate(LEAVING)
        self.go(url)
        self.until(ARRIVED)

    def reload(self) -> None:
        self.evaluate(LEAVING)
        self.go_again()
        self.until(ARRIVED)

    def until(self, expression: str) -> Any:
        """The expression's value, once it holds in the page; where one page follows another, none does."""
        last: object = None
        until = time.monotonic() + WAIT_MOST_S
        while time.monotonic() < until:
            try:
                last = self.evaluate(expression)
            except DriverError as error:
                last = error
            else:
                if last:
                    return last
            time.sleep(0.05)
        with contextlib.suppress(DriverError):
            last = last, self.evaluate("[location.href, document.body.innerText.slice(-600)]")
        raise TimeoutError(f"{self.name}: not within {WAIT_MOST_S} s: {expression}; last {last!r}")

    def text(self, selector: str) -> str:
        return str(self.evaluate(f"document.querySelector({json.dumps(selector)}).textContent"))

    def fill_up(self, url: str) -> None:
        """From the next loading of a page on, the site at the address can store no more; may start anew."""
        self.before(FULL)

    def point(self, selector: str) -> tuple[int, int]:
        """Where to tap, once it can be tapped."""
        x, y = self.until(POINT.replace("SELECTOR", json.dumps(selector)))
        return x, y


def as_json(expression: str) -> str:
    """An expression whose promise comes to its value as a text."""
    return f"(async () => JSON.stringify(await ({expression})) ?? 'null')()"
