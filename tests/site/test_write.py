"""OUT/site is a complete site at every moment, whatever fails, and nothing outside OUT changes."""

from __future__ import annotations

import errno
import fcntl
import os
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fieldsheet.site import write
from fieldsheet.site.write import NotOurs, write_site

OLD = {"index.html": b"old", "app/main.js": b"old code", "shots/one/index.html": b"old shot"}
NEW = {"index.html": b"new", "app/main.js": b"new code", "sky/2027.pack": bytes(range(256)) * 40}
NEWER = {"index.html": b"newer"}

# What reaches the disk. close is left out: a dead process's files are closed, and its lock with them.
CALLS = ("open", "write", "fsync", "mkdir", "rename", "replace", "symlink", "unlink", "rmdir", "utime")


class Killed(BaseException):
    """The process is gone: nothing after this, not even a clean-up, reaches the disk."""


def shown(out: Path) -> dict[str, bytes]:
    """What a browser would get: every file under OUT/site."""
    site = (out / "site").resolve(strict=True)
    return {str(path.relative_to(site)): path.read_bytes() for path in site.rglob("*") if path.is_file()}


@pytest.fixture
def on_call(monkeypatch: pytest.MonkeyPatch) -> Iterator[Callable[[Callable[[int, str], None]], list[str]]]:
    """Calls the given hook before each writing call of the os module, with its number and name."""

    def install(hook: Callable[[int, str], None]) -> list[str]:
        made: list[str] = []
        for name in CALLS:
            real = getattr(os, name)

            def call(*args: Any, _name: str = name, _real: Any = real, **kw: Any) -> Any:
                made.append(_name)
                hook(len(made), _name)
                return _real(*args, **kw)

            monkeypatch.setattr(os, name, call)
        return made

    yield install
    monkeypatch.undo()


def calls_of_a_second_build(out: Path, on_call: Any, monkeypatch: pytest.MonkeyPatch) -> int:
    write_site(out, OLD)
    made = on_call(lambda number, name: None)
    write_site(out, NEW)
    monkeypatch.undo()
    return len(made)


def test_files_that_a_desktop_leaves_among_the_versions_are_left_alone(tmp_path: Path) -> None:
    write_site(tmp_path / "out", OLD)
    stray = tmp_path / "out" / "versions" / ".DS_Store"
    stray.touch()
    for build in range(3):
        write_site(tmp_path / "out", {**NEW, "more.txt": str(build).encode()})
    assert stray.exists()


def test_site_holds_exactly_the_files_and_a_second_build_replaces_it_whole(tmp_path: Path) -> None:
    assert write_site(tmp_path / "deep" / "out", OLD) == tmp_path / "deep" / "out" / "site"
    assert shown(tmp_path / "deep" / "out") == OLD
    write_site(tmp_path / "deep" / "out", NEW)
    assert shown(tmp_path / "deep" / "out") == NEW


def test_killed_at_any_call_the_last_good_site_or_the_new_one_stands(
    tmp_path: Path, on_call: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    total = calls_of_a_second_build(tmp_path / "counted", on_call, monkeypatch)
    assert total > 20
    results = []
    for last in range(1, total + 1):
        out = tmp_path / f"killed-{last}"
        write_site(out, OLD)

        def die(number: int, name: str, last: int = last) -> None:
            if number >= last:
                raise Killed

        on_call(die)
        with pytest.raises(Killed):
            write_site(out, NEW)
        monkeypatch.undo()
        results.append(shown(out))
        write_site(out, NEWER)
        assert shown(out) == NEWER, "the next build must not stumble over what was left"
        left = [path.name for path in (out / "versions").iterdir()]
        assert len(left) <= 2 and not [name for name in left if name.startswith(".")]
    assert OLD in results and NEW in results
    assert all(result in (OLD, NEW) for result in results)
    assert results == sorted(results, key=lambda result: result == NEW), "old until one moment, new after it"


def test_any_single_refusal_of_the_disk_leaves_a_whole_site(
    tmp_path: Path, on_call: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    total = calls_of_a_second_build(tmp_path / "counted", on_call, monkeypatch)
    refused = 0
    for at in range(1, total + 1):
        out = tmp_path / f"refused-{at}"
        write_site(out, OLD)

        def refuse(number: int, name: str, at: int = at) -> None:
            if number == at:
                raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

        on_call(refuse)
        try:
            write_site(out, NEW)
        except OSError as error:
            assert error.errno == errno.ENOSPC
            refused += 1
        monkeypatch.undo()
        assert shown(out) in (OLD, NEW)
    assert refused > total // 2


def test_a_write_that_takes_only_part_of_the_bytes_is_continued(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    real = os.write
    monkeypatch.setattr(os, "write", lambda handle, data: real(handle, data[:7]))
    write_site(tmp_path / "out", NEW)
    assert shown(tmp_path / "out") == NEW


def test_the_version_is_on_the_disk_before_the_link_turns(tmp_path: Path, on_call: Any) -> None:
    made = on_call(lambda number, name: None)
    write_site(tmp_path / "out", OLD)
    before = made[: made.index("replace")]
    assert before.count("fsync") >= len(OLD) + 1
    assert "fsync" in made[made.index("replace") :]


def test_two_versions_are_kept_and_the_older_ones_go(tmp_path: Path) -> None:
    out = tmp_path / "out"
    for number in range(5):
        write_site(out, {"index.html": str(number).encode()})
    kept = sorted((path / "index.html").read_bytes() for path in (out / "versions").iterdir())
    assert kept == [b"3", b"4"]


def test_the_same_files_again_write_no_second_version(tmp_path: Path) -> None:
    write_site(tmp_path / "out", OLD)
    first = os.readlink(tmp_path / "out" / "site")
    write_site(tmp_path / "out", dict(reversed(OLD.items())))
    assert os.readlink(tmp_path / "out" / "site") == first
    assert len(list((tmp_path / "out" / "versions").iterdir())) == 1


def test_a_version_someone_changed_by_hand_is_not_taken_for_complete(tmp_path: Path) -> None:
    out = tmp_path / "out"
    write_site(out, OLD)
    (out / "site" / "index.html").write_bytes(b"edited")
    write_site(out, OLD)
    assert shown(out) == OLD


def test_the_link_is_relative_so_that_the_folder_can_be_moved(tmp_path: Path) -> None:
    write_site(tmp_path / "out", OLD)
    (tmp_path / "out").rename(tmp_path / "moved")
    assert shown(tmp_path / "moved") == OLD


@pytest.mark.parametrize(
    "path",
    [
        "", "/", "/etc/x", "../x", "a/../x", "a/..", "./x", "a//b", "a/", ".hidden", "a/.git/x", "a\\b",
        "c:x", "a b", "a\n", "a\0b", "é.html", "-o", "~x", "x" * 101, "a/" * 12 + "b", "%2e%2e/x", "a?b",
    ],
)  # fmt: skip
def test_a_path_that_climbs_or_is_odd_is_refused_before_anything_is_written(
    tmp_path: Path, path: str
) -> None:
    with pytest.raises(ValueError, match="not a path"):
        write_site(tmp_path / "out", {"index.html": b"", path: b"x"})
    assert list(tmp_path.iterdir()) == []


def test_paths_that_differ_in_case_only_are_refused(tmp_path: Path) -> None:
    with pytest.raises(ValueError, match="case"):
        write_site(tmp_path / "out", {"a/B.html": b"", "a/b.html": b""})


@given(st.text(alphabet="ab._-/\\%A0~ ", max_size=12))
def test_no_accepted_path_leaves_its_folder(path: str) -> None:
    if write._PATH.fullmatch(path):
        inside = Path(os.path.normpath(Path("/root") / path))
        assert inside.is_relative_to("/root") and inside != Path("/root")
        assert str(inside) == f"/root/{path}"


def test_a_folder_with_someone_elses_files_is_refused_and_left_alone(tmp_path: Path) -> None:
    (tmp_path / "thesis.txt").write_text("years of work")
    (tmp_path / "versions").mkdir()
    with pytest.raises(NotOurs, match="choose another"):
        write_site(tmp_path, OLD)
    assert sorted(path.name for path in tmp_path.iterdir()) == ["thesis.txt", "versions"]


def test_a_link_planted_in_the_output_leads_nothing_outside(tmp_path: Path) -> None:
    out, outside = tmp_path / "out", tmp_path / "outside"
    outside.mkdir()
    write_site(out, OLD)
    for path in sorted((out / "versions").rglob("*"), reverse=True):
        path.rmdir() if path.is_dir() else path.unlink()
    (out / "versions").rmdir()
    (out / "versions").symlink_to(outside)
    with pytest.raises(NotOurs, match="links"):
        write_site(out, NEW)
    assert list(outside.iterdir()) == []


def test_what_a_link_inside_an_old_version_points_to_survives_its_pruning(tmp_path: Path) -> None:
    out, outside = tmp_path / "out", tmp_path / "outside"
    outside.mkdir()
    (outside / "kept.txt").write_text("kept")
    write_site(out, OLD)
    (out / "site" / "away").symlink_to(outside)
    for number in range(3):
        write_site(out, {"index.html": str(number).encode()})
    assert (outside / "kept.txt").read_text() == "kept"


def test_an_output_that_is_a_file_is_an_oserror(tmp_path: Path) -> None:
    (tmp_path / "out").write_text("a file")
    with pytest.raises(OSError):
        write_site(tmp_path / "out", OLD)
    assert (tmp_path / "out").read_text() == "a file"


def test_a_second_build_at_the_same_time_is_told_so(tmp_path: Path) -> None:
    out = tmp_path / "out"
    write_site(out, OLD)
    with (out / write.MARKER).open() as held:
        fcntl.flock(held, fcntl.LOCK_EX)
        with pytest.raises(OSError, match="another build"):
            write_site(out, NEW)
    assert shown(out) == OLD
    write_site(out, NEW)
    assert shown(out) == NEW
