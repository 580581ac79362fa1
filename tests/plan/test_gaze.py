"""The camera in the world at many frames at once, against the framing of one direction at a time."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from fieldsheet.plan.aim import Base, Lens, direction_at, inside_frame
from fieldsheet.plan.gaze import gaze, vectors

BASES = (None, Base(40.0, 12.0))
PROJECTIONS = ("rectilinear", "equidistant", "equisolid")
angles = st.floats(-180, 180)


@pytest.mark.parametrize("projection", PROJECTIONS)
@pytest.mark.parametrize("base", BASES, ids=["levelled", "leaning"])
@given(azimuth=angles, altitude=st.floats(-89, 89), axis=angles, tilt=st.floats(-80, 80))
def test_what_shows_is_what_has_a_place_in_the_frame(
    projection: str, base: Base | None, azimuth: float, altitude: float, axis: float, tilt: float
) -> None:
    lens = Lens(1.3, 0.8, projection, base)
    looked = gaze([(axis, tilt), (axis + 7.0, tilt / 2)], lens)
    expected = [
        inside_frame(azimuth, altitude, *at, lens) is not None for at in ((axis, tilt), (axis + 7, tilt / 2))
    ]
    assert looked.shows(vectors(azimuth, altitude)).tolist() == expected
    ways = vectors([azimuth, azimuth], [altitude, altitude])
    assert looked.shows(1000 * ways).tolist() == expected


@pytest.mark.parametrize("projection", PROJECTIONS)
@pytest.mark.parametrize("base", BASES, ids=["levelled", "leaning"])
def test_the_edge_of_the_frame_looks_where_it_does_one_place_at_a_time(
    projection: str, base: Base | None
) -> None:
    lens, places = Lens(1.3, 0.8, projection, base), [(-1.0, 0.5), (0.0, 0.0), (1.0, -1.0)]
    axes = [(10.0, -20.0), (200.0, 55.0)]
    seen = gaze(axes, lens).sees(places)
    for row, at in zip(seen, axes, strict=True):
        expected = [direction_at(x, y, *at, lens) for x, y in places]
        assert row == pytest.approx(np.array([vectors(*way) for way in expected if way]), abs=1e-12)


def test_a_fisheye_is_blind_beyond_its_own_circle() -> None:
    lens = Lens(4.0, 4.0, "equidistant")
    assert gaze([(0.0, 0.0)], lens).sees([(-1.0, -1.0), (0.2, 0.0)]).shape == (1, 1, 3)
