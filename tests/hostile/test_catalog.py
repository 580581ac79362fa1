"""Whatever stands in the files of a catalog: it is read and planned, or its faults are told in words."""

from __future__ import annotations

import shutil
import time
import tracemalloc
from collections.abc import Callable
from pathlib import Path

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from fieldsheet.catalog.draft import MOST_FAULTS
from fieldsheet.catalog.read import read_sound
from fieldsheet.catalog.scan import MOST_BYTES
from fieldsheet.press import plan_sound
from fieldsheet.problems import Problem
from tests.conftest import DEMO
from tests.long import tries

from .spoilt import Edit, edits, spoilt

HARBOUR = Path(__file__).parents[1] / "catalog" / "harbour"
# Which file of which catalog.
FILES = [
    (folder, path.relative_to(folder))
    for folder in (DEMO, HARBOUR)
    for path in sorted(folder.rglob("*.toml"))
]
SLOWEST_S = 2.0
# What reading takes beyond what there was before, of any file that is not refused for its size.
MOST_MEMORY = 64 * 2**20
Keep = Callable[[str, Callable[[], bytes]], bytes]


@pytest.fixture(scope="module")
def copies(tmp_path_factory: pytest.TempPathFactory) -> dict[Path, Path]:
    at = tmp_path_factory.mktemp("hostile")
    return {
        folder: Path(shutil.copytree(folder, at / str(at_))) for at_, folder in enumerate((DEMO, HARBOUR))
    }


@pytest.fixture(scope="module")
def keep() -> Keep:
    """Keeps what was planned: of a spoilt catalog only what is spoilt is planned."""
    kept: dict[str, bytes] = {}

    def keeping(key: str, make: Callable[[], bytes]) -> bytes:
        if key not in kept:
            kept[key] = make()
        return kept[key]

    return keeping


def is_clear(problem: Problem, data: bytes) -> bool:
    """One printable line that says what would be right; of this file, at a line that it has."""
    lines = data.count(b"\n") + data.count(b"\r") + 1
    return str(problem).isprintable() and bool(problem.right) and 1 <= (problem.line or 1) <= max(lines, 1)


# A shot that is given its end and no start.
@example(FILES.index((HARBOUR, Path("shots/yard.toml"))), [("key", 5, 0, "end")])
@settings(max_examples=tries(12))
@given(st.integers(0, len(FILES) - 1), edits)
def test_a_spoilt_file_is_read_and_planned_or_its_faults_are_told(
    copies: dict[Path, Path], keep: Keep, number: int, changes: list[Edit]
) -> None:
    folder, file = FILES[number]
    sound = (folder / file).read_bytes()
    data = spoilt(sound, changes)
    (copies[folder] / file).write_bytes(data)
    since_s = time.process_time()
    catalog, problems = read_sound(copies[folder])
    took_s = time.process_time() - since_s
    (copies[folder] / file).write_bytes(sound)
    assert all(is_clear(problem, data) for problem in problems if problem.file == str(file))
    assert took_s < SLOWEST_S
    assert catalog or problems
    if catalog and not problems:
        _, problems = plan_sound(catalog, keep)
        assert all(str(problem).isprintable() and problem.right and problem.line for problem in problems)


# In a long run all four, as large as may be; else one, of a quarter of that, in a quarter of the memory.
SHARE = 1 if tries(1) > 1 else 4
FULL = {
    "of landmarks": ("places/cove.toml", '[[landmark]]\nname = "mast"\nbearing_deg = 1\naltitude_deg = 1\n'),
    "of items": ("catalog.toml", '[[house]]\nsection = "pack"\ntext = "an item"\n'),
    "of keys that nest": ("shots/yard.toml", "k{n}.k.k.k.k.k.k.k.k.k.k.k.k.k.k = 1\n"),
    "of numbers": ("shots/yard.toml", "a{n} = [" + "1," * 900 + "]\n"),
}


@pytest.mark.parametrize("what", list(FULL)[: tries(1)])
def test_a_file_as_large_as_may_be_is_judged_in_a_page_of_faults_and_64_mb(
    copies: dict[Path, Path], what: str
) -> None:
    file, line = FULL[what]
    size = len(line.replace("{n}", "99999"))
    text = "".join(line.replace("{n}", str(n)) for n in range(MOST_BYTES // SHARE // size))
    sound = (HARBOUR / file).read_bytes()
    (copies[HARBOUR] / file).write_text(text)
    tracemalloc.start()
    _, problems = read_sound(copies[HARBOUR])
    most = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    (copies[HARBOUR] / file).write_bytes(sound)
    print(f"a file full {what}: {most / 2**20:.0f} MB")
    assert problems and sum(problem.file == file for problem in problems) <= 2 * (MOST_FAULTS + 1)
    assert most < MOST_MEMORY / SHARE
