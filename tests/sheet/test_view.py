"""The drawing of a frame: its marks against spherical trigonometry, and what paper makes of them."""

from __future__ import annotations

import re
from itertools import pairwise
from math import atan2, cos, degrees, hypot, radians, sin, tan
from typing import Any

import pytest

from fieldsheet.cards.metrics import measure
from fieldsheet.catalog.read import Catalog
from fieldsheet.plan.aim import direction_at, lens_of, pan_zero_deg
from fieldsheet.plan.plan import plan
from fieldsheet.sheet.sheet import changing
from fieldsheet.sheet.view import view_of
from fieldsheet.sheet.view_ink import draw_view
from fieldsheet.sky.sky import Sky

SHOTS = ("slipway", "moonrise", "pole-circle", "hoist")


@pytest.fixture(scope="module")
def plans(demo: Catalog, sky: Sky) -> dict[str, dict[str, Any]]:
    return {shot: plan(demo.brief(shot), sky, {}) for shot in SHOTS}


def _views(plans: dict[str, dict[str, Any]]) -> list[dict[str, Any]]:
    return [view_of(one, index) for one in plans.values() for index in range(len(one["keyframes"]))]


def test_every_mark_lies_in_the_frame(plans: dict[str, dict[str, Any]]) -> None:
    for view in _views(plans):
        lines = [*view["horizon"], *view["skyline"], *view["plane"], *view["band"], *view["path"]]
        spots = [spot for line in lines for spot in line] + [
            (body["x"], body["y"]) for body in view["bodies"]
        ]
        assert spots and all(abs(part) <= 1 + 1e-9 for spot in spots for part in spot)


def test_the_level_horizon_lies_as_far_down_as_the_lens_is_tilted_up(
    plans: dict[str, dict[str, Any]],
) -> None:
    """Through the middle of a rectilinear frame at y = -tan(tilt) over half the height; straight across."""
    for shot in ("slipway", "moonrise"):
        brief = plans[shot]["brief"]
        for index, keyframe in enumerate(plans[shot]["keyframes"]):
            (line,) = view_of(plans[shot], index)["horizon"]
            y = -tan(radians(keyframe["axes"]["tilt"])) / lens_of(brief).half_height
            assert [spot[1] for spot in line] == pytest.approx([y] * len(line), abs=1e-9)
            assert (line[0][0], line[-1][0]) == pytest.approx((-1, 1))


def test_the_skyline_is_drawn_at_its_own_height(plans: dict[str, dict[str, Any]]) -> None:
    hoist = plans["hoist"]
    brief, keyframe = hoist["brief"], hoist["keyframes"][1]
    axis_deg, tilt_deg = pan_zero_deg(brief), brief["tilt_deg"]
    sights = dict(brief["place"]["horizon"])
    (line,) = view_of(hoist, 1)["skyline"]
    seen = [direction_at(x, y, axis_deg, tilt_deg, lens_of(brief)) for x, y in line]
    met = [at for at in seen if at is not None and round(at[0] % 360, 6) in sights]
    assert met, "some of the measured sights are in the frame"
    for azimuth, altitude in met:
        assert altitude == pytest.approx(sights[round(azimuth % 360, 6)], abs=1e-6)
    assert keyframe["frame"] > 1


def test_the_milky_way_runs_through_its_core(plans: dict[str, dict[str, Any]]) -> None:
    """Sgr A* lies 0.05 degrees off the plane, which is not bent by refraction here (0.04 degrees at K3)."""
    view = view_of(plans["slipway"], 2)
    core = next(body for body in view["bodies"] if body["body"] == "galactic core")
    aspect = view["aspect"]
    ways = [
        _off((core["x"], core["y"] / aspect), a, b, aspect)
        for line in view["plane"]
        for a, b in pairwise(line)
    ]
    assert min(ways) < 0.005
    band = [
        _off((core["x"], core["y"] / aspect), a, b, aspect)
        for line in view["band"]
        for a, b in pairwise(line)
    ]
    half_width = lens_of(plans["slipway"]["brief"]).half_width
    assert min(band) == pytest.approx(tan(radians(8)) / half_width, rel=0.2)


def _off(spot: tuple[float, float], a: tuple[float, float], b: tuple[float, float], aspect: float) -> float:
    """How far a place is from a piece of a line, in half widths."""
    start, end = (a[0], a[1] / aspect), (b[0], b[1] / aspect)
    way = end[0] - start[0], end[1] - start[1]
    size = way[0] ** 2 + way[1] ** 2
    share = ((spot[0] - start[0]) * way[0] + (spot[1] - start[1]) * way[1]) / size if size else 0.0
    share = min(max(share, 0.0), 1.0)
    return hypot(spot[0] - start[0] - way[0] * share, spot[1] - start[1] - way[1] * share)


def test_the_moons_bright_limb_points_to_the_sun(demo: Catalog, sky: Sky) -> None:
    """The spherical position angle of the sun at the moon, from the upright, clockwise as one looks at it."""
    brief = demo.brief("moonrise") | {"start": {"clock_s": 19 * 3600}, "end": {"clock_s": 20 * 3600}}
    brief |= {"night": {"rule": "night", "date": "2027-08-07"}, "needs": []}
    for keyframe in brief["keyframes"]:
        keyframe["aim"] = {"target": "moon", "x": 0.0, "y": 0.0}
    planned = plan(brief, sky, {})
    view = view_of(planned, 1)
    keyframe, shown = planned["keyframes"][1], planned["picture"]["views"][1]["moon"]
    assert 0.2 < shown["lit"] < 0.4, "a crescent, in the west"
    azimuth, altitude = radians(shown["sun"][0] - keyframe["azimuth_deg"]), radians(shown["sun"][1])
    moon = radians(keyframe["altitude_deg"])
    upright = degrees(
        atan2(
            sin(azimuth) * cos(altitude), cos(moon) * sin(altitude) - sin(moon) * cos(altitude) * cos(azimuth)
        )
    )
    assert view["moon"]["limb_deg"] == pytest.approx(90 - upright, abs=0.5)
    assert view["moon"]["lit"] == pytest.approx(planned["sky"]["moon"]["lit"], abs=0.005)


def test_the_tracked_path_begins_and_ends_where_the_target_is_meant_to_be(
    plans: dict[str, dict[str, Any]],
) -> None:
    moonrise = plans["moonrise"]
    (line,) = view_of(moonrise, 1)["path"]
    assert line[0] == pytest.approx((0.0, -0.4), abs=0.02)
    assert line[-1] == pytest.approx((0.1, 0.33), abs=0.02)
    assert view_of(moonrise, 2)["path"] == []
    assert view_of(moonrise, 1)["meant"] == [0.0, -0.4]


def test_no_name_stands_on_a_mark_or_another(plans: dict[str, dict[str, Any]]) -> None:
    """By boxes of the type that the drawers use: a 24th of the width high, 0.55 of that a letter."""
    told = 0
    for view in _views(plans):
        boxes = []
        spots = [(body["x"] / 2, body["y"] / 2 / view["aspect"]) for body in view["bodies"]]
        for body in view["bodies"]:
            if body["name"]:
                x, y, wide = body["x"] / 2, body["y"] / 2 / view["aspect"], len(body["name"]) * 0.55 / 24
                left = x if body["side"] > 0 else x - wide
                boxes.append((left, left + wide, y - 1 / 48, y + 1 / 48))
        for n, a in enumerate(boxes):
            assert not any(a[0] < b[1] and b[0] < a[1] and a[2] < b[3] and b[2] < a[3] for b in boxes[:n])
            assert not any(a[0] < x < a[1] and a[2] < y < a[3] for x, y in spots)
        told += len(boxes)
    assert told > 10


def test_on_paper_no_name_stands_on_a_mark_or_another_or_leaves_the_frame(
    plans: dict[str, dict[str, Any]],
) -> None:
    """Also where the frame is narrow, and where a star without a name stands beside one that has it."""
    text, told = measure(10, False), 0
    for view in _views(plans):
        for width in (30.0, min(89.0, 75.0 * view["aspect"])):
            drawing, height = draw_view(view, text, width, "")
            spots = [(float(x), float(y)) for x, y in re.findall(r'<circle cx="(.*?)" cy="(.*?)"', drawing)]
            boxes = []
            for x, y, name in re.findall(r'<text x="(.*?)" y="(.*?)".*?>(.*?)<', drawing):
                foot, left = float(y) + 3.53 / 6, float(x)
                boxes.append((left, foot - 3.53, left + text(name, False), foot))
            for n, a in enumerate(boxes):
                assert min(a) >= 0 and a[2] <= width and a[3] <= height
                assert not any(a[0] < x < a[2] and a[1] < y < a[3] for x, y in spots)
                assert not any(
                    a[0] < b[2] and b[0] < a[2] and a[1] + 0.02 < b[3] and b[1] + 0.02 < a[3]
                    for b in boxes[:n]
                )
            told += len(boxes)
    assert told > 15


def test_a_target_that_is_down_is_not_drawn_but_its_place_is(plans: dict[str, dict[str, Any]]) -> None:
    first = view_of(plans["moonrise"], 0)
    assert (first["bodies"], first["meant"]) == ([], [0.0, 0.0])


def test_a_shot_without_keyframes_shows_its_first_and_its_last_frame(demo: Catalog, sky: Sky) -> None:
    """A still, level lens: the horizon runs through the middle; nothing is aimed at."""
    planned = plan(demo.brief("stone-saw") | {"tilt_deg": 0.0}, sky, {})
    first, last = planned["picture"]["views"]
    assert (planned["keyframes"], first["frame"]) == ([], 1)
    assert last["frame"] == planned["timing"]["frames"]
    assert last["time"] == planned["window"]["last_frame"]
    for index in range(2):
        view = view_of(planned, index)
        (line,) = view["horizon"]
        assert [spot[1] for spot in line] == pytest.approx([0.0] * len(line), abs=1e-9)
        assert (view["meant"], view["path"]) == (None, [])
    sheet = changing({**planned, "revision": "0A1B2C"})
    assert sheet["captions"][0].startswith("First frame, 07:45")
    assert sheet["captions"][1].endswith(f", frame {last['frame']}")


def test_paper_shows_every_mark_in_black_and_says_what_is_there(plans: dict[str, dict[str, Any]]) -> None:
    view = view_of(plans["moonrise"], 1)
    drawing, height = draw_view(view, measure(10, False), 89.0, "K2")
    assert height == pytest.approx(89.0 * 9 / 16)
    assert "<title>K2, moon</title>" in drawing
    assert drawing.count("<polyline") == 4 + len(view["horizon"]) + len(view["path"])
    inks = {part.split('"')[1] for key in ("fill", "stroke") for part in drawing.split(f" {key}=")[1:]}
    assert inks == {"#000", "none", "#fff"}
