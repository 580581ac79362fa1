"""The World Magnetic Model against its own published test values; its dates and its weak places."""

from __future__ import annotations

import json
from datetime import date
from pathlib import Path
from typing import Any

import pytest

from fieldsheet.catalog.magnetic import declination, field_at

PUBLISHED: dict[str, Any] = json.loads(
    Path(__file__).parents[1].joinpath("published", "magnetic_wmm2025.json").read_text("utf-8")
)
# Given to a hundredth of a degree; intensities to the last digit of a model computed in double precision.
WITHIN_DEG, WITHIN_NT = 0.0051, 0.05


def test_every_published_value_is_met() -> None:
    errors = []
    for year, height_km, latitude, longitude, turned, level in PUBLISHED["rows"]:
        field = field_at(latitude, longitude, height_km * 1000, year)
        errors.append((abs(field.declination_deg - turned), abs(field.horizontal_nt - level)))
    assert len(errors) == 19
    worst_deg, worst_nt = (max(column) for column in zip(*errors, strict=True))
    print(f"WMM2025, {len(errors)} rows: at most {worst_deg:.4f} degrees, {worst_nt:.4f} nT off")
    assert worst_deg <= WITHIN_DEG and worst_nt <= WITHIN_NT


def test_east_is_positive() -> None:
    """2027.5, 62 N 53 E: 19.39 degrees (the same table): a compass points east of north there."""
    turned = declination(62, 53, 8000, date(2027, 7, 2))
    assert turned.deg == pytest.approx(19.39, abs=0.01) and not turned.weak and turned.lacks is None


@pytest.mark.parametrize(
    "day, given",
    [
        (date(2024, 12, 31), False),
        (date(2025, 1, 1), True),
        (date(2029, 12, 31), True),
        (date(2030, 1, 1), True),
        (date(2030, 1, 2), False),
        (date(2051, 6, 1), False),
    ],
)
def test_the_model_answers_for_its_five_years_alone(day: date, given: bool) -> None:
    """2025.0 to 2030.0, both ends included."""
    turned = declination(37.08, -8.67, 12, day)
    assert (turned.deg is not None) == given
    assert turned.lacks == (None if given else "dates")


def test_near_a_magnetic_pole_it_answers_with_a_caution_or_not_at_all() -> None:
    """89 N 121 W: 1504 nT lie level (the published table), less than 2000."""
    blackout = declination(89, -121, 28_000, date(2025, 1, 1))
    assert blackout.deg is None and blackout.lacks == "pole"
    for longitude in range(-180, 180, 20):
        for latitude in range(60, 90, 3):
            level = field_at(latitude, longitude, 0, 2027.0).horizontal_nt
            turned = declination(latitude, longitude, 0, date(2027, 1, 1))
            assert (turned.deg is None) == (level < 2000), (latitude, longitude, level)
            assert turned.weak == (2000 <= level < 6000), (latitude, longitude, level)


def test_the_height_of_a_mountain_turns_no_needle() -> None:
    """So the height above the sea does for that above the ellipsoid: they differ by 100 m at most."""
    low, high = (field_at(46, 8, height_m, 2027.0).declination_deg for height_m in (0, 100))
    assert abs(low - high) < 0.001
