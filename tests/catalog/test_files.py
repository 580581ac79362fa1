"""Which files of a folder are read, and what is said about the others."""

from __future__ import annotations

import os
import shutil
from pathlib import Path

import pytest

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
        ("shots/.pier.toml.swp", None),
        ("shots/pier.toml~", None),
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
        file.truncate(10 * 1024 * 1024)
    assert sample.told() == ["shots/huge.toml: found a file of 10240 KB; right: at most 256 KB"]


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
