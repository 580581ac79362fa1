"""OUT/site is a complete site at every moment, whatever fails, and nothing outside OUT changes."""

from __future__ import annotations

import errno
import os
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fieldsheet.site import write
from fieldsheet.site.write import NotOurs
from tests.site.writing import write_site

OLD = {"index.html": b"old", "app/main.js": b"old code", "shots/one/index.html": b"old shot"}
NEW = {"index.html": b"new", "app/main.js": b"new code", "sky/2027.pack": bytes(range(256)) * 40}


def shown(out: Path) -> dict[str, bytes]:
    """What a browser would get: every file under OUT/site."""
    site = (out / "site").resolve(strict=True)
    return {str(path.relative_to(site)): path.read_bytes() for path in site.rglob("*") if path.is_file()}


def test_files_that_a_desktop_leaves_among_the_versions_are_left_alone(tmp_path: Path) -> None:
    write_site(tmp_path / "out", OLD)
    stray = tmp_path / "out" / "versions" / ".DS_Store"
    stray.touch()
    for build in range(3):
        write_site(tmp_path / "out", {**NEW, "more.txt": str(build).encode()})
    assert stray.exists()


@pytest.mark.parametrize("is_link", [True, False])
def test_a_link_or_a_file_where_a_version_is_made_is_taken_away(tmp_path: Path, is_link: bool) -> None:
    write_site(tmp_path / "out", OLD)
    (tmp_path / "elsewhere").mkdir()
    (tmp_path / "elsewhere" / "theirs").touch()
    unfinished = tmp_path / "out" / "versions" / ".new"
    if is_link:
        unfinished.symlink_to(tmp_path / "elsewhere")
    else:
        unfinished.touch()
    write_site(tmp_path / "out", NEW)
    assert shown(tmp_path / "out") == NEW
    assert (tmp_path / "elsewhere" / "theirs").exists()


def test_site_holds_exactly_the_files_and_a_second_build_replaces_it_whole(tmp_path: Path) -> None:
    assert write_site(tmp_path / "deep" / "out", OLD) == tmp_path / "deep" / "out" / "site"
    assert shown(tmp_path / "deep" / "out") == OLD
    write_site(tmp_path / "deep" / "out", NEW)
    assert shown(tmp_path / "deep" / "out") == NEW


def test_a_write_that_takes_only_part_of_the_bytes_is_continued(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    real = os.write
    monkeypatch.setattr(os, "write", lambda handle, data: real(handle, data[:7]))
    write_site(tmp_path / "out", NEW)
    assert shown(tmp_path / "out") == NEW


def test_the_version_is_on_the_disk_before_the_link_turns(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    made: list[str] = []

    def noted(name: str, real: Callable[..., Any]) -> Callable[..., Any]:
        def call(*args: Any, **kw: Any) -> Any:
            made.append(name)
            return real(*args, **kw)

        return call

    for name in ("fsync", "rename", "replace"):
        monkeypatch.setattr(os, name, noted(name, getattr(os, name)))
    write_site(tmp_path / "out", OLD)
    folders = {str(Path(path).parent) for path in OLD} | {"shots"}
    assert made == [*["fsync"] * (len(OLD) + len(folders)), "rename", "fsync", "replace", "fsync"]


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
    assert not (tmp_path / "out" / "versions").exists()


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


def a_pipe(path: Path) -> None:
    path.unlink()
    os.mkfifo(path)


def endless(path: Path) -> None:
    os.truncate(path, 2**40)


def another_link(path: Path) -> None:
    (path.parent / "away").symlink_to(path.parents[3])


def linked(path: Path) -> None:
    path.rename(path.parents[3] / "away")
    path.symlink_to(path.parents[3] / "away")


@pytest.mark.parametrize("harm", [a_pipe, endless, another_link, linked])
def test_a_version_is_complete_only_if_it_holds_these_files_and_no_others(
    tmp_path: Path, harm: Callable[[Path], None]
) -> None:
    out = tmp_path / "out"
    write_site(out, OLD)
    harm((out / "site").resolve() / "index.html")
    write_site(out, OLD)
    assert shown(out) == OLD
    assert not any(path.is_symlink() for path in (out / "site").resolve().rglob("*"))


def test_a_disk_that_is_full_is_told_with_the_file_that_found_it_so(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(*_: object) -> int:
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    write_site(tmp_path / "out", OLD)
    monkeypatch.setattr(os, "write", full)
    with pytest.raises(OSError, match=r"No space left on device: '.*/versions/.new/app/main.js'"):
        write_site(tmp_path / "out", NEW)
    assert shown(tmp_path / "out") == OLD
