"""A web host in a thread: serves sites given as bytes from sub-paths, can be slow, and can be killed."""

from __future__ import annotations

import contextlib
import functools
import http.server
import mimetypes
import threading
import time
from collections.abc import Mapping
from typing import Any

from fieldsheet.site.build import modules
from fieldsheet.templates import templates

TYPES = {
    ".js": "text/javascript",
    ".webmanifest": "application/manifest+json",
    ".woff2": "font/woff2",
    ".pack": "application/octet-stream",
}


@functools.cache
def bare_modules() -> dict[str, bytes]:
    """Path ("/app/takes/log.js") -> the modules that the site's are joined from."""
    return {f"/app/{path}": text.encode() for path, text in modules(templates() / "app").items()}


class Host:
    """`sites` maps a sub-path ("/fs/saltings/") to its files; both may be changed while it serves.

    slow_s: path inside a site -> seconds to wait before the answer.  asked: every path asked for.
    redirects: path -> address that is answered with status 301.  headers: added to every answer.
    Beside the sites stand the bare modules, under /app/, for tests that import() one.
    """

    def __init__(self) -> None:
        self.sites: dict[str, Mapping[str, bytes]] = {}
        self.slow_s: dict[str, float] = {}
        self.redirects: dict[str, str] = {}
        self.headers: dict[str, str] = {}
        self.asked: list[str] = []
        self.port = 0
        self.start()

    def url(self, path: str, name: str = "127.0.0.1") -> str:
        return f"http://{name}:{self.port}{path}"

    def start(self) -> None:
        """Serves again, on the same port as before."""
        self._server = http.server.ThreadingHTTPServer(("127.0.0.1", self.port), self._handler())
        self.port = self._server.server_address[1]
        poll = {"poll_interval": 0.01}
        threading.Thread(target=self._server.serve_forever, kwargs=poll, daemon=True).start()

    def kill(self) -> None:
        """Nobody answers on the port any more."""
        self._server.shutdown()
        self._server.server_close()

    def _handler(self) -> type[http.server.BaseHTTPRequestHandler]:
        host = self

        class Handler(http.server.BaseHTTPRequestHandler):
            def do_GET(self) -> None:
                path = self.path.partition("?")[0]
                host.asked.append(path)
                if path in host.redirects:
                    self.send_response(301)
                    self.send_header("Location", host.redirects[path])
                    self.send_header("Content-Length", "0")
                    self.end_headers()
                    return
                name, data = host.find(path)
                time.sleep(host.slow_s.get(name, 0))
                self.answer(name, data)

            def answer(self, name: str, data: bytes | None) -> None:
                suffix = "." + name.rpartition(".")[2]
                body = b"not here" if data is None else data
                self.send_response(404 if data is None else 200)
                kind = TYPES.get(suffix) or mimetypes.types_map.get(suffix, "application/octet-stream")
                self.send_header("Content-Type", kind)
                self.send_header("Content-Length", str(len(body)))
                self.send_header("Cache-Control", "max-age=600")
                for header, value in host.headers.items():
                    self.send_header(header, value)
                self.end_headers()
                self.wfile.write(body)

            def log_message(self, format: str, *args: Any) -> None:
                pass

            def handle(self) -> None:
                with contextlib.suppress(ConnectionError):  # a killed browser hangs up in the middle
                    super().handle()

        return Handler

    def find(self, path: str) -> tuple[str, bytes | None]:
        """Name inside the site and bytes; a folder answers with its index.html."""
        for place, files in self.sites.items():
            if path.startswith(place):
                name = path.removeprefix(place)
                if not name or name.endswith("/"):
                    name += "index.html"
                return name, files.get(name, bare_modules().get(path))
        return path, bare_modules().get(path)
