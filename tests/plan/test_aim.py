"""Framing: the angle-of-view table, round trips, and an independent spherical formulation."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from fieldsheet.plan.aim import Lens, aim_at, direction_at, lens_of, place_in_frame, wrap_deg

# Angle of view of a 36 x 24 mm frame, rectilinear, focused at infinity [deg]: horizontal, vertical.
# T. Bryant, table posted to a photography mailing list, 1999-08-20.
ANGLE_OF_VIEW = {
    14: (104.250, 81.203),
    15: (100.389, 77.320),
    17: (93.273, 70.435),
    20: (83.974, 61.928),
    21: (81.203, 59.490),
    24: (73.740, 53.130),
    28: (65.470, 46.397),
    35: (54.432, 37.849),
    50: (39.598, 26.991),
    75: (26.991, 18.181),
    90: (22.620, 15.189),
    135: (15.189, 10.159),
    200: (10.286, 6.867),
    300: (6.867, 4.581),
    400: (5.153, 3.437),
}


PROJECTIONS = ("rectilinear", "equidistant", "equisolid")


def _full_frame(focal_mm: float) -> Lens:
    camera = {"focal_mm": float(focal_mm), "projection": "rectilinear"}
    level = {"rail": None, "head_base": "levelled", "base_pitch_deg": 0.0, "base_roll_deg": 0.0}
    return lens_of({"frame_mm": [36.0, 24.0], "camera": camera, **level})


@pytest.mark.parametrize(("focal_mm", "view_deg"), ANGLE_OF_VIEW.items())
def test_the_frame_is_as_wide_and_high_as_the_table_says(
    focal_mm: int, view_deg: tuple[float, float]
) -> None:
    ours_deg = _full_frame(focal_mm).view_deg()
    print(f"{focal_mm} mm: worst difference {np.abs(np.subtract(ours_deg, view_deg)).max():.4f} degrees")
    assert ours_deg == pytest.approx(view_deg, abs=0.01)


@pytest.mark.parametrize(("focal_mm", "view_deg"), ANGLE_OF_VIEW.items())
def test_a_level_target_at_the_edge_is_half_the_view_off_the_axis(
    focal_mm: int, view_deg: tuple[float, float]
) -> None:
    lens = _full_frame(focal_mm)
    assert aim_at(200.0, 0.0, 1.0, 0.0, lens) == pytest.approx((200 - view_deg[0] / 2, 0.0), abs=0.01)
    assert aim_at(200.0, 0.0, 0.0, -1.0, lens) == pytest.approx((200.0, view_deg[1] / 2), abs=0.01)


angles = st.floats(-85, 85)
across = st.floats(-1, 1)


@given(
    azimuth=st.floats(0, 359),
    altitude=angles,
    x=across,
    y=across,
    half_width=st.floats(0.05, 1.6),
    projection=st.sampled_from(PROJECTIONS),
)
def test_aiming_puts_the_target_where_it_was_asked_for(
    azimuth: float, altitude: float, x: float, y: float, half_width: float, projection: str
) -> None:
    lens = Lens(half_width, half_width * 9 / 16, projection)
    pointed = aim_at(azimuth, altitude, x, y, lens)
    if pointed is None:
        assert abs(altitude) > 20 or half_width > 1, "only high targets or wide lenses have no aim"
        return
    assert place_in_frame(azimuth, altitude, *pointed, lens) == pytest.approx((x, y), abs=1e-6)


@given(
    axis=st.floats(0, 359),
    tilt=angles,
    x=across,
    y=across,
    half_width=st.floats(0.05, 1.6),
    projection=st.sampled_from(PROJECTIONS),
)
def test_what_stands_at_a_place_in_the_frame_is_seen_at_that_place(
    axis: float, tilt: float, x: float, y: float, half_width: float, projection: str
) -> None:
    lens = Lens(half_width, half_width * 9 / 16, projection)
    direction = direction_at(x, y, axis, tilt, lens)
    assert direction is not None, "no lens here sees less than its frame"
    assert place_in_frame(*direction, axis, tilt, lens) == pytest.approx((x, y), abs=1e-6)


@pytest.mark.parametrize(
    ("projection", "theta_deg", "r"),
    [
        # r / f of a ray theta off the axis, by hand from the projections' definitions: P. Corke, Robotics,
        # Vision and Control (2023), section 13.3.1, with a scale of f (equisolid 2f).
        ("rectilinear", 45.0, 1.0),
        ("equidistant", 90.0, 1.570796),
        ("equidistant", 45.0, 0.785398),
        ("equisolid", 90.0, 1.414214),
        ("equisolid", 60.0, 1.0),
        ("equisolid", 120.0, 1.732051),
    ],
)
def test_a_ray_lands_where_its_projection_is_defined_to_put_it(
    projection: str, theta_deg: float, r: float
) -> None:
    """A target theta to the right of a level axis; the frame's half width is one focal length."""
    lens = Lens(1.0, 1.0, projection)
    assert place_in_frame(theta_deg, 0.0, 0.0, 0.0, lens) == pytest.approx((r, 0.0), abs=1e-6)


def test_a_fisheye_sees_beside_itself_and_a_rectilinear_lens_does_not() -> None:
    for projection in PROJECTIONS[1:]:
        lens = Lens(1.0, 1.0, projection)
        assert place_in_frame(100.0, 0.0, 0.0, 0.0, lens) is not None
        assert lens.ray(4.0, 0.0) is None
    assert place_in_frame(100.0, 0.0, 0.0, 0.0, Lens(1.0, 1.0, "rectilinear")) is None


def _camera_axes(axis_deg: float, tilt_deg: float) -> np.ndarray:
    """Rows right, up, forward of a levelled camera, in east-north-up coordinates: Rz(pan) Rx(tilt)."""
    a, t = np.radians([axis_deg, tilt_deg])
    return np.array(
        [
            [np.cos(a), -np.sin(a), 0],
            [-np.sin(a) * np.sin(t), -np.cos(a) * np.sin(t), np.cos(t)],
            [np.sin(a) * np.cos(t), np.cos(a) * np.cos(t), np.sin(t)],
        ]
    )


@given(axis=st.floats(0, 359), tilt=st.floats(-60, 80), azimuth=st.floats(0, 359), altitude=angles)
def test_a_place_in_the_frame_agrees_with_rotation_matrices(
    axis: float, tilt: float, azimuth: float, altitude: float
) -> None:
    a, h = np.radians([azimuth, altitude])
    ray = _camera_axes(axis, tilt) @ [np.sin(a) * np.cos(h), np.cos(a) * np.cos(h), np.sin(h)]
    seen = place_in_frame(azimuth, altitude, axis, tilt, Lens(1.2, 0.7, "rectilinear"))
    if seen is None:
        assert ray[2] < 1e-9
        return
    assert np.array(seen) * [1.2, 0.7] * ray[2] == pytest.approx(ray[:2], abs=1e-9)


@given(st.floats(-2000, 2000))
def test_wrapping_keeps_the_direction(angle: float) -> None:
    wrapped = wrap_deg(angle)
    assert -180 <= wrapped < 180
    assert (wrapped - angle) / 360 == pytest.approx(round((wrapped - angle) / 360), abs=1e-9)
