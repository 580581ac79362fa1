"""Firefox by WebDriver BiDi, which it speaks by itself."""

from __future__ import annotations

import json
import shutil
import time
from pathlib import Path
from typing import Any

from tests.browsers.engine import as_json
from tests.browsers.own import OwnEngine
from tests.browsers.wire import DriverError, Wire
from tests.web.group import Group

START_MOST_S = 30
# It may ask nobody whether there is a newer one, and whether there is a network.
PREFERENCES = {
    "remote.active-protocols": 1,
    "app.update.auto": False,
    "app.normandy.enabled": False,
    "browser.shell.checkDefaultBrowser": False,
    "datareporting.policy.dataSubmissionEnabled": False,
    "network.captive-portal-service.enabled": False,
    "network.connectivity-service.enabled": False,
}


class Firefox(OwnEngine):
    name = "firefox"
    packages = ("firefox-esr",)

    def __init__(self, profile: Path) -> None:
        super().__init__(profile)
        self._wire: Wire
        self._tabs: list[str] = []
        self._tab = ""

    @classmethod
    def is_here(cls) -> bool:
        return _program() is not None

    def launch(self) -> Group:
        self.profile.mkdir(exist_ok=True)
        lines = [
            f"user_pref({json.dumps(name)}, {json.dumps(value)});" for name, value in PREFERENCES.items()
        ]
        (self.profile / "user.js").write_text("\n".join(lines), "utf-8")
        self._told.unlink(missing_ok=True)
        mode = ["--headless", "--no-remote", "--profile", str(self.profile), "--remote-debugging-port", "0"]
        return Group([str(_program()), *mode])

    def take_up(self) -> None:
        self._wire = Wire(_address(self._told))
        self._wire.call("session.new", capabilities={})
        self._tabs = []
        self._take_up(self._wire.call("browsingContext.getTree")["contexts"][0]["context"])

    def ask_to_quit(self, group: Group) -> None:
        self._wire.call("browser.close")

    def hang_up(self) -> None:
        self._wire.close()

    @property
    def _told(self) -> Path:
        return self.profile / "WebDriverBiDiServer.json"

    def evaluate(self, expression: str) -> Any:
        target = {"context": self._tab}
        answer = self._wire.call(
            "script.evaluate", expression=as_json(expression), awaitPromise=True, target=target
        )
        if answer["type"] != "success":
            raise DriverError(str(answer["exceptionDetails"]["text"]))
        return json.loads(answer["result"]["value"])

    def before(self, source: str) -> None:
        declared = f"() => {{ {source} }}"
        self._wire.call("script.addPreloadScript", functionDeclaration=declared, contexts=[self._tab])

    def tap(self, selector: str) -> None:
        x, y = self.point(selector)
        steps = [{"type": "pointerMove", "x": x, "y": y}]
        steps += [{"type": deed, "button": 0} for deed in ("pointerDown", "pointerUp")]
        finger = {"type": "pointer", "id": "finger", "parameters": {"pointerType": "touch"}, "actions": steps}
        self._wire.call("input.performActions", context=self._tab, actions=[finger])

    def go(self, url: str) -> None:
        self._wire.call("browsingContext.navigate", context=self._tab, url=url, wait="complete")

    def go_again(self) -> None:
        self._wire.call("browsingContext.reload", context=self._tab, wait="complete")

    def new_tab(self) -> None:
        self._take_up(self._wire.call("browsingContext.create", type="tab")["context"])

    def turn_to(self, tab: int) -> None:
        self._tab = self._tabs[tab]
        self._wire.call("browsingContext.activate", context=self._tab)

    def _take_up(self, tab: str) -> None:
        self._tabs.append(tab)
        self._tab = tab
        self._wire.call("browsingContext.setViewport", context=tab, viewport={"width": 360, "height": 740})


def _program() -> str | None:
    return shutil.which("firefox-esr") or shutil.which("firefox")


def _address(told: Path) -> str:
    """Where it listens, once it has told."""
    until = time.monotonic() + START_MOST_S
    while time.monotonic() < until:
        if told.exists() and (text := told.read_text("utf-8")):
            where = json.loads(text)
            return f"ws://{where['ws_host']}:{where['ws_port']}/session"
        time.sleep(0.05)
    raise TimeoutError("Firefox did not begin to listen")
