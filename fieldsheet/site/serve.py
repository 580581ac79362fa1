"""Serves a built site, and it alone, at one address of this machine: loopback unless another is given."""

from __future__ import annotations

import http.server
import ipaddress
import re
import socket
import sys
from http import HTTPStatus
from pathlib import Path
from typing import Any
from urllib.parse import unquote, urlsplit

from fieldsheet.site.write import SITE

HOST = "127.0.0.1"
TYPES = {
    ".css": "text/css; charset=utf-8",
    ".csv": "text/csv; charset=utf-8",
    ".gpx": "application/gpx+xml",
    ".html": "text/html; charset=utf-8",
    ".ics": "text/calendar; charset=utf-8",
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
NO_HOST = ("192.0.2.1", 9)  # of an address block that nobody has. Source: RFC 5737
RIGHT_ADDRESS = "this machine's own in the network of the phones, such as 192.168.1.20"

# What write_site may have written, and folders; so no "..", no second slash, no hidden name.
_ASKED = re.compile(r"/(?:[A-Za-z0-9_][A-Za-z0-9._-]{0,99}/)*(?:[A-Za-z0-9_][A-Za-z0-9._-]{0,99})?", re.ASCII)
MOST_PATH = 910  # of nine such names, each with its slash


class SiteServer(http.server.ThreadingHTTPServer):
    """A server of OUT/site at `.url`; port 0 takes a free one. A new build shows at the next request."""

    daemon_threads = True

    def __init__(self, out: Path, port: int, address: str = HOST) -> None:
        """Raises FileNotFoundError where OUT holds no site, OSError where address or port cannot be had."""
        self.site = out / SITE
        if not (self.site / "index.html").is_file():
            raise FileNotFoundError(f"no site in {out}: run fieldsheet build first")
        try:
            super().__init__((address, port), _Handler)
        except OSError as error:
            where = "" if address == HOST else f" of {address}"
            raise OSError(
                error.errno, f"port {port}{where} cannot be had ({error.strerror}): try --port 0"
            ) from error
        port = self.server_address[1]
        self.url = f"http://{address}:{port}/"
        # Another name in the Host header means that some page elsewhere has pointed its own name here.
        names = {HOST, "localhost"} if address == HOST else {address}
        self.hosts = {f"{name}:{port}" for name in names} | (names if port == 80 else set())

    def handle_error(self, request: Any, client_address: Any) -> None:
        """A phone that went away in the middle of an answer is no error."""
        if not isinstance(sys.exc_info()[1], (ConnectionError, TimeoutError)):
            super().handle_error(request, client_address)


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
        path = _path_of(self.path)
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


def _path_of(target: str) -> str:
    """The path in a request's target; "" for one that no site has."""
    try:
        path = unquote(urlsplit(target).path)
    except ValueError:
        return ""
    return path if len(path) <= MOST_PATH else ""


def own_address() -> str:
    """This machine's address towards other networks; raises OSError, in words, where it has none.

    Nothing is sent: a datagram's socket that is told of a far end only looks for the way to it.
    """
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        try:
            probe.connect(NO_HOST)
        except OSError as error:
            found = "no address found by which phones reach this machine"
            raise OSError(error.errno, f"{found}; right: --hotspot ADDRESS with {RIGHT_ADDRESS}") from error
        return checked_address(str(probe.getsockname()[0]))


def checked_address(text: str) -> str:
    """An address of IPv4 that is not one of the Internet; raises OSError, in words, for any other."""
    try:
        address = ipaddress.IPv4Address(text)
    except ValueError:
        raise OSError(f"not an address of IPv4: {text[:40]!r}; right: {RIGHT_ADDRESS}") from None
    if address.is_global or address.is_multicast or address.is_unspecified or address.is_reserved:
        raise OSError(f"{text} is not of a network at hand: all could read it; right: {RIGHT_ADDRESS}")
    return str(address)


def serve(server: SiteServer) -> None:
    """Answers until it is interrupted."""
    with server:
        try:
            server.serve_forever()
        except KeyboardInterrupt:
            return
