"""[exposure] of a shot: what it asks, and one fault, one message."""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest

from fieldsheet.catalog.marks import APERTURES, ISOS, SHUTTERS
from fieldsheet.catalog.taken import defaults_taken

from .conftest import Folder

SHOT = "shots/slipway.toml"
# f/8 by day, its shutter and ISO where the aperture moves; at f/4 for all of the run, two stops less of it.
DAY = {True: ("1/1000", "100"), False: ("1/4000", "100")}
TABLE = """
[exposure]
bright = { f = 4, shutter = "1/1000", iso = 100 }
dark = { f = 4, shutter = 13, iso = 3200 }

[[keyframe]]
at = "start\""""


@pytest.fixture
def exposing(sample: Folder) -> Folder:
    sample.edit(SHOT, '\n[[keyframe]]\nat = "start"', TABLE)
    return sample


def test_a_brief_holds_bases_and_every_setting_between(exposing: Folder) -> None:
    found = exposing.read().brief("slipway")["exposure"]
    assert (found["turned_by"], found["sky_divisor"], found["f"]) == ("hand", 1, 4.0)
    assert found["bright"] == {"at": None, "ev": 14.0}
    assert found["dark"]["ev"] == pytest.approx(-14 / 3)
    ladder = [tuple(rung) for rung in found["ladder"]]
    assert ladder[0] == ("4", "1/4000", "100", 1) and ladder[-1] == ("4", "13", "12800", 13_000)
    assert ("4", "13", "100", 13_000) in ladder and ("4", "13", "3200", 13_000) in ladder
    changed = [
        sum(a != b for a, b in zip(one[:3], other[:3], strict=True))
        for one, other in zip(ladder, ladder[1:], strict=False)
    ]
    assert set(changed) == {1}, "one control a click"


def test_an_aperture_moves_only_where_it_is_asked_to(exposing: Folder) -> None:
    exposing.edit(SHOT, "bright = { f = 4,", "bright = { f = 8,")
    assert {rung[0] for rung in exposing.read().brief("slipway")["exposure"]["ladder"]} == {"4"}
    exposing.edit(SHOT, "[exposure]", '[exposure]\naperture = "moves"')
    ladder = exposing.read().brief("slipway")["exposure"]["ladder"]
    assert [ladder[0][0], ladder[-1][0]] == ["8", "4"]
    assert ["8", "1/1000", "100", 1] in ladder


LIMITED = [
    ("", ["shutter", "iso"], ("100", "12800", "13")),
    ('in_turn = ["iso", "shutter"]', ["iso", "shutter"], ("100", "12800", "13")),
    ("iso_max = 6400", ["shutter", "iso"], ("100", "6400", "13")),
    ('aperture = "moves"', ["shutter", "aperture", "iso"], ("100", "12800", "13")),
    (
        'aperture = "moves"\napertures = [2.8, 16]\nin_turn = ["aperture", "iso", "shutter"]',
        ["aperture", "iso", "shutter"],
        ("100", "12800", "13"),
    ),
]


@pytest.mark.parametrize(("lines", "in_turn", "ends"), LIMITED, ids=lambda row: str(row)[:40])
def test_what_moves_first_and_how_far(
    exposing: Folder, lines: str, in_turn: list[str], ends: tuple[str, str, str]
) -> None:
    """A click is a third whatever moves; from the day's exposure to the night's each moves in turn."""
    exposing.edit(SHOT, "bright = { f = 4,", f"{lines}\nbright = {{ f = 8,")
    found = exposing.read().brief("slipway")["exposure"]
    ladder = [tuple(rung[:3]) for rung in found["ladder"]]
    places = [(APERTURES.index(f), SHUTTERS.index(shutter), ISOS.index(iso)) for f, shutter, iso in ladder]
    for one, other in zip(places, places[1:], strict=False):
        assert sorted(abs(a - b) for a, b in zip(one, other, strict=True)) == [0, 0, 1]
        assert other[0] <= one[0] and other[1] >= one[1] and other[2] >= one[2], "always more exposure"
    moves = "aperture" in in_turn
    assert ("4", "13", "3200") in ladder and (("8" if moves else "4"), *DAY[moves]) in ladder
    assert (ladder[0][2], ladder[-1][2], ladder[-1][1]) == ends
    assert [ladder[0][0], ladder[-1][0]] == (["16", "2.8"] if "16" in lines else ["8" if moves else "4", "4"])
    between = ladder[
        ladder.index(("8" if moves else "4", *DAY[moves])) : ladder.index(("4", "13", "3200")) + 1
    ]
    names = ("aperture", "shutter", "iso")
    turned = [
        next(name for name, a, b in zip(names, one, other, strict=True) if a != b)
        for one, other in zip(between, between[1:], strict=False)
    ]
    assert list(dict.fromkeys(turned)) == in_turn


def test_the_scene_of_a_keyframe_and_the_pixels_of_a_camera(exposing: Folder) -> None:
    exposing.edit(SHOT, 'at = "halfway"', 'at = "halfway"\nscene_ev = -2.5')
    exposing.edit("cameras/full-frame-14.toml", "focal_mm = 14", "focal_mm = 14\npixels = [6000, 4000]")
    brief = exposing.read().brief("slipway")
    assert [keyframe["scene_ev"] for keyframe in brief["keyframes"]] == [0.0, -2.5, 0.0]
    assert brief["camera"]["pixels"] == [6000, 4000]
    exposing.edit(SHOT, "fps = 25", 'fps = 25\norientation = "portrait"')
    assert exposing.read().brief("slipway")["camera"]["pixels"] == [4000, 6000]


def test_what_is_taken_as_given_is_told_where_it_counts(exposing: Folder) -> None:
    taken = dict(defaults_taken(exposing.read(), "slipway"))
    assert taken["shot.exposure.turned_by"] == "hand" and taken["shot.exposure.sky"] == "clear"
    assert taken["camera.iso"] == "100, 12800"
    exposing.edit(SHOT, TABLE.removesuffix('\n[[keyframe]]\nat = "start"'), "")
    assert "camera.iso" not in dict(defaults_taken(exposing.read(), "slipway"))


ROWS = tomllib.loads(Path(__file__).with_name("faults-exposure.toml").read_text("utf-8"))["fault"]


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row["new"][:40])
def test_one_fault_is_one_message(exposing: Folder, row: dict[str, str]) -> None:
    exposing.edit(SHOT, row["old"], row["new"])
    (problem,) = exposing.problems()
    assert f"{problem.key}: found {problem.found}; right: {problem.right}" == row["told"]
    assert problem.file == SHOT and problem.line is not None


def test_a_scene_without_an_exposure_does_nothing(sample: Folder) -> None:
    sample.edit(SHOT, 'at = "halfway"', 'at = "halfway"\nscene_ev = -2')
    (problem,) = sample.problems()
    assert (problem.key, problem.found) == ("keyframe.1.scene_ev", "scene_ev without an [exposure]")


@pytest.mark.parametrize(
    ("line", "found", "right"),
    [
        ("pixels = [4000, 6000]", "4000 x 6000 pixels", "the wide side first: [6000, 4000]"),
        ("iso = [6400, 100]", "from 6400 to 100", "the smaller figure first"),
        ('shutters = [30, "1/4000"]', "from '30' to '1/4000'", "the smaller figure first"),
    ],
)
def test_a_camera_gives_its_ranges_from_below(sample: Folder, line: str, found: str, right: str) -> None:
    sample.edit("cameras/full-frame-14.toml", "focal_mm = 14", f"focal_mm = 14\n{line}")
    (problem,) = sample.problems()
    assert (problem.found, problem.right) == (found, right)
