"""Runs a command and writes down, as JSON, what it opens, writes, starts and connects to.

    python -m tests.robust.watched LOG few|all COMMAND...

few: of paper and files only cards and calendars, as a build would make them.  LOG: {"read": [path, ...],
"written": [path, ...], "other": [what, ...]}, in order; to make a folder where one stands writes nothing.
Folders are listed backwards.
"""

from __future__ import annotations

import json
import os
import sys
from pathlib import Path
from typing import Any

from fieldsheet import cli, products

WRITES = os.O_WRONLY | os.O_RDWR | os.O_CREAT | os.O_TRUNC | os.O_APPEND
# Audit event -> at which arguments it has a path, and where the folder that the path is relative to.
CHANGES = {
    "os.mkdir": ((0, 2),),
    "os.remove": ((0, 1),),
    "os.rmdir": ((0, 1),),
    "os.rename": ((0, 2), (1, 3)),
    "os.symlink": ((1, 2),),
    "os.link": ((1, 3),),
    "os.truncate": ((0, None),),
    "os.chown": ((0, 3),),
    "os.chmod": ((0, 2),),
    "os.utime": ((0, 3),),
}
STARTS = (
    "subprocess.Popen",
    "os.exec",
    "os.posix_spawn",
    "os.system",
    "socket.connect",
    "socket.getaddrinfo",
)


def watch(found: dict[str, list[str]]) -> None:
    """Fills `found` from now on."""

    def hook(event: str, args: tuple[Any, ...]) -> None:
        if event == "open" and not isinstance(args[0], int):
            found["written" if args[2] & WRITES else "read"].append(_path(args[0]))
        elif event in CHANGES:
            changed = [
                _path(args[at], -1 if folder is None else args[folder]) for at, folder in CHANGES[event]
            ]
            found["written"] += [path for path in changed if event != "os.mkdir" or not os.path.isdir(path)]
        elif event in STARTS:
            found["other"].append(f"{event} {args}")

    sys.addaudithook(hook)


def _path(path: Any, folder: int = -1) -> str:
    """Absolute; of a handle, what it is open on."""
    if isinstance(path, int):
        return os.readlink(f"/proc/self/fd/{path}")
    base = os.getcwd() if folder == -1 else os.readlink(f"/proc/self/fd/{folder}")
    return os.path.normpath(os.path.join(base, os.fsdecode(path)))


def list_backwards() -> None:
    """Folders come in an order that no program may count on."""
    listed, scanned = os.listdir, os.scandir

    class Backwards:
        def __init__(self, path: Any) -> None:
            with scanned(path) as entries:
                self.entries = sorted(entries, key=lambda entry: entry.name, reverse=True)

        def __iter__(self) -> Any:
            return iter(self.entries)

        def __enter__(self) -> Any:
            return self.entries

        def __exit__(self, *_: object) -> None:
            self.entries = []

    # Stand-ins with fewer ways to be called than the originals: what the program uses of them.
    os.listdir = lambda path=".": sorted(listed(path), reverse=True)  # type: ignore[assignment]
    os.scandir = Backwards  # type: ignore[assignment]


def make_few() -> None:
    """All of them take a while, and write alike."""
    products.KINDS = tuple(kind for kind in products.KINDS if kind.__name__ in ("_cards", "_calendars"))


if __name__ == "__main__":
    log, amount, *command = sys.argv[1:]
    seen: dict[str, list[str]] = {"read": [], "written": [], "other": []}
    watch(seen)
    list_backwards()
    if amount == "few":
        make_few()
    status = cli.main(command)
    whole = json.dumps(seen)
    Path(log).write_text(whole, "utf-8")
    sys.exit(status)
