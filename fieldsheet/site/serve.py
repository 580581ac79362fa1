"""Serves a built site to the browser on this machine, for looking at it: loopback only, the site only."""

from __future__ import annotations

import http.server
import re
from http import HTTPStatus
from pathlib import Path
from urllib.parse import unquote, urlsplit

from fieldsheet.site.write import SITE

HOST = "127.0.0.1"
TYPES = {
    ".css": "text/css; charset=utf-8",
    ".html": "text/html; charset=utf-8",
    ".js": "text/javascript; charset=utf-8",
    ".json": "application/json",
    ".pdf": "application/pdf",
    ".png": "image/png",
    ".svg": "image/svg+xml",
    ".txt": "text/plain; charset=utf-8",
    ".webmanifest": "application/manifest+json",
    ".woff2": "font/woff2",
}
UNKNOWN_TYPE = "application/octet-stream"

# What write_site may have written, and folders; so no "..", no second slash, no hidden name.
_ASKED = re.compile(r"/(?:[A-Za-z0-9_][A-Za-z0-9._-]*/)*(?:[A-Za-z0-9_][A-Za-z0-9._-]*)?", re.ASCII)


class SiteServer(http.server.ThreadingHTTPServer):
    """A server of OUT/site at `.url`; port 0 takes a free one. A new build shows at the next request."""

    daemon_threads = True

    def __init__(self, out: Path, port: int) -> None:
        """Raises FileNotFoundError where OUT holds no site, OSError where the port is not to be had."""
        self.site = out / SITE
        if not (self.site / "index.html").is_file():
            raise FileNotFoundError(f"no site in {out}: run fieldsheet build first")
        try:
            super().__init__((HOST, port), _Handler)
        except OSError as error:
            raise OSError(
                error.errno, f"port {port} cannot be had ({error.strerror}): try --port 0"
            ) from error
        port = self.server_address[1]
        self.url = f"http://{HOST}:{port}/"
        # Another name in the Host header means that some page elsewhere has pointed its own name here.
        self.hosts = {f"{HOST}:{port}", f"localhost:{port}"} | ({HOST, "localhost"} if port == 80 else set())


class _Handler(http.server.BaseHTTPRequestHandler):
    server: SiteServer
    protocol_version = "HTTP/1.1"
    server_version = "fieldsheet"
    sys_version = ""
    timeout = 30

    def do_GET(self) -> None:
        self._answer(with_body=True)

    def do_HEAD(self) -> None:
        self._answer(with_body=False)

    def _answer(self, with_body: bool) -> None:
        if self.headers.get_all("Host", []) not in [[host] for host in self.server.hosts]:
            return self.send_error(HTTPStatus.MISDIRECTED_REQUEST)
        path = unquote(urlsplit(self.path).path)
        if not _ASKED.fullmatch(path):
            return self.send_error(HTTPStatus.NOT_FOUND)
        site = self.server.site.resolve()
        found = (site / path.lstrip("/")).resolve()
        if not found.is_relative_to(site):
            return self.send_error(HTTPStatus.NOT_FOUND)
        if found.is_dir():
            if not path.endswith("/"):
                return self._send(HTTPStatus.MOVED_PERMANENTLY, {"Location": path + "/"}, b"", with_body)
            found = found / "index.html"
        elif path.endswith("/"):
            return self.send_error(HTTPStatus.NOT_FOUND)
        try:
            body = found.read_bytes()
        except OSError:
            return self.send_error(HTTPStatus.NOT_FOUND)
        kind = TYPES.get(found.suffix, UNKNOWN_TYPE)
        return self._send(HTTPStatus.OK, {"Content-Type": kind}, body, with_body)

    def _send(self, status: HTTPStatus, headers: dict[str, str], body: bytes, with_body: bool) -> None:
        self.send_response(status)
        for name, value in headers.items():
            self.send_header(name, value)
        self.send_header("Content-Length", str(len(body)))
        self.send_header("Cache-Control", "no-cache")
        self.send_header("X-Content-Type-Options", "nosniff")
        self.end_headers()
        if with_body:
            self.wfile.write(body)

    def log_message(self, format: str, *args: object) -> None:
        """Says nothing: the terminal shows the address and no more."""


def serve(server: SiteServer) -> None:
    """Answers until it is interrupted."""
    with server:
        try:
            server.serve_forever()
        except KeyboardInterrupt:
            return
