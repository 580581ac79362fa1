"""Two of WebKit's ports by the protocol of its inspector: under a WebDriver they keep nothing between starts.

Both browsers are the ports' own, as small as can be; what they store lies in the folders of the environment.
A tap is a click on what lies under the finger: the inspector has no touch.
"""

from __future__ import annotations

import json
import os
import re
import shutil
import socket
import time
import urllib.request
from pathlib import Path
from typing import Any, ClassVar

from tests.browsers.engine import as_json
from tests.browsers.own import OwnEngine
from tests.browsers.wire import DriverError, Wire
from tests.web.group import Group

START_MOST_S = 30
TARGET = re.compile(r"/socket/(\d+/\d+/WebPage)")


class _Page:
    """The wire of one page. What is asked of it goes through a target, which a new process of it replaces."""

    def __init__(self, address: str) -> None:
        self.address = address
        self.before: list[str] = []
        self._outer = Wire(f"ws://{address}")
        self._target = ""
        self._last = 0
        while not self._target:
            self._receive()

    def call(self, method: str, **params: Any) -> Any:
        self._last += 1
        number = self._last
        message = json.dumps({"id": number, "method": method, "params": params})
        sent = self._outer.send("Target.sendMessageToTarget", {"targetId": self._target, "message": message})
        while True:
            outer, inner = self._receive()
            if outer.get("id") == sent and "error" in outer:
                raise DriverError(f"{method}: {outer}")
            if inner.get("id") == number:
                if "error" in inner:
                    raise DriverError(f"{method}: {inner}")
                return inner["result"]

    def close(self) -> None:
        self._outer.close()

    def _receive(self) -> tuple[dict[str, Any], dict[str, Any]]:
        """The next message, and what it brings from the target."""
        outer = self._outer.receive()
        params = outer.get("params", {})
        match outer.get("method"):
            case "Target.targetCreated" if not self._target:
                self._target = params["targetInfo"]["targetId"]
            case "Target.didCommitProvisionalTarget":
                self._target = params["newTargetId"]
            case "Target.dispatchMessageFromTarget":
                return outer, json.loads(params["message"])
        return outer, {}


class _WebKit(OwnEngine):
    port: ClassVar[str]
    """The folder in which Debian keeps the port's own browser."""
    flags: ClassVar[tuple[str, ...]]

    def __init__(self, profile: Path) -> None:
        super().__init__(profile)
        self.screen: dict[str, str] = {}
        self._address = ""
        self._tabs: list[_Page] = []
        self._page: _Page

    @classmethod
    def is_here(cls) -> bool:
        return cls._program() is not None

    @classmethod
    def _program(cls) -> Path | None:
        return next(Path("/usr/lib").glob(f"*/{cls.port}/MiniBrowser"), None)

    def launch(self) -> Group:
        self._address = f"127.0.0.1:{_free_port()}"
        environment = {
            "WEBKIT_INSPECTOR_HTTP_SERVER": self._address,
            "XDG_DATA_HOME": str(self.profile / "data"),
            "XDG_CACHE_HOME": str(self.profile / "cache"),
            "XDG_CONFIG_HOME": str(self.profile / "config"),
        }
        command = [str(self._program()), *self.flags, "about:blank"]
        return Group(command, environment | self.screen)

    def take_up(self) -> None:
        self._tabs = []
        self._take_up_newest()

    def ask_to_quit(self, group: Group) -> None:
        group.ask_to_leave()

    def hang_up(self) -> None:
        for page in self._tabs:
            page.close()

    def evaluate(self, expression: str) -> Any:
        promise = self._run(as_json(expression))
        answer = self._page.call(
            "Runtime.awaitPromise", promiseObjectId=promise["objectId"], returnByValue=True
        )
        return json.loads(_value(answer)["value"])

    def before(self, source: str) -> None:
        self._page.before.append(source)
        self._page.call("Page.setBootstrapScript", source="\n".join(self._page.before))

    def tap(self, selector: str) -> None:
        x, y = self.point(selector)
        self._run(f"document.elementFromPoint({x}, {y}).click()", by_hand=True)

    def go(self, url: str) -> None:
        self._page.call("Page.navigate", url=url)

    def go_again(self) -> None:
        self._page.call("Page.reload")

    def new_tab(self) -> None:
        self._run("window.open('about:blank')", by_hand=True)
        self._take_up_newest()

    def turn_to(self, tab: int) -> None:
        self._page = self._tabs[tab]

    def _run(self, expression: str, by_hand: bool = False) -> dict[str, Any]:
        """What an expression comes to at once; by_hand: as if a person's tap had caused it."""
        return _value(self._page.call("Runtime.evaluate", expression=expression, emulateUserGesture=by_hand))

    def _take_up_newest(self) -> None:
        """The page that came last."""
        until = time.monotonic() + START_MOST_S
        known = {page.address for page in self._tabs}
        while not (new := self._listed() - known):
            if time.monotonic() > until:
                raise TimeoutError(f"{self.name} shows no page")
            time.sleep(0.05)
        self._page = _Page(new.pop())
        for domain in ("Page", "Runtime"):
            self._page.call(f"{domain}.enable")
        self._tabs.append(self._page)

    def _listed(self) -> set[str]:
        """Addresses of all its pages."""
        try:
            with urllib.request.urlopen(f"http://{self._address}/", timeout=START_MOST_S) as answer:
                return {f"{self._address}/socket/{path}" for path in TARGET.findall(answer.read().decode())}
        except OSError:
            return set()


def _value(answer: dict[str, Any]) -> dict[str, Any]:
    if answer.get("wasThrown"):
        raise DriverError(str(answer["result"].get("description", answer["result"])))
    result: dict[str, Any] = answer["result"]
    return result


def _free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port: int = probe.getsockname()[1]
    return port


class WebKitGtk(_WebKit):
    """Of today; needs a screen, and gets one that nobody sees."""

    name = "webkitgtk"
    packages = ("libwebkit2gtk-4.1-0", "xvfb")
    port = "webkit2gtk-4.1"
    flags = ("--enable-developer-extras=true",)

    def __init__(self, profile: Path) -> None:
        super().__init__(profile)
        self._screen: Group | None = None

    @classmethod
    def is_here(cls) -> bool:
        return super().is_here() and shutil.which("Xvfb") is not None

    def launch(self) -> Group:
        reading, writing = os.pipe()
        size = ("-screen", "0", "800x900x24", "-nolisten", "tcp")
        self._screen = Group(["Xvfb", "-displayfd", str(writing), *size], pass_fds=(writing,))
        os.close(writing)
        with open(reading, encoding="ascii") as told:
            self.screen = {"DISPLAY": f":{told.readline().strip()}"}
        return super().launch()

    def kill(self) -> None:
        super().kill()
        if self._screen is not None:
            self._screen.kill()
            self._screen = None

    def living(self) -> list[str]:
        return super().living() + (self._screen.living() if self._screen else [])


class Wpe(_WebKit):
    """In Debian 12 of autumn 2022, which stands in for a phone of that age."""

    name = "wpe"
    packages = ("libwpewebkit-1.1-0",)
    port = "wpe-webkit-1.1"
    flags = ("--headless",)
