"""Whatever stands in a table of shots: it becomes sound files, or is told in words and nothing is written."""

from __future__ import annotations

import contextlib
import csv
import io
import shutil
import time
from pathlib import Path

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from fieldsheet import cli
from fieldsheet.catalog.read import read_catalog, read_sound
from fieldsheet.tabled.written import table_csv
from tests.long import tries

from .spoilt import VALUES, Edit, spoilt

NAMES = [
    "id",
    "ID ",
    "",
    "title",
    "night",
    "keyframe.1.at",
    "keyframe.51.at",
    "keyframe",
    "crew.",
    "crew.\x1b[2J",
]
NAMES += ["needs.moon.1.lit_pct.1", "sep=;", "keyframe.1.axes.\u202e", "x" * 3000]
CELLS = [
    *(value.strip("\"'") for value in VALUES if len(value) < 100),
    "=1+1",
    "'",
    "''",
    "../x",
    "con",
    "12,5",
]
SLOWEST_S = 2.0
Cell = tuple[int, int, str]
_at = st.integers(0, 20_000)
cells: st.SearchStrategy[list[Cell]] = st.lists(
    st.one_of(
        st.tuples(st.just(0), _at, st.sampled_from(NAMES)),
        st.tuples(st.just(1), _at, st.one_of(st.sampled_from(CELLS), st.text(max_size=12))),
    ),
    max_size=3,
)
_bytes: st.SearchStrategy[list[Edit]] = st.lists(
    st.one_of(
        st.tuples(
            st.just("put"),
            _at,
            _at,
            st.sampled_from(['"', '""', ";", ",", "\n", "\r", "\x00", "\ufeff", "x"]),
        ),
        st.tuples(st.sampled_from(["flip", "cut", "drop", "double", "swap"]), _at, _at, st.none()),
    ),
    max_size=2,
)


@pytest.fixture(scope="module")
def sound(one_shot: Path) -> list[list[str]]:
    """The table's head and its row."""
    return list(csv.reader(io.StringIO(table_csv(read_catalog(one_shot)), newline="")))


@pytest.fixture(scope="module")
def folder(one_shot: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    return Path(shutil.copytree(one_shot, tmp_path_factory.mktemp("tabled") / "catalog"))


def table(sound: list[list[str]], shot: str, changes: list[Cell], edits: list[Edit]) -> bytes:
    rows = [[shot if cell == "slipway" else cell for cell in row] for row in sound]
    for row, at, what in changes:
        rows[row][at % len(rows[row])] = what
    text = io.StringIO(newline="")
    csv.writer(text).writerows(rows)
    return spoilt(text.getvalue().encode("utf-8", "surrogatepass"), edits)


def files(folder: Path) -> dict[Path, bytes]:
    return {path: path.read_bytes() for path in folder.rglob("*") if path.is_file()}


@example("another", [], [])
@example("slipway", [], [])
@settings(max_examples=tries(10))
@given(st.sampled_from(["slipway", "another"]), cells, _bytes)
def test_a_spoilt_table_is_read_or_told_and_then_nothing_is_written(
    sound: list[list[str]], folder: Path, shot: str, changes: list[Cell], edits: list[Edit]
) -> None:
    before = files(folder)
    typed = folder.parent / "shots.csv"
    typed.write_bytes(table(sound, shot, changes, edits))
    said = io.StringIO()
    since_s = time.process_time()
    with contextlib.redirect_stdout(said), contextlib.redirect_stderr(said):
        status = cli.main(["table", str(folder), "--read", str(typed), "--change"])
    assert time.process_time() - since_s < SLOWEST_S
    assert all(line.isprintable() for line in said.getvalue().splitlines())
    after = files(folder)
    if status == 0:
        assert read_sound(folder)[1] == []
        for path in after.keys() - before.keys():
            path.unlink()
        for path, data in before.items():
            path.write_bytes(data)
    else:
        assert status == 1 and said.getvalue()
        assert after == before
