"""A table of shots as a spreadsheet saved it -> its rows, or every cell that cannot be read.

Known columns only, in any order. Commas, semicolons or tabs may part the cells; the head says which.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from fieldsheet.catalog.values import STEM, STEM_RIGHT
from fieldsheet.catalog.words import Wrong, near, one_of, printable, show
from fieldsheet.problems import Problem
from fieldsheet.tabled.cells import value_of
from fieldsheet.tabled.columns import ID, Path, name_of, nested, path_of, usual

MOST_BYTES = 4 * 2**20
MOST_ROWS = 2000
MOST_COLUMNS = 2000
MOST_SHOWN = 40
_PARTED_BY = (",", ";", "\t")
_SAYS_PARTED = "sep="  # a line of its own before the head, that some spreadsheets write
_UTF_16 = (b"\xff\xfe", b"\xfe\xff")


@dataclass(frozen=True)
class Row:
    """A shot as a line of the table gives it; columns: path -> (number of the column, from 0)."""

    line: int
    shot_id: str
    leaves: dict[Path, Any]
    columns: Mapping[Path, int]

    @property
    def values(self) -> dict[str, Any]:
        """As a shot's file would give them."""
        return nested(self.leaves)


@dataclass
class Rows:
    """What was read, and what is wrong with the rest."""

    rows: list[Row] = field(default_factory=list)
    problems: list[Problem] = field(default_factory=list)


def read_rows(name: str, data: bytes) -> Rows:
    """The rows of a file; its name is that of the problems."""
    return _Reader(name).read(data)


def cell_name(number: int, path: Path) -> str:
    """A column as a spreadsheet and as the head call it: "column K interval_s"."""
    key = ".".join(map(str, path))
    return f"column {_letters(number)} {key}"


def _letters(number: int) -> str:
    """A, B ... Z, AA: how spreadsheets count columns, the first one being 0."""
    before, here = divmod(number, 26)
    return (_letters(before - 1) if before else "") + chr(ord("A") + here)


class _Reader:
    def __init__(self, name: str) -> None:
        self.name = name
        self.found = Rows()

    def read(self, data: bytes) -> Rows:
        try:
            text = _text(data)
            lines = self._records(text, _parted_by(text))
            columns = self._columns(next(lines, (1, []))[1])
            if not self.found.problems:
                self._rows(lines, columns)
        except Wrong as wrong:
            self._refuse(None, "", wrong.found, wrong.right)
        # Of many the first, and the last, which says where reading stopped.
        del self.found.problems[MOST_SHOWN:-1]
        return self.found

    def _records(self, text: str, parted_by: str) -> Iterator[tuple[int, list[str]]]:
        """(line on which it begins, cells) of each record that is not blank."""
        head, end, rest = text.partition("\n")
        skipped = head.lower().startswith(_SAYS_PARTED)
        reader = csv.reader(
            io.StringIO(rest if skipped else text, newline=""), delimiter=parted_by, strict=True
        )
        while True:
            line = reader.line_num + 1 + skipped
            try:
                record = next(reader, None)
            except csv.Error:
                right = 'quotes only round a whole cell, and "" for one inside it'
                self._refuse(line, "", "quotes that do not close or stand inside a cell", right)
                return
            if record is None:
                return
            if any(cell.strip() for cell in record):
                yield line, record

    def _columns(self, head: Sequence[str]) -> dict[int, Path]:
        """The path of each column, by its number; that of the id is ()."""
        columns: dict[int, Path] = {}
        if len(head) > MOST_COLUMNS:
            raise Wrong(f"{len(head)} columns", f"at most {MOST_COLUMNS}")
        for number, cell in enumerate(head):
            title = cell.strip()
            path = () if title.lower() == ID else path_of(title)
            if path is None:
                self._refuse(1, f"column {_letters(number)}", *_unknown(title))
            elif path in columns.values():
                self._refuse(1, f"column {_letters(number)}", f"{show(title)} twice", "each column once")
            else:
                columns[number] = path
        if () not in columns.values():
            self._refuse(1, "", f"no column '{ID}'", f"a column '{ID}' with the name of each shot's file")
        return columns

    def _rows(self, records: Iterator[tuple[int, list[str]]], columns: dict[int, Path]) -> None:
        lines: dict[str, int] = {}
        for count, (line, record) in enumerate(records):
            if count == MOST_ROWS:
                return self._refuse(line, "", f"more than {MOST_ROWS} rows", "a smaller table")
            if len(record) != len(columns):
                found, right = f"{len(record)} cells", f"{len(columns)}, as the head has"
                self._refuse(line, "", found, right)
                continue
            row = self._row(line, record, columns)
            if row is not None and row.shot_id in lines:
                self._refuse(line, "id", show(row.shot_id), f"another name: line {lines[row.shot_id]} has it")
            elif row is not None:
                lines[row.shot_id] = line
                self.found.rows.append(row)

    def _row(self, line: int, record: Sequence[str], columns: dict[int, Path]) -> Row | None:
        before = len(self.found.problems)
        shot_id, leaves = "", {}
        for number, path in columns.items():
            cell = record[number].strip()
            if not path:
                shot_id = cell
                if not STEM.fullmatch(cell):
                    self._refuse(line, f"column {_letters(number)} id", show(cell), STEM_RIGHT)
            elif cell:
                try:
                    leaves[path] = value_of(cell, path)
                except Wrong as wrong:
                    self._refuse(line, cell_name(number, path), wrong.found, wrong.right)
        try:
            nested(leaves)
        except KeyError as twice:
            key = name_of(twice.args[0])
            self._refuse(line, key, f"{key} and a column of its parts", "one of the two; the other one blank")
        if len(self.found.problems) > before:
            return None
        return Row(line, shot_id, leaves, {path: number for number, path in columns.items() if path})

    def _refuse(self, line: int | None, key: str, found: str, right: str) -> None:
        self.found.problems.append(Problem(self.name, line, key, found, right))


def _text(data: bytes) -> str:
    """The text of a file as UTF-8, or as UTF-16 where it says so; raises Wrong."""
    if len(data) > MOST_BYTES:
        raise Wrong("a file of more than 4 MB", "a table of shots")
    try:
        text = data.decode("utf-16" if data[:2] in _UTF_16 else "utf-8-sig")
    except UnicodeDecodeError:
        raise Wrong("bytes that are not UTF-8", "the table saved as CSV in UTF-8") from None
    if "\0" in text:
        raise Wrong("a file of bytes, not of text", "the table saved as CSV in UTF-8")
    if not text.strip():
        raise Wrong("an empty file", f"a head with '{ID}' and the keys of shots, then a row a shot")
    return text


def _parted_by(text: str) -> str:
    """What parts the cells: what the first line says, else what parts a head into the most known columns."""
    head = next(line for line in text.splitlines() if line.strip())
    if head.lower().startswith(_SAYS_PARTED):
        sign = head[len(_SAYS_PARTED) :].strip(" ")
        if sign not in _PARTED_BY:
            raise Wrong(show(head), "sep= with a comma, a semicolon or a tab")
        return sign

    def known(sign: str) -> int:
        titles = (cell.strip().strip('"') for cell in head.split(sign, MOST_COLUMNS)[:MOST_COLUMNS])
        return sum(title.lower() == ID or path_of(title) is not None for title in titles)

    return max(_PARTED_BY, key=known)


def _unknown(title: str) -> tuple[str, str]:
    keys = [name_of(path) for path in usual()]
    meant = near(title, keys)
    if meant:
        return show(title), f"{meant} (did you mean that?)"
    examples = one_of([ID, *keys[:3], "keyframe.1.at"])
    return show(printable(title)), f"a key of a shot's file, such as {examples}"
