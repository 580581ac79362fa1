"""What is kept in the output folder from build to build: by the hash of all that goes into it.

    OUT/kept/<hash>   one entry: a line that names and sums it, then its bytes

An entry that is damaged, cut short, or another's under its name is made anew: none is trusted but by its sum.
"""

from __future__ import annotations

import hashlib
import os
import stat
from collections.abc import Callable, Mapping
from pathlib import Path

from .write import KEPT, MARKER, PASSING, claim

_HASH = 64  # hex digits of SHA-256
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


class Kept:
    """A Keep that makes only what OUT does not have.

    out: the output folder, which is only read until `begin`; program: names what makes it all, so that
    another version of it starts anew.  An entry that cannot be read is made; raises what the maker raises,
    and OSError for what the disk refuses.
    """

    def __init__(self, out: Path, program: str) -> None:
        self._out, self._program = out, program
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

    def begin(self) -> None:
        """Writes from now on; before that nothing of OUT is touched.  Raises NotOurs as write_site does."""
        claim(self._out)
        self._folder.mkdir(exist_ok=True)
        self._is_ours = True
        pending, self._pending = self._pending or {}, None
        for name, data in pending.items():
            self._put(name, data)

    def prune(self) -> None:
        """Leaves the entries that were asked for, and nothing else."""
        for path in self._folder.iterdir():
            if path.name not in self._used and not path.is_dir():
                path.unlink(missing_ok=True)

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
        passing = self._folder / f"{PASSING}{name}-{os.getpid()}"
        passing.unlink(missing_ok=True)
        with open(
            os.open(passing, os.O_WRONLY | os.O_CREAT | os.O_EXCL | os.O_NOFOLLOW, 0o666), "wb"
        ) as file:
            file.write(_head(name, data) + data)
        try:
            os.replace(passing, self._folder / name)
        except IsADirectoryError:  # somebody's folder stands in its place: made anew each time
            passing.unlink()


def _head(name: str, data: bytes) -> bytes:
    """The name is summed, too: one entry is not taken for another."""
    return hashlib.sha256(f"{name}\n".encode() + data).hexdigest().encode() + b"\n"
