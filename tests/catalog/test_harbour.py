"""What the sample leaves open: tides, landmarks, roles, house items, a steep rail, a rig without an axis."""

from __future__ import annotations

from datetime import date, timedelta
from random import Random
from typing import Any

import pytest

from tests.long import tries
from tests.random_briefs import random_brief

from .conftest import Folder

SHOT = "shots/slipway.toml"


# Tables that a brief may lack, and free ones.
OPEN = (
    "rail", "swap", "power", "remote", "check_in", "axes", "start", "end", "turn_back", "gate_closes",
    "roles", "air", "declination", "sea_horizon_m", "exposure", "battery", "cards", "heater", "keyframes",
    "dew", "subject",
)  # fmt: skip


def shape(value: Any) -> Any:
    """The keys of nested tables, without what their values are."""
    if isinstance(value, dict):
        return {key: shape(part) for key, part in value.items()}
    return None


def test_random_briefs_have_the_shape_of_those_that_are_made(harbour: Folder) -> None:
    catalog = harbour.read()
    made = {shot: catalog.brief(shot) for shot in catalog.shots}

    def bare(brief: dict[str, Any]) -> Any:
        """Without the parts that a brief may lack, its revision, which comes later, and marks of guesses."""
        kept = shape({key: part for key, part in brief.items() if key not in ("revision", "assumed")})
        for table in (kept, kept["place"], kept["rig"], kept["camera"], kept["words"]):
            table |= {key: None for key in OPEN if key in table}
        return kept

    for seed in range(tries(50)):
        random = random_brief(Random(seed))
        assert all(bare(random) == bare(brief) for brief in made.values())
        if random["rail"]:
            assert random["rail"].keys() == made["wall"]["rail"].keys()
        if random["words"]["power"]:
            assert random["words"]["power"].keys() == made["wall"]["words"]["power"].keys()
        for name, rows in (("landmarks", made["wall"]["place"]), ("tides", made["wall"]["place"])):
            assert all(row.keys() == rows[name][0].keys() for row in random["place"][name])
        for keyframe in random["keyframes"]:
            assert keyframe.keys() == made["circle"]["keyframes"][0].keys()
        assert (random["tilt_deg"] is None) == ("tilt" in random["rig"]["axes"])


HARBOUR_RESOLVED: list[tuple[str, list[str | int], Any]] = [
    ("wall", ["place", "landmarks", 1], {"name": "crane", "bearing_deg": 12.0, "altitude_deg": 0.0}),
    ("wall", ["place", "turn_back"], {"event": "exit closes", "offset_s": -2700}),
    ("wall", ["place", "gate_closes"], {"clock_s": 84_600}),
    ("wall", ["place", "check_in"], {"with": "the store", "at": {"event": "high tide", "offset_s": 0}}),
    ("wall", ["place", "approach_ms"], 750_000),
    ("wall", ["rig", "interval_means"], "gap"),
    ("circle", ["rig", "interval_means"], "start to start"),
    ("wall", ["rig", "load_kg"], [[0.0, 6.5], [45.0, 4.8], [75.0, 3.2]]),
    ("circle", ["rig", "load_kg"], None),
    ("wall", ["camera", "projection"], "equisolid"),
    ("wall", ["camera", "sensor_mm"], [15.7, 23.5]),
    ("circle", ["camera", "sensor_mm"], [23.5, 15.7]),
    ("wall", ["tilt_deg"], 8.0),
    ("circle", ["tilt_deg"], None),
    ("yard", ["tilt_deg"], 0.0),
    ("wall", ["rail", "motor_end"], "high"),
    ("wall", ["rail", "payload_kg"], 2.3),
    ("wall", ["setup_ms"], 75 * 60_000),
    ("circle", ["setup_ms"], 120 * 60_000),
    ("yard", ["setup_ms"], 90 * 60_000),
    ("wall", ["swap"], {"from": {"fraction": 0.25}, "until": {"event": "low tide", "offset_s": 0}}),
    ("yard", ["swap"], None),
    ("circle", ["start"], {"event": "antares rise", "offset_s": 3600}),
    ("circle", ["keyframes", 0, "at"], {"event": "rigil kentaurus highest", "offset_s": 0}),
    ("circle", ["keyframes", 0, "aim"], {"target": "south pole", "x": 0.0, "y": 0.3}),
    ("yard", ["keyframes"], []),
    ("yard", ["rig", "axes"], {}),
    ("yard", ["rig", "motion"], "none"),
    ("yard", ["rig", "program_order"], ["frames", "interval"]),
    ("wall", ["words", "access"], ["steps behind the store"]),
    ("wall", ["words", "permit"], "harbour office, by telephone"),
    ("wall", ["words", "stays"], "Osk"),
    ("wall", ["words", "crew"], [{"role": "operator", "who": "Runa"}, {"role": "rigger", "who": "Osk"}]),
    ("wall", ["words", "roles", "power"], "rigger"),
    ("wall", ["words", "joints", 0, "release"], "falls"),
    ("wall", ["words", "cables", 0, "fits"], "camera"),
    ("wall", ["words", "power", "packs", 0], {"name": "W1", "seat": "case at the foot"}),
    ("wall", ["words", "power", "packs", 1], {"name": "W2", "seat": "second case, lid latched"}),
    ("wall", ["words", "power", "isolating_lead"], True),
    ("wall", ["words", "power", "sleeps"], True),
    ("circle", ["words", "power"], None),
    ("wall", ["rig", "position_after_power_loss"], "lost"),
    ("wall", ["words", "shutter_by"], "rig"),
    ("circle", ["words", "shutter_by"], "camera"),
    ("wall", ["words", "back_to_start"], "drive down to the tape"),
    ("wall", ["words", "viewfinder"], "none"),
    ("wall", ["words", "file_roll"], 999),
    ("wall", ["words", "pack"], ["tether", "dew strap", "wedge"]),
    ("wall", ["words", "other_letters"], ["P", "T"]),
    ("yard", ["words", "other_letters"], ["P", "W"]),
    ("wall", ["words", "house", 1, "text"], "rope over the bollard"),
]


@pytest.mark.parametrize(("shot", "path", "value"), HARBOUR_RESOLVED)
def test_the_harbour_resolves_to_plain_values(
    harbour: Folder, shot: str, path: list[str | int], value: Any
) -> None:
    found: Any = harbour.read().brief(shot)
    for part in path:
        found = found[part]
    assert found == value


def test_tides_come_by_date_and_clock(harbour: Folder) -> None:
    tides = harbour.read().brief("yard")["place"]["tides"]
    assert [(tide["date"][8:], tide["clock_s"], tide["kind"]) for tide in tides] == [
        ("05", 11_520, "high tide"),
        ("05", 33_600, "low tide"),
        ("05", 56_400, "high tide"),
        ("06", 10_200, "wet line"),
        ("06", 11_400, "exit closes"),
        ("06", 14_520, "high tide"),
    ]


def test_a_house_item_reaches_the_shots_that_it_names_and_no_others(harbour: Folder) -> None:
    catalog = harbour.read()
    texts = {shot: [item["text"] for item in catalog.brief(shot)["words"]["house"]] for shot in catalog.shots}
    everywhere = "gloves, two pairs"
    assert texts == {
        "circle": [everywhere],
        "wall": [everywhere, "rope over the bollard"],
        "yard": [everywhere],
    }


def test_an_upright_rail_needs_no_bearing(harbour: Folder) -> None:
    harbour.edit("rigs/winch.toml", "[75, 3.2]", "[90, 3.2]")
    harbour.edit("shots/wall.toml", "bearing_deg = 75\nincline_deg = 70", "incline_deg = 90")
    assert harbour.read().brief("wall")["rail"]["bearing_deg"] is None


def test_a_tide_that_the_table_does_not_give_is_told_where_it_is_asked_for(harbour: Folder) -> None:
    harbour.edit("places/cove.toml", 'exit_closes = ["03:10"]\n', "")
    right = "its times from the official table, as exit_closes, or another moment"
    found = "found 'exit closes', but places/cove.toml has no such time in its [[tide]]"
    assert harbour.told() == [
        f"places/cove.toml:8: turn_back: {found}; right: {right}",
        f"shots/wall.toml:7: end: {found}; right: {right}",
    ]


def test_without_a_tide_table_no_shot_can_hang_on_it(sample: Folder) -> None:
    sample.edit(SHOT, 'at = "halfway"', 'at = "high tide + 1h"')
    (told,) = sample.told()
    assert told == (
        f"{SHOT}:35: keyframe 2 at: found 'high tide', but places/gull-point.toml has no [[tide]]; "
        "right: its times from the official table, as high, or another moment"
    )


@pytest.mark.parametrize(
    ("dates", "told"),
    [(40, None), (41, "found a list of 41; right: at most 40 tables [[tide]], one a date")],
)
def test_a_tide_table_has_forty_dates_at_most(sample: Folder, dates: int, told: str | None) -> None:
    place = "places/gull-point.toml"
    days = [date(2027, 6, 1) + timedelta(day) for day in range(dates)]
    text = "".join(f'\n[[tide]]\ndate = {day}\nhigh = ["03:12"]\n' for day in days)
    sample.write(place, (sample.path / place).read_text("utf-8") + text)
    assert [line.split(": ", 2)[2] for line in sample.told()] == ([told] if told else [])


def test_a_faulty_sensor_does_not_hide_what_else_the_camera_says(harbour: Folder) -> None:
    harbour.edit("cameras/fish.toml", "[23.5, 15.7]", "[15.7, 23.5]")
    harbour.edit("shots/wall.toml", "interval_s = 14.5", "interval_s = 9")
    assert [line.split(": found")[0] for line in harbour.told()] == [
        "cameras/fish.toml:2: sensor_mm",
        "shots/wall.toml:8: interval_s",
    ]
