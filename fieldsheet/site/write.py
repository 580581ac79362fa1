"""Puts a site on disk so that at every moment there is one complete site or the one before.

    OUT/versions/<hash>/   complete sites, the newest two of them
    OUT/site               a link to the one that counts, replaced in one rename
    OUT/kept/              what the next build need not make again: kept.py's

A version is written beside the others under a passing name, brought to the disk, and only then renamed.
"""

from __future__ import annotations

import contextlib
import errno
import fcntl
import hashlib
import os
import re
import shutil
from collections.abc import Iterator, Mapping
from pathlib import Path

MARKER = "WRITTEN-BY-FIELDSHEET.txt"
MARKER_TEXT = b"fieldsheet build writes and removes everything in this folder. Serve the folder `site`.\n"
VERSIONS = "versions"
KEPT = "kept"
SITE = "site"
KEPT_VERSIONS = 2
PASSING = "."  # names that begin so are unfinished or given up: nothing points to them

# Names that mean the same on every file system and in every address, none hidden, none climbing.
_PATH = re.compile(r"(?:[A-Za-z0-9_][A-Za-z0-9._-]{0,99}/){0,8}[A-Za-z0-9_][A-Za-z0-9._-]{0,99}", re.ASCII)


class NotOurs(Exception):
    """The output folder holds something that this program did not write."""


def write_site(out: Path, files: Mapping[str, bytes]) -> Path:
    """Makes OUT/site show exactly `files` (relative path -> bytes); returns OUT/site.

    Raises ValueError for a path that is absolute, climbs or is odd, NotOurs for a folder that is neither
    empty nor from here, OSError for what the disk refuses. On any of them the last good site stays.
    """
    _check_paths(files)
    claim(out)
    with _only_writer(out):
        versions = out / VERSIONS
        versions.mkdir(exist_ok=True)
        version = _place_version(versions, files)
        _point(out, version.name)
        _prune(versions, version)
    return out / SITE


def _check_paths(files: Mapping[str, bytes]) -> None:
    seen: set[str] = set()
    for path in files:
        if not _PATH.fullmatch(path):
            raise ValueError(f"not a path that a site may have: {path!r}")
        if path.casefold() in seen:
            raise ValueError(f"two paths that differ in case only: {path!r}")
        seen.add(path.casefold())


def claim(out: Path) -> None:
    """Makes OUT ours, or raises NotOurs; links inside it could lead what we write outside."""
    out.mkdir(parents=True, exist_ok=True)
    if not (out / MARKER).is_file() and any(out.iterdir()):
        raise NotOurs(f"{out} is neither empty nor an output folder of fieldsheet: choose another")
    if any((out / name).is_symlink() for name in (MARKER, VERSIONS, KEPT)):
        raise NotOurs(f"{out} holds links that lead elsewhere: choose another")
    if not (out / MARKER).exists():
        _write_file(out / MARKER, MARKER_TEXT)


@contextlib.contextmanager
def _only_writer(out: Path) -> Iterator[None]:
    """Two builds at once would clear away each other's unfinished version; the lock dies with its process."""
    handle = os.open(out / MARKER, os.O_RDONLY)
    try:
        try:
            fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            raise OSError(errno.EBUSY, "another build is writing there", str(out)) from None
        yield
    finally:
        os.close(handle)


def _place_version(versions: Path, files: Mapping[str, bytes]) -> Path:
    """The folder that holds exactly these files: one already there, else a new one."""
    digest = _digest(files)
    name, again = digest, 1
    while (versions / name).exists():
        if _holds(versions / name, files):
            os.utime(versions / name)
            return versions / name
        again += 1  # someone changed the files of that version: leave it to be pruned
        name = f"{digest}-{again}"
    unfinished = versions / f"{PASSING}new-{os.getpid()}"
    try:
        _write_tree(unfinished, files)
        os.rename(unfinished, versions / name)
    except OSError:
        shutil.rmtree(unfinished, ignore_errors=True)
        raise
    _to_disk(versions)
    return versions / name


def _digest(files: Mapping[str, bytes]) -> str:
    total = hashlib.sha256()
    for path in sorted(files):
        total.update(f"{path}\n{len(files[path])}\n".encode())
        total.update(files[path])
    return total.hexdigest()[:16]


def _holds(folder: Path, files: Mapping[str, bytes]) -> bool:
    found = {path.relative_to(folder).as_posix(): path for path in folder.rglob("*") if not path.is_dir()}
    return found.keys() == files.keys() and all(
        not path.is_symlink() and path.read_bytes() == files[name] for name, path in found.items()
    )


def _write_tree(folder: Path, files: Mapping[str, bytes]) -> None:
    shutil.rmtree(folder, ignore_errors=True)
    folder.mkdir()
    for path in sorted(files):
        (folder / path).parent.mkdir(parents=True, exist_ok=True)
        _write_file(folder / path, files[path])
    for inner in [*(path for path in folder.rglob("*") if path.is_dir()), folder]:
        _to_disk(inner)


def _write_file(path: Path, data: bytes) -> None:
    handle = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL | os.O_NOFOLLOW, 0o666)
    try:
        rest = memoryview(data)
        while rest:
            rest = rest[os.write(handle, rest) :]
        os.fsync(handle)
    finally:
        os.close(handle)


def _to_disk(folder: Path) -> None:
    handle = os.open(folder, os.O_RDONLY | os.O_DIRECTORY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


def _point(out: Path, version: str) -> None:
    """The moment that counts: one rename makes the new version the site."""
    link = out / f"{PASSING}{SITE}"
    link.unlink(missing_ok=True)
    os.symlink(f"{VERSIONS}/{version}", link)
    os.replace(link, out / SITE)
    _to_disk(out)


def _is_version(path: Path) -> bool:
    """A desktop may leave files of its own among the versions; they are not ours to touch."""
    return path.is_dir() and not path.is_symlink() and not path.name.startswith(PASSING)


def _prune(versions: Path, current: Path) -> None:
    """Keeps the current version and the newest other; renames before removing, so that none is half there."""
    others = sorted(
        (path for path in versions.iterdir() if path != current and _is_version(path)),
        key=lambda path: path.stat().st_mtime_ns,
        reverse=True,
    )
    for path in others[KEPT_VERSIONS - 1 :]:
        os.rename(path, versions / f"{PASSING}old-{path.name}")
    for path in (*versions.glob(f"{PASSING}new-*"), *versions.glob(f"{PASSING}old-*")):
        shutil.rmtree(path)
