"""Who is where when, the ways between places, and the light through a date."""

from __future__ import annotations

import pytest
from geographiclib.geodesic import Geodesic
from hypothesis import given
from hypothesis import strategies as st

from fieldsheet.catalog.read import Catalog
from fieldsheet.plan.spot import distance_m
from fieldsheet.press import plan_shot
from fieldsheet.sheet.across.day import DayView, day_view
from fieldsheet.sheet.across.day_ink import Paper, draw_lane
from fieldsheet.sheet.across.lanes import FRAMES, SETUP, STAYS, WAY, Lane, Stint, lanes_of
from fieldsheet.sheet.across.shots import Shot, nights_of, shots_of
from fieldsheet.sheet.across.travel import apart, bearing_deg, legs
from fieldsheet.sheet.sheet import make_sheet
from fieldsheet.sky.sky import Sky

MINUTE_MS = 60_000
HOUR_MS = 60 * MINUTE_MS


@pytest.fixture(scope="module")
def views(demo: Catalog, sky: Sky) -> dict[str, DayView]:
    plans = {shot_id: plan_shot(demo.brief(shot_id), sky, {}) for shot_id in ("slipway", "pole-circle")}
    sheets = {shot_id: make_sheet(plan) for shot_id, plan in plans.items()}
    return {night.date: day_view(night, {}, sky) for night in nights_of(shots_of(plans, sheets))}


def _shot(title: str, place: str, start_h: float, hours: float, crew: str = "Runa") -> Shot:
    """An hour's set-up, half an hour's way; times are hours, a place lies where its name's length says."""
    start_ms, end_ms = int(start_h * HOUR_MS), int((start_h + hours) * HOUR_MS)
    there_ms, way_ms = start_ms - HOUR_MS, HOUR_MS // 2
    spans = [[-(10**9), 0, "ONE"]]
    due = [("leave", there_ms - way_ms), ("on-site", there_ms)]
    plan = {
        "place": {"id": place, "title": place, "latitude_deg": float(len(place)), "longitude_deg": 0.0},
        "brief": {"place": {"approach_ms": way_ms, "zone": {"spans": spans}}},
        "window": {
            "night": "1970-01-01",
            "deadlines": [{"id": id, "time": {"utc_ms": ms}} for id, ms in due],
        },
    }
    crewed = [{"role": "operator", "who": who} for who in crew.split()]
    sheet = {"crew": crewed, "title": title, "place": place, "letter": title[0], "span": ""}
    return Shot(title, plan, sheet, start_ms, end_ms)


def _kinds(stint: Stint) -> list[tuple[str, float, float]]:
    return [(part.kind, part.from_ms / HOUR_MS, part.until_ms / HOUR_MS) for part in stint.parts]


def test_a_stint_is_the_way_there_setting_up_the_frames_and_the_way_back() -> None:
    (lane,) = lanes_of([_shot("A", "quarry", 10, 2)])
    assert lane.who == "Runa" and lane.stints[0].roles == "operator"
    assert _kinds(lane.stints[0]) == [(WAY, 8.5, 9), (SETUP, 9, 10), (FRAMES, 10, 12), (WAY, 12, 12.5)]


def test_who_would_not_be_back_in_time_stays_at_the_same_place() -> None:
    (lane,) = lanes_of([_shot("A", "quarry", 10, 2), _shot("B", "quarry", 13.5, 1)])
    assert [_kinds(stint)[-1] for stint in lane.stints] == [(STAYS, 12, 12.5), (WAY, 14.5, 15)]
    assert _kinds(lane.stints[1])[0] == (SETUP, 12.5, 13.5)


def test_everybody_has_a_lane_in_order_of_setting_out_and_the_unnamed_share_the_last() -> None:
    shots = [_shot("A", "quarry", 10, 2, ""), _shot("B", "pan", 12, 1, "Osk Runa"), _shot("C", "pier", 9, 1)]
    lanes = lanes_of(shots)
    assert [(lane.who, [stint.shot.id for stint in lane.stints]) for lane in lanes] == [
        ("Runa", ["C", "B"]),
        ("Osk", ["B"]),
        ("", ["A"]),
    ]


# A degree of latitude on a sphere of 6371 km.
FAR = "111.2 km in a straight line"
NORTH = f"pan to pier, {FAR}, 000° true"


@pytest.mark.parametrize(
    ("places", "begins", "said"),
    [
        (("pan", "pier"), 16, f"{NORTH}: back 12:30, leaves 14:30, 2 h between"),
        (("pier", "pan"), 14, f"pier to pan, {FAR}, 180° true: back 12:30 and leaves again at once"),
        (("pan", "pier"), 13, f"{NORTH}: back 12:30, but should leave 11:30: 1 h short"),
        (("pan", "pan"), 16, "pan again: back 12:30, leaves 14:30, 2 h between"),
        (("pan", "pan"), 13.5, "stays at pan after “A”; “B” from 12:30 on"),
        (("pan", "pan"), 12, "at pan, “A” and “B” at once for 1 h, from 11:00 on"),
    ],
)  # fmt: skip
def test_the_way_to_the_next_shot_is_told_with_its_length_and_the_time_for_it(
    places: tuple[str, str], begins: float, said: str
) -> None:
    first, second = (_shot("A", places[0], 10, 2), _shot("B", places[1], begins, 1))
    assert legs(lanes_of([first, second]), False) == [("Runa", said)]


def test_places_of_a_date_are_told_apart_once_each() -> None:
    shots = [_shot("A", "pan", 10, 1), _shot("B", "pan", 13, 1), _shot("C", "pier", 16, 1)]
    assert apart(shots) == [f"pan and pier: {FAR}; the second lies 000° true from the first"]


near = st.fixed_dictionaries({"latitude_deg": st.floats(-65, 65), "longitude_deg": st.floats(-180, 180)})


@given(near, st.floats(-0.5, 0.5), st.floats(-0.5, 0.5))
def test_ways_agree_with_the_ellipsoid(place: dict[str, float], north: float, east: float) -> None:
    """Within what a sphere can: 0.6 % of the length, 0.35 degrees of the bearing over a day's drive.

    The other side: geographiclib, on WGS 84.
    """
    if abs(north) + abs(east) < 0.01:
        return
    other = {"latitude_deg": place["latitude_deg"] + north, "longitude_deg": place["longitude_deg"] + east}
    ends = [at[name] for at in (place, other) for name in ("latitude_deg", "longitude_deg")]
    real = Geodesic.WGS84.Inverse(*ends)
    assert distance_m(place, other) == pytest.approx(real["s12"], rel=0.006)
    off = (bearing_deg(place, other) - real["azi1"] + 180) % 360 - 180
    assert abs(off) < 0.35


def test_the_drawing_reaches_over_full_hours_from_first_setting_out_to_last_being_back(
    views: dict[str, DayView],
) -> None:
    view = views["2027-06-05"]
    assert [clock for _, clock in view.hours] == [
        *("17:00", "18:00", "19:00", "20:00", "21:00", "22:00", "23:00", "00:00", "01:00", "02:00")
    ]
    assert (view.hours[0][0], view.hours[-1][0]) == (view.from_ms, view.until_ms)
    assert [lane.who for lane in view.lanes] == ["Osk", "Runa", "Maren"]


def test_the_light_of_a_date_agrees_with_its_sheets(views: dict[str, DayView]) -> None:
    view = views["2027-06-05"]
    (light,) = view.lights
    slipway = next(shot for shot in view.night.night.entries if shot.id == "slipway")
    sets_ms = slipway.plan["sky"]["moon"]["set"]["utc_ms"]
    assert [span[0] for span in light.moon] == [view.from_ms]
    assert light.moon[0][1] == pytest.approx(sets_ms, abs=2 * MINUTE_MS)
    assert light.core == ((slipway.plan["sky"]["usable"][0]["from"]["utc_ms"], view.until_ms),)
    assert light.tones[0] == 0.0 and light.tones[-1] == 1.0
    assert all(later >= sooner for sooner, later in zip(light.tones, light.tones[1:], strict=False))


def test_stints_that_would_touch_stand_in_rows_of_their_own(views: dict[str, DayView]) -> None:
    paper = Paper(views["2027-06-05"], lambda text, bold: 1.8 * len(text), 186.0)
    lane = views["2027-06-05"].lanes[0]
    _, alone = draw_lane(paper, lane)
    _, both = draw_lane(paper, Lane(lane.who, lane.stints * 2))
    assert both > alone + 5
