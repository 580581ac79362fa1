"""What is kept in the output folder from build to build: by the hash of all that goes into it.

    OUT/kept/<hash>   one entry: a line that names and sums it, then its bytes

What is kept need not be in memory: of a thousand shots' site one file at a time is, when it is written.
An entry that is damaged, cut short, or another's under its name is made anew: none is trusted but by its sum.
"""

from __future__ import annotations

import contextlib
import errno
import hashlib
import json
import os
import re
import stat
from collections.abc import Callable, Mapping
from dataclasses import fields, is_dataclass
from functools import partial
from pathlib import Path
from typing import Any

from .content import Content, Held
from .write import KEPT, MARKER, PASSING, Output, write_file

_HASH = 64  # hex digits of SHA-256
_NAME = re.compile(f"[0-9a-f]{{{_HASH}}}")
_MOST_BYTES = 256 * 2**20  # a larger entry is none of ours: it is not even read

Keep = Callable[[str, Callable[[], bytes]], Content]
"""From all that goes into something, as text, and what makes it, to its bytes."""


def unkept(key: str, make: Callable[[], bytes]) -> bytes:
    """Makes it each time."""
    return make()


def under(packs: Mapping[int, bytes], keep: Keep) -> Keep:
    """The same for what is looked for in a sky: all its packs are part of each key."""
    sky = {year: hashlib.sha256(data).hexdigest() for year, data in sorted(packs.items())}
    return lambda key, make: keep(f"{sky} {key}", make)


class Summed(dict[str, Any]):
    """A JSON object that nobody changes, and the sum that stands for it in the many keys that hold it.

    A copy of it is a plain dict, which may be changed.
    """

    def __init__(self, value: Mapping[str, Any], total: str) -> None:
        super().__init__(value)
        self.total = total

    def __reduce__(self) -> tuple[Any, ...]:
        return dict, (dict(self),)


def json_of(inputs: Any) -> str:
    """Inputs as JSON, keys in order; raises TypeError for what is neither JSON nor a dataclass of it.

    For what is Summed stands its sum; in plain dicts it is looked for only where it is all they hold.
    """
    shown = _shown(inputs)
    return json.dumps(shown, sort_keys=True, separators=(",", ":"), allow_nan=False, default=_fields)


def _shown(value: Any) -> Any:
    if isinstance(value, Summed):
        return {"sum": value.total}
    if isinstance(value, list | tuple):
        return [_shown(each) for each in value]
    if isinstance(value, dict) and value and all(isinstance(each, Summed) for each in value.values()):
        return {key: _shown(each) for key, each in value.items()}
    return _fields(value) if is_dataclass(value) else value


def _fields(value: Any) -> Any:
    if is_dataclass(value) and not isinstance(value, type):
        return {one.name: _shown(getattr(value, one.name)) for one in fields(value)}
    raise TypeError(f"not a value that a key can hold: {type(value).__name__}")


class Kept:
    """A Keep that makes only what OUT does not have.

    out: the output folder, which is only read until `begin`; program: names what makes it all, so that
    another version of it starts anew.  An entry that cannot be read is made; raises what the maker raises,
    and OSError for what the disk refuses.  What it gives out stays on the disk from `begin` on, when no other
    build may clear it away.
    """

    def __init__(self, out: Path, program: str) -> None:
        self._program = program
        self._folder = out / KEPT
        self._is_ours = (out / MARKER).is_file() and not self._folder.is_symlink()
        self._pending: dict[str, bytes] | None = {}
        self._used: set[str] = set()

    def __call__(self, key: str, make: Callable[[], bytes]) -> Content:
        """What `key` names, read or made."""
        name = hashlib.sha256(f"{self._program}\n{key}".encode()).hexdigest()
        found = self._read(name) if self._is_ours else None
        content = self._put(name, make()) if found is None else self._given(name, *found)
        self._used.add(name)
        return content

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

    def _given(self, name: str, data: bytes, total: bytes) -> Content:
        """In memory as long as another build may clear the entry away."""
        if self._pending is not None:
            return data
        return Held(len(data), total, partial(self._again, name, total))

    def _again(self, name: str, total: bytes) -> bytes:
        found = self._whole(name)
        if found is None or found[1] != total:
            raise OSError(errno.EIO, "changed while it was in use", str(self._folder / name))
        return found[0]

    def _read(self, name: str) -> tuple[bytes, bytes] | None:
        try:
            return self._whole(name)
        except OSError:
            return None

    def _whole(self, name: str) -> tuple[bytes, bytes] | None:
        """The bytes of an entry and their SHA-256; None of one that is not whole. Raises OSError."""
        handle = os.open(self._folder / name, os.O_RDONLY | os.O_NOFOLLOW | os.O_NONBLOCK)
        found = os.fstat(handle)
        if not stat.S_ISREG(found.st_mode) or found.st_size > _MOST_BYTES:
            os.close(handle)
            return None
        with os.fdopen(handle, "rb") as file:
            whole = file.read()
        head, data = whole[: _HASH + 1], whole[_HASH + 1 :]
        total = hashlib.sha256(data).digest()
        return (data, total) if head == _head(name, total) else None

    def _put(self, name: str, data: bytes) -> Content:
        """In one rename; not forced to the disk, since what a lost current leaves has not its sum."""
        if self._pending is not None:
            self._pending[name] = data
            return data
        passing, total = self._folder / f"{PASSING}{name}", hashlib.sha256(data).digest()
        try:
            write_file(passing, _head(name, total) + data, to_disk=False)
            os.replace(passing, self._folder / name)
        except IsADirectoryError:  # somebody's folder stands in its place: made anew each time
            passing.unlink()
            return data
        except OSError:
            passing.unlink(missing_ok=True)
            raise
        return self._given(name, data, total)


def _head(name: str, total: bytes) -> bytes:
    """The name is summed, too: one entry is not taken for another."""
    return hashlib.sha256(f"{name}\n".encode() + total).hexdigest().encode() + b"\n"
