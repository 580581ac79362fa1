"""What `fieldsheet serve` does and says: a site to this machine alone, or to phones beside it."""

from __future__ import annotations

import argparse
import signal
import sys
from collections.abc import Callable

from fieldsheet.exchange.blocks import code_lines
from fieldsheet.site.pocket import EVERYTHING
from fieldsheet.site.serve import HOST, SiteServer, checked_address, own_address, serve

STOP = "(stop with Ctrl-C)"
BLACK_ON_WHITE, AS_BEFORE = "\x1b[30;107m", "\x1b[0m"  # Source: ECMA-48, SGR; 107 from common practice
# What browsers give to https and to this machine alone. Source: W3C, Secure Contexts.
WITHOUT = (
    "Over http a phone keeps no copy of the site: its pages work while this runs and the network is there.",
    "The phone still computes other nights, and keeps ticks, photos and notes, at this address only.",
    "Not to be had: its position, a screen kept awake, pages without signal.",
)
FIRST = "First: all shots in one file. Save it on the phone, it opens without signal:"


def serve_typed(typed: argparse.Namespace, say: Callable[[str], None]) -> None:
    """Serves typed.out at typed.port until it is stopped, at typed.hotspot where that is not None.

    typed.hotspot: an address of this machine, "" for the one that is found.  Raises as SiteServer does.
    """
    signal.signal(signal.SIGTERM, signal.default_int_handler)  # a polite stop is a stop like Ctrl-C
    if typed.hotspot is None:
        server = SiteServer(typed.out, typed.port, HOST)
        say(f"{server.url}  {STOP}")
    else:
        address = checked_address(typed.hotspot) if typed.hotspot else own_address()
        server = SiteServer(typed.out, typed.port, address)
        _offer(server, say)
    serve(server)


def _offer(server: SiteServer, say: Callable[[str], None]) -> None:
    """What is carried away comes first, since the network stays behind; the code is that of its address."""
    has_file = (server.site / EVERYTHING).is_file()
    first = server.url + EVERYTHING if has_file else server.url
    if has_file:
        say(FIRST)
        say(first)
    _show_code(first, say)
    say(f"The site, for phones in this network: {server.url}  {STOP}")
    for line in WITHOUT:
        say(line)


def _show_code(url: str, say: Callable[[str], None]) -> None:
    """The code, where the terminal has its blocks; in colours of its own, where it has those."""
    if not _can_show("█▀▄"):
        return
    if sys.stdout.isatty():
        lines = (f"{BLACK_ON_WHITE}{line}{AS_BEFORE}\n" for line in code_lines(url, on_light=True))
        sys.stdout.write("".join(lines))
        sys.stdout.flush()
    else:
        say("\n".join(code_lines(url)))


def _can_show(text: str) -> bool:
    try:
        text.encode(sys.stdout.encoding or "ascii")
    except UnicodeEncodeError:
        return False
    return True
