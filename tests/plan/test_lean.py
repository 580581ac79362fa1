"""A head that leans with its rail, against plain rotation matrices."""

from __future__ import annotations

from math import cos, radians, sin, tan
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from fieldsheet.plan.aim import (
    Base,
    Lens,
    aim_at,
    axis_of,
    base_of,
    direction_at,
    lens_of,
    looks_of,
    pan_zero_deg,
    place_in_frame,
    roll_deg,
    wrap_deg,
)
from fieldsheet.plan.move import path_of
from fieldsheet.plan.plan import plan
from fieldsheet.sheet.sheet import changing
from fieldsheet.sky.sky import Sky


def _about(axis: tuple[float, float, float], angle_deg: float) -> np.ndarray:
    """Rodrigues' rotation about an axis of length one, right-handed."""
    x, y, z = axis
    cross = np.array([[0, -z, y], [z, 0, -x], [-y, x, 0]])
    turn = radians(angle_deg)
    turned: np.ndarray = np.eye(3) + sin(turn) * cross + (1 - cos(turn)) * cross @ cross
    return turned


def _camera(base: Base, axis_deg: float, tilt_deg: float) -> np.ndarray:
    """Columns right, up, forward of the camera in east, north, up: tilted, panned, then leant."""
    start = np.array([[1.0, 0, 0], [0, 0, 1.0], [0, 1.0, 0]])
    bearing = radians(base.bearing_deg)
    across = (np.cos(bearing), -np.sin(bearing), 0.0)
    lean = _about(across, base.rise_deg)
    camera: np.ndarray = lean @ _about((0, 0, 1), -axis_deg) @ _about((1, 0, 0), tilt_deg) @ start
    return camera


def _vector(azimuth_deg: float, altitude_deg: float) -> np.ndarray:
    azimuth, altitude = np.radians([azimuth_deg, altitude_deg])
    return np.array(
        [np.cos(altitude) * np.sin(azimuth), np.cos(altitude) * np.cos(azimuth), np.sin(altitude)]
    )


bearings = st.floats(0, 359)
leans = st.floats(-60, 60)
aside = st.floats(-25, 25)


@given(bearing=bearings, rise=leans, axis=bearings, tilt=st.floats(-30, 60), off=aside, up=aside)
def test_a_place_in_the_frame_of_a_leaning_head_is_that_of_rotation_matrices(
    bearing: float, rise: float, axis: float, tilt: float, off: float, up: float
) -> None:
    base = Base(bearing, rise)
    camera = _camera(base, axis, tilt)
    ray = camera @ np.array([tan(radians(off)), tan(radians(up)), 1.0])
    azimuth = float(np.degrees(np.arctan2(ray[0], ray[1])))
    altitude = float(np.degrees(np.arcsin(ray[2] / np.linalg.norm(ray))))
    spot = place_in_frame(azimuth, altitude, axis, tilt, Lens(1.2, 0.8, "rectilinear", base))
    assert spot == pytest.approx((tan(radians(off)) / 1.2, tan(radians(up)) / 0.8), abs=1e-6)
    assert spot is not None
    back = direction_at(*spot, axis, tilt, Lens(1.2, 0.8, "rectilinear", base))
    assert back is not None
    assert _vector(*back) == pytest.approx(_vector(azimuth, altitude), abs=1e-6)


@given(
    bearing=bearings,
    rise=st.floats(-40, 40),
    azimuth=bearings,
    altitude=st.floats(-20, 40),
    x=st.floats(-1, 1),
)
def test_aiming_on_a_leaning_head_puts_the_target_where_it_was_asked_for(
    bearing: float, rise: float, azimuth: float, altitude: float, x: float
) -> None:
    lens = Lens(1.2, 0.7, "rectilinear", Base(bearing, rise))
    aimed = aim_at(azimuth, altitude, x, 0.3, lens)
    if aimed is not None:
        assert place_in_frame(azimuth, altitude, *aimed, lens) == pytest.approx((x, 0.3), abs=1e-6)


@given(bearing=bearings, rise=st.floats(-40, 40), axis=bearings, tilt=st.floats(-30, 45))
def test_the_horizon_rolls_as_the_uprights_image_leans(
    bearing: float, rise: float, axis: float, tilt: float
) -> None:
    """The world's upright along the camera's right and up is how its image leans."""
    upright = np.array([0, 0, 1.0]) @ _camera(Base(bearing, rise), axis, tilt)
    expected = float(np.degrees(np.arctan2(upright[0], upright[1])))
    assert wrap_deg(roll_deg(axis, tilt, Base(bearing, rise)) - expected) == pytest.approx(0, abs=1e-6)


def test_one_degree_of_lean_swings_the_horizon_about_one_degree_either_way() -> None:
    """Base tilt times sin(pan - direction of the tilt): over a pan of 160 degrees about +-1 (trade, T1)."""
    rolls = [roll_deg(90.0 + pan, 0.0, Base(90.0, 1.0)) for pan in (-80.0, 0.0, 80.0)]
    assert rolls == pytest.approx([0.985, 0.0, -0.985], abs=0.001)


def _leaning(brief: dict[str, Any], incline_deg: float) -> dict[str, Any]:
    brief["rail"]["incline_deg"] = incline_deg
    brief["head_base"] = "follows rail"
    return brief


def test_pan_zero_of_a_leaning_head_still_looks_along_the_zero_bearing(demo_brief: dict[str, Any]) -> None:
    brief = _leaning(demo_brief, 20.0)
    looks = looks_of(brief, {"pan": 0.0, "tilt": 0.0})
    assert looks is not None
    assert wrap_deg(looks[0] - brief["zero_bearing_deg"]) == pytest.approx(0, abs=1e-9)
    assert abs(pan_zero_deg(brief) - brief["zero_bearing_deg"]) > 0.3


def test_on_a_leaning_head_targets_still_stand_where_they_were_asked_for(
    demo_brief: dict[str, Any], sky: Sky
) -> None:
    """Pan and tilt to a tenth of a degree; without the lean the core would be 0.05 of the half frame off."""
    brief = _leaning(demo_brief, 3.0)
    planned = plan(brief, sky, {})
    base = Base(300.0, 3.0)
    lens = lens_of(brief)
    assert lens.base == base
    for keyframe in planned["keyframes"]:
        camera = _camera(base, pan_zero_deg(brief) + keyframe["axes"]["pan"], keyframe["axes"]["tilt"])
        right, up, ahead = _vector(keyframe["azimuth_deg"], keyframe["altitude_deg"]) @ camera
        spot = right / ahead / lens.half_width, up / ahead / lens.half_height
        assert spot == pytest.approx((keyframe["aim"]["x"], keyframe["aim"]["y"]), abs=0.004)


def _off(pitch: float, roll: float) -> np.ndarray:
    """A base, right, ahead and up, that is lifted in front, and whose right side then goes down."""
    base: np.ndarray = _about((1, 0, 0), pitch) @ _about((0, 1, 0), roll)
    return base


@pytest.mark.parametrize(("pitch", "roll"), [(1.5, 0.0), (0.0, 0.8), (-2.0, 1.0), (0.3, -4.0)])
@pytest.mark.parametrize(("pan", "tilt"), [(0.0, 0.0), (70.0, 12.0), (-120.0, 30.0)])
def test_a_base_as_it_was_measured_turns_the_picture_as_rotation_matrices_do(
    demo_brief: dict[str, Any], pitch: float, roll: float, pan: float, tilt: float
) -> None:
    """Heading, pitch, roll, pan, tilt, one after the other; pan 0 still looks along the zero bearing."""
    brief = demo_brief | {"base_pitch_deg": pitch, "base_roll_deg": roll}
    axis, base, lens = axis_of(brief, {"pan": pan, "tilt": tilt}), base_of(brief), lens_of(brief)
    assert axis is not None and base is not None
    start = np.array([[1.0, 0, 0], [0, 0, 1.0], [0, 1.0, 0]])
    head = _about((0, 0, 1), -brief["zero_bearing_deg"]) @ _off(pitch, roll)
    camera = head @ _about((0, 0, 1), -pan) @ _about((1, 0, 0), tilt) @ start
    for right, up in ((0.0, 0.0), (0.6, -0.3), (-0.9, 0.4)):
        seen = direction_at(right / lens.half_width, up / lens.half_height, *axis, lens)
        ray = camera @ np.array([right, up, 1.0])
        assert seen is not None
        assert _vector(*seen) == pytest.approx(ray / np.linalg.norm(ray), abs=1e-9)
    upright = np.array([0, 0, 1.0]) @ camera
    assert roll_deg(*axis, base) == pytest.approx(np.degrees(np.arctan2(upright[0], upright[1])), abs=1e-9)


def test_what_a_base_is_off_comes_on_top_of_the_rail_that_it_follows(demo_brief: dict[str, Any]) -> None:
    rail = _leaning(demo_brief, 20.0)
    over = pan_zero_deg(rail)
    base = base_of(rail | {"base_pitch_deg": 2.0, "base_roll_deg": -1.0})
    across = (np.cos(radians(300.0)), -np.sin(radians(300.0)), 0.0)
    plate = _about(across, 20.0) @ _about((0, 0, 1), -over) @ _off(2.0, -1.0)
    assert base is not None
    assert np.array(base.axes())[2] == pytest.approx(plate[:, 2], abs=1e-9)


def test_half_a_degree_of_typed_roll_is_told_and_warned_of(demo_brief: dict[str, Any], sky: Sky) -> None:
    """Right side low: looking ahead the horizon rolls the other way, and the more so the nearer to pan 0."""
    planned = plan(demo_brief | {"base_roll_deg": 0.5}, sky, {})
    pans = np.radians([keyframe["axes"]["pan"] for keyframe in planned["keyframes"]])
    lean = planned["picture"]["lean"]
    assert lean["rolls"] == pytest.approx(-0.5 * np.cos(pans), abs=0.05)
    assert "warning.leans" in [one["id"] for one in planned["warnings"]]
    lines = {row["name"]: row["text"] for row in changing({**planned, "revision": "0A1B2C"})["picture"]}
    assert lines["horizon rolls"].startswith("K1 −0.")


def test_a_roll_that_shows_is_warned_of_with_its_worst_frame(demo_brief: dict[str, Any], sky: Sky) -> None:
    planned = plan(_leaning(demo_brief, 3.0), sky, {})
    lean = planned["picture"]["lean"]
    (warning,) = [one for one in planned["warnings"] if one["id"] == "warning.leans"]
    assert warning["args"]["frame"] == lean["worst"]["frame"]
    assert abs(lean["worst"]["roll_deg"]) >= max(map(abs, lean["rolls"])) - 1e-6
    aside = np.radians(300.0 - np.array([keyframe["azimuth_deg"] for keyframe in planned["keyframes"]]))
    assert lean["rolls"] == pytest.approx(3.0 * np.sin(aside), abs=0.3)
    lines = {row["name"]: row["text"] for row in changing({**planned, "revision": "0A1B2C"})["picture"]}
    assert lines["horizon rolls"].startswith(f"K1 +{lean['rolls'][0]:.1f}°, K2")


@pytest.mark.parametrize(("incline", "base"), [(0.25, "follows rail"), (3.0, "levelled")])
def test_a_small_lean_and_a_levelled_head_are_not_warned_of(
    demo_brief: dict[str, Any], sky: Sky, incline: float, base: str
) -> None:
    brief = _leaning(demo_brief, incline)
    brief["head_base"] = base
    assert "warning.leans" not in [one["id"] for one in plan(brief, sky, {})["warnings"]]


@pytest.mark.parametrize(
    ("incline", "pans", "tilts"),
    [
        pytest.param(0, (-60, 0, 60), (0, 0, 0), id="level: 2 x 0.5 x sin(half the pan)"),
        pytest.param(0, (-60, 0, 60), (32, 32, 32), id="tilted up, it rolls by more"),
        pytest.param(0, (10, 10, 10), (-30, 0, 35), id="tilted through the horizon, not panned"),
        pytest.param(0, (-170, 100, 190), (5, 20, 70), id="all round, and off the horizon at the end"),
        pytest.param(25, (-40, 0, 30), (0, 10, 20), id="leaning"),
        pytest.param(0, (-40, 0, 40), (75, 80, 75), id="no horizon in any frame"),
    ],
)
def test_half_a_degree_out_of_level_swings_as_rotation_matrices_do(
    demo_brief: dict[str, Any], sky: Sky, incline: float, pans: tuple[float, ...], tilts: tuple[float, ...]
) -> None:
    """The camera stays, and what is upright is tipped by half a degree, in directions 5 degrees apart."""
    brief = _leaning(demo_brief, incline)
    for name in ("pan", "tilt"):
        brief["rig"]["axes"][name] |= {"min": -400.0, "max": 400.0, "speed_max": 90.0, "wrap_deg": None}
    for keyframe, pan_deg, tilt_deg in zip(brief["keyframes"], pans, tilts, strict=True):
        keyframe |= {"aim": None, "axes": {"slide": 0.0, "pan": float(pan_deg), "tilt": float(tilt_deg)}}
    planned = plan(brief, sky, {})
    base, path, half = Base(300.0, incline), path_of(planned), radians(lens_of(brief).view_deg()[1] / 2)
    cameras = [
        _camera(base, pan_zero_deg(brief) + axes["pan"], axes["tilt"])
        for axes in (path.at(frame) for frame in range(1, planned["timing"]["frames"] + 1, 3))
    ]
    rolls = [
        [np.degrees(np.arctan2(upright @ camera[:, 0], upright @ camera[:, 1])) for upright in _tipped()]
        for camera in cameras
        if abs(camera[2, 2]) < sin(half)
    ]
    most = np.ptp(np.array(rolls) - np.array(rolls)[:, :1], axis=0).max() if rolls else 0.0
    assert planned["picture"]["lean"]["swing_deg"] == pytest.approx(most, abs=0.02)


def _tipped() -> list[np.ndarray]:
    """What is upright, then the same half a degree off in every direction."""
    around = np.radians(np.arange(0, 360, 5))
    off = [
        (sin(radians(0.5)) * np.sin(one), sin(radians(0.5)) * np.cos(one), cos(radians(0.5)))
        for one in around
    ]
    return [np.array([0.0, 0.0, 1.0]), *(np.array(one) for one in off)]


@pytest.mark.parametrize("tilt", [30.0, 90.0, 100.0, 170.0, 250.0, -91.0, -135.0])
@pytest.mark.parametrize("incline", [0.0, 40.0])
def test_tilted_past_the_zenith_it_looks_where_rotation_matrices_say(
    demo_brief: dict[str, Any], incline: float, tilt: float
) -> None:
    """By an altitude of 90 degrees at most, which is what page, sightings and compass tell."""
    brief = _leaning(demo_brief, incline)
    looks = looks_of(brief, {"pan": 20.0, "tilt": tilt})
    assert looks is not None and abs(looks[1]) <= 90
    forward = _camera(Base(300.0, incline), pan_zero_deg(brief) + 20.0, tilt)[:, 2]
    assert _vector(*looks) == pytest.approx(forward, abs=1e-9)
