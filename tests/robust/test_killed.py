"""A build that dies at any moment leaves the last good site or the new one, whole; the next clears up."""

from __future__ import annotations

import json
import shutil
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

ROOT = Path(__file__).parents[2]


def trials(one_shot: Path, folder: Path, *real: str) -> list[dict[str, Any]]:
    catalog = shutil.copytree(one_shot, folder / "catalog")
    command = [sys.executable, "-m", "tests.robust.killing", str(catalog), str(folder), *real]
    done = subprocess.run(command, cwd=ROOT, capture_output=True, text=True)
    assert (done.returncode, done.stderr) == (0, "")
    found: list[dict[str, Any]] = json.loads(done.stdout)
    return found


@pytest.fixture(scope="module")
def killed(one_shot: Path, tmp_path_factory: pytest.TempPathFactory) -> list[dict[str, Any]]:
    """Every moment of the command, with a few files instead of a whole site."""
    return trials(one_shot, tmp_path_factory.mktemp("killed"))


@pytest.mark.parametrize("before", ["old", "nothing"])
def test_killed_before_any_call_one_whole_site_stands_and_the_next_build_mends(
    killed: list[dict[str, Any]], before: str
) -> None:
    found = [trial for trial in killed if trial["before"] == before]
    assert {"open", "write", "fsync", "mkdir", "rename", "replace", "symlink", "unlink"} <= {
        trial["call"] for trial in found
    }
    assert [trial for trial in found if not trial["mended"]] == []
    shown = [trial["shown"] for trial in found]
    assert set(shown) == {before, "new"}
    assert shown == sorted(shown, key="new".__eq__), "the one before until one moment, the new one after it"


def test_killed_while_it_plans_and_presses_one_whole_site_stands(
    request: pytest.FixtureRequest, one_shot: Path, tmp_path: Path
) -> None:
    """What a build computes may not reach for OUT: a few moments of whole builds, many with --long."""
    if not request.config.getoption("--long"):
        pytest.skip("whole builds, a minute: with --long")
    found = trials(one_shot, tmp_path, "40")
    assert all(trial["mended"] and trial["shown"] in ("old", "new") for trial in found)
    assert len({trial["at"] for trial in found}) == 40
