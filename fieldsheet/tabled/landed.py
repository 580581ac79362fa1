"""Files of shots onto the disk: all or none of them, none over another one, none that changed meanwhile."""

from __future__ import annotations

import contextlib
import os
from collections.abc import Iterable
from pathlib import Path

from fieldsheet.starts.landing import aside, land_beside
from fieldsheet.tabled.merged import Merged


def land(folder: Path, merged: Merged) -> None:
    """Writes what was merged; where a write is refused, what was written before it is taken back.

    Raises FileExistsError for a new file that is there by now, PermissionError for one that is marked
    read-only, OSError for one that has changed since it was read or that the disk refuses.
    """
    _refuse_read_only([folder / file for file in merged.changed])
    undo: list[tuple[Path, bytes | None]] = []
    try:
        for file, data in merged.changed.items():
            path = folder / file
            if path.read_bytes() != merged.before[file]:
                raise OSError(0, "changed while the table was read: nothing is written", str(path))
            undo.append((path, merged.before[file]))  # first: what breaks in later may find it swapped
            _swap(path, data)
        for file, data in merged.new.items():
            land_beside(folder / file, data)
            undo.append((folder / file, None))
    except BaseException:
        for path, before in reversed(undo):
            with contextlib.suppress(OSError):  # the others all the same
                if before is None:
                    path.unlink()
                else:
                    _swap(path, before)
        raise


def _refuse_read_only(paths: Iterable[Path]) -> None:
    """Files are exchanged by a rename, which asks only the folder; so their own marks are looked at here."""
    for path in paths:
        # Root may write whatever the mark says; who set it meant it all the same.
        marked = not path.stat().st_mode & 0o222
        if marked or not os.access(path, os.W_OK):
            said = "read-only, so nothing is written; make it writable, or leave out its row"
            raise PermissionError(0, said, str(path))


def _swap(path: Path, data: bytes) -> None:
    """Another content for a file, whole at once, even where the current fails; a link stays one."""
    target = Path(os.path.realpath(path))
    with aside(target.parent) as room:
        made = room / target.name
        with made.open("wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        made.chmod(target.stat().st_mode & 0o7777)
        made.replace(target)
