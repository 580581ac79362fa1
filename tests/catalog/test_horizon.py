"""What a place says of its skyline, its sea and its air, and what is refused."""

from __future__ import annotations

import pytest

from .conftest import Folder

PLACE, SHOT = "places/gull-point.toml", "shots/slipway.toml"
ROUND = "[[0, 2.5], [45, 8], [120, 3], [200, -0.5], [280, 4]]"
PAIR = "a pair such as [45, 8.0]: azimuth and altitude in degrees"
MANY = "3 to 360 pairs [azimuth, altitude] right round, such as [[0, 2.5], [90, 8], [200, 1]]"
ALTITUDE = "degrees above the level horizon, -5 to 90"
AZIMUTH = "degrees clockwise from true north, 0 to below 360"
WIDE = "right: no gap wider than 90°"
OPEN = "found not covering the circle: nothing from"
SEA = "metres of the eye above the sea that is looked over, above 0 to 9000"
HPA = "the barometer's hPa there, not reduced to the sea, 300 to 1100"
DEGREES = "degrees Celsius from -60 to 60"
RISE = "azimuths that rise, each once"


def _add(sample: Folder, text: str) -> None:
    file = sample.path / PLACE
    file.write_text(file.read_text("utf-8") + text + "\n", "utf-8")


def test_a_place_without_them_has_none(sample: Folder) -> None:
    place = sample.read().brief("slipway")["place"]
    assert (place["horizon"], place["sea_horizon_m"], place["air"]) == ([], None, None)
    assert place["declination"]["deg"] == pytest.approx(-0.6, abs=0.3) and place["no_declination"] is None


def test_what_was_measured_reaches_the_brief(sample: Folder) -> None:
    _add(
        sample, f"horizon = {ROUND}\nsea_horizon_m = 14.5\nair = {{ pressure_hpa = 990, temperature_c = -5 }}"
    )
    place = sample.read().brief("slipway")["place"]
    assert place["horizon"] == [[0.0, 2.5], [45.0, 8.0], [120.0, 3.0], [200.0, -0.5], [280.0, 4.0]]
    assert place["sea_horizon_m"] == 14.5
    assert place["air"] == {"pressure_hpa": 990.0, "temperature_c": -5.0}


@pytest.mark.parametrize(
    "date, lacks", [("2024-06-05", "dates"), ("2027-06-05", None), ("2031-06-05", "dates")]
)
def test_the_declination_is_of_the_shots_date(sample: Folder, date: str, lacks: str | None) -> None:
    sample.edit(SHOT, "night = 2027-06-05", f"night = {date}")
    place = sample.read().brief("slipway")["place"]
    assert (place["declination"] is None, place["no_declination"]) == (lacks is not None, lacks)


@pytest.mark.parametrize(
    "given, told",
    [
        ("horizon = [[0, 2], [90, 2]]", f"horizon: found a list of 2; right: {MANY}"),
        ("horizon = 4", f"horizon: found 4; right: {MANY}"),
        ("horizon = [[0, 2], [90, 2, 1], [180, 1], [270, 1]]", f"horizon 2: found [90, 2, 1]; right: {PAIR}"),
        ("horizon = [[0, 2], ['e', 2], [180, 1], [270, 1]]", f"horizon 2: found ['e', 2]; right: {PAIR}"),
        (
            "horizon = [[0, 2], [80, 91], [160, 1], [270, 1]]",
            f"horizon 2: found an altitude of 91°; right: {ALTITUDE}",
        ),
        (
            "horizon = [[0, 2], [90, -5.1], [180, 1], [270, 1]]",
            f"horizon 2: found an altitude of -5.1°; right: {ALTITUDE}",
        ),
        (
            "horizon = [[0, 2], [90, 2], [180, 1], [360, 1]]",
            f"horizon 4: found an azimuth of 360°; right: {AZIMUTH}",
        ),
        (
            "horizon = [[-1, 2], [80, 2], [170, 1], [260, 1]]",
            f"horizon 1: found an azimuth of -1°; right: {AZIMUTH}",
        ),
        (
            "horizon = [[0, 2], [180, 2], [90, 1], [270, 1]]",
            f"horizon 3: found 90° after 180°; right: {RISE}",
        ),
        (
            "horizon = [[0, 2], [90, 2], [90, 1], [180, 1], [270, 1]]",
            f"horizon 3: found 90° twice; right: {RISE}",
        ),
        ("horizon = [[0, 2], [90, 2], [181, 1], [270, 1]]", f"horizon 2: {OPEN} 90° to 181°; {WIDE}"),
        (
            "horizon = [[20, 2], [90, 2], [180, 1], [270, 1], [280, 1]]",
            f"horizon 5: {OPEN} 280° to 20°; {WIDE}",
        ),
        ("sea_horizon_m = 0", f"sea_horizon_m: found 0; right: {SEA}"),
        ("air = { pressure_hpa = 29.9, temperature_c = 10 }", f"air.pressure_hpa: found 29.9; right: {HPA}"),
        ("air = { pressure_hpa = 990 }", f"air.temperature_c: found nothing; right: {DEGREES}"),
        ("air = 990", "air: found 990; right: { pressure_hpa = 990, temperature_c = -5 }"),
    ],
)
def test_what_no_skyline_can_be_is_refused(sample: Folder, given: str, told: str) -> None:
    _add(sample, given)
    (problem,) = sample.told()
    assert problem.partition(": ")[2] == told


def test_a_gap_of_ninety_degrees_is_still_measured(sample: Folder) -> None:
    _add(sample, "horizon = [[0, 2], [90, 2], [180, 1], [270, 1]]")
    assert not sample.told()


@pytest.mark.parametrize("event", ["sun behind ridge", "moon over ridge", "core over ridge"])
def test_a_ridge_is_an_event_only_where_it_was_measured(sample: Folder, event: str) -> None:
    sample.edit(SHOT, 'start = "sunset - 1h15m"', f'start = "{event} - 10m"')
    told = f"'{event}', but {PLACE} has no horizon; right: a horizon measured there, or another moment"
    assert sample.told() == [f"{SHOT}:11: start: found {told}"]
    _add(sample, f"horizon = {ROUND}")
    assert not sample.told()


def test_the_hours_of_the_place_hang_on_a_ridge_only_with_one(sample: Folder) -> None:
    _add(sample, 'turn_back = "sun behind ridge"')
    (problem,) = sample.told()
    assert "turn_back: found 'sun behind ridge', but places/gull-point.toml has no horizon" in problem


def test_a_horizon_at_fault_is_told_alone(sample: Folder) -> None:
    sample.edit(SHOT, 'start = "sunset - 1h15m"', 'start = "sun behind ridge"')
    _add(sample, "horizon = [[0, 1]]")
    (problem,) = sample.told()
    assert "horizon: found a list of 1" in problem
