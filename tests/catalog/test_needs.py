"""[needs] of a shot: what the brief holds of it, and what cannot be asked."""

from __future__ import annotations

import tomllib
from pathlib import Path
from typing import Any

import pytest

from .conftest import Folder

WALL, CIRCLE = "shots/wall.toml", "shots/circle.toml"
LAST = 'at = "Rigil Kentaurus highest"\naim = { target = "South Pole", y = 0.3 }\n'
WHOLE = """
[needs]
weekdays = ["Sat", "Fri"]
darkness_h_min = 2.5
core_usable_h_min = 1

[[needs.moon]]
at = "50%"
is = "down"
lit_pct = [0, 40]

[[needs.target]]
target = "Galactic Core"
at = "sunset + 1h"
altitude_deg = [15, 40]
azimuth_deg = [350, 20]

[[needs.event]]
event = "low tide"
between = ["22:00", "02:30"]

[[needs.event]]
event = "Antares rise"
within = "1h30m"
of = "frame 12"
"""


def _with(harbour: Folder, needs: str) -> None:
    harbour.edit(CIRCLE, LAST, LAST + needs)


def test_the_brief_holds_a_row_for_each_thing_that_is_measured(harbour: Folder) -> None:
    _with(harbour, WHOLE)
    halfway, dusk = {"fraction": 0.5}, {"event": "sunset", "offset_s": 3600}
    assert harbour.read().brief("circle")["needs"] == [
        {"kind": "weekday", "days": ["Fri", "Sat"]},
        {"kind": "darkness", "least_ms": 9_000_000},
        {"kind": "core-usable", "least_ms": 3_600_000},
        {"kind": "moon-down", "at": halfway},
        {"kind": "moon-lit", "at": halfway, "lit_pct": [0.0, 40.0]},
        {"kind": "altitude", "target": "galactic core", "at": dusk, "altitude_deg": [15.0, 40.0]},
        {"kind": "azimuth", "target": "galactic core", "at": dusk, "azimuth_deg": [350.0, 20.0]},
        {"kind": "event-between", "event": "low tide", "between": [79_200, 9_000]},
        {"kind": "event-within", "event": "antares rise", "within_ms": 5_400_000, "at": {"frame": 12}},
    ]
    assert harbour.read().brief("wall")["needs"] == []


FAULTS = tomllib.loads(Path(__file__).with_name("faults-needs.toml").read_text("utf-8"))["fault"]


@pytest.mark.parametrize("fault", FAULTS, ids=[fault["needs"][:60] for fault in FAULTS])
def test_what_cannot_be_asked_is_told(harbour: Folder, fault: dict[str, Any]) -> None:
    _with(harbour, "\n" + fault["needs"])
    assert [line.partition(": ")[2] for line in harbour.told()] == fault["told"]


def test_every_problem_of_the_needs_is_told_at_once_each_at_its_line(harbour: Folder) -> None:
    _with(
        harbour,
        '\n[needs]\nweekdays = ["Fri", "Sut"]\ndarkness_h_min = 25\n[[needs.moon]]\nat = "ende"\n'
        'is = "up"\n[[needs.event]]\nevent = "tea time"\nbetween = ["18:00", "20:00"]\n',
    )
    found: list[Any] = [(problem.line, problem.key) for problem in harbour.problems()]
    assert found == [
        (18, "needs.weekdays.1"),
        (19, "needs.darkness_h_min"),
        (21, "needs.moon.0.at"),
        (24, "needs.event.0.event"),
    ]


def test_a_tide_that_the_place_does_not_know_cannot_be_needed(sample: Folder) -> None:
    path = sample.path / "shots/slipway.toml"
    more = '\n[[needs.event]]\nevent = "low tide"\nbetween = ["18:00", "20:00"]\n'
    path.write_text(path.read_text("utf-8") + more, "utf-8")
    (told,) = sample.told()
    assert "needs.event 1 event: found 'low tide', but places/gull-point.toml has no [[tide]]" in told


def test_what_is_finer_than_it_is_printed_is_told_at_its_line(harbour: Folder) -> None:
    _with(harbour, '\n[[needs.target]]\ntarget = "sun"\nat = "end"\naltitude_deg = [20.25, 30]\n')
    (problem,) = harbour.problems()
    assert (problem.file, problem.line, problem.key) == (CIRCLE, 20, "needs.target.0.altitude_deg.0")


def test_the_moon_is_not_wanted_up_where_she_stands_on_the_skyline(sample: Folder) -> None:
    place = sample.path / "places/gull-point.toml"
    place.write_text(f"horizon = [[0, 2], [90, 4], [180, 4], [270, 3]]\n{place.read_text('utf-8')}", "utf-8")
    shot = sample.path / "shots/slipway.toml"
    before = shot.read_text("utf-8")
    more = '\n[[needs.moon]]\nat = "moon behind ridge"\nis = "{way}"\n'
    shot.write_text(before + more.format(way="up"), "utf-8")
    (told,) = sample.told()
    edge = "found 'moon behind ridge', when the moon is on the edge of the skyline"
    assert f"needs.moon 1 at: {edge}; right: an offset, such as 'moon behind ridge + 10m'" in told
    shot.write_text(before + more.format(way="down"), "utf-8")
    assert sample.told() == []


def test_an_event_of_the_ridge_needs_a_place_with_a_horizon(sample: Folder) -> None:
    path = sample.path / "shots/slipway.toml"
    more = '\n[[needs.moon]]\nat = "moon over ridge + 10m"\nis = "up"\n'
    path.write_text(path.read_text("utf-8") + more, "utf-8")
    (told,) = sample.told()
    assert "needs.moon 1 at: found 'moon over ridge', but places/gull-point.toml has no horizon" in told
