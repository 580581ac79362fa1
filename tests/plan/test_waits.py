"""How far directions lie from each other, by a published example."""

from __future__ import annotations

import pytest

from fieldsheet.plan.waits import apart_deg


def test_arcturus_and_spica_are_as_far_apart_as_in_the_worked_example() -> None:
    """32 47' 35": Meeus, Astronomical Algorithms (1998), example 17.a; of right ascension and declination."""
    arcturus = 15 * (14 + 15 / 60 + 39.7 / 3600), 19 + 10 / 60 + 57 / 3600
    spica = 15 * (13 + 25 / 60 + 11.6 / 3600), -(11 + 9 / 60 + 41 / 3600)
    assert apart_deg(arcturus, spica) == pytest.approx(32 + 47 / 60 + 35 / 3600, abs=0.5 / 3600)


def test_across_north_the_way_is_short_and_over_the_zenith_azimuths_do_not_count() -> None:
    assert apart_deg((359.5, 0.0), (0.5, 0.0)) == pytest.approx(1.0)
    assert apart_deg((10.0, 89.0), (190.0, 89.0)) == pytest.approx(2.0)
