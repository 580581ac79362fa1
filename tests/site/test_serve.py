"""The server shows the site, nothing beside it, and only to a browser that asks for this machine by name."""

from __future__ import annotations

import argparse
import os
import signal
import socket
import threading
from collections.abc import Iterator
from pathlib import Path

import pytest

from fieldsheet.commands.serve import serve_typed
from fieldsheet.site.serve import SiteServer, checked_address
from tests.site.writing import write_site

FILES = {
    "index.html": b"<!doctype html><title>home</title>",
    "shots/one/index.html": b"shot",
    "app/main.js": b"export const a = 1;",
    "app/style.css": b"a{}",
    "app/fonts/sans.woff2": b"wOF2",
    "sky/2027.pack": b"\0\1\2",
    "cards/one.pdf": b"%PDF",
    "site.webmanifest": b"{}",
    "version.json": b"{}",
    "_headers": b"/*",
}


@pytest.fixture
def server(tmp_path: Path) -> Iterator[SiteServer]:
    (tmp_path / "secret.txt").write_text("secret")
    write_site(tmp_path / "out", FILES)
    site = SiteServer(tmp_path / "out", 0)
    thread = threading.Thread(target=site.serve_forever, args=(0.01,))
    thread.start()
    yield site
    site.shutdown()
    thread.join()
    site.server_close()


def ask(
    server: SiteServer, target: str, host: str | None = None, method: str = "GET"
) -> tuple[int, dict[str, str], bytes]:
    """One request as raw bytes, so that no client tidies the path or the Host header."""
    port = server.server_address[1]
    wanted = f"127.0.0.1:{port}" if host is None else host
    with socket.create_connection(("127.0.0.1", port), timeout=10) as link:
        link.sendall(
            f"{method} {target} HTTP/1.1\r\nHost: {wanted}\r\nConnection: close\r\n\r\n".encode("latin-1")
        )
        answer = b"".join(iter(lambda: link.recv(65536), b""))
    head, _, body = answer.partition(b"\r\n\r\n")
    first, *rest = head.decode("latin-1").split("\r\n")
    headers = dict(line.lower().split(": ", 1) for line in rest)
    return int(first.split()[1]), headers, body


@pytest.mark.parametrize(
    ("target", "path", "kind"),
    [
        ("/", "index.html", "text/html; charset=utf-8"),
        ("/index.html?x=1", "index.html", "text/html; charset=utf-8"),
        ("/shots/one/", "shots/one/index.html", "text/html; charset=utf-8"),
        ("/app/main.js", "app/main.js", "text/javascript; charset=utf-8"),
        ("/app/style.css", "app/style.css", "text/css; charset=utf-8"),
        ("/app/fonts/sans.woff2", "app/fonts/sans.woff2", "font/woff2"),
        ("/sky/2027.pack", "sky/2027.pack", "application/octet-stream"),
        ("/cards/one.pdf", "cards/one.pdf", "application/pdf"),
        ("/site.webmanifest", "site.webmanifest", "application/manifest+json"),
        ("/version.json", "version.json", "application/json"),
    ],
)
def test_each_file_comes_with_its_type_and_is_asked_for_again(
    server: SiteServer, target: str, path: str, kind: str
) -> None:
    status, headers, body = ask(server, target)
    assert (status, body) == (200, FILES[path])
    assert headers["content-type"] == kind
    assert headers["cache-control"] == "no-cache"
    assert headers["content-length"] == str(len(body))


def test_head_gives_the_headers_alone(server: SiteServer) -> None:
    status, headers, body = ask(server, "/app/main.js", method="HEAD")
    assert (status, headers["content-length"], body) == (200, str(len(FILES["app/main.js"])), b"")


def test_a_folder_without_its_slash_leads_to_the_slash(server: SiteServer) -> None:
    status, headers, _ = ask(server, "/shots/one")
    assert (status, headers["location"]) == (301, "/shots/one/")


@pytest.mark.parametrize(
    "target",
    [
        "/../secret.txt",
        "/../../secret.txt",
        "/%2e%2e/%2e%2e/secret.txt",
        "/..%2f..%2fsecret.txt",
        "/app/../../../secret.txt",
        "//secret.txt",
        "//elsewhere.invalid/shots/one",
        "/app\\..\\..\\secret.txt",
        "/%00",
        "/.",
        "/app/",
        "/shots/",
        "/index.html/",
        "/none.html",
        "/../WRITTEN-BY-FIELDSHEET.txt",
        "/../versions/",
        "/" + "a" * 300,
        "/" + "a/" * 3000,
        "http://[::1",
    ],
)
def test_nothing_beside_the_site_and_no_list_of_a_folder(server: SiteServer, target: str) -> None:
    status, headers, body = ask(server, target)
    assert status == 404
    assert b"secret" not in body.replace(b"secret.txt", b"")
    assert "location" not in headers


def test_a_link_inside_the_site_is_not_followed_out_of_it(server: SiteServer, tmp_path: Path) -> None:
    (server.site / "leak.txt").symlink_to(tmp_path / "secret.txt")
    (server.site / "up").symlink_to(tmp_path)
    assert ask(server, "/leak.txt")[0] == 404
    assert ask(server, "/up/secret.txt")[0] == 404


@pytest.mark.parametrize(
    "host", ["evil.invalid", "127.0.0.1", "", "127.0.0.1:1", "localhost.evil.invalid:{port}"]
)
def test_another_host_name_is_refused(server: SiteServer, host: str) -> None:
    status, _, body = ask(server, "/", host=host.format(port=server.server_address[1]))
    assert status == 421
    assert FILES["index.html"] not in body


@pytest.mark.parametrize(("fault", "is_told"), [(BrokenPipeError, False), (KeyError, True)])
def test_a_phone_that_went_away_is_no_error(
    server: SiteServer, capsys: pytest.CaptureFixture[str], fault: type[Exception], is_told: bool
) -> None:
    try:
        raise fault
    except fault:
        server.handle_error(None, ("192.0.2.7", 1))
    assert (fault.__name__ in capsys.readouterr().err) == is_told


def test_two_host_headers_are_refused(server: SiteServer) -> None:
    port = server.server_address[1]
    assert ask(server, "/", host=f"127.0.0.1:{port}\r\nHost: evil.invalid")[0] == 421


def test_localhost_is_this_machine(server: SiteServer) -> None:
    assert ask(server, "/", host=f"localhost:{server.server_address[1]}")[0] == 200


@pytest.mark.parametrize("method", ["POST", "PUT", "DELETE", "OPTIONS"])
def test_nothing_can_be_sent(server: SiteServer, method: str) -> None:
    assert ask(server, "/", method=method)[0] == 501


def test_only_this_machine_is_listened_to_and_the_address_says_where(server: SiteServer) -> None:
    assert server.server_address[0] == "127.0.0.1"
    assert server.url == f"http://127.0.0.1:{server.server_address[1]}/"
    assert server.server_address[1] > 0


def test_a_new_build_shows_at_the_next_request(server: SiteServer) -> None:
    write_site(server.site.parent, {"index.html": b"second"})
    assert ask(server, "/")[2] == b"second"


def test_an_output_without_a_site_is_said_so(tmp_path: Path) -> None:
    with pytest.raises(FileNotFoundError, match="no site"):
        SiteServer(tmp_path, 0)


def test_a_port_in_use_is_named(server: SiteServer) -> None:
    port = server.server_address[1]
    with pytest.raises(OSError, match=f"port {port} cannot be had"):
        SiteServer(server.site.parent, port)


def test_at_an_address_of_the_network_only_that_one_is_answered_to(tmp_path: Path) -> None:
    """127.0.0.2 stands for it: every machine has it, and it is not the usual one."""
    write_site(tmp_path / "out", FILES)
    with SiteServer(tmp_path / "out", 0, "127.0.0.2") as server:
        port = server.server_address[1]
        assert server.url == f"http://127.0.0.2:{port}/"
        assert server.hosts == {f"127.0.0.2:{port}"}
        with pytest.raises(OSError):
            socket.create_connection(("127.0.0.1", port), timeout=10)


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("phone.local", "not an address of IPv4"),
        ("192.168.1", "not an address of IPv4"),
        ("192.168.1.20:8780", "not an address of IPv4"),
        ("fe80::1", "not an address of IPv4"),
        ("0.0.0.0", "not of a network at hand"),
        ("8.8.8.8", "not of a network at hand"),
        ("224.0.0.1", "not of a network at hand"),
    ],
)
def test_an_address_that_would_offer_it_to_all_is_refused_in_words(text: str, found: str) -> None:
    with pytest.raises(OSError, match=f"{found}.*right: .*192.168.1.20"):
        checked_address(text)


@pytest.mark.parametrize("address", ["192.168.1.20", "10.0.0.2", "172.16.0.1", "169.254.7.7", "127.0.0.1"])
def test_an_address_of_a_network_at_hand_is_taken(address: str) -> None:
    # Source: RFC 1918, RFC 3927, RFC 1122.
    assert checked_address(address) == address


@pytest.mark.parametrize("path", ["index.html", "files/everything.html"])
def test_what_can_be_carried_away_is_offered_first(tmp_path: Path, path: str) -> None:
    write_site(tmp_path / "out", {**FILES, path: b"<!doctype html>"})
    said: list[str] = []
    stopped_by = signal.getsignal(signal.SIGTERM)

    def say(text: str) -> None:
        said.append(text)
        if "Not to be had" in text:  # the last line: now it would serve until it is stopped
            threading.Timer(0.05, os.kill, (os.getpid(), signal.SIGTERM)).start()

    try:
        serve_typed(argparse.Namespace(out=tmp_path / "out", port=0, hotspot="127.0.0.2"), say)
    finally:
        signal.signal(signal.SIGTERM, stopped_by)
    text = "\n".join(said)
    site, file = text.index("The site, for phones"), text.find("files/everything.html")
    assert (file >= 0) == (path != "index.html") and file < site
    assert "keeps no copy" in text and "\x1b" not in text
