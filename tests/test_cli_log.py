"""fieldsheet log: what the desk prints of the takes that phones saved, and what it refuses whole."""

from __future__ import annotations

import csv
import re
from pathlib import Path
from typing import Any

import pytest

from fieldsheet.templates import templates
from tests.commands import Run
from tests.takes import a_night, carried, file_of

CHAPTER = templates() / "guide" / "handover.html.j2"


@pytest.fixture(scope="module")
def night(demo_plan: dict[str, Any]) -> list[dict[str, Any]]:
    return a_night(carried(demo_plan))


@pytest.fixture
def file(night: list[dict[str, Any]], tmp_path: Path) -> Path:
    path = tmp_path / "night.json"
    path.write_bytes(file_of(night))
    return path


def test_the_example_of_the_guide_is_what_is_printed(run: Run, file: Path) -> None:
    status, out, err = run("log", file)
    assert (status, err) == (0, "")
    shown = out.partition("\nLog\n")[0]
    revision = re.compile("revision [0-9A-Z]{6}")  # another one whenever a text changes
    assert revision.sub("revision", shown) in revision.sub("revision", CHAPTER.read_text("utf-8"))


def test_files_of_one_take_are_joined_and_of_others_come_after_each_other(
    run: Run, file: Path, night: list[dict[str, Any]], tmp_path: Path
) -> None:
    whole = run("log", file)[1]
    first, second, other = (tmp_path / name for name in ("ana.json", "ben.json", "other.json"))
    first.write_bytes(file_of(night[:12]))
    second.write_bytes(file_of([night[0], *night[8:]]))
    other.write_bytes(file_of([{**event, "take": "other"} for event in night]))
    assert run("log", second, first)[1] == whole
    both = run("log", first, other, second)[1]
    assert both == f"{whole}\n\n{whole.replace('take 5f0c2a91', 'take other')}"


def test_where_one_file_is_at_fault_nothing_is_printed_or_written(
    run: Run, file: Path, tmp_path: Path
) -> None:
    bad, marks = tmp_path / "bad.json", tmp_path / "marks.csv"
    bad.write_text('{"format": "fieldsheet take", "version": 9}')
    status, out, err = run("log", file, bad, "--marks", marks)
    assert (status, out) == (1, "")
    assert err == f"{bad}: version: found version 9; right: version 1: update fieldsheet\n1 problem\n"
    assert not marks.exists()


def test_the_marks_are_written_by_frame(run: Run, file: Path, tmp_path: Path) -> None:
    marks = tmp_path / "marks.csv"
    assert run("log", file, "--marks", marks)[0] == 0
    with marks.open(newline="", encoding="utf-8") as table:
        rows = list(csv.DictReader(table, strict=True))
    assert [(row["run"], row["frame"], row["file"], row["what"], row["phone"]) for row in rows] == [
        ("1", "143", "0093", "plane", "Ana"),
        ("1", "522", "0472", "touched", "phone 2"),
    ]


def test_what_was_typed_moves_no_cursor(run: Run, night: list[dict[str, Any]], tmp_path: Path) -> None:
    path = tmp_path / "night.json"
    note = {**night[1], "kind": "note", "counter": 30, "payload": {"text": "a\x1b[2Jb\u202ec\nFAKE  line"}}
    path.write_bytes(file_of([*night, note]))
    out = run("log", path)[1]
    assert "\x1b" not in out and "\u202e" not in out and "\nFAKE" not in out


@pytest.mark.parametrize(
    ("words", "status", "said"),
    [
        ([], 2, "FILE"),
        (["nowhere.json"], 1, "No such file"),
        (["."], 1, "Is a directory"),
    ],
)
def test_wrong_use_and_the_disk_are_said_in_a_line(
    run: Run, words: list[str], status: int, said: str
) -> None:
    found, out, err = run("log", *words)
    assert (found, out) == (status, "") and said in err
