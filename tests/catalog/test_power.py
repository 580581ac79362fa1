"""What rig, camera and shot say of watt-hours and cards: resolved, defaulted, and what is wrong with it."""

from __future__ import annotations

from random import Random
from typing import Any

import pytest

from fieldsheet.catalog.powered import charging_of
from fieldsheet.catalog.read import Catalog
from fieldsheet.catalog.taken import defaults_taken
from tests.long import tries
from tests.random_axes import random_axes
from tests.random_power import random_battery, random_cards, random_heater, random_power

from .conftest import Folder
from .test_problems import table

RIG, CAMERA, SHOT = "rigs/rail-and-head.toml", "cameras/full-frame-14.toml", "shots/slipway.toml"
POWER = """
[power]
supply = "12 V"
isolating_lead = true
electronics_w = 1.5
holding_w = 2
moving_wh_per_m = 0.9
moving_wh_per_deg = { pan = 0.004, tilt = 0.006 }
peak_w = 12
incline_factor = [[0, 1.0], [45, 1.5]]

[[power.pack]]
name = "A1"
seat = "tray"
capacity_mah = 10000
output_w = 20

[[power.pack]]
name = "A2"
seat = "case"
capacity_mah = 12000
cell_v = 3.6
efficiency = 0.9
reserve = 0.1
cold = [[-10, 0.6], [15, 1]]
output_w = 25
"""
BATTERY = """
[battery]
capacity_mah = 2000
nominal_v = 7.2
frame_wh = 0.004
idle_w = 0.5
"""
CARDS = "focal_mm = 14\nfile_mb = 30\ncard_gb = [64, 32]"
HEATER = "\n[heater]\nheater_w = 5\ncapacity_mah = 5000\n"
CHARGING = """
[charging]
from = "09:30"
until = "16:00"
charger_w = 30
"""
COLD = [[-20.0, 0.5], [-10.0, 0.7], [0.0, 0.85], [20.0, 1.0]]


@pytest.fixture
def powered(sample: Folder) -> Folder:
    """The sample, with figures of rig, camera and heater."""
    for file, more in ((RIG, POWER), (CAMERA, BATTERY), (SHOT, HEATER), ("catalog.toml", CHARGING)):
        path = sample.path / file
        path.write_text(path.read_text("utf-8") + more, "utf-8")
    sample.edit(CAMERA, "focal_mm = 14", CARDS)
    return sample


def test_figures_come_into_the_brief_in_watt_hours(powered: Folder) -> None:
    assert powered.told() == []
    brief = powered.read().brief("slipway")
    power = brief["rig"]["power"]
    assert power["moving_wh"] == {"slide": 0.0009, "pan": 0.004, "tilt": 0.006}
    assert power["up"] == power["down"] == power["holding"] == [[0.0, 1.0], [45.0, 1.5]]
    assert power["can_swap"] is True
    first, second = power["packs"]
    assert first == {
        "name": "A1",
        "rated_wh": 37.0,
        "efficiency": 0.85,
        "reserve": 0.2,
        "cold": COLD,
        "cell_v": 3.7,
        "output_w": 20.0,
    }
    assert (second["rated_wh"], second["efficiency"], second["reserve"]) == (43.2, 0.9, 0.1)
    assert brief["camera"]["battery"]["pack"]["rated_wh"] == 14.4
    assert brief["camera"]["cards"] == {"frame_mb": 30.0, "card_gb": [64.0, 32.0]}
    assert brief["heater"]["pack"]["rated_wh"] == 18.5


def test_when_packs_are_charged_is_read_by_the_clock(powered: Folder) -> None:
    hours = {"from_s": 34_200, "until_s": 57_600}
    assert charging_of(powered.read().head) == {**hours, "charger_w": 30.0, "efficiency": 0.9}
    powered.edit("catalog.toml", CHARGING, "")
    assert charging_of(powered.read().head) is None


def test_random_figures_have_the_shape_of_those_that_are_made(powered: Folder) -> None:
    brief = powered.read().brief("slipway")
    for seed in range(tries(40)):
        rng = Random(seed)
        pairs: list[tuple[Any, Any]] = [
            (random_power(rng, random_axes(rng)), brief["rig"]["power"]),
            (random_battery(rng), brief["camera"]["battery"]),
            (random_heater(rng), brief["heater"]),
            (random_cards(rng), brief["camera"]["cards"]),
        ]
        for random, made in pairs:
            assert random is None or random.keys() == made.keys()
            for pack in random.get("packs", []) if random else []:
                assert pack.keys() == made["packs"][0].keys()
            if random and "pack" in random:
                assert random["pack"].keys() == made["pack"].keys()


@pytest.mark.parametrize(
    ("shot", "place", "degrees"),
    [
        ("", "", 20.0),
        ("", "air = { pressure_hpa = 990, temperature_c = -5 }\n", -5.0),
        ("temperature_c = 3\n", "air = { pressure_hpa = 990, temperature_c = -5 }\n", 3.0),
    ],
)
def test_the_cold_is_the_shots_else_the_places_else_taken_as_given(
    powered: Folder, shot: str, place: str, degrees: float
) -> None:
    powered.edit(SHOT, 'place = "gull-point"', shot + 'place = "gull-point"')
    powered.edit("places/gull-point.toml", "latitude_deg", place + "latitude_deg")
    catalog = powered.read()
    assert catalog.brief("slipway")["temperature_c"] == degrees
    taken = dict(defaults_taken(catalog, "slipway"))
    assert ("shot.temperature_c" in taken) == (degrees == 20.0)
    assert taken["rig.power.pack.1.cold"].startswith("[-20, 0.5], [-10, 0.7], [0, 0.85], [20, 1]: our own")
    assert "rig.power.pack.2.cold" not in taken
    assert taken["rig.power.pack.1.efficiency"] == "0.85"


def test_who_says_nothing_of_watts_is_asked_for_nothing(demo: Catalog, sample: Folder) -> None:
    brief = sample.read().brief("slipway")
    assert (brief["rig"]["power"], brief["camera"]["battery"], brief["camera"]["cards"]) == (None, None, None)
    taken = dict(defaults_taken(sample.read(), "slipway"))
    assert not [key for key in taken if "cold" in key or "temperature" in key or "reserve" in key]
    assert demo.brief("stone-saw")["rig"]["power"] is None


@pytest.mark.parametrize("fault", table("faults-power.toml"))
def test_one_fault_is_one_message(powered: Folder, fault: dict[str, str]) -> None:
    powered.edit(fault["file"], fault["old"], fault["new"])
    assert [line.split(": ", 1)[1] for line in powered.told()] == [fault["told"]]


def test_an_incline_that_was_not_measured_is_refused(powered: Folder) -> None:
    powered.edit(SHOT, "incline_deg = 0", "incline_deg = 30")
    assert powered.told() == []
    powered.edit(RIG, "[[0, 1.0], [45, 1.5]]", "[[0, 1.0], [20, 1.5]]")
    (told,) = powered.told()
    assert "found 30°, but incline_factor of rigs/rail-and-head.toml was measured to 20°" in told
    powered.edit(RIG, "incline_factor = [[0, 1.0], [20, 1.5]]\n", "")
    (told,) = powered.told()
    assert "found 30°, but [power] of rigs/rail-and-head.toml has no incline_factor" in told


def test_power_without_a_pack_is_refused(powered: Folder) -> None:
    text = (powered.path / RIG).read_text("utf-8")
    powered.write(RIG, text[: text.index("[[power.pack]]")])
    (told,) = powered.told()
    assert told.endswith("power.pack: found no pack; right: a [[power.pack]] with capacity_mah")


def test_a_rig_that_would_forget_where_it_stands_is_not_swapped(powered: Folder) -> None:
    powered.edit(RIG, "isolating_lead = true", "isolating_lead = false")
    assert powered.read().brief("slipway")["rig"]["power"]["can_swap"] is True
    powered.edit(
        RIG, 'motion = "shoot-move-shoot"', 'motion = "shoot-move-shoot"\nposition_after_power_loss = "lost"'
    )
    assert powered.read().brief("slipway")["rig"]["power"]["can_swap"] is False
