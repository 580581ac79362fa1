"""Watt-hours against published figures and against what the field knows of two kinds of rig."""

from __future__ import annotations

import json
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest

from fieldsheet.catalog.defaults import COLD
from fieldsheet.plan.curve import curve_at
from fieldsheet.plan.keyframes import Setting
from fieldsheet.plan.move import path_through
from fieldsheet.plan.pace import Phase, Segment
from fieldsheet.plan.supplies import Before, camera_supply, heater_supply, rig_supply
from fieldsheet.plan.timing import Timing

PUBLISHED = json.loads((Path(__file__).parents[1] / "published" / "batteries.json").read_text("utf-8"))
NIGHT: Any = SimpleNamespace(spans=[[0, 0, "UTC"]])
FRAMES, INTERVAL_MS = 600, 18_000
RAIL_MM = 1000.0
RATIOS = [[0.0, 1.0], [45.0, 1.5], [90.0, 3.0]]
HOURS = FRAMES * INTERVAL_MS / 3_600_000
# A pack of 10 Ah at 3.7 V, of which all comes out.
PACK = {
    "name": "A",
    "rated_wh": PUBLISHED["energy"]["wh"],
    "efficiency": 1.0,
    "reserve": 0.0,
    "cold": [[-20.0, 0.5], [20.0, 1.0]],
    "cell_v": PUBLISHED["energy"]["cell_v"],
    "output_w": None,
}
# Two invented rigs that both take a third of it for a level run: one in moving, one in its electronics.
THIRD_WH = PUBLISHED["energy"]["wh"] / 3
MOVER = {"electronics_w": 0.01 * THIRD_WH / HOURS, "moving_wh": {"slide": 0.99 * THIRD_WH / RAIL_MM}}
THINKER = {"electronics_w": 0.99 * THIRD_WH / HOURS, "moving_wh": {"slide": 0.01 * THIRD_WH / RAIL_MM}}


def _brief(rig: dict[str, Any], incline_deg: float = 0.0, order: str = "last-to-first") -> dict[str, Any]:
    power = {
        **dict.fromkeys(("up", "down", "holding"), RATIOS),
        "holding_w": 0.0,
        "peak_w": None,
        "payload_kg": None,
        "can_swap": False,
        "packs": [PACK],
        **rig,
    }
    slide = {"min": 0.0, "max": RAIL_MM, "speed_max": 20.0, "acceleration_max": 20.0, "unit": "mm"}
    return {
        "rig": {"power": power, "axes": {"slide": slide}, "joins": "straight"},
        "rail": {"incline_deg": incline_deg, "payload_kg": 5.0},
        "camera": {"battery": None},
        "heater": None,
        "order": order,
        "temperature_c": 20.0,
        "setup_ms": 3_600_000,
        "hold": [0, 0],
        "ease": [0, 0],
    }


def _timing() -> Timing:
    segment = Segment(1, 0, INTERVAL_MS, 0)
    return Timing((segment,), FRAMES, 0, (), (), FRAMES * INTERVAL_MS, (Phase(INTERVAL_MS, None, 1),))


def _supply(brief: dict[str, Any], first_mm: float = 0.0, last_mm: float = RAIL_MM) -> dict[str, Any]:
    ends = ((1.0, first_mm), (float(FRAMES), last_mm))
    settings = [Setting(frame, {"slide": mm}, None, None, None, None) for frame, mm in ends]
    supply = rig_supply(brief, NIGHT, _timing(), path_through(brief, settings, FRAMES), Before())
    assert supply is not None
    return supply


def _runs(*brief: Any) -> float:
    return float(_supply(_brief(*brief))["packs"][0]["runs"])


@pytest.mark.parametrize(("incline_deg", "runs"), [(0.0, 3.0), (45.0, 2.0), (90.0, 1.0)])
def test_the_test_rig_is_set_to_what_the_field_knows(incline_deg: float, runs: float) -> None:
    """Common practice, no source: three runs level, two at 45 degrees, one upright. Put in, not predicted."""
    assert _runs(MOVER, incline_deg) == pytest.approx(runs, rel=0.02)


@pytest.mark.parametrize("rig", [MOVER, THINKER], ids=["moving", "electronics"])
@pytest.mark.parametrize("incline_deg", [0.0, 30.0, 90.0])
def test_twice_the_capacity_gives_twice_the_runs(rig: dict[str, Any], incline_deg: float) -> None:
    doubled = {**rig, "packs": [{**PACK, "rated_wh": 2 * PACK["rated_wh"]}]}
    assert _runs(doubled, incline_deg) == pytest.approx(2 * _runs(rig, incline_deg))


@pytest.mark.parametrize(
    ("rig", "level", "at_45"), [(MOVER, (3.0, 1.51), (2.0, 1.0)), (THINKER, (3.0, 2.97), (2.98, 2.94))]
)
def test_what_returning_before_each_run_costs(
    rig: dict[str, Any], level: tuple[float, float], at_45: tuple[float, float]
) -> None:
    """Predicted: two or three runs become one or two where moving takes the energy, else next to nothing."""
    for incline_deg, expected in ((0.0, level), (45.0, at_45)):
        runs = tuple(_runs(rig, incline_deg, order) for order in ("last-to-first", "first-to-last"))
        print(f"{incline_deg:.0f}°: {runs[0]:.2f} runs, returning before each {runs[1]:.2f}")
        assert runs == pytest.approx(expected, abs=0.03)


def test_up_and_down_take_their_own_ratios() -> None:
    brief = _brief({**MOVER, "down": [[0.0, 1.0], [90.0, 0.5]]}, 90.0)
    up, down = _supply(brief), _supply(brief, RAIL_MM, 0.0)
    assert up["phases"]["shooting"]["moving_wh"] == pytest.approx(3.0 * 0.99 * THIRD_WH)
    assert down["phases"]["shooting"]["moving_wh"] == pytest.approx(0.5 * 0.99 * THIRD_WH)


def test_holding_is_taken_all_the_time_and_by_its_own_ratio() -> None:
    brief = _brief({**MOVER, "holding_w": 2.0, "holding": [[0.0, 1.0], [90.0, 1.4]]}, 90.0)
    assert _supply(brief)["phases"]["shooting"]["holding_wh"] == pytest.approx(2.0 * 1.4 * HOURS)


def test_set_up_drives_the_full_way_and_back_and_through_the_keyframes() -> None:
    setup = _supply(_brief(MOVER))["phases"]["setup"]
    assert setup["moving_wh"] == pytest.approx(3 * 0.99 * THIRD_WH)
    # The rig is first driven when six tenths of the hour are left.
    assert setup["electronics_wh"] == pytest.approx(0.6 * MOVER["electronics_w"])


def test_lifting_alone_is_what_mechanics_says_and_next_to_nothing() -> None:
    lifting = PUBLISHED["lifting"]
    supply = _supply(_brief(MOVER, 90.0), 0.0, lifting["m"] * 1000.0)
    print(f"5 kg up 1 m: {supply['lift_wh']:.5f} Wh of {supply['total_wh']:.1f} Wh")
    assert supply["lift_wh"] == pytest.approx(lifting["wh"], abs=5e-6)
    assert supply["lift_wh"] < 0.001 * supply["total_wh"]


def test_nothing_is_lifted_on_the_level_or_on_the_way_down() -> None:
    assert _supply(_brief(MOVER))["lift_wh"] is None
    assert _supply(_brief(MOVER, 90.0), RAIL_MM, 0.0)["lift_wh"] == 0.0


def test_the_default_cold_curve_goes_by_the_published_points() -> None:
    curve = [[float(degrees), float(left)] for degrees, left in COLD]
    worst = max(abs(curve_at(curve, degrees) - left) for degrees, left in PUBLISHED["cold"])
    print(f"cold curve: {worst:.3f} off the published points")
    assert worst < 0.05


@pytest.mark.parametrize(
    ("mah", "cabin"),
    [
        (PUBLISHED["cabin_mah_at_3v7"]["free_most"], "cabin.free"),
        (PUBLISHED["cabin_mah_at_3v7"]["free_most"] + 1, "cabin.asked"),
        (PUBLISHED["cabin_mah_at_3v7"]["asked_most"], "cabin.asked"),
        (PUBLISHED["cabin_mah_at_3v7"]["asked_most"] + 1, "cabin.never"),
    ],
)
def test_what_flies_in_the_cabin(mah: int, cabin: str) -> None:
    pack = {**PACK, "rated_wh": mah * 3.7 / 1000}
    assert _supply(_brief({**MOVER, "packs": [pack]}))["packs"][0]["cabin"] == cabin


def test_a_pack_gives_what_conversion_cold_and_reserve_leave() -> None:
    pack = {**PACK, "efficiency": 0.8, "reserve": 0.25, "cold": [[-20.0, 0.5], [20.0, 1.0]]}
    brief = {**_brief({**MOVER, "packs": [pack]}), "temperature_c": -20.0}
    assert _supply(brief)["packs"][0]["usable_wh"] == pytest.approx(37.0 * 0.8 * 0.5 * 0.75)


def test_the_reserve_is_reached_in_the_frame_that_takes_it() -> None:
    """Half a Wh a frame, and ten in the pack: the 20th takes the last of them, the 21st is too much."""
    even = {"electronics_w": 0.5 * 3_600_000 / INTERVAL_MS, "moving_wh": {"slide": 0.0}}
    brief = {**_brief({**even, "packs": [{**PACK, "rated_wh": 10.0}]}), "setup_ms": 0}
    reserve = _supply(brief)["reserve"]
    assert reserve["frame"] == 21
    assert reserve["time"]["utc_ms"] == 20 * INTERVAL_MS
    assert _supply(brief)["enough_mah"] == 81_100


def test_camera_and_heater_take_theirs_evenly() -> None:
    own = {"pack": {**PACK, "name": None}}
    brief = {
        **_brief(MOVER),
        "camera": {"battery": {"frame_wh": 0.01, "idle_w": 2.0, **own}},
        "heater": {"heater_w": 20.0, **own},
    }
    camera, heater = (
        camera_supply(brief, NIGHT, _timing(), Before()),
        heater_supply(brief, NIGHT, _timing(), Before()),
    )
    assert camera is not None and heater is not None
    assert camera["total_wh"] == pytest.approx(FRAMES * 0.01 + 2.0 * HOURS)
    assert camera["reserve"] is None
    assert heater["total_wh"] == pytest.approx(20.0 * HOURS)
    assert heater["reserve"]["frame"] == int(37.0 / (20.0 * HOURS) * FRAMES) + 1


def test_every_frame_takes_by_its_own_interval() -> None:
    """Half at 18 s, half at 36: at 10 W 15 Wh, then 30; the camera's 0.01 Wh a frame go evenly."""
    half = FRAMES // 2
    first = Segment(1, 0, INTERVAL_MS, 0)
    second = Segment(half + 1, half * INTERVAL_MS, 2 * INTERVAL_MS, 1)
    phases = (Phase(INTERVAL_MS, None, 1), Phase(2 * INTERVAL_MS, None, half + 1))
    timing = Timing((first, second), FRAMES, 0, (), (), 3 * half * INTERVAL_MS, phases)
    brief = _brief({"electronics_w": 10.0, "moving_wh": {"slide": 0.0}})
    brief |= {"setup_ms": 0, "camera": {"battery": {"frame_wh": 0.01, "idle_w": 2.0, "pack": PACK}}}
    settings = [Setting(frame, {"slide": 0.0}, None, None, None, None) for frame in (1.0, float(FRAMES))]
    rig = rig_supply(brief, NIGHT, timing, path_through(brief, settings, FRAMES), Before())
    camera = camera_supply(brief, NIGHT, timing, Before())
    assert rig is not None and camera is not None
    assert [rig["used_wh"][n] for n in (0, half, FRAMES)] == pytest.approx([0.0, 15.0, 45.0])
    assert [camera["used_wh"][n] for n in (0, half, FRAMES)] == pytest.approx([0.0, 6.0, 15.0])
    # 37 Wh: 15 in the first half, 22 in 220 of the slower frames.
    assert rig["reserve"]["frame"] == half + 221
    assert rig["reserve"]["time"]["utc_ms"] == (half + 2 * 220) * INTERVAL_MS


def test_a_rig_that_says_nothing_of_watts_has_no_supply() -> None:
    brief = _brief(MOVER)
    brief["rig"]["power"] = None
    assert rig_supply(brief, NIGHT, _timing(), path_through(brief, [], FRAMES), Before()) is None
