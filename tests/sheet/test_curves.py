"""The curves of a move, against the table of every frame that goes to machines."""

from __future__ import annotations

import csv
import io
import xml.etree.ElementTree as ET
from typing import Any

import pytest

from fieldsheet.catalog.read import Catalog
from fieldsheet.exchange.frames import frames_csv
from fieldsheet.press import plan_shot
from fieldsheet.sheet.curves import SAMPLES, curves_of
from fieldsheet.sheet.curves_ink import draw_curves, lane_height
from fieldsheet.sky.sky import Sky

SHOTS = ("slipway", "hoist", "moonrise", "clouds")


@pytest.fixture(scope="module", params=SHOTS)
def moved(request: pytest.FixtureRequest, demo: Catalog, sky: Sky) -> dict[str, Any]:
    return plan_shot(demo.brief(request.param), sky, {})


def test_a_lane_follows_every_frame_of_its_axis(moved: dict[str, Any]) -> None:
    rows = list(csv.DictReader(io.StringIO(frames_csv(moved))))
    for lane, (name, axis) in zip(curves_of(moved), moved["brief"]["rig"]["axes"].items(), strict=True):
        column = [float(row[f"{name}_{axis['unit']}"]) for row in rows]
        low, high = min(column), max(column)
        steps = [abs(float(row[f"step_{name}_{axis['unit']}"])) for row in rows[1:]]
        assert len(lane["stands"]) <= SAMPLES + 1
        assert [frame for frame, _ in lane["stands"]][:: len(lane["stands"]) - 1] == [1, len(rows)]
        for frame, share in lane["stands"] if high > low else ():
            assert low + share * (high - low) == pytest.approx(
                column[int(frame) - 1], abs=1e-3 * (high - low)
            )
        for frame, share in lane["goes"] if high > low else ():
            # The table has four decimals.
            assert share * max(steps) == pytest.approx(steps[int(frame) - 1], abs=1e-4 + 1e-3 * max(steps))
        assert [frame for frame, _ in lane["keys"]] == [key["frame"] for key in moved["keyframes"]]


def test_the_farthest_step_is_drawn_where_the_words_put_it(moved: dict[str, Any]) -> None:
    for lane, way in zip(curves_of(moved), moved["move"]["way"].values(), strict=True):
        assert dict(lane["goes"])[way["frame"]] == 1.0
        assert f"after frame {way['frame']}" in lane["text"]


@pytest.mark.parametrize("shot", ["pole-circle", "stone-saw"])
def test_what_stands_still_has_no_curves(shot: str, demo: Catalog, sky: Sky) -> None:
    assert curves_of(plan_shot(demo.brief(shot), sky, {})) == []


def test_no_ink_leaves_the_drawing_and_first_and_last_frame_stand_at_its_edges(moved: dict[str, Any]) -> None:
    lanes = curves_of(moved)
    markup, height = draw_curves(lanes, [100, 200], lambda text, bold: 1.8 * len(text), 186.0, "The move")
    assert height == pytest.approx(len(lanes) * lane_height(), abs=6)
    root = ET.fromstring(str(markup))
    assert root[0].text is not None and all(lane["text"] in root[0].text for lane in lanes)
    for line in root.iter("{http://www.w3.org/2000/svg}polyline"):
        half = float(line.get("stroke-width", "")) / 2
        spots = [tuple(map(float, spot.split(","))) for spot in line.get("points", "").split()]
        # Hundredths of a millimetre are rounded.
        assert all(
            half - 0.01 <= x <= 186 - half + 0.01 or spots[0][0] == 0 and spots[-1][0] == 186
            for x, _ in spots
        )
        assert all(-0.01 <= y <= height + 0.01 for _, y in spots)
    for dot in root.iter("{http://www.w3.org/2000/svg}circle"):
        assert 1.0 <= float(dot.get("cx", "")) <= 185.0
