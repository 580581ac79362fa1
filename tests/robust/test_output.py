"""Where a build may write, and what it says where it may not: nobody's file is touched, no good site lost."""

from __future__ import annotations

import errno
import os
import shutil
import signal
import subprocess
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest

from tests.commands import Run
from tests.robust.killing import CALLS
from tests.robust.little import build, edit_title, left, shown

NEW = {"index.html": b"New", "app/same.js": b"the same each time", "shots/slipway/index.html": b"New"}
ROOT = Path(__file__).parents[2]
HOLDING = """
import sys, time
from pathlib import Path
from fieldsheet.site.write import claimed
with claimed(Path(sys.argv[1])):
    print("held", flush=True)
    time.sleep(600)
"""
HURRYING = """
import sys
from pathlib import Path
from fieldsheet.site.write import claimed, write_site
out, name, done = Path(sys.argv[1]), sys.argv[2], 0
while done < 25:
    try:
        with claimed(out) as output:
            text = f"{name} {done}".encode()
            write_site(output, {f"page-{page}.html": text for page in range(5)})
            done += 1
    except OSError as error:
        assert "another build is writing there" in str(error)
"""


@contextmanager
def holder(out: Path) -> Iterator[subprocess.Popen[str]]:
    """Another build that has OUT and does not end."""
    with subprocess.Popen([sys.executable, "-c", HOLDING, str(out)], cwd=ROOT, stdout=-1, text=True) as other:
        assert other.stdout and other.stdout.readline() == "held\n"
        try:
            yield other
        finally:
            other.kill()


def test_a_second_build_says_that_another_one_is_writing_and_a_killed_one_blocks_nobody(
    little: Path, tmp_path: Path, run: Run
) -> None:
    out = tmp_path / "out"
    assert build(little, out) == 0
    before = shown(out)
    edit_title(little, "Another")
    with holder(out) as other:
        status, said, told = run("build", little, "-o", out, "--no-cards")
        assert (status, told) == (1, f"fieldsheet: another build is writing there: {out}\n")
        assert shown(out) == before
        other.send_signal(signal.SIGKILL)
        other.wait()
        assert build(little, out) == 0
    assert shown(out)["index.html"] == b"Another"


def test_two_that_write_without_pause_never_show_half_of_one(tmp_path: Path) -> None:
    out = tmp_path / "out"
    command = [sys.executable, "-c", HURRYING, str(out)]
    both = [subprocess.Popen([*command, name], cwd=ROOT) for name in ("one", "other")]
    seen = set()
    while any(process.poll() is None for process in both):
        try:
            version = (out / "site").resolve(strict=True)
            seen.add(frozenset(page.read_bytes() for page in version.iterdir()))
        except FileNotFoundError:
            continue  # none yet; or it was pruned between two looks, as a server would see, too
    assert [process.wait() for process in both] == [0, 0]
    assert len(seen) > 2 and all(len(pages) == 1 for pages in seen)
    assert left(out) == []


def a_site_of_somebodys(out: Path) -> str:
    (out / "site").unlink()
    (out / "site").mkdir()
    (out / "site" / "thesis.txt").write_text("years of work")
    return f"{out}/site is not the link that builds make: move it away"


def a_file_for_site(out: Path) -> str:
    (out / "site").unlink()
    (out / "site").write_text("years of work")
    return f"{out}/site is not the link that builds make: move it away"


def versions_led_away(out: Path) -> str:
    (out / "versions").rename(out.parent / "away")
    (out / "versions").symlink_to(out.parent / "away")
    return f"{out} holds links that lead elsewhere: choose another"


def a_file(out: Path) -> str:
    out.rename(out.parent / "was")
    out.write_text("years of work")
    return f"{out} is no folder: choose another"


def below_a_file(out: Path) -> str:
    out.rename(out.parent / "was")
    out.parent.rename(out.parent.parent / "deeper")
    out.parent.write_text("years of work")
    return f"{out.parent} is no folder: choose another"


def a_link_to_nowhere(out: Path) -> str:
    out.rename(out.parent / "was")
    out.symlink_to(out.parent / "nowhere")
    return f"{out} is a link that leads nowhere: choose another"


def a_link_in_a_circle(out: Path) -> str:
    out.rename(out.parent / "was")
    out.symlink_to(out)
    return f"{out} is a link that leads nowhere: choose another"


def without_our_sign(out: Path) -> str:
    (out / "WRITTEN-BY-FIELDSHEET.txt").unlink()
    return f"{out} is neither empty nor an output folder of fieldsheet: choose another"


@pytest.mark.parametrize(
    "harm",
    [
        a_site_of_somebodys, a_file_for_site, versions_led_away, a_file, below_a_file, a_link_to_nowhere,
        a_link_in_a_circle, without_our_sign,
    ],
)  # fmt: skip
def test_what_cannot_be_the_output_is_told_before_anything_is_computed_and_stays(
    little: Path, tmp_path: Path, run: Run, harm: Callable[[Path], str]
) -> None:
    out = tmp_path / "deep" / "out"
    assert build(little, out) == 0
    said = harm(out)
    before = state(tmp_path)
    (little / "catalog.toml").write_text("no catalog any more")
    assert run("build", little, "-o", out) == (2, "", f"fieldsheet: {said}\n")
    (little / "catalog.toml").unlink()
    assert state(tmp_path) == {name: what for name, what in before.items() if name != "catalog/catalog.toml"}


def state(folder: Path) -> dict[str, Any]:
    """Everything below a folder: where a link leads, what a file holds."""
    return {
        str(path.relative_to(folder)): os.readlink(path)
        if path.is_symlink()
        else path.is_dir() or path.read_bytes()
        for path in folder.rglob("*")
    }


@pytest.mark.parametrize("inside", ["shots", "shots/out", "places/new/out"])
def test_the_output_lies_in_no_folder_that_is_read(little: Path, run: Run, inside: str) -> None:
    before, out = state(little), little / inside
    read = little / inside.partition("/")[0]
    told = f"fieldsheet: {out} lies in {read}, where the catalog's files are: choose another\n"
    assert run("build", little, "-o", out, "--no-cards") == (2, "", told)
    assert state(little) == before


def test_a_catalog_in_the_output_is_refused_and_stays(little: Path, tmp_path: Path, run: Run) -> None:
    out = tmp_path / "out"
    assert build(little, out) == 0
    mine = Path(shutil.copytree(little, out / "site" / "mine"))
    before = state(mine)
    trials = (
        (little, little, "places"),
        (mine, out, "places"),
        (mine, mine, "mine"),
        (mine, mine / "out", "out"),
    )
    for catalog, asked, what in trials:
        status, said, told = run("build", catalog, "-o", asked, "--no-cards")
        assert (status, said) == (2, "") and f"/{what} lies in " in told and "clear away" in told
    assert state(mine) == state(little) == before


def test_an_output_beside_the_catalogs_folders_and_one_behind_a_link_are_fine(
    little: Path, tmp_path: Path
) -> None:
    assert [build(little, little / "out") for _ in range(2)] == [0, 0]
    (tmp_path / "elsewhere").mkdir()
    (tmp_path / "link").symlink_to(tmp_path / "elsewhere")
    assert [build(little, tmp_path / "link") for _ in range(2)] == [0, 0]
    assert shown(tmp_path / "elsewhere") == shown(little / "out")
    assert (tmp_path / "link").is_symlink()


def test_what_somebody_put_into_the_output_stays(little: Path, tmp_path: Path) -> None:
    out = tmp_path / "out"
    assert build(little, out) == 0
    theirs = [out / "thesis.txt", out / "kept" / "thesis.txt", out / "versions" / "thesis" / "one.txt"]
    for path in theirs:
        path.parent.mkdir(exist_ok=True)
        path.write_text("years of work")
    for title in ("one", "two", "three"):
        edit_title(little, title)
        assert build(little, out) == 0
    assert all(path.read_text() == "years of work" for path in theirs)


def full(at: int, name: str, made: list[str], real: Callable[..., Any]) -> Callable[..., Any]:
    """The disk has room for half of what the write number `at` brings, and for nothing after it."""

    def call(*args: Any, **kw: Any) -> Any:
        made.append(name)
        if len(made) == at:
            return real(args[0], args[1][: len(args[1]) // 2])
        if len(made) > at:
            raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))
        return real(*args, **kw)

    return call


def refused(at: int, name: str, made: list[str], real: Callable[..., Any]) -> Callable[..., Any]:
    """The call number `at` alone is not allowed."""

    def call(*args: Any, **kw: Any) -> Any:
        made.append(name)
        if len(made) == at:
            raise OSError(errno.EACCES, os.strerror(errno.EACCES))
        return real(*args, **kw)

    return call


@pytest.mark.parametrize(
    ("calls", "fail", "says"),
    [(("write",), full, "No space left on device"), (CALLS, refused, "Permission denied")],
    ids=["full", "refused"],
)
def test_whatever_the_disk_refuses_is_told_in_words_and_leaves_a_whole_site(
    little: Path,
    tmp_path: Path,
    run: Run,
    monkeypatch: pytest.MonkeyPatch,
    calls: tuple[str, ...],
    fail: Callable[..., Callable[..., Any]],
    says: str,
) -> None:
    out, trial, at, failed = tmp_path / "out", tmp_path / "trial", 0, 0
    for title in ("Older", "Old"):
        edit_title(little, title)
        assert build(little, out) == 0
    old = shown(out)
    edit_title(little, "New")
    made: list[str] = []
    while len(made) >= at:
        at += 1
        made.clear()
        shutil.copytree(out, trial, symlinks=True)
        with monkeypatch.context() as patch:
            for name in calls:
                patch.setattr(os, name, fail(at, name, made, getattr(os, name)))
            status, said, told = run("build", little, "-o", trial, "--no-cards")
        if status:
            failed += 1
            assert (status, said) == (1, "") and says in told
            assert shown(trial) in (old, NEW)
        else:
            assert shown(trial) == NEW
        if fail is full:  # there is room again
            assert build(little, trial) == 0 and shown(trial) == NEW and left(trial) == []
        shutil.rmtree(trial)
    assert failed > at // 2
