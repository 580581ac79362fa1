"""The defaults that are shown are those that the files leave open, and no others."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from fieldsheet.catalog import defaults
from fieldsheet.catalog.read import read_catalog
from fieldsheet.catalog.taken import defaults_taken

DEMO = Path(__file__).resolve().parents[2] / "fieldsheet" / "demo"


def taken(folder: Path) -> dict[str, str]:
    return dict(defaults_taken(read_catalog(folder), "slipway"))


@pytest.mark.parametrize(
    ("file", "line", "key", "value"),
    [
        ("shots/slipway.toml", "fps = 25", "shot.fps", str(defaults.FPS)),
        ("shots/slipway.toml", "ease_frames = 40", "shot.ease_frames", "in 0, out 0"),
        ("shots/slipway.toml", 'order = "last-to-first"', "shot.order", "last-to-first"),
        ("rigs/rail-and-head.toml", "settle_s = ", "rig.settle_s", str(defaults.SETTLE_S)),
        ("cameras/full-frame-14.toml", "ready_s = ", "camera.ready_s", str(defaults.READY_S)),
    ],
)
def test_a_key_that_is_taken_out_of_its_file_comes_up_with_its_default(
    tmp_path: Path, file: str, line: str, key: str, value: str
) -> None:
    folder = Path(shutil.copytree(DEMO, tmp_path / "catalog"))
    assert key not in taken(folder)
    lines = (folder / file).read_text("utf-8").splitlines()
    left = [text for text in lines if not text.startswith(line)]
    assert len(left) == len(lines) - 1
    (folder / file).write_text("\n".join(left) + "\n", "utf-8")
    assert taken(folder)[key] == value


def test_open_keys_inside_tables_and_lists_are_found_by_their_place() -> None:
    found = taken(DEMO)
    assert found["shot.keyframe.2.aim.x"] == "0"
    assert "shot.keyframe.1.aim.x" not in found
    assert not [key for key in found if key.endswith(("duration", "frames", "clip_s", "turn"))]
