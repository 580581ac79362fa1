"""Rows of a table -> the files of shots that come of them: all of them, or every reason against it."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from decimal import Decimal
from pathlib import Path as Folder
from typing import Any

from fieldsheet.catalog.files import Found, find_files
from fieldsheet.catalog.scan import scan
from fieldsheet.catalog.words import Wrong, one_of
from fieldsheet.problems import Problem
from fieldsheet.starts.landing import must_take
from fieldsheet.starts.trial import faults_in
from fieldsheet.tabled.cells import cell_of, value_of
from fieldsheet.tabled.columns import Path, flat, in_order, name_of
from fieldsheet.tabled.rows import Row, cell_name
from fieldsheet.tabled.shotfile import changed_text, says, shot_text

# Of a file that nobody has seen.
_LINE = re.compile(r" \(line \d+\)")


@dataclass
class Merged:
    """new, changed: file -> bytes, relative to the catalog; same: how many rows change nothing.

    before: the bytes of what is changed, as they were read.
    """

    new: dict[str, bytes] = field(default_factory=dict)
    changed: dict[str, bytes] = field(default_factory=dict)
    before: dict[str, bytes] = field(default_factory=dict)
    same: int = 0
    problems: list[Problem] = field(default_factory=list)


def merge(folder: Folder, rows: Sequence[Row], name: str, change: bool) -> Merged:
    """What a catalog's shots become with the rows of the table `name`; change: those that are there may.

    Nothing is written. Problems are those of the table's cells, as the catalog's own reader finds them, and
    what the rows bring upon other files. Raises CatalogProblems where no file can be put there at all.
    """
    found = find_files(folder)
    must_take(folder, "shot", found)
    merged = Merged()
    for row in rows:
        file = f"shots/{row.shot_id}.toml"
        there = found.data.get(("shot", row.shot_id))
        if there is not None:
            _meet(merged, row, *there, name, change)
        elif row.shot_id in found.listed["shot"]:
            merged.problems.append(_unread(name, row, file))
        else:
            merged.new[file] = shot_text(row.values).encode()
    merged.problems += _judged(found, merged, {f"shots/{row.shot_id}.toml": row for row in rows}, name)
    return merged


def _meet(merged: Merged, row: Row, file: str, data: bytes, name: str, change: bool) -> None:
    """A row whose shot is there: the same, or changed where that is asked for and can be."""
    raw = scan(data).values
    if raw is None:
        merged.problems.append(_unread(name, row, file))
        return
    there = flat(raw)
    changes = _changes(there, row)
    if not changes:
        merged.same += 1
        return
    if not change:
        found = f"{file}, which says otherwise in {one_of([name_of(path) for path in changes], 'and')}"
        right = "another id, or --change to change those lines of it"
        merged.problems.append(Problem(name, row.line, "id", found, right))
        return
    try:
        text = changed_text(data.decode("utf-8"), changes)
        wanted = {path: value for path, value in (there | changes).items() if value is not None}
        if not says(text, wanted):
            raise Wrong(f"{file}, in which it cannot be changed line by line", "to change it there by hand")
    except Wrong as wrong:
        merged.problems.append(Problem(name, row.line, "", wrong.found, wrong.right))
        return
    merged.changed[file], merged.before[file] = text.encode(), data


def _unread(name: str, row: Row, file: str) -> Problem:
    right = "a file that can be read: fieldsheet check"
    return Problem(name, row.line, "id", f"{file}, which cannot be read", right)


def _changes(there: Mapping[Path, Any], row: Row) -> dict[Path, Any]:
    """Where a row says otherwise than the file, in the columns that the table has; None: no longer given."""
    return {
        path: row.leaves.get(path)
        for path in in_order([*row.columns])
        if _plain(row.leaves.get(path)) != _plain(_as_read(there.get(path), path))
    }


def _as_read(value: Any, path: Path) -> Any:
    """A file's value as its own cell gives it: of "13" in quotes nobody sees the quotes in a table."""
    try:
        return None if value is None else value_of(cell_of(value), path)
    except Wrong:
        return value


def _plain(value: Any) -> Any:
    """A value as far as it counts: a number however it is written, a text without blanks at its ends."""
    if isinstance(value, int) and not isinstance(value, bool):
        return Decimal(value)
    return value.strip() if isinstance(value, str) else value


def _judged(found: Found, merged: Merged, rows: Mapping[str, Row], name: str) -> Iterator[Problem]:
    """What the catalog's reader has against the files that would be written, by the cells they came from."""
    written = {**merged.new, **merged.changed}
    if not written:
        return
    for problem in faults_in(written, dict(found.data.values())):
        row = rows.get(problem.file)
        if row is None:
            yield replace(problem, found=f"{problem.found}, with the rows of {name}")
        else:
            unseen = _LINE.sub("", problem.found)
            yield Problem(name, row.line, _column(problem.key, row), unseen, problem.right)


def _column(key: str, row: Row) -> str:
    """The column that a problem's key stands in, or its nearest; else the key itself."""
    path: Path = tuple(int(part) if part.isdecimal() else part for part in key.split(".")) if key else ()
    for length in range(len(path), 0, -1):
        for column, number in row.columns.items():
            if column[:length] == path[:length] and (column in row.leaves or column == path):
                return cell_name(number, column)
    return key
