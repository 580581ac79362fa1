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
import stat
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from .content import Content, bytes_of, size_of, sum_of

MARKER = "WRITTEN-BY-FIELDSHEET.txt"
MARKER_TEXT = b"fieldsheet build writes and removes what is in this folder. Serve the folder `site`.\n"
VERSIONS = "versions"
KEPT = "kept"
SITE = "site"
KEPT_VERSIONS = 2
PASSING = "."  # names that begin so are unfinished or given up: nothing points to them
NEW, OLD = f"{PASSING}new", f"{PASSING}old"

# Names that mean the same on every file system and in every address, none hidden, none climbing.
_PATH = re.compile(r"(?:[A-Za-z0-9_][A-Za-z0-9._-]{0,99}/){0,8}[A-Za-z0-9_][A-Za-z0-9._-]{0,99}", re.ASCII)
_VERSION = re.compile(r"[0-9a-f]{16}(-[0-9]+)?")


class NotOurs(Exception):
    """What was given for the output cannot be it: it would put somebody's files at risk."""


@dataclass(frozen=True)
class Output:
    """An output folder that is this build's alone while `claimed` holds it."""

    path: Path


def check_output(out: Path, sources: Sequence[Path] = ()) -> None:
    """Raises NotOurs for what cannot become an output folder; touches nothing.

    sources: folders that are read; none of them may lie in OUT, nor OUT in one of them.
    """
    real = Path(os.path.realpath(out))
    if out.is_symlink() and not real.exists():
        raise NotOurs(f"{out} is a link that leads nowhere: choose another")
    for parent in (out, *out.parents):
        if parent.exists() and not parent.is_dir():
            raise NotOurs(f"{parent} is no folder: choose another")
    for parent in real.parents:
        if (parent / MARKER).is_file():
            raise NotOurs(f"{out} lies in {parent}, which builds clear away: choose another")
    for source in sources:
        read = Path(os.path.realpath(source))
        if real.is_relative_to(read):
            raise NotOurs(f"{out} lies in {source}, where the catalog's files are: choose another")
        if read.is_relative_to(real):
            raise NotOurs(f"{source} lies in {out}, which builds write and clear away: choose another")
    _check_inside(out)


def _check_inside(out: Path) -> None:
    """Links inside it could lead what we write outside; a real `site` is somebody's own."""
    names = set(os.listdir(out)) if out.is_dir() else set()
    if names and not (out / MARKER).is_file():
        raise NotOurs(f"{out} is neither empty nor an output folder of fieldsheet: choose another")
    if any((out / name).is_symlink() for name in (MARKER, VERSIONS, KEPT)):
        raise NotOurs(f"{out} holds links that lead elsewhere: choose another")
    if SITE in names and not (out / SITE).is_symlink():
        raise NotOurs(f"{out / SITE} is not the link that builds make: move it away")


@contextlib.contextmanager
def claimed(out: Path) -> Iterator[Output]:
    """Makes OUT ours, and until this ends no other build's: two would clear away each other's files.

    The lock dies with its process.  Raises NotOurs as check_output does, OSError for what the disk refuses
    and, in words, where another build has it.
    """
    check_output(out)
    out.mkdir(parents=True, exist_ok=True)
    handle = os.open(out / MARKER, os.O_RDWR | os.O_CREAT | os.O_NOFOLLOW, 0o666)
    try:
        try:
            fcntl.lockf(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except (BlockingIOError, PermissionError):
            raise OSError(errno.EBUSY, "another build is writing there", str(out)) from None
        if os.pread(handle, len(MARKER_TEXT) + 1, 0) != MARKER_TEXT:
            os.ftruncate(handle, 0)
            _write_all(handle, MARKER_TEXT)
        _clear_away(out)
        yield Output(out)
    finally:
        os.close(handle)


def _clear_away(out: Path) -> None:
    """What killed builds left: first of all, for it may be what fills the disk."""
    for left in (*(out / VERSIONS).glob(f"{NEW}*"), *(out / VERSIONS).glob(f"{OLD}*")):
        shutil.rmtree(left, ignore_errors=True)  # of a link or a file it takes nothing
    for left in (out / f"{PASSING}{SITE}", out / VERSIONS / NEW, *(out / KEPT).glob(f"{PASSING}*")):
        with contextlib.suppress(OSError):
            left.unlink()


def write_site(output: Output, files: Mapping[str, Content]) -> Path:
    """Makes OUT/site show exactly `files` (by relative path); returns OUT/site.

    Raises ValueError for a path that is absolute, climbs or is odd, OSError for what the disk refuses.  On
    either the last good site stays.
    """
    _check_paths(files)
    versions = output.path / VERSIONS
    versions.mkdir(exist_ok=True)
    version = _place_version(versions, files)
    _point(output.path, version.name)
    _prune(versions, version)
    return output.path / SITE


def _check_paths(files: Mapping[str, Content]) -> None:
    seen: set[str] = set()
    for path in files:
        if not _PATH.fullmatch(path):
            raise ValueError(f"not a path that a site may have: {path!r}")
        if path.casefold() in seen:
            raise ValueError(f"two paths that differ in case only: {path!r}")
        seen.add(path.casefold())


def _place_version(versions: Path, files: Mapping[str, Content]) -> Path:
    """The folder that holds exactly these files: one already there, else a new one."""
    digest = _digest(files)
    name, again = digest, 1
    while os.path.lexists(versions / name):
        if _holds(versions / name, files):
            os.utime(versions / name)
            return versions / name
        again += 1  # someone changed the files of that version: leave it to be pruned
        name = f"{digest}-{again}"
    unfinished = versions / NEW
    try:
        _write_tree(unfinished, files)
        os.rename(unfinished, versions / name)
    except OSError:
        shutil.rmtree(unfinished, ignore_errors=True)
        raise
    _to_disk(versions)
    return versions / name


def _digest(files: Mapping[str, Content]) -> str:
    total = hashlib.sha256()
    for path in sorted(files):
        total.update(f"{path}\n".encode() + sum_of(files[path]))
    return total.hexdigest()[:16]


def _holds(folder: Path, files: Mapping[str, Content]) -> bool:
    """Whether the folder has these files and no others; what cannot be read is not what it should be."""
    try:
        found = {path.relative_to(folder).as_posix(): path for path in folder.rglob("*") if _counts(path)}
        return found.keys() == files.keys() and all(_is(found[name], files[name]) for name in files)
    except OSError:
        return False


def _counts(path: Path) -> bool:
    return path.is_symlink() or not path.is_dir()


def _is(path: Path, content: Content) -> bool:
    """Looks before it reads: a pipe would never end."""
    found = path.lstat()
    if not stat.S_ISREG(found.st_mode) or found.st_size != size_of(content):
        return False
    return hashlib.sha256(path.read_bytes()).digest() == sum_of(content)


def _write_tree(folder: Path, files: Mapping[str, Content]) -> None:
    folder.mkdir()
    for path in sorted(files):
        (folder / path).parent.mkdir(parents=True, exist_ok=True)
        write_file(folder / path, bytes_of(files[path]), to_disk=True)
    for inner in [*(path for path in folder.rglob("*") if path.is_dir()), folder]:
        _to_disk(inner)


def write_file(path: Path, data: bytes, *, to_disk: bool) -> None:
    """A new file with these bytes, at once on the disk if asked; raises OSError, with the path in it."""
    handle = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL | os.O_NOFOLLOW, 0o666)
    try:
        _write_all(handle, data)
        if to_disk:
            os.fsync(handle)
    except OSError as error:
        raise OSError(error.errno, error.strerror, str(path)) from error
    finally:
        os.close(handle)


def _write_all(handle: int, data: bytes) -> None:
    rest = memoryview(data)
    while rest:
        rest = rest[os.write(handle, rest) :]


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
    """What else lies among the versions is somebody's, or a desktop's: not ours to touch."""
    return _VERSION.fullmatch(path.name) is not None and path.is_dir() and not path.is_symlink()


def _prune(versions: Path, current: Path) -> None:
    """Keeps the current version and the newest other; renames before removing, so that none is half there.

    The site counts by now: what cannot be removed is no failure, and the next build tries again.
    """
    with contextlib.suppress(OSError):
        others = sorted(
            (path for path in versions.iterdir() if path != current and _is_version(path)),
            key=lambda path: path.stat().st_mtime_ns,
            reverse=True,
        )
        for path in others[KEPT_VERSIONS - 1 :]:
            os.rename(path, versions / f"{OLD}-{path.name}")
            shutil.rmtree(versions / f"{OLD}-{path.name}")
