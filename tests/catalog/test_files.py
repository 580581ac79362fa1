"""Which files of a folder are read, and what is said about the others."""

from __future__ import annotations

import errno
import os
import shutil
from collections.abc import Callable
from pathlib import Path

import pytest

from fieldsheet.catalog import files
from fieldsheet.catalog.read import read_catalog
from fieldsheet.problems import CatalogProblems

from .conftest import Folder


def told(path: Path) -> list[str]:
    with pytest.raises(CatalogProblems) as caught:
        read_catalog(path)
    return [str(problem) for problem in caught.value.problems]


def test_an_empty_folder_is_one_problem(tmp_path: Path) -> None:
    (tmp_path / "mine").mkdir()
    assert told(tmp_path / "mine") == [
        (
            "mine: found an empty folder; "
            "right: a catalog: catalog.toml and the folders places, rigs, cameras and shots"
        )
    ]


def test_no_folder_and_a_file_are_no_catalog(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("")
    assert told(tmp_path / "nowhere") == ["nowhere: found no such folder; right: the folder of a catalog"]
    assert told(tmp_path / "file") == ["file: found a file; right: the folder of a catalog"]


def test_missing_and_empty_parts_are_named(sample: Folder) -> None:
    (sample.path / "catalog.toml").unlink()
    shutil.rmtree(sample.path / "cameras")
    (sample.path / "shots" / "slipway.toml").unlink()
    assert sample.told() == [
        "cameras: found no such folder; right: a folder with a file such as cameras/my-camera.toml",
        "catalog.toml: found no such file; right: a file that gives title, id and base_url",
        "shots: found an empty folder; right: a folder with a file such as shots/my-shot.toml",
    ]


@pytest.mark.parametrize(
    ("name", "problem"),
    [
        (
            "shots/Gull Point.toml",
            (
                "shots/Gull Point.toml: found the name 'Gull Point'; "
                "right: small letters, digits and hyphens, at most 41, such as gull-point.toml"
            ),
        ),
        (
            "shots/Slipway.toml",
            (
                "shots/Slipway.toml: found the name of slipway.toml but for capitals; "
                "right: a name that is another in any spelling"
            ),
        ),
        (
            "shots/-a.toml",
            (
                "shots/-a.toml: found the name '-a'; "
                "right: small letters, digits and hyphens, at most 41, such as a.toml"
            ),
        ),
        (
            "shots/" + "a" * 42 + ".toml",
            (
                f"shots/{'a' * 42}.toml: found the name '{'a' * 42}'; "
                f"right: small letters, digits and hyphens, at most 41, such as {'a' * 41}.toml"
            ),
        ),
        (
            "shots/index.toml",
            (
                "shots/index.toml: found the name 'index'; "
                "right: another name, such as 'index-1.toml': files of the whole catalog are called so"
            ),
        ),
        (
            "shots/\u202egnp.toml",
            (
                "shots/\\u202egnp.toml: found the name '\\u202egnp'; "
                "right: small letters, digits and hyphens, at most 41, such as gnp.toml"
            ),
        ),
        (
            "shots/pier.TOML",
            "shots/pier.TOML: found a file that nothing reads; right: a name such as pier.toml",
        ),
        ("places/map.png", "places/map.png: found a file that nothing reads; right: a name such as map.toml"),
        (
            "pier.toml",
            (
                "pier.toml: found a file that nothing reads; "
                "right: catalog.toml, or a file in places/, rigs/, cameras/ or shots/"
            ),
        ),
        (
            "shot/pier.toml",
            "shot: found a folder that nothing reads; right: shots/ (did you mean that?)",
        ),
        (
            "shots/Gull Po\u0308int.toml",
            (
                "shots/Gull Po\u0308int.toml: found the name 'Gull Po\u0308int'; "
                "right: small letters, digits and hyphens, at most 41, such as gull-point.toml"
            ),
        ),
        (
            "shots/G\u00fcll.toml",
            (
                "shots/G\u00fcll.toml: found the name 'G\u00fcll'; "
                "right: small letters, digits and hyphens, at most 41, such as gull.toml"
            ),
        ),
        (
            "places/nul.toml",
            (
                "places/nul.toml: found the name 'nul'; "
                "right: another name, such as 'nul-1.toml': a device is called so on some systems"
            ),
        ),
        (
            "shots/com1.toml",
            (
                "shots/com1.toml: found the name 'com1'; "
                "right: another name, such as 'com1-1.toml': a device is called so on some systems"
            ),
        ),
        (
            "shots/pier.toml.",
            "shots/pier.toml.: found a file that nothing reads; right: a name such as pier-toml.toml",
        ),
        (
            "shots/" + "a" * 250 + ".toml",
            (
                f"shots/{'a' * 47}…: found the name '{'a' * 47}…'; "
                f"right: small letters, digits and hyphens, at most 41, such as {'a' * 41}.toml"
            ),
        ),
        ("shots/.pier.toml.swp", None),
        ("shots/.#pier.toml", None),
        ("shots/#pier.toml#", None),
        ("shots/pier.toml~", None),
        ("shots/Thumbs.db", None),
        ("rigs/desktop.ini", None),
        (".git/config", None),
        ("photos/gull.jpg", None),
        ("notes.txt", None),
    ],
)
def test_an_odd_name_is_a_problem_and_a_hidden_one_is_not(
    sample: Folder, name: str, problem: str | None
) -> None:
    sample.write(name, "")
    assert sample.told() == ([problem] if problem else [])


def test_a_name_that_is_no_text_is_shown_with_escapes(sample: Folder) -> None:
    with open(os.fsencode(sample.path / "shots") + b"/\xff\n.toml", "wb"):
        pass
    assert sample.told() == [
        (
            "shots/\\xff\\n.toml: found the name '\\xff\\n'; "
            "right: small letters, digits and hyphens, at most 41, such as my-shot.toml"
        )
    ]


def test_a_link_that_leads_out_is_not_followed(sample: Folder, tmp_path: Path) -> None:
    outside = tmp_path / "outside.toml"
    shutil.copy(sample.path / "shots" / "slipway.toml", outside)
    (sample.path / "shots" / "out.toml").symlink_to(outside)
    (sample.path / "shots" / "circle.toml").symlink_to("circle.toml")
    (sample.path / "shots" / "dangling.toml").symlink_to("nowhere.toml")
    assert sample.told() == [
        (
            "shots/circle.toml: found something that cannot be opened (Too many levels of symbolic links); "
            "right: what you may read"
        ),
        (
            "shots/dangling.toml: found something that cannot be opened (No such file or directory); "
            "right: what you may read"
        ),
        "shots/out.toml: found a link that leads out of the catalog's folder; right: the file itself",
    ]


def test_a_folder_that_leads_out_is_not_followed(sample: Folder, tmp_path: Path) -> None:
    shutil.move(sample.path / "places", tmp_path / "elsewhere")
    (sample.path / "places").symlink_to(tmp_path / "elsewhere")
    assert sample.told()[0] == (
        "places: found a link that leads out of the catalog's folder; "
        "right: a folder with a file such as places/my-place.toml"
    )


def test_a_link_inside_the_folder_is_a_file_like_another(sample: Folder, tmp_path: Path) -> None:
    (sample.path / "shots" / "again.toml").symlink_to("slipway.toml")
    linked = tmp_path / "linked"
    linked.symlink_to(sample.path)
    assert list(read_catalog(linked).shots) == ["again", "slipway"]


def test_what_is_no_file_is_not_opened(sample: Folder) -> None:
    os.mkfifo(sample.path / "shots" / "pipe.toml")
    (sample.path / "shots" / "folder.toml").mkdir()
    assert sample.told() == [
        "shots/folder.toml: found something that is no file; right: a file of text",
        "shots/pipe.toml: found something that is no file; right: a file of text",
    ]


def test_a_huge_file_is_refused_by_its_size_alone(sample: Folder) -> None:
    with (sample.path / "shots" / "huge.toml").open("wb") as file:
        file.truncate(3 * 2**30)
    assert sample.told() == ["shots/huge.toml: found a file of 3145728 KB; right: at most 256 KB"]


def test_all_files_together_are_bounded(sample: Folder, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(files, "MOST_BYTES_IN_ALL", 2**20)
    for number in range(6):
        sample.write(f"shots/a-{number}.toml", "#" + "\n" * (200 * 1024))
    over = "found more than 1 MB with this file; right: a catalog of at most 1 MB in all"
    assert [line for line in sample.told() if " MB " in line] == [
        f"shots/{name}.toml: {over}" for name in ("a-5", "slipway")
    ]


def meddled(monkeypatch: pytest.MonkeyPatch, path: Path, act: Callable[[int], None]) -> None:
    """Calls `act` with 1 after the first look at an opened file, before it is read; with 2 after that, ..."""
    real, inode, looks = os.fstat, path.stat().st_ino, [0]

    def look(handle: int) -> os.stat_result:
        found = real(handle)
        if found.st_ino == inode:
            looks[0] += 1
            act(looks[0])
        return found

    monkeypatch.setattr(os, "fstat", look)


def test_a_file_that_is_saved_while_it_is_read_is_read_again(
    sample: Folder, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = sample.path / "shots" / "slipway.toml"
    text = path.read_text("utf-8").replace('title = "', 'title = "Saved ')

    def saved(look: int) -> None:
        if look == 1:
            path.write_text(text, "utf-8")

    meddled(monkeypatch, path, saved)
    assert sample.read().shots["slipway"].title.startswith("Saved ")


def test_a_file_that_never_holds_still_is_refused(sample: Folder, monkeypatch: pytest.MonkeyPatch) -> None:
    path = sample.path / "shots" / "slipway.toml"

    def written(look: int) -> None:
        with path.open("a") as file:
            file.write("# and more\n")

    meddled(monkeypatch, path, written)
    assert sample.told() == [
        (
            "shots/slipway.toml: found a file that changes while it is read; "
            "right: a file that nothing is writing: try again"
        )
    ]


def test_a_file_that_grows_without_end_is_read_to_the_bound(
    sample: Folder, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = sample.path / "shots" / "slipway.toml"
    meddled(monkeypatch, path, lambda look: os.truncate(path, 3 * 2**30))
    assert sample.told() == ["shots/slipway.toml: found a file of 3145728 KB; right: at most 256 KB"]


def test_a_file_that_becomes_a_pipe_before_it_is_opened_is_no_file(
    sample: Folder, monkeypatch: pytest.MonkeyPatch
) -> None:
    path, real = sample.path / "shots" / "slipway.toml", os.open

    def swapped(name: Path, *args: int) -> int:
        if name == path:
            path.unlink()
            os.mkfifo(path)
        return real(name, *args)

    monkeypatch.setattr(os, "open", swapped)
    assert sample.told() == ["shots/slipway.toml: found something that is no file; right: a file of text"]


@pytest.mark.parametrize(
    ("error", "words"), [(errno.ENOENT, "No such file or directory"), (errno.EACCES, "Permission denied")]
)
def test_a_file_that_went_or_may_not_be_read_is_told_as_such(
    sample: Folder, monkeypatch: pytest.MonkeyPatch, error: int, words: str
) -> None:
    """Refused by hand, for root may read all."""
    path, real = sample.path / "shots" / "slipway.toml", os.open

    def refused(name: Path, *args: int) -> int:
        if name == path:
            raise OSError(error, os.strerror(error), str(name))
        return real(name, *args)

    monkeypatch.setattr(os, "open", refused)
    assert sample.told() == [
        f"shots/slipway.toml: found something that cannot be opened ({words}); right: what you may read"
    ]


def test_a_folder_that_may_not_be_listed_is_a_problem(
    sample: Folder, monkeypatch: pytest.MonkeyPatch
) -> None:
    def refuse(path: Path) -> list[str]:
        raise PermissionError(13, "Permission denied", str(path))

    monkeypatch.setattr(os, "listdir", refuse)
    assert sample.told() == [
        "catalog: found something that cannot be opened (Permission denied); right: what you may read"
    ]


def test_reading_writes_nothing(sample: Folder) -> None:
    def state() -> list[tuple[str, int]]:
        return sorted((str(path), path.stat().st_mtime_ns) for path in sample.path.rglob("*"))

    before = state()
    sample.read()
    assert state() == before
