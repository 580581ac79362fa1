"""What of the rig itself comes into its picture: the rail's ends, legs, its shadow."""

from __future__ import annotations

from math import atan, cos, degrees, radians, sin
from typing import Any

import numpy as np
import pytest

from fieldsheet.plan.aim import lens_of, place_in_frame
from fieldsheet.plan.anchors import night_of
from fieldsheet.plan.plan import plan
from fieldsheet.plan.seen import seen_deg
from fieldsheet.sheet.sheet import changing
from fieldsheet.sky.sky import Sky
from tests.plan.test_picture import still


def _beside_the_rail(brief: dict[str, Any], pan: float, last_pan: float) -> dict[str, Any]:
    """14 mm of 36 x 24 at tilt +3, 0.3 m over a rail that ends 1.2 m ahead of its home end."""
    brief["frame_mm"] = [36.0, 24.0]
    brief["rig"]["lens_over_rail_mm"] = 300.0
    brief["rig"]["axes"]["slide"]["max"] = 1200.0 - 85.0
    brief["rail"]["bearing_deg"] = brief["zero_bearing_deg"] = 300.0
    for keyframe, at in zip(brief["keyframes"], (pan, (pan + last_pan) / 2, last_pan), strict=True):
        keyframe |= {"aim": None, "axes": {"slide": 0.0, "pan": at, "tilt": 3.0}}
    return brief


@pytest.mark.parametrize(("pan", "shown"), [(0.0, "far"), (50.0, "far"), (-50.0, "far"), (56.0, None)])
def test_a_wide_lens_sees_the_end_of_its_own_rail(
    demo_brief: dict[str, Any], sky: Sky, pan: float, shown: str | None
) -> None:
    """An end 14 degrees down shows in a pan within 52 degrees of the rail (trade, T3)."""
    planned = plan(_beside_the_rail(demo_brief, pan, pan), sky, {})
    first = planned["picture"]["own_rig"]["ends"]
    assert (first and first["end"]) == shown
    assert ("warning.own-rig" in [one["id"] for one in planned["warnings"]]) == (shown is not None)


def test_a_long_lens_sees_the_middle_of_its_own_rail(demo_brief: dict[str, Any], sky: Sky) -> None:
    """85 mm, tilted down 36 degrees, see 28 to 44 down: of a rail 0.3 m under it 0.31 to 0.56 m off."""
    brief = _beside_the_rail(demo_brief, 0.0, 0.0)
    brief["camera"]["focal_mm"] = 85.0
    for keyframe in brief["keyframes"]:
        keyframe["axes"]["tilt"] = -36.0
    shown = plan(brief, sky, {})["picture"]["own_rig"]["ends"]
    assert shown and (shown["frame"], shown["end"]) == (1, "far")


def test_the_first_frame_that_shows_the_rail_is_named_to_the_frame(
    demo_brief: dict[str, Any], sky: Sky
) -> None:
    """Panned from 100 degrees beside it to 0: the end comes in where its place crosses the frame's side."""
    planned = plan(_beside_the_rail(demo_brief, 100.0, 0.0), sky, {})
    frame = planned["picture"]["own_rig"]["ends"]["frame"]
    eased = planned["brief"]["ease"][0]
    frames = planned["timing"]["frames"]
    shares = {at: (at - 1 - eased / 2) / (frames - 1 - eased) for at in (frame - 1, frame)}
    places = [
        place_in_frame(0.0, -degrees(atan(300 / 1200)), 100 - 100 * share, 3.0, lens_of(planned["brief"]))
        for share in shares.values()
    ]
    assert places[0] is not None and places[1] is not None
    assert places[0][0] < -1 <= places[1][0]


def test_a_leg_shows_where_its_foot_comes_over_the_lower_edge(demo_brief: dict[str, Any], sky: Sky) -> None:
    """By plain trigonometry: 1.4 m ahead, 0.5 m under a rail 0.3 m under the lens, tilted down 5 degrees."""
    brief = _beside_the_rail(demo_brief, 0.0, 0.0)
    brief["rig"]["axes"]["slide"]["max"] = 500.0
    for keyframe in brief["keyframes"]:
        keyframe["axes"] |= {"tilt": -5.0}
    for spread, pan, shown in ((0.0, 0.0, 2), (300.0, 0.0, 2), (300.0, 62.0, 2), (0.0, 62.0, None)):
        brief["rig"]["legs"] = [
            {"at_mm": -300.0, "height_mm": 500.0, "spread_mm": spread},
            {"at_mm": 1400.0, "height_mm": 500.0, "spread_mm": spread},
        ]
        for keyframe in brief["keyframes"]:
            keyframe["axes"] |= {"pan": pan}
        feet = [(spread * side, 1400.0, -800.0) for side in (-1, 1)]
        turn, tilt, lens = radians(pan), radians(-5.0), lens_of(brief)
        spots = []
        for right, ahead, up in feet:
            aside, level = right * cos(turn) - ahead * sin(turn), right * sin(turn) + ahead * cos(turn)
            forward = level * cos(tilt) + up * sin(tilt)
            spots.append((aside / forward / lens.half_width, (up * cos(tilt) - level * sin(tilt)) / forward))
        assert any(abs(x) <= 1 and abs(y / lens.half_height) <= 1 for x, y in spots) == (shown is not None)
        planned = plan(brief, sky, {})
        legs = planned["picture"]["own_rig"]["legs"]
        assert (legs and (legs["leg"], legs["frame"])) == (shown and (shown, 1))
        assert ("warning.own-legs" in [one["id"] for one in planned["warnings"]]) == (shown is not None)


def _afternoon(brief: dict[str, Any], azimuth_deg: float) -> dict[str, Any]:
    """A still, level lens 1.5 m up, from two to six by the summer sun."""
    brief = still(brief, azimuth_deg, 0.0, 14.0)
    brief["frame_mm"], brief["lens_height_m"] = [36.0, 24.0], 1.5
    brief |= {"start": {"clock_s": 14 * 3600}, "end": None, "duration_ms": 4 * 3_600_000}
    brief |= {"interval_ms": 20_000, "night": {"rule": "day", "date": "2027-06-05"}}
    brief["place"] |= {"tides": [], "turn_back": None, "check_in": None, "gate_closes": None}
    return brief


def test_the_rigs_shadow_comes_into_the_picture_right_opposite_the_sun(
    demo_brief: dict[str, Any], sky: Sky
) -> None:
    """The first frame whose lower edge is below the point opposite the sun, by plain trigonometry."""
    brief = _afternoon(demo_brief, 90.0)
    planned = plan(brief, sky, {})
    night, lens = night_of(brief, sky, brief["night"]), lens_of(brief)
    start_ms = planned["window"]["start"]["utc_ms"]

    def opposite(frame: int) -> tuple[float, float]:
        azimuth, altitude = np.radians(seen_deg(night, "sun", (start_ms + (frame - 1) * 20_000) / 1000))
        across, ahead = np.cos(altitude) * np.cos(azimuth), -np.cos(altitude) * np.sin(azimuth)
        return across / ahead / lens.half_width, -np.sin(altitude) / ahead / lens.half_height

    shadow = planned["picture"]["own_rig"]["shadow"]
    first = shadow["frame"]
    assert first > 100, "it is not there at the start"
    assert max(map(abs, opposite(first))) <= 1 < max(map(abs, opposite(first - 1)))
    altitude = seen_deg(night, "sun", shadow["time"]["utc_ms"] / 1000)[1]
    assert shadow["length_m"] == pytest.approx(1.5 / np.tan(np.radians(altitude)), rel=1e-9)
    (warning,) = [one for one in planned["warnings"] if one["id"] == "warning.own-shadow"]
    assert (warning["args"]["body"], warning["args"]["frame"]) == ("sun", first)
    lines = {row["name"]: row["text"] for row in changing({**planned, "revision": "0A1B2C"})["picture"]}
    assert lines["own shadow"].startswith(f"by the sun, in the picture from frame {first}, ")


@pytest.mark.parametrize(("azimuth", "ridge", "told"), [(270.0, 0.0, True), (90.0, 80.0, False)])
def test_no_shadow_shows_away_from_the_sun_or_without_it(
    demo_brief: dict[str, Any], sky: Sky, azimuth: float, ridge: float, told: bool
) -> None:
    brief = _afternoon(demo_brief, azimuth)
    brief["place"]["horizon"] = [[0.0, ridge], [180.0, ridge]] if ridge else []
    own = plan(brief, sky, {})["picture"]["own_rig"]
    assert (own["shadow"], "shadow" in own["looked_for"]) == (None, told)


def test_a_rail_that_stands_upright_and_a_lens_of_unknown_height_are_not_judged(
    demo_brief: dict[str, Any], sky: Sky
) -> None:
    brief = _beside_the_rail(demo_brief, 0.0, 0.0)
    brief["rig"]["lens_over_rail_mm"] = None
    assert "ends" not in plan(brief, sky, {})["picture"]["own_rig"]["looked_for"]
