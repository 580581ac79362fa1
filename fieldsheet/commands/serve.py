"""fieldsheet serve: a site to this machine alone, or to phones beside it."""

from __future__ import annotations

import argparse
import signal
import sys
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

from fieldsheet.commands.told import FINE, can_show, tell
from fieldsheet.commands.typed import typed_port

if TYPE_CHECKING:
    from fieldsheet.commands.typed import Commands
    from fieldsheet.site.serve import SiteServer


PORT = 8780  # always the same one, since a browser keeps ticks and versions by address
STOP = "(stop with Ctrl-C)"
BLACK_ON_WHITE, AS_BEFORE = "\x1b[30;107m", "\x1b[0m"  # Source: ECMA-48, SGR; 107 from common practice
# What browsers give to https and to this machine alone. Source: W3C, Secure Contexts.
WITHOUT = (
    "Over http a phone keeps no copy of the site: its pages work while this runs and the network is there.",
    "The phone still computes other nights, and keeps ticks, photos and notes, at this address only.",
    "Not to be had: its position, a screen kept awake, pages without signal.",
)
FIRST = "First: all shots in one file. Save it on the phone, it opens without signal:"


def add(commands: Commands) -> None:
    """How it is typed."""
    one = commands.add_parser("serve", help="show a built site on this machine")
    one.add_argument("out", type=Path, metavar="OUT")
    one.add_argument("--port", type=typed_port, default=PORT, help=f"0 for a free one (default {PORT})")
    phones = "to phones in the same network, too, at this machine's address there (found if it is not given)"
    one.add_argument("--hotspot", nargs="?", const="", metavar="ADDRESS", help=phones)
    one.set_defaults(run=run)


def run(typed: argparse.Namespace) -> int:
    """Shows a built site until it is stopped."""
    serve_typed(typed, tell)
    return FINE


def serve_typed(typed: argparse.Namespace, say: Callable[[str], None]) -> None:
    """Serves typed.out at typed.port until it is stopped, at typed.hotspot where that is not None.

    typed.hotspot: an address of this machine, "" for the one that is found.  Raises as SiteServer does.
    """
    from fieldsheet.site.serve import HOST, SiteServer, checked_address, own_address, serve

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
    from fieldsheet.site.pocket import EVERYTHING

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
    from fieldsheet.exchange.blocks import code_lines

    if not can_show("█▀▄"):
        return
    if sys.stdout.isatty():
        lines = (f"{BLACK_ON_WHITE}{line}{AS_BEFORE}\n" for line in code_lines(url, on_light=True))
        sys.stdout.write("".join(lines))
        sys.stdout.flush()
    else:
        say("\n".join(code_lines(url)))
