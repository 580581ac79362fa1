"""The same catalog gives the same bytes anywhere, whatever is kept; and nothing is touched but the output."""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
from collections import Counter
from dataclasses import dataclass
from pathlib import Path

import pytest

from tests.conftest import DEMO
from tests.robust.little import shown

ROOT = Path(__file__).parents[2]


def cut(entry: Path, _: Path) -> None:
    entry.write_bytes(entry.read_bytes()[:-1])


def emptied(entry: Path, _: Path) -> None:
    entry.write_bytes(b"")


def a_bit_turned(entry: Path, _: Path) -> None:
    data = bytearray(entry.read_bytes())
    data[-1] ^= 1
    entry.write_bytes(data)


def a_folder(entry: Path, _: Path) -> None:
    entry.unlink()
    entry.mkdir()


def a_link(entry: Path, away: Path) -> None:
    entry.rename(away / entry.name)
    entry.symlink_to(away / entry.name)


def another(entry: Path, _: Path) -> None:
    """The bytes of the next one, the sum of which holds."""
    other = max(path for path in entry.parent.iterdir() if path != entry and path.is_file())
    entry.write_bytes(other.read_bytes())


HARMS = (another, cut, emptied, a_bit_turned, a_folder, a_link)


@dataclass(frozen=True)
class Built:
    """A build: its site, what it touched, the folders that it might have."""

    site: dict[str, bytes]
    read: Counter[str]
    written: set[str]
    other: list[str]
    catalog: Path
    out: Path
    home: Path
    temp: Path


def built(catalog: Path, room: Path, out: Path, amount: str, umask: int, **settings: str) -> Built:
    home, temp, log = (room / name for name in ("home", "temp", "log.json"))
    home.mkdir()
    temp.mkdir()
    environment = {
        "PATH": os.environ["PATH"],
        "PYTHONPATH": str(ROOT),
        "PYTHONDONTWRITEBYTECODE": "1",
        "HOME": str(home),
        "TMPDIR": str(temp),
        **settings,
    }
    watched = [sys.executable, "-m", "tests.robust.watched", str(log), amount]
    command = [*watched, "build", str(catalog), "-o", str(out)]
    done = subprocess.run(command, cwd=room, env=environment, capture_output=True, text=True, umask=umask)
    assert (done.returncode, done.stderr) == (0, "")
    seen = json.loads(log.read_text("utf-8"))
    read, written = Counter(seen["read"]), set(seen["written"])
    return Built(shown(out), read, written, seen["other"], catalog, out, home, temp)


@pytest.fixture(scope="module")
def amount(request: pytest.FixtureRequest) -> str:
    """How much is made, and of what: with --long all of the whole demo."""
    return "all" if request.config.getoption("--long") else "few"


@pytest.fixture(scope="module")
def first(amount: str, one_shot: Path, tmp_path_factory: pytest.TempPathFactory) -> Built:
    """A build from nothing."""
    room = tmp_path_factory.mktemp("first")
    catalog = Path(shutil.copytree(DEMO if amount == "all" else one_shot, room / "catalog"))
    return built(catalog, room, room / "out", amount, 0o022, TZ="UTC", PYTHONHASHSEED="1", LC_ALL="C.UTF-8")


@pytest.fixture(scope="module")
def second(first: Built, amount: str, tmp_path_factory: pytest.TempPathFactory) -> Built:
    """A build of a copy elsewhere, at another date of its files, where all that is kept is spoilt."""
    room = tmp_path_factory.mktemp("second, p\u00fct elsewhere")
    catalog = Path(shutil.copytree(first.catalog, room / "my catalog", copy_function=shutil.copyfile))
    for path in catalog.rglob("*"):
        os.utime(path, (10**9, 10**9))
    out = Path(shutil.copytree(first.out, room / "out", symlinks=True))
    (room / "away").mkdir()
    for number, entry in enumerate(sorted((out / "kept").iterdir())):
        HARMS[number % len(HARMS)](entry, room / "away")
    settings = {"TZ": "Pacific/Auckland", "PYTHONHASHSEED": "2", "LC_ALL": "C", "SOURCE_DATE_EPOCH": "86400"}
    return built(catalog, room, out, amount, 0o077, **settings)


def test_another_folder_zone_locale_seed_umask_order_and_age_give_the_same_bytes(
    first: Built, second: Built
) -> None:
    assert [path for path in first.site if first.site[path] != second.site.get(path)] == []
    assert first.site.keys() == second.site.keys()
    assert {"index.html", "cards/slipway.pdf", "files/slipway.ics"} <= first.site.keys()


def test_nothing_is_written_beside_the_output_and_what_passes_through_the_temporary_folder(
    first: Built, second: Built
) -> None:
    for one in (first, second):
        allowed = (one.out, one.temp)
        beside = [path for path in one.written if not any(Path(path).is_relative_to(way) for way in allowed)]
        assert [path for path in beside if path != os.devnull] == []
        assert any(Path(path).is_relative_to(one.out / "versions") for path in one.written)
        assert list(one.home.iterdir()) == list(one.temp.iterdir()) == []


def test_nothing_is_asked_of_the_net(first: Built) -> None:
    assert [what for what in first.other if what.startswith("socket.")] == []


def test_each_file_of_the_catalog_is_opened_once(first: Built) -> None:
    """A message is of the bytes that were planned; what is saved meanwhile waits for the next build."""
    files = [path for path in first.catalog.rglob("*.toml") if path.is_file()]
    assert {str(path): first.read[str(path)] for path in files} == {str(path): 1 for path in files}
