"""Cases for the twins that chance seldom finds: one function a case, which alters a copy of the demo's brief.

What random briefs reach less than once in some twenty stands here: a new warning, problem or need is one more
function with `@_case`. It returns the changes that the brief is planned with, or None for none.
"""

from __future__ import annotations

import copy
from collections.abc import Callable
from typing import Any

Brief = dict[str, Any]
Alter = Callable[[Brief], dict[str, Any] | None]

_CASES: list[Alter] = []
_WALL = [[0.0, 60.0], [90.0, 60.0], [180.0, 60.0], [270.0, 60.0]]
_LAST = {"fraction": 1.0}


def seldom_cases(brief: Brief) -> list[dict[str, Any]]:
    """Every case, from the brief of the demo's dusk-to-core shot."""
    cases = []
    for alter in _CASES:
        own = copy.deepcopy({**brief, "revision": "0A1B2C"})
        changes = alter(own) or {}
        cases.append({"brief": own, "changes": changes})
    return cases


def _case(alter: Alter) -> Alter:
    _CASES.append(alter)
    return alter


@_case
def rig_in_its_own_picture_with_the_sun_behind(brief: Brief) -> None:
    brief |= {"zero_bearing_deg": 110.0, "exposure": None, "base_roll_deg": 0.5}
    brief["rig"] |= {"lens_over_rail_mm": 300.0}
    brief["rig"]["legs"] = [{"at_mm": -250.0, "height_mm": 500.0, "spread_mm": 100.0}]
    for keyframe in brief["keyframes"]:
        keyframe |= {"aim": None, "axes": {**keyframe["axes"], "pan": 0.0, "tilt": -5.0}}


@_case
def swap_that_the_first_pack_only_just_lasts_to(brief: Brief) -> None:
    """For pan goes the long way."""
    brief["keyframes"][1] |= {"aim": None, "axes": {"slide": 530.0, "pan": -165.0, "tilt": 4.0}}
    edges = {"from": "sunset", "until": "nautical dusk"}
    brief["swap"] = {key: {"event": event, "offset_s": 0} for key, event in edges.items()}


@_case
def packs_changed_more_than_once(brief: Brief) -> None:
    _small_packs(brief, None)


@_case
def packs_changed_more_than_once_about_a_swap(brief: Brief) -> None:
    _small_packs(brief, {"from": {"frame": 20}, "until": {"frame": 90}})


@_case
def pack_that_the_set_up_empties(brief: Brief) -> None:
    _packs_of(brief, 15.0, 88.0)
    brief["swap"] = None


@_case
def core_and_moon_behind_a_wall_all_round(brief: Brief) -> dict[str, Any]:
    core = {"kind": "altitude", "target": "galactic core", "at": _LAST, "altitude_deg": [5.0, 90.0]}
    brief["needs"] = [core, {"kind": "moon-up", "target": "moon", "at": _LAST}]
    brief["place"]["horizon"] = _WALL
    return {"night": "2027-06-18"}


@_case
def targets_that_do_not_show_then(brief: Brief) -> None:
    """Vega and the north pole by day; the south pole at no time of the night."""
    brief |= {"end": {"event": "civil dusk", "offset_s": -120}, "interval_ms": 20_000}
    brief["place"]["horizon"] = _WALL
    targets = zip(brief["keyframes"], ("vega", "south pole", "north pole"), strict=True)
    for keyframe, target in targets:
        keyframe["aim"] = {"target": target, "x": 0.0, "y": 0.0}


@_case
def swap_that_comes_after_the_shot(brief: Brief) -> None:
    brief |= {"start": {"clock_s": 17 * 3600}, "end": {"clock_s": 3600}}
    brief["swap"] = {"from": {"clock_s": 5 * 3600}, "until": {"clock_s": 6 * 3600}}


@_case
def moon_behind_a_wall_lights_the_sky(brief: Brief) -> dict[str, Any]:
    brief["needs"] = [{"kind": "moon-down", "target": "moon", "at": _LAST}]
    brief["place"]["horizon"] = _WALL
    return {"night": "2027-06-18"}


@_case
def core_aimed_at_under_a_moon(brief: Brief) -> dict[str, Any]:
    return {"night": "2027-06-18"}


@_case
def second_pack_taken_too_early(brief: Brief) -> None:
    _packs_of(brief, 88.0, 25.0)
    brief["swap"] = {"from": {"frame": 3}, "until": {"fraction": 0.6}}


@_case
def second_pack_that_does_not_last(brief: Brief) -> None:
    _packs_of(brief, 88.0, 12.0)
    brief["swap"] = {"from": {"fraction": 0.3}, "until": {"fraction": 0.5}}


@_case
def light_that_falls_faster_than_frames_follow(brief: Brief) -> None:
    brief |= {"start": {"event": "sunset", "offset_s": 0}, "interval_ms": 240_000, "frames": 40}
    brief |= {"end": None, "duration_ms": None, "ease": [0, 0]}


@_case
def keyframe_in_a_hold(brief: Brief) -> None:
    brief |= {"hold": [5, 10]}
    brief["keyframes"][1]["at"] = {"frame": 3}


@_case
def keyframes_at_one_frame(brief: Brief) -> None:
    brief["keyframes"][1]["at"] = {"fraction": 0.9999}


@_case
def holds_and_eases_that_leave_no_frame(brief: Brief) -> None:
    brief |= {"hold": [900, 900], "ease": [900, 900]}


@_case
def run_of_more_than_a_day(brief: Brief) -> None:
    brief |= {"end": None, "duration_ms": None, "interval_ms": 200_000, "frames": 900}


@_case
def run_of_one_frame(brief: Brief) -> None:
    brief |= {"end": None, "duration_ms": None, "frames": 1}


@_case
def stop_after_the_end(brief: Brief) -> dict[str, Any]:
    return {"stopped": {"frame": 40_000, "rolling_ms": 1_812_227_000_000}}


@_case
def light_shifted_too_far(brief: Brief) -> dict[str, Any]:
    return {"exposure_shift_ev": 7.0}


@_case
def clock_that_skips_the_start(brief: Brief) -> None:
    _by_the_clock(brief, "2027-03-28")


@_case
def clock_that_has_the_start_twice(brief: Brief) -> None:
    _by_the_clock(brief, "2027-10-31")


@_case
def moon_that_all_but_sets(brief: Brief) -> None:
    """On 23 August 2027 at 15:00 UTC her edge turns back 0.004 degrees above this horizon."""
    brief["place"] |= {"latitude_deg": 69.65, "longitude_deg": 18.96, "elevation_m": 0.0}
    _by_the_clock(brief, "2027-08-23")


@_case
def target_that_no_tilt_puts_there(brief: Brief) -> None:
    brief["keyframes"][0] |= {"aim": {"bearing_deg": 0.0, "altitude_deg": 89.0, "x": 0.5, "y": -0.33}}


@_case
def target_that_nothing_shows(brief: Brief) -> None:
    brief["zero_sighting"] = None
    brief["place"]["landmarks"] = []
    for keyframe in brief["keyframes"]:
        keyframe["sighting"] = None


@_case
def interval_that_the_shutter_outgrows(brief: Brief) -> None:
    _moving(brief)
    brief["rig"]["interval_changes"] = False


@_case
def changes_of_interval_and_one_written_too_late(brief: Brief) -> None:
    _phases(brief)


@_case
def changes_of_interval_after_a_late_start(brief: Brief) -> dict[str, Any]:
    _phases(brief)
    return {"start_ms": 1_812_227_000_000}


@_case
def moving_while_open(brief: Brief) -> None:
    _moving(brief)


@_case
def change_of_interval_that_would_mend(brief: Brief) -> None:
    _moving(brief)
    ladder = brief["exposure"]["ladder"]
    brief["exposure"]["ladder"] = [rung for rung in ladder if int(rung[2]) <= 3200]


@_case
def swap_whose_range_ends_past_the_first_pack(brief: Brief) -> None:
    _packs_of(brief, 28.0, 88.0)
    brief["swap"] = {"from": {"frame": 100}, "until": {"frame": 740}}


def _wrong(changes: dict[str, Any]) -> None:
    """The demo's shot with changes: what nobody may ask for, and what comes after several stops."""
    _CASES.append(lambda _: changes)


_STARTS_MS = 1_812_220_560_000
_LATER_MS = _STARTS_MS + 20 * 60_000
_ROLLING_MS = _STARTS_MS + 100 * 60_000
_STOPPED = {"id": "move-kept", "frame": 300, "rolling_ms": _ROLLING_MS}
_SLOW = {"start_ms": _STARTS_MS + 4000, "ratio": 18.3 / 18}
_wrong({"interval_ms": "18 s"})
_wrong({"interval_ms": 18_100})
_wrong({"run": {"start_ms": _STARTS_MS, "ratio": 2.5}})
_wrong({"run": {"start_ms": 0, "ratio": 1.0}})
_wrong({"way": {"id": "frames"}})
_wrong({"way": {"id": "move", "frame": 9, "rolling_ms": 0, "after": {"night": "2027-06-05"}}})
_wrong({"way": {"id": "frames", "start_ms": _STARTS_MS}})
_wrong({"way": {"id": "frames", "start_ms": _LATER_MS}, "start_ms": _LATER_MS})
_wrong({"way": {"id": "sky", "frame": 9, "rolling_ms": _STARTS_MS + 300 * 60_000}})
_wrong({"way": {"id": "interval", "start_ms": _LATER_MS}, "run": {**_SLOW, "start_ms": _LATER_MS}})
_wrong({"way": {**_STOPPED, "after": {"run": _SLOW}}, "interval_ms": 20_000})
_wrong({"way": {**_STOPPED, "frame": 150, "after": {"swapped": [96]}}})
_wrong({"way": {**_STOPPED, "frame": 150, "after": {"swapped": [151]}}})
_wrong({"way": {**_STOPPED, "after": {"swapped": [40, 90, 120], "run": _SLOW}}})
_wrong({"way": {**_STOPPED, "after": {"swapped": [302]}}})
_wrong({"way": {**_STOPPED, "after": {"swapped": None}}})
_TWICE = {**_STOPPED, "after": {"way": {"id": "frames", "start_ms": _LATER_MS}}}
_wrong({"way": {"id": "sky", "frame": 40, "rolling_ms": _ROLLING_MS + 40 * 60_000, "after": {"way": _TWICE}}})


def _packs_of(brief: Brief, *rated_wh: float) -> None:
    power = brief["rig"]["power"]
    power["packs"] = [{**pack, "rated_wh": wh} for pack, wh in zip(power["packs"], rated_wh, strict=True)]


def _small_packs(brief: Brief, swap: dict[str, Any] | None) -> None:
    power = brief["rig"]["power"]
    power["packs"] = [{**power["packs"][0], "name": str(number), "rated_wh": 22.0} for number in range(4)]
    brief["swap"] = swap


def _phases(brief: Brief) -> None:
    """The last ends by one written later, outside the shot."""
    phases = [("civil dusk", 25_000), ("sunset", 21_000), ("sunrise", 30_000)]
    brief["phases"] = [
        {"from": {"event": event, "offset_s": 0}, "interval_ms": interval_ms} for event, interval_ms in phases
    ]


def _by_the_clock(brief: Brief, date: str) -> None:
    """From 01:30 of a day on which the clocks are changed."""
    brief |= {"start": {"clock_s": 5400}, "end": None, "duration_ms": None, "frames": 400}
    brief["night"] = {"rule": "day", "date": date}
    for keyframe in brief["keyframes"]:
        keyframe |= {"aim": None, "axes": dict.fromkeys(brief["rig"]["axes"], 1.0)}


def _moving(brief: Brief) -> None:
    brief["interval_ms"] = 9000
    brief["rig"] |= {"motion": "continuous", "interval_changes": True}
