"""Air, cold, mains light, subject, what a camera does of itself: what the brief has of them, and faults."""

from __future__ import annotations

from typing import Any

import pytest

from .conftest import Folder

SHOT, CAMERA, PLACE = "shots/slipway.toml", "cameras/full-frame-14.toml", "places/gull-point.toml"
WIDEST = "apertures, the widest first: there nothing closes"
LONGEST = "longest_shutter_s = 13"


@pytest.mark.parametrize(
    ("lines", "key", "value"),
    [
        ("", "dew", None),
        ("temperature_c = 7\ndew_point_c = 4", "dew", {"air_c": 7, "dew_point_c": 4, "humidity_pct": None}),
        (
            "temperature_c = 7\nhumidity_pct = 90",
            "dew",
            {"air_c": 7, "dew_point_c": None, "humidity_pct": 90},
        ),
        ("mains_hz = 60", "mains_hz", 60),
        ("", "subject", None),
        ('subject = "fast clouds"', "subject", {"name": "fast clouds", "least_ms": 1000, "most_ms": 3000}),
        # Common practice, no source: of stars the exposure and 1 to 5 s.
        ('subject = "stars"', "subject", {"name": "stars", "least_ms": 14_000, "most_ms": 18_000}),
        ("temperature_c = -15", "deep_cold", False),
        ("temperature_c = -15.5", "deep_cold", True),
    ],
)
def test_a_brief_has_what_surrounds_the_shot(sample: Folder, lines: str, key: str, value: Any) -> None:
    sample.edit(SHOT, LONGEST, f"{LONGEST}\n{lines}")
    assert sample.read().brief("slipway")[key] == value


def test_the_air_of_the_place_serves_where_the_shot_names_none(sample: Folder) -> None:
    sample.edit(SHOT, LONGEST, f"{LONGEST}\nhumidity_pct = 70")
    (problem,) = sample.problems()
    assert (problem.key, problem.found) == ("humidity_pct", "humidity_pct without a temperature")
    sample.edit(PLACE, "elevation_m", "air = { pressure_hpa = 1010, temperature_c = 9 }\nelevation_m")
    dew = sample.read().brief("slipway")["dew"]
    assert dew == {"air_c": 9.0, "dew_point_c": None, "humidity_pct": 70.0}


def test_in_deep_cold_settling_counts_double(sample: Folder) -> None:
    warm = sample.read().brief("slipway")["rig"]["settle_ms"]
    sample.edit(SHOT, LONGEST, f"{LONGEST}\ntemperature_c = -20")
    assert sample.read().brief("slipway")["rig"]["settle_ms"] == 2 * warm > 0


def test_what_a_camera_does_of_itself(sample: Folder) -> None:
    camera = sample.read().brief("slipway")["camera"]
    assert (camera["widest_f"], camera["noise_reduction"]) == (None, False)
    more = "apertures = [2.80, 22]\naperture_closes = true\nnoise_reduction = true"
    sample.edit(CAMERA, "focal_mm = 14", f"focal_mm = 14\n{more}")
    camera = sample.read().brief("slipway")["camera"]
    assert (camera["widest_f"], camera["noise_reduction"]) == ("2.8", True)


@pytest.mark.parametrize(
    ("file", "line", "told"),
    [
        (SHOT, "mains_hz = 16", "mains_hz: found 16; right: 50 or 60: no mains has another"),
        (SHOT, 'subject = "star"', "subject: found 'star'; right: 'stars' (did you mean that?)"),
        (
            SHOT,
            "temperature_c = 7\ndew_point_c = 9",
            "dew_point_c: found a dew point of 9 °C in air of 7 °C; right: at most 7",
        ),
        (
            SHOT,
            "temperature_c = 7\ndew_point_c = 4\nhumidity_pct = 60",
            "dew_point_c: found both dew_point_c and humidity_pct; right: only one of them",
        ),
        (
            SHOT,
            "temperature_c = 7\nhumidity_pct = 101",
            "humidity_pct: found 101; right: the relative humidity in percent, above 0 to 100",
        ),
        (
            CAMERA,
            "aperture_closes = true",
            "aperture_closes: found aperture_closes without apertures; right: " + WIDEST,
        ),
    ],
    ids=lambda value: value[:30],
)
def test_one_fault_is_one_message(sample: Folder, file: str, line: str, told: str) -> None:
    old = LONGEST if file == SHOT else "focal_mm = 14"
    sample.edit(file, old, f"{old}\n{line}")
    (problem,) = sample.problems()
    assert f"{problem.key}: found {problem.found}; right: {problem.right}" == told
    assert problem.file == file and problem.line is not None


def test_a_gap_keyed_into_a_rig_that_waits_leaves_room_for_a_second_exposure(sample: Folder) -> None:
    rig = "rigs/rail-and-head.toml"
    sample.edit(rig, 'motion = "shoot-move-shoot"', 'motion = "shoot-move-shoot"\ninterval_means = "gap"')
    sample.edit(rig, "interval_means", "waits_for_camera = true\ninterval_means")
    sample.edit(SHOT, "interval_s = 18", "interval_s = 20")
    assert sample.problems() == []
    sample.edit(CAMERA, "focal_mm = 14", "focal_mm = 14\nnoise_reduction = true")
    (problem,) = sample.problems()
    assert problem.found == "20, which leaves no gap after a dwell of 27 s"
