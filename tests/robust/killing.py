"""Builds into OUT in processes that die before their k-th call that reaches the disk, and says what was left.

    python -m tests.robust.killing CATALOG FOLDER [REAL]

CATALOG is edited and FOLDER filled.  Without REAL every k is tried, of little.py's builds; with it, REAL ks
of whole builds.  Prints JSON, a list of {"before": "old" | "nothing", "at": k, "call",
"shown": "old" | "nothing" | "new" | "spoilt", "mended"}; `mended`: the next build succeeded, and left nothing
but its own.
"""

from __future__ import annotations

import functools
import json
import os
import shutil
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

from fieldsheet import program
from fieldsheet.catalog import read
from tests.robust import little
from tests.robust.little import Site, build, edit_title, left, shown

# What reaches the disk. close is left out: a dead process's files are closed, and its lock with them.
CALLS = (
    "open", "write", "ftruncate", "fsync", "mkdir", "rmdir", "rename", "replace", "link", "symlink", "unlink",
    "utime",
)  # fmt: skip


def main(catalog: Path, folder: Path, real: int) -> list[dict[str, Any]]:
    """All trials: of a build into the site of an older catalog, and without REAL of a first one, too."""
    if real:
        same = program.program_hash()
        program.program_hash = lambda: same  # a builder may edit the program while its tests run
    else:
        _press_little()
    sites: dict[str, Site] = {"nothing": {}}
    for age, name in (("newer", "newer"), ("new", "new"), ("older", "old"), ("old", "old")):
        edit_title(catalog, age)
        assert build(catalog, folder / name) == 0
        sites[age] = shown(folder / name)
    (folder / "nothing").mkdir()
    return [
        _found(catalog, folder, before, at, sites)
        for before in (("old",) if real else ("old", "nothing"))
        for at in _moments(catalog, folder, before, real)
    ]


def _press_little() -> None:
    """Each catalog is read once, since three of them are built a hundred times."""
    real = read.read_catalog
    cached = functools.cache(lambda folder, text: real(folder))
    read.read_catalog = lambda folder: cached(folder, (folder / little.SHOT).read_text("utf-8"))
    for module, name, value in little.instead():
        setattr(module, name, value)


def _moments(catalog: Path, folder: Path, before: str, real: int) -> list[int]:
    edit_title(catalog, "new")
    total, _ = _trial(catalog, folder / before, folder / f"counted-{before}", 0)
    return [1 + total * n // real for n in range(real)] if real else list(range(1, total + 1))


def _found(catalog: Path, folder: Path, before: str, at: int, sites: dict[str, Site]) -> dict[str, Any]:
    """What stands after the new build was killed, and after the next."""
    out = folder / f"{before}-{at}"
    edit_title(catalog, "new")
    _, call = _trial(catalog, folder / before, out, at)
    site = shown(out)
    named = next((age for age in ("nothing", "old", "new") if site == sites[age]), "spoilt")
    edit_title(catalog, "newer")
    mended = build(catalog, out) == 0 and shown(out) == sites["newer"]
    mended &= not left(out) and _entries(out) == _entries(folder / "newer")
    shutil.rmtree(out)
    return {"before": before, "at": at, "call": call, "shown": named, "mended": mended}


def _entries(out: Path) -> set[str]:
    return set(os.listdir(out / "kept"))


def _trial(catalog: Path, base: Path, out: Path, at: int) -> tuple[int, str]:
    """One build of a copy of `base`, dead before call `at`; how many calls there were, and the last."""
    shutil.copytree(base, out, symlinks=True)
    read, write = os.pipe()
    child = os.fork()
    if child == 0:
        os.close(read)
        made: list[str] = []
        real_write = os.write

        def tell_and_die() -> None:
            real_write(write, json.dumps([len(made), made[-1]]).encode())
            os._exit(9)

        for name in CALLS:
            setattr(os, name, _counted(name, made, at, tell_and_die))
        assert build(catalog, out) == 0
        tell_and_die()
    os.close(write)
    with os.fdopen(read, "rb") as pipe:
        said = pipe.read()
    os.waitpid(child, 0)
    number, call = json.loads(said)
    return number, call


def _counted(name: str, made: list[str], at: int, die: Callable[[], None]) -> Callable[..., Any]:
    real = getattr(os, name)

    def call(*args: Any, **kw: Any) -> Any:
        made.append(name)
        if len(made) == at:
            if name == "write":  # half of it arrives
                real(args[0], args[1][: len(args[1]) // 2])
            die()
        return real(*args, **kw)

    return call


if __name__ == "__main__":
    catalog_folder, trials_folder, *number = sys.argv[1:]
    print(json.dumps(main(Path(catalog_folder), Path(trials_folder), int(number[0]) if number else 0)))
