"""Modules and styles as the phone carries them: joined, without comments and idle blanks, with short names.

The phone's store is counted in raw bytes, and a page that asks for one file is ready before one that asks for
a hundred.  The modules of a page become one; what several pages need stands in files that they share, named
by a hash of what is in them.
"""

from __future__ import annotations

import functools
from collections.abc import Mapping, Sequence
from pathlib import Path
from tempfile import TemporaryDirectory

import minifyjs
import rcssmin

# What phones of 2022 understand; later syntax is written in theirs.
TARGET = "es2022,safari16"


def lean_modules(sources: Mapping[str, str], entries: Sequence[str]) -> dict[str, bytes]:
    """Path -> bytes of the entries, with all that they import, and of the files that several of them share.

    sources: path, relative to one folder -> JavaScript module.  Entries stand in that folder itself, and keep
    their names and what they export; shared files stand beside them.  The same sources give the same bytes.
    Raises minifyjs.BundleError where a module does not read, or asks for one that is not there.
    """
    return dict(_lean(tuple(sorted(sources.items())), tuple(entries)))


def lean_script(sources: Mapping[str, str], entry: str) -> str:
    """The entry with all that it imports as one plain script, which is no module and asks for none.

    What the entry exports is lost.  Raises as lean_modules does.
    """
    return _plain(tuple(sorted(sources.items())), entry)


@functools.cache
def _lean(sources: tuple[tuple[str, str], ...], entries: tuple[str, ...]) -> dict[str, bytes]:
    with TemporaryDirectory(prefix="fieldsheet-") as folder:
        written, lean = Path(folder, "written"), Path(folder, "lean")
        for path, text in sources:
            (written / path).parent.mkdir(parents=True, exist_ok=True)
            (written / path).write_text(text, "utf-8")
        minifyjs.bundle(
            list(entries),
            outdir=str(lean),
            working_dir=str(written),
            splitting=True,
            chunk_names="[hash]",
            target=TARGET,
        )
        return {path.relative_to(lean).as_posix(): path.read_bytes() for path in sorted(lean.rglob("*.js"))}


@functools.cache
def _plain(sources: tuple[tuple[str, str], ...], entry: str) -> str:
    with TemporaryDirectory(prefix="fieldsheet-") as folder:
        for path, text in sources:
            Path(folder, path).parent.mkdir(parents=True, exist_ok=True)
            Path(folder, path).write_text(text, "utf-8")
        lean = Path(folder, "lean", entry)
        minifyjs.bundle([entry], outfile=str(lean), working_dir=folder, target=TARGET)
        # A module may wait before it goes on; a plain script may do so in a function alone.
        return f'(async()=>{{"use strict";{lean.read_text("utf-8").rstrip()}}})();'


def lean_style(source: str) -> bytes:
    """A style sheet without its comments, as UTF-8."""
    return str(rcssmin.cssmin(source)).encode() + b"\n"
