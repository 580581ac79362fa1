"""Files onto the disk: a whole folder or nothing of it, and one file beside others, never over one."""

from __future__ import annotations

import contextlib
import errno
import os
import shutil
import tempfile
from collections.abc import Iterator, Mapping
from pathlib import Path

from fieldsheet.catalog.files import CATALOG_FILE, Found
from fieldsheet.problems import CatalogProblems


@contextlib.contextmanager
def aside(folder: Path) -> Iterator[Path]:
    """A folder in a folder, for what is made whole before it gets its name there; gone afterwards."""
    with tempfile.TemporaryDirectory(prefix=".fieldsheet-", dir=folder, ignore_cleanup_errors=True) as made:
        yield Path(made)


def write_files(folder: Path, files: Mapping[str, bytes]) -> None:
    """Relative path -> bytes, into a folder."""
    for name, data in files.items():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(data)


def land(folder: Path, files: Mapping[str, bytes]) -> None:
    """A new folder of files, or an empty one filled; on a failure it is as it was. Raises OSError.

    Into a folder that was there the head of the catalog comes last: a half of it is never taken for one.
    """
    with _named(folder):
        folder.parent.mkdir(parents=True, exist_ok=True)
        there = folder.exists()
        with aside(folder if there else folder.parent) as room:
            made = room / "made"
            made.mkdir()
            write_files(made, files)
            if there:
                _fill(folder, made)
            else:
                made.rename(folder)


@contextlib.contextmanager
def _named(path: Path) -> Iterator[None]:
    """What the disk refuses is told of what was asked for, not of a passing name beside it."""
    try:
        yield
    except OSError as error:
        raise OSError(error.errno, error.strerror, str(path)) from error


def _fill(folder: Path, made: Path) -> None:
    moved: list[Path] = []
    try:
        for name in sorted(os.listdir(made), key=lambda name: (name == CATALOG_FILE, name)):
            (made / name).rename(folder / name)
            moved.append(folder / name)
    except BaseException:
        for path in moved:
            shutil.rmtree(path) if path.is_dir() else path.unlink()
        raise


def must_take(folder: Path, kind: str, found: Found) -> None:
    """Raises CatalogProblems where there is no catalog, or where such a file would land outside it."""
    if ("catalog", "catalog") not in found.data:
        raise CatalogProblems(found.problems)
    inside = folder / f"{kind}s"
    if not Path(os.path.realpath(inside)).is_relative_to(os.path.realpath(folder)):
        raise CatalogProblems([problem for problem in found.problems if problem.file == inside.name])


def land_beside(path: Path, data: bytes) -> None:
    """One more file, whole or not at all; raises FileExistsError where there is one, other OSErrors too."""
    with _named(path):
        path.parent.mkdir(parents=True, exist_ok=True)
        with aside(path.parent) as room:
            made = room / path.name
            made.write_bytes(data)
            _link(made, path)


def _link(made: Path, path: Path) -> None:
    """A second name fails where the first is taken; where files have but one name, a look must do."""
    try:
        os.link(made, path)
    except OSError:
        if os.path.lexists(path):
            raise FileExistsError(errno.EEXIST, os.strerror(errno.EEXIST), str(path)) from None
        made.rename(path)
