"""The defaults that are shown are those that the files leave open, and no others."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from fieldsheet.catalog import defaults
from fieldsheet.catalog.read import read_catalog
from fieldsheet.catalog.taken import defaults_taken

HARBOUR = Path(__file__).with_name("harbour")
DEMO = Path(__file__).resolve().parents[2] / "fieldsheet" / "demo"


def taken(folder: Path, shot: str = "slipway") -> dict[str, str]:
    return dict(defaults_taken(read_catalog(folder), shot))


@pytest.mark.parametrize(
    ("file", "line", "key", "value"),
    [
        ("shots/slipway.toml", "fps = 25", "shot.fps", str(defaults.FPS)),
        ("shots/slipway.toml", "ease_frames = 40", "shot.ease_frames", "in 0, out 0"),
        ("shots/slipway.toml", 'order = "last-to-first"', "shot.order", "last-to-first"),
        ("shots/slipway.toml", "setup = ", "shot.setup", defaults.SETUP),
        ("places/gull-point.toml", "altitude_deg = 1.5", "place.landmark.1.altitude_deg", "0"),
        ("rigs/rail-and-head.toml", "shutter_by = ", "rig.shutter_by", defaults.SHUTTER_BY),
        ("rigs/rail-and-head.toml", "interval_means = ", "rig.interval_means", defaults.INTERVAL_MEANS),
        ("rigs/rail-and-head.toml", "isolating_lead = ", "rig.power.isolating_lead", "false"),
        ("rigs/rail-and-head.toml", "sleeps = ", "rig.power.sleeps", "false"),
        ("cameras/full-frame-14.toml", "projection = ", "camera.projection", defaults.PROJECTION),
        ("cameras/full-frame-14.toml", "viewfinder = ", "camera.viewfinder", defaults.VIEWFINDER),
        ("cameras/full-frame-14.toml", "file_roll = ", "camera.file_roll", str(defaults.FILE_ROLL)),
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
    assert not [key for key in found if key.endswith(("duration", "frames", "clip_s", ".turn"))]


def test_a_lens_that_nobody_tilted_is_said_to_be_taken_as_level() -> None:
    assert taken(HARBOUR, "yard")["shot.tilt_deg"] == "0"
    assert "shot.tilt_deg" not in taken(HARBOUR, "wall") | taken(HARBOUR, "circle")


@pytest.mark.parametrize(
    ("written", "told"),
    [
        ("15", "15 is 16 s on many cameras"),
        ("30.0", "30.0 is 32 s on many cameras"),
        ("13", None),
        ("16", None),
        ("0.5", None),
    ],
)
def test_a_shutter_that_stays_open_for_longer_is_told(tmp_path: Path, written: str, told: str | None) -> None:
    folder = Path(shutil.copytree(HARBOUR, tmp_path / "catalog"))
    shot = folder / "shots/yard.toml"
    text = shot.read_text("utf-8").replace("interval_s = 6", "interval_s = 40")
    shot.write_text(text.replace("longest_shutter_s = 0.5", f"longest_shutter_s = {written}"), "utf-8")
    assert taken(folder, "yard").get("shot.longest_shutter_s") == told


def test_minutes_of_set_up_leave_no_default_of_it() -> None:
    assert "shot.setup" in taken(HARBOUR, "yard")
    assert "shot.setup" not in taken(HARBOUR, "wall")


def test_house_items_that_do_not_concern_the_shot_are_not_told() -> None:
    told = {key for key in taken(HARBOUR, "yard") if key.startswith("catalog.house")}
    assert told == {"catalog.house.1.must"}


def test_what_the_catalog_leaves_open_of_print_is_told() -> None:
    told = {key: value for key, value in taken(HARBOUR, "yard").items() if key.startswith("catalog.print.")}
    keys = ("card", "sheet", "sides", "clock_h", "seal_mm", "hole")
    assert told == {f"catalog.print.{key}": str(getattr(defaults, f"PRINT_{key.upper()}")) for key in keys}


def test_nothing_is_told_of_moving_where_nothing_moves() -> None:
    moving = {"shot.hold_frames", "shot.ease_frames", "shot.order", "rig.orders", "rig.settle_s"}
    assert moving <= taken(HARBOUR, "wall").keys()
    for still in ("circle", "yard"):
        assert not moving & taken(HARBOUR, still).keys()
