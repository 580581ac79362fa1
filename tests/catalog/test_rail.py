"""The rail's bearing runs from home to the far end; with the view, it tells on which side home is."""

from __future__ import annotations

import pytest

from .conftest import Folder

SHOT = "shots/slipway.toml"


def lay(sample: Folder, bearing: str, home: str, zero: str) -> list[str]:
    sample.edit(SHOT, "bearing_deg = 300, ", f"bearing_deg = {bearing}, ")
    sample.edit(SHOT, 'home_end = "left"', f'home_end = "{home}"')
    sample.edit(SHOT, "zero_bearing_deg = 225 ", f"zero_bearing_deg = {zero} ")
    return sample.told()


# Looking south (180), right is west (270); looking north (0), right is east (90).
@pytest.mark.parametrize(
    ("bearing", "zero", "home"),
    [
        ("300", "225", "left"),
        ("120", "225", "right"),
        ("270", "180", "left"),
        ("90", "180", "right"),
        ("90", "0", "left"),
        ("270", "0", "right"),
        ("10", "350", "left"),
        ("350", "10", "right"),
        # The sine is 0.2 at 11.54 degrees from the view, to or fro.
        ("12", "0", "left"),
        ("348", "0", "right"),
        ("168", "0", "left"),
        ("192", "0", "right"),
    ],
)
def test_a_rail_across_the_view_has_its_home_on_one_side(
    sample: Folder, bearing: str, zero: str, home: str
) -> None:
    other = {"left": "right", "right": "left"}[home]
    assert lay(sample, bearing, other, zero) == [
        (
            f"{SHOT}:24: rail.home_end: found '{other}', but from home towards {bearing}° the rail runs "
            f"to the {other} of the view at {zero}°; "
            f"right: '{home}', or bearing_deg = {(int(bearing) + 180) % 360} if the home end is {other}"
        )
    ]
    sample.edit(SHOT, f'home_end = "{other}"', f'home_end = "{home}"')
    assert sample.told() == []


@pytest.mark.parametrize("home", ["left", "right"])
@pytest.mark.parametrize(
    ("bearing", "zero"), [("0", "0"), ("180", "0"), ("11", "0"), ("349", "0"), ("191", "0")]
)
def test_a_rail_along_the_view_may_have_its_home_on_either_side(
    sample: Folder, bearing: str, zero: str, home: str
) -> None:
    assert lay(sample, bearing, home, zero) == []


def test_a_rail_between_whole_degrees_is_turned_round_exactly(sample: Folder) -> None:
    assert lay(sample, "120.7", "left", "225.5") == [
        (
            f"{SHOT}:24: rail.home_end: found 'left', but from home towards 120.7° the rail runs "
            "to the left of the view at 225.5°; "
            "right: 'right', or bearing_deg = 300.7 if the home end is left"
        )
    ]


def test_a_faulty_bearing_is_told_alone(sample: Folder) -> None:
    assert lay(sample, "120", "left", "360") == [
        (
            f"{SHOT}:23: zero_bearing_deg: found 360; "
            "right: where pan 0 looks, degrees clockwise from true north, 0 to below 360"
        )
    ]
