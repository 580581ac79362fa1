"""Better keyframes: the least worst drift by brute force and in closed cases, limits kept, never worse."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from itertools import product
from math import atan, cos, degrees, radians, sin, tan
from typing import Any

import numpy as np
import pytest

from fieldsheet.catalog.read import Catalog
from fieldsheet.plan.aim import Lens, lens_of, pan_zero_deg, place_in_frame
from fieldsheet.plan.anchors import night_of
from fieldsheet.plan.better import better_of
from fieldsheet.plan.drift import Drift, Floats
from fieldsheet.plan.knots import chosen
from fieldsheet.plan.minimax import Course, nearest
from fieldsheet.plan.plan import plan
from fieldsheet.plan.seen import seen_deg
from fieldsheet.plan.tracked import BLIND
from fieldsheet.sky.sky import Sky
from tests.plain import plain

LENS = Lens(0.9, 0.5, "rectilinear")
STEP_DEG = 0.1


def _drift(azimuth: Floats, altitude: Floats, lens: Lens = LENS) -> Drift:
    """A target in the middle of the frame, at even frames."""
    still = np.zeros(len(azimuth))
    return Drift(np.arange(1.0, len(azimuth) + 1), azimuth, altitude, still, still, 0.0, lens)


def _course(drift: Drift, knots: Sequence[float], step: float = STEP_DEG, reach: float = 180.0) -> Course:
    """A rig that runs straight and without ease through keyframes at these shares of the way."""
    at = np.linspace(0, 1, len(drift.frames))
    edges = np.searchsorted(at, knots)
    parts = [slice(int(a), int(b) + 1) for a, b in zip(edges, edges[1:], strict=False)]
    limit = np.array([reach, reach])
    free = range(len(knots))
    return Course(
        drift.off, lambda v: np.interp(at, knots, v), free, parts, -limit, limit, np.array([step] * 2)
    )


def _great_circle(highest_deg: float, half_deg: float, count: int = 201) -> tuple[Floats, Floats]:
    """Azimuth and altitude, even along a great circle, from half_deg before its highest to as much after."""
    along = np.radians(np.linspace(-half_deg, half_deg, count))
    top = radians(highest_deg)
    altitude = np.degrees(np.arcsin(sin(top) * np.cos(along)))
    return np.degrees(np.arctan2(np.sin(along), cos(top) * np.cos(along))), altitude


@pytest.mark.parametrize("highest_deg", [20.0, 45.0, 60.0])
def test_a_great_circle_is_missed_by_half_of_its_bulge(highest_deg: float) -> None:
    """Aimed at both ends the target stands off by the whole bulge in the middle; the best is half of it."""
    azimuth, altitude = _great_circle(highest_deg, 4.0)
    drift = _drift(azimuth, altitude)
    course = _course(drift, [0, 1], step=0.0003)
    ends = np.array([[azimuth[0], altitude[0]], [azimuth[-1], altitude[-1]]])
    bulge = tan(radians(highest_deg - altitude[0])) / (2 * LENS.half_width)
    assert course.worst(ends)[0] == pytest.approx(bulge, rel=0.01)
    best = course.worst(nearest(course, ends))[0]
    print(f"bulge at {highest_deg} degrees: {bulge:.5f} of the width, fitted to {best:.5f}")
    assert best == pytest.approx(bulge / 2, rel=0.01)


@pytest.mark.parametrize(("highest_deg", "half_deg"), [(30.0, 12.0), (55.0, 9.0), (70.0, 14.0)])
def test_two_keyframes_are_as_good_as_any_that_a_hand_can_set(highest_deg: float, half_deg: float) -> None:
    """Against all values that can be set within three steps of what was found."""
    azimuth, altitude = _great_circle(highest_deg, half_deg, 61)
    course = _course(_drift(azimuth, altitude + np.linspace(0, 3, 61)), [0, 1], step=0.5)
    found = nearest(course, np.array([[azimuth[0], altitude[0]], [azimuth[-1], altitude[-1] + 3]]))
    steps = np.arange(-3, 4) * 0.5
    brute = min(
        course.worst(found + np.array([[a, b], [c, d]]))[0]
        for a, b, c, d in product(steps, steps, steps, steps)
    )
    assert course.worst(found)[0] == pytest.approx(brute, abs=1e-9)
    assert np.allclose(found / 0.5, np.round(found / 0.5))


def test_three_keyframes_come_near_any_that_a_hand_can_set() -> None:
    azimuth, altitude = _great_circle(60.0, 20.0, 61)
    course = _course(_drift(azimuth, altitude), [0, 0.4, 1], step=0.5)
    ideal = np.stack([azimuth[[0, 24, 60]], altitude[[0, 24, 60]]], axis=1)
    found = nearest(course, ideal)
    steps = np.arange(-1, 2) * 0.5
    moves = product(steps, repeat=6)
    brute = min(course.worst(found + np.array(move).reshape(3, 2))[0] for move in moves)
    assert course.worst(found)[0] == pytest.approx(brute, abs=1e-9)


def test_limits_are_kept_where_the_best_lies_beyond_them() -> None:
    azimuth, altitude = _great_circle(45.0, 20.0)
    free, held = (_course(_drift(azimuth, altitude), [0, 1], reach=reach) for reach in (180.0, 25.04))
    ends = np.array([[azimuth[0], altitude[0]], [azimuth[-1], altitude[-1]]])
    assert np.abs(nearest(free, ends)).max() > 25.04
    assert np.abs(nearest(held, ends)).max() <= 25.04


def test_a_keyframe_between_stands_where_it_helps_most() -> None:
    """Against a fit with it at every other frame: the curve bends far more in its first third."""
    s = np.linspace(0, 1, 121)
    drift = _drift(40 * s, 30 - 12 * np.exp(-6 * s))
    ideal = np.stack([drift.azimuth_deg, drift.altitude_deg], axis=1)

    def fitted(at: int) -> float:
        course = _course(drift, [0, s[at], 1], step=0.05)
        return course.worst(nearest(course, ideal[[0, at, 120]]))[0]

    inner = chosen(drift, ideal, s, (0, 1), 0.0)
    assert inner is not None
    brute = min(fitted(at) for at in range(15, 106, 15))
    print(f"at frame {inner[0]} of 121: {fitted(inner[0] - 1):.5f}, best of 7 others {brute:.5f}")
    assert fitted(inner[0] - 1) <= brute * 1.1


@pytest.mark.parametrize("projection", ["rectilinear", "equidistant", "equisolid"])
def test_the_drift_is_measured_as_everywhere_else(projection: str) -> None:
    rng = np.random.default_rng(20270605)
    azimuth, altitude, pan, tilt = (rng.uniform(-80, 80, 200) for _ in range(4))
    lens = replace(LENS, projection=projection)
    off = _drift(azimuth, altitude, lens).off(pan, tilt)
    rows = zip(azimuth.tolist(), altitude.tolist(), pan.tolist(), tilt.tolist(), strict=True)
    for row, where in zip(off, rows, strict=True):
        spot = place_in_frame(*where, lens)
        right, up = (BLIND * 2, 0.0) if spot is None else spot
        assert row * 2 == pytest.approx([right, up * 0.5 / 0.9], abs=1e-9)


@pytest.fixture
def moonrise(demo: Catalog) -> dict[str, Any]:
    """Two keyframes on the moon for three hours, on a rig that runs straight."""
    brief = plain(demo.brief("moonrise"))
    brief |= {"needs": [], "swap": None, "interval_ms": 16_000}
    brief["camera"]["pixels"] = [6000, 4000]
    first = {**brief["keyframes"][1], "at": {"fraction": 0.0}}
    brief["keyframes"] = [first, brief["keyframes"][2]]
    brief |= {
        "start": {"event": "moonrise", "offset_s": 900},
        "end": {"event": "moonrise", "offset_s": 11_700},
    }
    brief |= {"ease": [0, 0], "hold": [0, 0]}
    for name in ("pan", "tilt"):
        brief["rig"]["axes"][name]["step"] = STEP_DEG
    brief["rig"] |= {"joins": "straight", "keyframes": {"most": 2, "middle": "free"}}
    return brief


def _stretch(brief: dict[str, Any], sky: Sky) -> tuple[dict[str, Any], dict[str, Any]]:
    planned = plan(brief, sky, {})
    found = better_of(planned, sky)
    assert found is not None
    (stretch,) = found
    return planned, stretch


@pytest.mark.parametrize("joins", ["straight", "smooth"])
def test_what_is_offered_drifts_as_it_says_at_every_frame(
    moonrise: dict[str, Any], sky: Sky, joins: str
) -> None:
    """By every frame, straight between keyframes, as a test would compute it that knows no fit."""
    moonrise["rig"]["joins"] = joins
    planned, stretch = _stretch(moonrise, sky)
    (offer,) = stretch["offers"]
    assert stretch["own"]["share"] == planned["picture"]["tracked"][0]["worst"]["share"]
    assert offer["worst"]["share"] < stretch["own"]["share"] * 0.7
    assert offer["worst"]["px"] == pytest.approx(offer["worst"]["share"] * 6000, rel=1e-9)
    night, lens = night_of(moonrise, sky, moonrise["night"]), lens_of(moonrise)
    first, last = (keyframe["axes"] for keyframe in offer["keyframes"])
    aims, frames = [keyframe["aim"] for keyframe in moonrise["keyframes"]], planned["timing"]["frames"]
    worst = 0.0
    for frame in range(1, frames + 1, 7):
        share = (frame - 1) / (frames - 1)
        ms = planned["window"]["start"]["utc_ms"] + (frame - 1) * planned["timing"]["interval_ms"]
        pan, tilt = (first[name] + (last[name] - first[name]) * share for name in ("pan", "tilt"))
        azimuth, altitude = seen_deg(night, "moon", ms / 1000)
        spot = place_in_frame(azimuth, altitude, pan_zero_deg(moonrise) + pan, tilt, lens)
        assert spot is not None
        x, y = (aims[0][part] + (aims[1][part] - aims[0][part]) * share for part in ("x", "y"))
        right, up = (spot[0] - x) / 2, (spot[1] - y) / 2 * lens.half_height / lens.half_width
        worst = max(worst, float(np.hypot(right, up)))
    assert worst == pytest.approx(offer["worst"]["share"], rel=0.01)


def _widths_deg(brief: dict[str, Any]) -> float:
    return degrees(2 * atan(lens_of(brief).half_width))


def test_a_rig_gets_no_more_keyframes_than_it_takes(moonrise: dict[str, Any], sky: Sky) -> None:
    counts, shares = [], []
    for most in (2, 3, 4, 6):
        moonrise["rig"]["keyframes"]["most"] = most
        planned, stretch = _stretch(moonrise, sky)
        best = stretch["offers"][-1]
        counts.append(len(best["keyframes"]))
        shares.append(best["worst"]["share"])
        frames = [keyframe["frame"] for keyframe in best["keyframes"]]
        assert frames == sorted(set(frames)) and (frames[0], frames[-1]) == (1, planned["timing"]["frames"])
        assert all(frame == int(frame) for frame in frames)
        axes = moonrise["rig"]["axes"]
        for keyframe in best["keyframes"]:
            for name in ("pan", "tilt"):
                value, step = keyframe["axes"][name], axes[name]["step"]
                assert axes[name]["min"] <= value <= axes[name]["max"]
                assert value / step == pytest.approx(round(value / step), abs=1e-6)
    assert all(count <= most for count, most in zip(counts, (2, 3, 4, 6), strict=True))
    assert shares == sorted(shares, reverse=True) and shares[1] < shares[0] / 2
    # No more than bring the drift under what a hand can set: half a degree.
    assert counts[-1] < 6 and shares[-1] * _widths_deg(moonrise) < 0.6


def test_a_fixed_middle_is_offered_halfway_and_nowhere_else(moonrise: dict[str, Any], sky: Sky) -> None:
    moonrise["rig"]["keyframes"] = {"most": 3, "middle": "halfway"}
    planned, stretch = _stretch(moonrise, sky)
    (values, more) = stretch["offers"]
    assert len(values["keyframes"]) == 2
    frames = planned["timing"]["frames"]
    assert [keyframe["frame"] for keyframe in more["keyframes"]] == [1, (1 + frames) / 2, frames]


def test_a_head_that_leans_is_reckoned_with(moonrise: dict[str, Any], sky: Sky) -> None:
    _, level = _stretch(moonrise, sky)
    _, leant = _stretch(moonrise | {"base_roll_deg": 6.0}, sky)
    for stretch in (level, leant):
        (offer,) = stretch["offers"]
        assert offer["worst"]["share"] < stretch["own"]["share"] * 0.6
    assert level["offers"][0]["keyframes"][1]["axes"] != leant["offers"][0]["keyframes"][1]["axes"]


def test_cables_hold_what_is_offered(moonrise: dict[str, Any], sky: Sky) -> None:
    """One's own start stands at the cables' end: a better one would lie beyond it."""
    _, free = _stretch(moonrise, sky)
    start = free["offers"][0]["keyframes"][0]["axes"]["pan"]
    moonrise["rig"]["axes"]["pan"]["wrap_deg"] = start - 0.35
    _, held = _stretch(moonrise, sky)
    for offer in held["offers"]:
        assert all(abs(keyframe["axes"]["pan"]) <= start - 0.35 for keyframe in offer["keyframes"])


def test_a_rig_is_offered_nothing_that_it_has_no_time_for(moonrise: dict[str, Any], sky: Sky) -> None:
    """The offered pan runs farther than one's own; where that one fills the interval, nothing is offered."""
    moonrise["rig"] |= {"motion": "shoot-move-shoot", "keyframes": {"most": 6, "middle": "free"}}
    planned, stretch = _stretch(moonrise, sky)
    assert stretch["offers"]
    tight = {**planned, "interval_budget": {**planned["interval_budget"], "slack_ms": 0}}
    tight["move"] = {**planned["move"], "way": {name: {"step": 0.0} for name in planned["move"]["way"]}}
    found = better_of(tight, sky)
    assert found is not None and found[0]["offers"] == []


def test_what_is_as_good_as_can_be_stays_without_an_offer(moonrise: dict[str, Any], sky: Sky) -> None:
    moonrise["end"] = {"event": "moonrise", "offset_s": 1500}
    _, stretch = _stretch(moonrise, sky)
    assert stretch["own"]["share"] < 0.005 and stretch["offers"] == []


def test_where_nothing_is_followed_there_is_nothing(demo_plan: dict[str, Any], sky: Sky) -> None:
    assert better_of(demo_plan, sky) is None
