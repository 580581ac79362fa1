"""What is in the frame over the whole shot: spans, drift, the sector to keep out of, foreground."""

from __future__ import annotations

from math import cos, degrees, radians, sin
from typing import Any

import numpy as np
import pytest
from scipy.spatial.transform import Rotation

from fieldsheet.catalog.read import Catalog
from fieldsheet.plan.aim import axis_of, lens_of, place_in_frame
from fieldsheet.plan.anchors import night_of
from fieldsheet.plan.picture import BORDER
from fieldsheet.plan.plan import plan
from fieldsheet.plan.seen import seen_deg
from fieldsheet.sheet.sheet import changing
from fieldsheet.sky.observe import horizontal
from fieldsheet.sky.sky import Sky

SIDEREAL_DEG_PER_H = 15.041067  # 360 degrees in 23 h 56 min 4.1 s of sidereal day
# Of Sgr A*, J2000 (Reid & Brunthaler 2004, from memory); precession to 2027 moves it by 0.006 degrees.
CORE_DEC_DEG = -29.008


def still(brief: dict[str, Any], azimuth_deg: float, tilt_deg: float, focal_mm: float) -> dict[str, Any]:
    """The demo's night with a lens that stands still."""
    brief |= {"keyframes": [], "rail": None, "swap": None, "foreground_m": None}
    brief["rig"] |= {"axes": {}, "motion": "none", "lens_over_rail_mm": None, "legs": [], "power": None}
    brief["camera"]["focal_mm"] = focal_mm
    return brief | {"zero_bearing_deg": azimuth_deg, "tilt_deg": tilt_deg, "exposure": None}


def _spans(planned: dict[str, Any], body: str) -> list[dict[str, Any]]:
    return next(row["spans"] for row in planned["picture"]["inside"] if row["body"] == body)


def test_the_core_crosses_a_long_lens_at_the_sidereal_rate(demo_brief: dict[str, Any], sky: Sky) -> None:
    """A still lens aimed at its highest: the hour angle at which a parallel leaves the frame's side."""
    highest_s = plan(demo_brief, sky, {})["sky"]["core"]["highest"]["utc_ms"] / 1000
    night = night_of(demo_brief, sky, demo_brief["night"])
    azimuth, altitude = seen_deg(night, "galactic core", highest_s)
    brief = still(demo_brief, azimuth, altitude, 200.0)
    brief |= {
        "start": {"clock_s": 23 * 3600},
        "end": None,
        "duration_ms": 4 * 3_600_000,
        "interval_ms": 20_000,
    }
    brief["place"] |= {"tides": [], "turn_back": None, "check_in": None}
    (span,) = _spans(plan(brief, sky, {}), "galactic core")
    assert (span["from"]["by"], span["until"]["by"]) == ("edge", "edge")
    hours = (span["until"]["time"]["utc_ms"] - span["from"]["time"]["utc_ms"]) / 3_600_000
    dec, half = radians(CORE_DEC_DEG), tan_half(brief)
    turns = np.radians(np.linspace(0, 20, 200_001))
    across = cos(dec) * np.sin(turns) / (sin(dec) ** 2 + cos(dec) ** 2 * np.cos(turns))
    expected = 2 * degrees(float(np.interp(half, across, turns))) / SIDEREAL_DEG_PER_H
    print(f"crossing of 10.3 degrees: {hours * 3600:.1f} s, sidereal {expected * 3600:.1f} s")
    assert hours == pytest.approx(expected, rel=0.001)


def tan_half(brief: dict[str, Any]) -> float:
    return lens_of(brief).half_width


def test_the_sun_leaves_the_picture_at_sunset_and_touches_the_horizon_before(
    demo_plan: dict[str, Any], sky: Sky
) -> None:
    """Its centre then 0.3 degrees below the level: 34' of refraction less 16' (USNO), and the sea's dip."""
    (span,) = _spans(demo_plan, "sun")
    sunset = next(row for row in demo_plan["sky"]["events"] if row["event"] == "sunset")
    assert span["until"]["by"] == "horizon"
    assert span["until"]["frame"] == pytest.approx(sunset["frame"], abs=0.05)
    (touch,) = span["touches"]
    site = night_of(demo_plan["brief"], sky, demo_plan["brief"]["night"]).site
    altitude = float(horizontal(sky, site, "sun", touch["time"]["utc_ms"] / 1000)[0])
    assert touch["way"] == "down"
    assert altitude == pytest.approx(-0.3 - site.dip_deg, abs=0.01)


def test_a_ridge_ends_the_stay_where_its_event_says(demo_brief: dict[str, Any], sky: Sky) -> None:
    demo_brief["place"]["horizon"] = [[0.0, 3.0], [180.0, 3.0], [290.0, 5.0], [310.0, 4.0]]
    planned = plan(demo_brief, sky, {})
    (span,) = _spans(planned, "sun")
    behind = next(row for row in planned["sky"]["events"] if row["event"] == "sun behind ridge")
    assert (span["until"]["by"], span["touches"][0]["way"]) == ("ridge", "down")
    assert span["until"]["frame"] == pytest.approx(behind["frame"], abs=0.1)
    lines = {row["name"]: row["text"] for row in changing({**planned, "revision": "0A1B2C"})["picture"]}
    assert "touches the ridge at frame" in lines["sun in the frame"]


def test_what_comes_in_by_an_edge_stands_on_the_edge(demo_brief: dict[str, Any], sky: Sky) -> None:
    """A move without ease: its positions are even between the keyframes."""
    demo_brief["rig"]["joins"] = "straight"
    planned = plan(demo_brief | {"ease": [0, 0], "hold": [0, 0]}, sky, {})
    (span,) = _spans(planned, "galactic core")
    brief, entered = planned["brief"], span["from"]
    assert (entered["by"], span["until"]["by"]) == ("edge", "end")
    night = night_of(brief, sky, brief["night"])
    direction = seen_deg(night, "galactic core", entered["time"]["utc_ms"] / 1000)
    k2, k3 = planned["keyframes"][1:]
    pan = [
        np.interp(entered["frame"], (k2["frame"], k3["frame"]), (k2["axes"][name], k3["axes"][name]))
        for name in ("pan", "tilt")
    ]
    spot = place_in_frame(*direction, brief["zero_bearing_deg"] + pan[0], pan[1], lens_of(brief))
    assert spot is not None and max(map(abs, spot)) == pytest.approx(1, abs=1e-4)


@pytest.fixture(scope="module")
def moonrise(demo: Catalog, sky: Sky) -> dict[str, Any]:
    brief = demo.brief("moonrise")
    brief["camera"]["pixels"] = [6000, 4000]
    brief["rig"]["joins"] = "straight"
    return plan(brief, sky, {})


def test_the_tracked_moon_strays_most_where_the_ease_holds_the_rig_back(
    moonrise: dict[str, Any], sky: Sky
) -> None:
    """Frame by frame, from the positions at the frames and places worked out anew."""
    (row,) = moonrise["picture"]["tracked"]
    assert (row["number"], row["target"]) == (2, "moon")
    brief, worst = moonrise["brief"], row["worst"]
    k2, k3 = moonrise["keyframes"][1:]
    night, lens = night_of(brief, sky, brief["night"]), lens_of(brief)
    start_ms, interval_ms = moonrise["window"]["start"]["utc_ms"], moonrise["timing"]["interval_ms"]
    # An ease-out of e frames that covers a share of the way: after it begins, top * (left ** 2) / 2e is left.
    frames, (ease_in, ease_out) = moonrise["timing"]["frames"], brief["ease"]
    top = 1 / (frames - 1 - ease_in / 2 - ease_out / 2)

    def way(frame: float) -> float:
        left = frames - frame
        return float(1 - top * (left**2 / 2 / ease_out if left < ease_out else left - ease_out / 2))

    middle = way(k2["frame"])
    strays = {}
    for frame in range(int(k2["frame"]) + 1, frames + 1):
        share = (way(frame) - middle) / (1 - middle)
        pan, tilt = (
            k2["axes"][name] + (k3["axes"][name] - k2["axes"][name]) * share for name in ("pan", "tilt")
        )
        direction = seen_deg(night, "moon", (start_ms + (frame - 1) * interval_ms) / 1000)
        spot = place_in_frame(*direction, brief["zero_bearing_deg"] + pan, tilt, lens)
        assert spot is not None
        even = (frame - k2["frame"]) / (k3["frame"] - k2["frame"])
        right, up = spot[0] - 0.1 * even, spot[1] + 0.4 - 0.7 * even
        strays[frame] = np.hypot(right, up * lens.half_height / lens.half_width) / 2
    assert worst["share"] == pytest.approx(max(strays.values()), rel=0.002)
    assert strays[worst["frame"]] == pytest.approx(max(strays.values()), rel=0.002)
    assert worst["px"] == pytest.approx(worst["share"] * 6000, rel=1e-6)
    lines = {one["name"]: one["text"] for one in changing({**moonrise, "revision": "0A1B2C"})["picture"]}
    assert lines["moon kept, K2 to K3"].startswith(f"strays most at frame {worst['frame']}, ")
    assert f"{worst['px']:.0f} px" in lines["moon kept, K2 to K3"]


def test_a_level_lens_sees_a_sector_as_wide_as_the_table_says(demo_brief: dict[str, Any], sky: Sky) -> None:
    """104.25 degrees across 36 mm at 14 mm (T. Bryant's table, see test_aim.py), half to either side."""
    brief = still(demo_brief, 10.0, 0.0, 14.0)
    brief["frame_mm"] = [36.0, 24.0]
    sector = plan(brief, sky, {})["picture"]["keep_out"]
    assert sector["from_deg"] == pytest.approx(360 + 10 - 104.25 / 2, abs=0.01)
    assert sector["to_deg"] == pytest.approx(10 + 104.25 / 2, abs=0.01)


def test_a_lens_that_sees_the_zenith_sees_all_round(demo_brief: dict[str, Any], sky: Sky) -> None:
    planned = plan(still(demo_brief, 10.0, 75.0, 14.0), sky, {})
    seen = planned["picture"]["keep_out"]
    assert {(row["from_deg"], row["to_deg"]) for row in (seen, *seen["by_hour"])} == {(None, None)}
    sheet = changing({**planned, "revision": "0A1B2C"})
    told = sheet["picture"][-1]
    assert told["name"] == "keep clear" and told["text"].startswith("the lens sees all round")
    assert sheet["keep_out"] == "all round: keep low"


@pytest.mark.parametrize(
    ("tilt", "focal_mm", "incline"),
    [(130.0, 24.0, 0.0), (112.0, 50.0, 0.0), (100.0, 800.0, 0.0), (-100.0, 200.0, 0.0), (80.0, 50.0, 45.0)],
)
def test_tilted_past_the_zenith_the_sector_lies_behind(
    demo_brief: dict[str, Any], sky: Sky, tilt: float, focal_mm: float, incline: float
) -> None:
    """By SciPy's rotations of all rays, a 200th of the frame apart; without turning it would be all round."""
    brief = demo_brief | {"frame_mm": [36.0, 24.0], "hold": [0, 0], "ease": [0, 0], "foreground_m": None}
    brief |= {"head_base": "follows rail", "exposure": None, "zero_bearing_deg": 40.0, "reverse": False}
    brief["rail"] |= {"bearing_deg": 40.0, "incline_deg": incline, "payload_kg": 2.0}
    brief["camera"] |= {"focal_mm": focal_mm, "projection": "rectilinear"}
    brief["rig"]["axes"]["tilt"] |= {"min": -180.0, "max": 180.0}
    for keyframe, pan in zip(brief["keyframes"], (-10.0, 0.0, 10.0), strict=True):
        keyframe |= {"aim": None, "axes": {"slide": 0.0, "pan": pan, "tilt": tilt}}
    sector = plan(brief, sky, {})["picture"]["keep_out"]
    right, up = np.meshgrid(np.linspace(-18, 18, 201), np.linspace(-12, 12, 201))
    rays = np.stack([right, np.full_like(right, focal_mm), up], axis=-1).reshape(-1, 3)
    lean = Rotation.from_euler("z", -40, degrees=True) * Rotation.from_euler("x", incline, degrees=True)
    seen = [
        (lean * Rotation.from_euler("xz", [tilt, -pan], degrees=True)).apply(rays)[:, :2]
        for pan in np.linspace(-10, 10, 21)
    ]
    azimuths = np.degrees(np.arctan2(*np.concatenate(seen).T))
    aside = (azimuths - 220 + 180) % 360 - 180
    assert sector["from_deg"] == pytest.approx((220 + aside.min()) % 360, abs=0.1)
    assert sector["to_deg"] == pytest.approx((220 + aside.max()) % 360, abs=0.1)


def test_the_sector_of_an_hour_is_what_the_lens_passes_over_in_it(
    demo_brief: dict[str, Any], sky: Sky
) -> None:
    """An even pan of a level lens: from where it looks as the clock strikes to where it then does."""
    brief = demo_brief | {"ease": [0, 0], "hold": [0, 0], "frame_mm": [36.0, 24.0]}
    brief["rig"]["joins"] = "straight"
    for keyframe, pan in zip(brief["keyframes"], (-60.0, 0.0, 60.0), strict=True):
        keyframe |= {"aim": None, "axes": {"slide": 0.0, "pan": pan, "tilt": 0.0}}
    brief["keyframes"][1]["at"] = {"fraction": 0.5}
    planned = plan(brief, sky, {})
    start_ms, interval_ms = planned["window"]["start"]["utc_ms"], planned["timing"]["interval_ms"]
    last_ms = start_ms + (planned["timing"]["frames"] - 1) * interval_ms
    rows = planned["picture"]["keep_out"]["by_hour"]
    struck = [row["until"] for row in rows[:-1]]
    assert struck == [row["from"] for row in rows[1:]]
    assert {one["local"][14:19] for one in struck} == {"00:00"} and len(rows) == 5

    def looks(ms: int) -> float:
        share: float = (min(ms, last_ms) - start_ms) / (last_ms - start_ms)
        return float(brief["zero_bearing_deg"]) - 60 + 120 * share

    half, frame_deg = 104.25 / 2, 120 / 240
    for row in rows:
        from_deg, to_deg = looks(row["from"]["utc_ms"]) - half, looks(row["until"]["utc_ms"]) + half
        assert row["from_deg"] == pytest.approx(from_deg % 360, abs=frame_deg)
        assert row["to_deg"] == pytest.approx(to_deg % 360, abs=frame_deg)
    lines = changing({**planned, "revision": "0A1B2C"})["picture"][-5:]
    assert lines[0]["name"] == "seen 19:36–20:00"
    assert lines[0]["text"].startswith(f"{rows[0]['from_deg']:03.0f}° (")


def test_the_sector_of_a_move_is_the_union_of_what_its_keyframes_see(demo_plan: dict[str, Any]) -> None:
    """By plain vectors; the demo pans one way, so that its ends are those of K1 and K3."""
    seen = demo_plan["picture"]["keep_out"]
    brief, lens = demo_plan["brief"], lens_of(demo_plan["brief"])
    edges = []
    for keyframe in demo_plan["keyframes"]:
        axis = axis_of(brief, keyframe["axes"])
        assert axis is not None
        tilt = radians(axis[1])
        for x, y in BORDER:
            right, up = x * lens.half_width, y * lens.half_height
            level = cos(tilt) - up * sin(tilt)
            edges.append(axis[0] + degrees(np.arctan2(right, level)))
    assert seen["from_deg"] == pytest.approx(min(edges) % 360, abs=0.05)
    assert seen["to_deg"] == pytest.approx(max(edges) % 360, abs=0.05)


@pytest.mark.parametrize(("metres", "shift_deg"), [(1.0, 50.2), (3.0, 21.8), (10.0, 6.8), (40.0, 1.72)])
def test_1_2_m_of_slide_move_what_is_near(
    demo_brief: dict[str, Any], sky: Sky, metres: float, shift_deg: float
) -> None:
    """50, 22, 7 and 1.7 degrees (trade, T7), the rail across the view."""
    brief = demo_brief
    brief["foreground_m"] = metres
    brief["rig"]["axes"]["slide"]["max"] = 1200.0
    brief["rail"]["bearing_deg"] = 315.0
    for keyframe, slide in zip(brief["keyframes"], (0.0, 600.0, 1200.0), strict=True):
        keyframe |= {"aim": None, "axes": {"slide": slide, "pan": 0.0, "tilt": 10.0}}
    planned = plan(brief, sky, {})
    near = planned["picture"]["foreground"]
    assert near["shift_deg"] == pytest.approx(shift_deg, abs=0.05)
    assert near["widths"] == pytest.approx(shift_deg / lens_of(brief).view_deg()[0], rel=0.01)
    lines = {row["name"]: row["text"] for row in changing({**planned, "revision": "0A1B2C"})["picture"]}
    assert ("the slide will not show" in lines[f"foreground at {metres:.0f} m"]) == (metres > 10)


@pytest.mark.parametrize(("focal_mm", "px", "told"), [(14.0, 4.07, False), (50.0, 14.54, True)])
def test_a_tenth_of_a_degree_of_sag_is_told_in_pixels_and_minded_of_a_long_lens(
    demo_brief: dict[str, Any], sky: Sky, focal_mm: float, px: float, told: bool
) -> None:
    """4 px at 14 mm, 15 px at 50 mm of a sensor 6000 px wide (trade, T7)."""
    brief = demo_brief | {"frame_mm": [36.0, 24.0]}
    brief["camera"] |= {"focal_mm": focal_mm, "pixels": [6000, 4000]}
    planned = plan(brief, sky, {})
    assert planned["picture"]["sag"]["px"] == pytest.approx(px, abs=0.01)
    assert ("warning.sags" in [one["id"] for one in planned["warnings"]]) == told
    lines = {row["name"]: row["text"] for row in changing({**planned, "revision": "0A1B2C"})["picture"]}
    assert lines["0.1° of sag or twist"].endswith(f" {px:.0f} px")
