"""Changes of the interval as a shot's file asks for them: resolved, and what is wrong with them."""

from __future__ import annotations

import pytest

from .conftest import Folder
from .test_problems import table

RIG, SHOT = "rigs/rail-and-head.toml", "shots/slipway.toml"
FIRST = '\n[[phase]]\nfrom = "astronomical dusk - 10m"\ninterval_s = 25\n'
SECOND = '\n[[phase]]\nfrom = "frame 900"\ninterval_s = 30.5\n'
ORDER = 'order = "last-to-first"\n'


@pytest.fixture
def phased(sample: Folder) -> Folder:
    """The sample, with two changes of interval that its rig can make."""
    sample.edit(RIG, "interval_step_s = 0.5 ", "interval_changes = true\ninterval_step_s = 0.5 ")
    sample.edit(SHOT, ORDER, ORDER + FIRST + SECOND)
    return sample


def test_phases_are_resolved(phased: Folder) -> None:
    brief = phased.read().brief("slipway")
    assert brief["rig"]["interval_changes"] and brief["interval_ms"] == 18_000
    assert brief["phases"] == [
        {"from": {"event": "astronomical dusk", "offset_s": -600}, "interval_ms": 25_000},
        {"from": {"frame": 900}, "interval_ms": 30_500},
    ]


def test_without_phases_there_are_none(sample: Folder) -> None:
    brief = sample.read().brief("slipway")
    assert brief["phases"] == [] and not brief["rig"]["interval_changes"]


@pytest.mark.parametrize("fault", table("faults-phases.toml"))
def test_one_fault_is_one_message(phased: Folder, fault: dict[str, str]) -> None:
    phased.edit(fault["file"], fault["old"], fault["new"])
    (problem,) = phased.problems()
    assert f"{problem.key}: found {problem.found}; right: {problem.right}" == fault["told"]
    assert problem.file == SHOT and problem.line is not None


def test_a_gap_that_cannot_be_keyed_is_told_at_its_phase(phased: Folder) -> None:
    phased.edit(RIG, "interval_changes = true", 'interval_changes = true\ninterval_means = "gap"')
    phased.edit(SHOT, "interval_s = 25", "interval_s = 14")
    told = [(problem.key, problem.found) for problem in phased.problems()]
    assert told == [("phase.0.interval_s", "14, which leaves no gap after a dwell of 14 s")]


def test_a_shutter_may_wait_for_the_interval_that_has_room_for_it(phased: Folder) -> None:
    exposure = '\n[exposure]\nbright = { f = 4, shutter = "1/60", iso = 100 }\n'
    exposure += "dark = { f = 4, shutter = 20, iso = 1600 }\n"
    phased.edit(SHOT, "longest_shutter_s = 13", "longest_shutter_s = 20")
    phased.edit(SHOT, FIRST, exposure + FIRST)
    assert phased.told() == []
    phased.edit(SHOT, FIRST + SECOND, "")
    (problem,) = phased.problems()
    assert problem.found == "20 s open in an interval of 18 s"
