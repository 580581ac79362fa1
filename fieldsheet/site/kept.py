"""What is kept in the output folder from build to build: by the hash of all that goes into it.

    OUT/kept/<hash>   one entry: a line that names and sums it, then its bytes

An entry that is damaged, cut short, or another's under its name is made anew: none is trusted but by its sum.
"""

from __future__ import annotations

import contextlib
import hashlib
import json
import os
import re
import stat
from collections.abc import Callable, Mapping
from dataclasses import fields, is_dataclass
from pathlib import Path
from typing import Any

from .write import KEPT, MARKER, PASSING, Output, write_file

_HASH = 64  # hex digits of SHA-256
_NAME = re.compile(f"[0-9a-f]{{{_HASH}}}")
_MOST_BYTES = 256 * 2**20  # a larger entry is none of ours: it is not even read

Keep = Callable[[str, Callable[[], bytes]], bytes]
"""From all that goes into something, as text, and what makes it, to its bytes."""


def unkept(key: str, make: Callable[[], bytes]) -> bytes:
    """Makes it each time."""
    return make()


def under(packs: Mapping[int, bytes], keep: Keep) -> Keep:
    """The same for what is looked for in a sky: all its packs are part of each key."""
    sky = {year: hashlib.sha256(data).hexdigest() for year, data in sorted(packs.items())}
    return lambda key, make: keep(f"{sky} {key}", make)


def json_of(inputs: Any) -> str:
    """Inputs as JSON, keys in order; raises TypeError for what is neither JSON nor a dataclass of it."""
    return json.dumps(inputs, sort_keys=True, separators=(",", ":"), allow_nan=False, default=_fields)


def _fields(value: Any) -> Any:
    if is_dataclass(value) and not isinstance(value, type):
        return {one.name: getattr(value, one.name) for one in fields(value)}
    raise TypeError(f"not a value that a key can hold: {type(value).__name__}")


class Kept:
    """A Keep that makes only what OUT does not have.

    out: the output folder, which is only read until `begin`; program: names what makes it all, so that
    another version of it starts anew.  An entry that cannot be read is made; raises what the maker raises,
    and OSError for what the disk refuses.
    """

    def __init__(self, out: Path, program: str) -> None:
        self._program = program
        self._folder = out / KEPT
        self._is_ours = (out / MARKER).is_file() and not self._folder.is_symlink()
        self._pending: dict[str, bytes] | None = {}
        self._used: set[str] = set()

    def __call__(self, key: str, make: Callable[[], bytes]) -> bytes:
        """What `key` names, read or made."""
        name = hashlib.sha256(f"{self._program}\n{key}".encode()).hexdigest()
        data = self._read(name) if self._is_ours else None
        if data is None:
            data = make()
            self._put(name, data)
        self._used.add(name)
        return data

    def begin(self, output: Output) -> None:
        """Writes from now on into the folder that was claimed; before that nothing of OUT is touched."""
        self._folder = output.path / KEPT
        self._folder.mkdir(exist_ok=True)
        self._is_ours = True
        pending, self._pending = self._pending or {}, None
        for name, data in pending.items():
            self._put(name, data)

    def prune(self) -> None:
        """Removes the entries that were not asked for; what is no entry is somebody's, and stays."""
        for path in self._folder.iterdir():
            if path.name not in self._used and _NAME.fullmatch(path.name):
                with contextlib.suppress(OSError):  # the next build tries again
                    path.unlink()

    def _read(self, name: str) -> bytes | None:
        try:
            handle = os.open(self._folder / name, os.O_RDONLY | os.O_NOFOLLOW | os.O_NONBLOCK)
        except OSError:
            return None
        found = os.fstat(handle)
        if not stat.S_ISREG(found.st_mode) or found.st_size > _MOST_BYTES:
            os.close(handle)
            return None
        with os.fdopen(handle, "rb") as file:
            try:
                whole = file.read()
            except OSError:
                return None
        head, data = whole[: _HASH + 1], whole[_HASH + 1 :]
        return data if head == _head(name, data) else None

    def _put(self, name: str, data: bytes) -> None:
        """In one rename; not forced to the disk, since what a lost current leaves has not its sum."""
        if self._pending is not None:
            self._pending[name] = data
            return
        passing = self._folder / f"{PASSING}{name}"
        try:
            write_file(passing, _head(name, data) + data, to_disk=False)
            os.replace(passing, self._folder / name)
        except IsADirectoryError:  # somebody's folder stands in its place: made anew each time
            passing.unlink()
        except OSError:
            passing.unlink(missing_ok=True)
            raise


def _head(name: str, data: bytes) -> bytes:
    """The name is summed, too: one entry is not taken for another."""
    return hashlib.sha256(f"{name}\n".encode() + data).hexdigest().encode() + b"\n"
