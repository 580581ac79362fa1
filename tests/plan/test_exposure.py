"""The exposure of a shot between its two bases, and what is said where it cannot be."""

from __future__ import annotations

import copy
from datetime import date
from math import floor
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from fieldsheet.catalog.defaults import LONGER_SHUTTERS_S
from fieldsheet.catalog.exposure import exposure_of
from fieldsheet.catalog.marks import APERTURES, ISOS, SHUTTERS
from fieldsheet.catalog.models.camera import Camera
from fieldsheet.catalog.models.exposure import Exposure
from fieldsheet.plan.aim import axis_of, inside_frame, lens_of
from fieldsheet.plan.anchors import night_of
from fieldsheet.plan.move import path_of
from fieldsheet.plan.opened import rung_clicks
from fieldsheet.plan.pace import pace_of
from fieldsheet.plan.plan import plan
from fieldsheet.plan.problem import PlanProblem
from fieldsheet.plan.seen import seen_deg
from fieldsheet.sheet.words import WORDS
from fieldsheet.sky.sky import Sky
from tests.long import tries

CAMERA = {
    "title": "Camera",
    "sensor_mm": [36, 24],
    "focal_mm": 14,
    "shutters": ["1/4000", 30],
    "iso": [100, 12800],
}
BRIGHT: dict[str, Any] = {"f": 4, "shutter": "1/1000", "iso": 100}
DARK: dict[str, Any] = {"f": 4, "shutter": 13, "iso": 6400}
CLICK = 1 / 3
OFF_EV = 1.06 / 3  # what a band may be off, in stops


def exposing(brief: dict[str, Any], longest_ms: int = 13_000, **keys: Any) -> dict[str, Any]:
    """The brief with an exposure of these keys, made as the catalog does."""
    table = {"bright": BRIGHT, "dark": DARK, "turned_by": "tether", **keys}
    made = exposure_of(Exposure.model_validate(table), Camera.model_validate(CAMERA), longest_ms)
    return {**brief, "exposure": made, "needs": [], "longest_shutter_ms": longest_ms}


def ev_at(brief: dict[str, Any], exposure: dict[str, Any], frame: int) -> float:
    """EV at ISO 100 of the setting that stands at a frame."""
    rung = exposure["first_rung"]
    for before, _, after in rung_clicks(exposure):
        rung = after if before <= frame else rung
    return float(brief["exposure"]["top_ev"] - rung / 3)


def warned(planned: dict[str, Any]) -> dict[str, dict[str, Any]]:
    return {row["id"].removeprefix("warning."): row["args"] for row in planned["warnings"]}


def test_both_bases_are_met(demo_brief: dict[str, Any], sky: Sky) -> None:
    brief = exposing(demo_brief)
    exposure = plan(brief, sky, {})["exposure"]
    last = exposure["bands"][-1]["last_frame"]
    assert (exposure["curve"][0], exposure["curve"][-1]) == (14.0, pytest.approx(-5.7))
    assert abs(ev_at(brief, exposure, 1) - 14) <= OFF_EV
    assert abs(ev_at(brief, exposure, last) - brief["exposure"]["dark"]["ev"]) <= OFF_EV
    assert exposure["bands"][0]["from"] == {"f": "4", "shutter": "1/1000", "iso": "100", "open_ms": 1}
    assert exposure["bands"][-1]["to"] == {"f": "4", "shutter": "13", "iso": "6400", "open_ms": 13_000}


@settings(max_examples=tries(25), suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    night=st.dates(date(2027, 2, 1), date(2027, 11, 30)),
    scenes=st.lists(st.sampled_from([0.0, -3.0, 1.5]), min_size=3, max_size=3),
    keys=st.fixed_dictionaries(
        {
            "sky": st.sampled_from(["clear", "cloud", "dark cloud"]),
            "aperture": st.sampled_from(["fixed", "moves"]),
            "bright": st.sampled_from([BRIGHT, {"f": 8, "shutter": "1/250", "iso": 100}]),
        }
    ),
)
def test_on_any_night_every_setting_is_on_a_camera_and_a_third_from_the_last(
    demo_brief: dict[str, Any], sky: Sky, night: Any, scenes: list[float], keys: dict[str, Any]
) -> None:
    brief = exposing(copy.deepcopy(demo_brief), **keys)
    for keyframe, scene in zip(brief["keyframes"], scenes, strict=True):
        keyframe["scene_ev"] = scene
    try:
        planned = plan(brief, sky, {"night": night.isoformat()})
    except PlanProblem:
        return
    exposure, ladder = planned["exposure"], brief["exposure"]["ladder"]
    for f, shutter, iso, open_ms in ladder:
        assert f in APERTURES and shutter in SHUTTERS and iso in ISOS
        assert open_ms <= 13_000 or int(shutter) in map(int, LONGER_SHUTTERS_S)
    bands = exposure["bands"]
    assert (bands[0]["first_frame"], bands[-1]["last_frame"]) == (1, planned["timing"]["frames"])
    for before, after in zip(bands, bands[1:], strict=False):
        assert after["first_frame"] == before["last_frame"] + 1 and after["from"] == before["to"]
    clicks = rung_clicks(exposure)
    assert all(abs(after - before) == 1 for _, before, after in clicks)
    frames = [frame for frame, _, _ in clicks]
    assert frames == sorted(set(frames)), "never two clicks at once"
    first, last = (ev_at(brief, exposure, band["first_frame"] - 1) for band in (bands[0], bands[-1]))
    assert bands[-1]["total"] - bands[-1]["clicks"] == pytest.approx((first - last) * 3, abs=1e-6)


def test_another_night_with_a_moon_is_exposed_less(demo_brief: dict[str, Any], sky: Sky) -> None:
    """On 18 June 2027 a full moon is up at the end; the bases are those of a night without one."""
    brief = exposing(demo_brief)
    dark, moonlit = (plan(brief, sky, {"night": night})["exposure"] for night in ("2027-06-05", "2027-06-18"))
    print(f"last target: EV {dark['curve'][-1]} without, EV {moonlit['curve'][-1]} with a full moon")
    assert 3 < moonlit["curve"][-1] - dark["curve"][-1] < 7


def test_a_late_start_keeps_the_exposure_of_the_hour(demo_brief: dict[str, Any], sky: Sky) -> None:
    brief = exposing(demo_brief)
    first = plan(brief, sky, {})
    start_ms = first["window"]["start"]["utc_ms"] + 200 * first["timing"]["interval_ms"]
    late = plan(brief, sky, {"start_ms": start_ms})["exposure"]
    here, there = (ev_at(brief, found, frame) for found, frame in ((first["exposure"], 301), (late, 101)))
    assert abs(here - there) <= 2 * CLICK + 0.01


def test_dawn_runs_the_ramp_the_other_way(demo_brief: dict[str, Any], sky: Sky) -> None:
    brief = exposing({**demo_brief, "start": {"event": "astronomical dawn", "offset_s": -1800}})
    brief |= {"end": {"event": "sunrise", "offset_s": 3600}, "swap": None}
    for keyframe in brief["keyframes"]:
        keyframe |= {"aim": None, "axes": {"slide": keyframe["axes"]["slide"], "pan": 0.0, "tilt": 5.0}}
    exposure = plan(brief, sky, {})["exposure"]
    assert exposure["curve"][0] < -5 and exposure["curve"][-1] == 14.0
    assert all(band["clicks"] <= 0 for band in exposure["bands"])
    assert exposure["steepest"]["ev_per_min"] > 0.1


def test_a_shot_through_the_night_goes_down_and_up_again(demo_brief: dict[str, Any], sky: Sky) -> None:
    """From before sunset to after sunrise: the darkest in between, and bands both ways."""
    brief = exposing({**demo_brief, "end": {"event": "sunrise", "offset_s": 3600}, "interval_ms": 40_000})
    brief["swap"] = None
    brief["keyframes"][2]["aim"] = {"bearing_deg": 235.0, "altitude_deg": 4.0, "x": 0.0, "y": 0.0}
    planned = plan(brief, sky, {})
    exposure, strip = planned["exposure"], planned["moments"]
    assert exposure["curve"][0] > 13 and exposure["curve"][-1] > 13 and exposure["curve"][24] < -5
    ways = [band["clicks"] > 0 for band in exposure["bands"] if band["clicks"]]
    assert ways[0] and not ways[-1] and ways == sorted(ways, reverse=True)
    acts = [row["id"] for row in strip if row["kind"] == "exposure"]
    assert acts == [f"moment.{act}" for act in ("shutter-more", "iso-more", "iso-less", "shutter-less")]


def test_a_moon_that_rises_turns_the_ramp_back(demo_brief: dict[str, Any], sky: Sky) -> None:
    """20 June 2027, two days past full: she is up at 23:51, the core shot long in the dark by then.

    Full moon at 30 degrees is about five stops above starlight (common practice, no source).
    """
    brief = exposing({**demo_brief, "end": {"clock_s": 3 * 3600}, "swap": None, "interval_ms": 30_000})
    brief["keyframes"][2]["aim"] = {"bearing_deg": 235.0, "altitude_deg": 4.0, "x": 0.0, "y": 0.0}
    planned = plan(brief, sky, {"night": "2027-06-20"})
    exposure = planned["exposure"]
    rises = next(row["frame"] for row in planned["moments"] if row["id"] == "moonrise")
    back = [band for band in exposure["bands"] if band["clicks"] < 0]
    assert back and all(band["first_frame"] > rises for band in back)
    assert 2.5 < exposure["curve"][-1] - min(exposure["curve"]) < 6
    assert planned["light"]["curve"][-1] > planned["light"]["curve"][30]


def test_the_light_on_the_ground_at_sunset(demo_brief: dict[str, Any], sky: Sky) -> None:
    """585 to 410 lx as civil twilight begins (AMS Glossary): EV 7.9 to 7.4 by E = 2.5 x 2^EV (ISO 2720)."""
    brief = {**demo_brief, "start": {"event": "sunset", "offset_s": 0}, "exposure": None}
    light = plan({**brief, "swap": None}, sky, {})["light"]
    print(f"EV {light['start_ev']:.2f} at sunset")
    assert 7.3 < light["start_ev"] < 7.9 and light["end_ev"] < -8 and light["curve"] is None


def test_hands_have_their_acts_on_the_strip_and_automatics_none(demo_brief: dict[str, Any], sky: Sky) -> None:
    acts = {}
    for turned_by in ("hand", "tether", "camera ramp", "automatic"):
        planned = plan(exposing(demo_brief, turned_by=turned_by), sky, {})
        acts[turned_by] = [row["id"] for row in planned["moments"] if row["kind"] == "exposure"]
    assert acts.pop("automatic") == []
    assert all(found == ["moment.shutter-more", "moment.iso-more"] for found in acts.values())


@pytest.mark.parametrize(("in_turn", "first"), [(["iso", "shutter"], "iso"), (["shutter", "iso"], "shutter")])
def test_what_moves_first_is_turned_first(
    demo_brief: dict[str, Any], sky: Sky, in_turn: list[str], first: str
) -> None:
    exposure = plan(exposing(demo_brief, in_turn=in_turn), sky, {})["exposure"]
    turned = [band["control"] for band in exposure["bands"] if band["control"]]
    assert turned[0] == first and set(turned) == {"iso", "shutter"}
    assert exposure["bands"][-1]["to"]["iso"] == "6400"


def test_an_iso_of_the_shots_own_ends_the_ramp(demo_brief: dict[str, Any], sky: Sky) -> None:
    dark = {"f": 4, "shutter": 13, "iso": 6400}
    for iso_max, id in ((None, False), (6400, True)):
        planned = plan(exposing(demo_brief, dark=dark, iso_max=iso_max, sky="thin cloud"), sky, {})
        assert ("too-dark" in warned(planned)) is id
    # Nothing in the camera's file would mend this one.
    assert "limit for the ISO (of the shot or the camera)" in WORDS["warning.too-dark.fix"]


@pytest.mark.parametrize("waits", [False, True])
def test_noise_reduction_exposes_once_more(demo_brief: dict[str, Any], sky: Sky, waits: bool) -> None:
    """T9: ready again after the exposure again; what then still fits is half as long."""
    brief = copy.deepcopy({**demo_brief, "exposure": None})
    brief["rig"]["waits_for_camera"] = waits
    brief["camera"]["noise_reduction"] = True
    budget = plan({**brief, "interval_ms": 32_000}, sky, {})["interval_budget"]
    assert budget["camera_ready_ms"] == 400 + 13_000 and budget["needed_ms"] >= 100 + 13_000 + 13_400
    assert (32_000 - 500) / 2 >= budget["longest_shutter_ms"] >= 13_000
    fits = {**brief, "interval_ms": 32_000, "longest_shutter_ms": budget["longest_shutter_ms"]}
    assert plan(fits, sky, {})["interval_budget"]["slack_ms"] >= 0
    over = {**fits, "longest_shutter_ms": budget["longest_shutter_ms"] + 1100}
    assert plan(over, sky, {})["interval_budget"]["slack_ms"] < 0
    assert "interval-short" in warned(plan(brief, sky, {}))


def test_the_scene_of_each_keyframe_is_blended_along_the_move(demo_brief: dict[str, Any], sky: Sky) -> None:
    """Two stops darker at the middle keyframe alone; each base holds for its own frame, and stays met."""
    plain = exposing(copy.deepcopy(demo_brief))
    turned = copy.deepcopy(plain)
    turned["keyframes"][1]["scene_ev"] = -2.0
    before, after = (plan(brief, sky, {})["exposure"]["curve"] for brief in (plain, turned))
    gained = [b - a for a, b in zip(before, after, strict=True)]
    assert gained[0] == gained[-1] == 0 and gained[24] == pytest.approx(-2, abs=0.11)
    assert gained[12] == pytest.approx(-0.95, abs=0.2)


def test_one_click_shifts_all_that_follows(demo_brief: dict[str, Any], sky: Sky) -> None:
    brief = exposing(demo_brief)
    shifted = plan(brief, sky, {"exposure_shift_ev": CLICK})["exposure"]
    assert shifted["first_rung"] == plan(brief, sky, {})["exposure"]["first_rung"] + 1
    for wrong in (6.0, float("nan"), True, "1/3"):
        with pytest.raises(PlanProblem) as problem:
            plan(brief, sky, {"exposure_shift_ev": wrong})
        assert problem.value.id == "problem.shift"


def test_cloud_takes_the_stops_that_the_circular_says(demo_brief: dict[str, Any], sky: Sky) -> None:
    """Divisors 2, 3 and 10: 1, 1.6 and 3.3 stops, by the stretch of these bases."""
    clear = plan(exposing(demo_brief), sky, {})["exposure"]
    factor = clear["stretch"]["factor"]
    for name, stops in (("thin cloud", 1.0), ("cloud", 1.585), ("dark cloud", 3.322)):
        under = plan(exposing(demo_brief, sky=name), sky, {})["exposure"]
        assert clear["curve"][20] - under["curve"][20] == pytest.approx(stops * factor, abs=0.11)


def test_the_glow_of_a_town_ends_the_fall(demo_brief: dict[str, Any], sky: Sky) -> None:
    """With the same bases the ramp is over sooner: the last hour changes less."""
    dark, glowing = (
        plan(exposing(demo_brief, glow_ev=glow), sky, {})["exposure"]["curve"] for glow in (None, -5)
    )
    assert glowing[36] - glowing[48] < dark[36] - dark[48]


def test_dusk_at_two_latitudes_is_as_steep_as_the_trade_says(demo_brief: dict[str, Any], sky: Sky) -> None:
    """About a stop in 3 min at latitude 25, in 6 min at 50 in summer (common practice, no source)."""
    rates = {}
    for latitude in (25.0, 50.0):
        brief = exposing(copy.deepcopy(demo_brief))
        brief["place"] |= {"latitude_deg": latitude, "horizon": []}
        brief |= {"end": {"event": "nautical dusk", "offset_s": 600}, "swap": None}
        brief["keyframes"][2]["aim"] = {"bearing_deg": 235.0, "altitude_deg": 4.0, "x": 0.0, "y": 0.0}
        exposure = plan(brief, sky, {})["exposure"]
        rates[latitude] = abs(exposure["steepest"]["ev_per_min"]) / exposure["stretch"]["factor"]
    print({latitude: f"a stop in {1 / rate:.1f} min" for latitude, rate in rates.items()})
    assert 2 < 1 / rates[25.0] < 4 and 3.5 < 1 / rates[50.0] < 7


SHORT = {"interval_ms": 9_000}
MOST_ISO = {**DARK, "iso": 12800}
FLAT = {"bright": {**BRIGHT, "shutter": "1/30"}, "dark": {**DARK, "shutter": 1, "iso": 100}}
WARNED = [
    pytest.param(FLAT, {}, "bases-apart", id="bases that the light does not account for"),
    pytest.param({"bright": {**BRIGHT, "f": 16}}, {}, "too-bright", id="too bright for the night's aperture"),
    pytest.param({"dark": MOST_ISO, "sky": "dark cloud"}, {}, "too-dark", id="too dark for the last ISO"),
    pytest.param({"turned_by": "hand"}, {"interval_ms": 15_000}, "hand-slack", id="no time for a hand"),
    pytest.param({"trail_max_px": 1}, {}, "trails-long", id="a trail longer than asked"),
    pytest.param({}, SHORT, "exposure-outgrows", id="outgrows the interval"),
    pytest.param({"dark": MOST_ISO}, SHORT, "exposure-outgrows-all", id="and no ISO keeps it"),
]


@pytest.mark.parametrize(("keys", "changes", "id"), WARNED)
def test_what_the_exposure_cannot_do_is_said(
    demo_brief: dict[str, Any], sky: Sky, keys: dict[str, Any], changes: dict[str, Any], id: str
) -> None:
    assert id not in warned(plan(exposing(demo_brief), sky, {}))
    assert id in warned(plan({**exposing(demo_brief, **keys), **changes}, sky, {}))


def test_where_it_outgrows_the_interval_the_offers_work(demo_brief: dict[str, Any], sky: Sky) -> None:
    brief = {**exposing(demo_brief, dark={"f": 4, "shutter": 13, "iso": 1600}), "interval_ms": 9_000}
    args = warned(plan(brief, sky, {}))["exposure-outgrows"]
    assert (args["keeps"], args["iso"]) == ("6", "3200") or int(args["iso"]) > 1600
    longer = plan({**brief, "interval_ms": args["works"]}, sky, {})
    assert "exposure-outgrows" not in warned(longer) and longer["interval_budget"]["slack_ms"] >= 0
    dark = {"f": 4, "shutter": int(args["keeps"]), "iso": int(args["iso"])}
    short = exposing(demo_brief, int(args["keeps"]) * 1000, dark=dark)
    kept = plan({**short, "interval_ms": 9_000}, sky, {})
    assert "exposure-outgrows" not in warned(kept)
    assert short["exposure"]["dark"]["ev"] == pytest.approx(brief["exposure"]["dark"]["ev"])


def test_a_light_that_runs_from_the_clicks_is_said(demo_brief: dict[str, Any], sky: Sky) -> None:
    """A frame every four minutes; and the interval that it offers keeps up."""
    brief = {**exposing(demo_brief), "interval_ms": 240_000, "hold": [0, 0], "ease": [0, 0], "swap": None}
    works_ms = warned(plan(brief, sky, {}))["exposure-lags"]["works"]
    assert 60_000 < works_ms < 120_000
    assert "exposure-lags" not in warned(plan({**brief, "interval_ms": works_ms}, sky, {}))


def test_a_moon_in_the_frame_that_nobody_aimed_at_is_said(demo_brief: dict[str, Any], sky: Sky) -> None:
    """From the first frame to the last that has a disc, to the frame."""
    full = plan(exposing(demo_brief), sky, {"night": "2027-06-18"})
    assert [disc["body"] for disc in full["exposure"]["discs"]] == ["sun", "moon"]
    brief, path, pace = full["brief"], path_of(full), pace_of(full["timing"])
    night = night_of(brief, sky, {**brief["night"], "date": "2027-06-18"})
    sunset = next(row["frame"] for row in full["sky"]["events"] if row["event"] == "sunset")

    def shows_moon(frame: int) -> bool:
        axis, at = axis_of(brief, path.at(frame)), seen_deg(night, "moon", pace.ms_of(frame) / 1000)
        return axis is not None and at[1] > 0 and inside_frame(*at, *axis, lens_of(brief)) is not None

    last = full["timing"]["frames"]
    comes = next(frame for frame in range(1, last) if shows_moon(frame))
    frames = [(disc["first_frame"], disc["last_frame"]) for disc in full["exposure"]["discs"]]
    assert frames == [(1, floor(sunset)), (comes, last)]
    assert "moon-disc" in warned(full)


def test_without_bases_there_is_no_exposure(demo_brief: dict[str, Any], sky: Sky) -> None:
    assert plan({**demo_brief, "exposure": None}, sky, {"exposure_shift_ev": 99})["exposure"] is None


def test_its_cost_in_the_interval_is_told(demo_brief: dict[str, Any], sky: Sky) -> None:
    planned = plan(exposing(demo_brief), sky, {})
    bands = planned["exposure"]["bands"]
    assert bands[-1]["slack_ms"] == 18_000 - 100 - 13_000 and bands[0]["slack_ms"] == 18_000 - 100 - 1
    assert planned["exposure"]["longest_shutter_ms"] <= planned["interval_budget"]["shutter_ms"]
