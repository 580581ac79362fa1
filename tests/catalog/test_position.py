"""A position as maps and receivers write it, answered to `fieldsheet new`."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from typing import NoReturn

import pytest

from fieldsheet.starts.question import Given
from fieldsheet.starts.questions import QUESTIONS


def _no_sky(day: date) -> NoReturn:
    raise AssertionError("no sky is asked for")


@pytest.mark.parametrize(
    ("name", "text", "degrees"),
    [
        ("latitude_deg", "37.08", "37.08"),
        ("latitude_deg", "+37.08", "37.08"),
        ("latitude_deg", "\u221237.08", "-37.08"),
        ("latitude_deg", "37.08 N", "37.08"),
        ("latitude_deg", "37.08°s", "-37.08"),
        ("latitude_deg", "37° 30' S", "-37.5"),
        ("latitude_deg", "37°4′48″N", "37.08"),
        ("longitude_deg", "8° 40.2' W", "-8.67"),
        ("longitude_deg", "-8.67", "-8.67"),
        ("longitude_deg", "179°59'59.9999\"E", "180"),
    ],
)
def test_degrees_are_read_as_they_are_written(name: str, text: str, degrees: str) -> None:
    given = Given(date(2027, 6, 5), _no_sky)
    assert QUESTIONS[name].read(text, given) == Decimal(degrees)
