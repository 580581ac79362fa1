"""Listens to a browser: requests that leave the origin, breaches of the policy, errors on the console."""

from __future__ import annotations

from urllib.parse import urlsplit

from playwright.sync_api import BrowserContext, ConsoleMessage, Request

REPORT = """document.addEventListener("securitypolicyviolation",
  (event) => console.error("policy: " + event.violatedDirective + " " + event.blockedURI))"""
# What a killed server looks like from inside, or no network; nothing else may stand on the console.
NO_SERVER = (
    "net::ERR_INTERNET_DISCONNECTED",
    "net::ERR_CONNECTION_REFUSED",
    "net::ERR_FAILED",
    "net::ERR_CONNECTION_RESET",
)


class Watch:
    """Collects the complaints of every page and worker in the context; `place` is the origin's host:port."""

    def __init__(self, context: BrowserContext, place: str) -> None:
        self.complaints: list[str] = []
        self._place = place
        context.add_init_script(REPORT)
        context.on("request", self._asked)
        context.on("console", self._said)
        context.on("weberror", lambda error: self.complaints.append(f"uncaught: {error.error}"))

    def _asked(self, request: Request) -> None:
        split = urlsplit(request.url)
        if split.scheme in ("http", "https", "ws", "wss") and split.netloc != self._place:
            self.complaints.append(f"off the origin: {request.url}")

    def _said(self, message: ConsoleMessage) -> None:
        if message.type == "error" and not any(sign in message.text for sign in NO_SERVER):
            self.complaints.append(f"console: {message.text}")
