"""What breaks in rig, timing and picture: message ids, arguments.  Twin: app/core/cautions.js."""

from __future__ import annotations

from collections.abc import Iterator
from math import floor
from typing import Any

from . import outdoors
from .aim import axis_of, lens_of, place_in_frame
from .civil import span_at
from .planned import Caution, Planned, caution
from .seen import seen_deg

SUN_SAMPLES = 48
LONG_SHOT_MS = 12 * 3_600_000
# Zones follow borders, not the sun; the widest gap in real use is a little over 3 h (from memory).
ZONE_GAP_H = 3.5
# A disc whose centre is this far down is out of sight; nearer, its rise or set is what the shot is about.
DISC_DEG = {"sun": 0.5, "moon": 0.5}


def warnings(planned: Planned) -> list[Caution]:
    """Every limit that this plan breaks ("no-go") or that should be minded ("mind")."""
    checks = (
        _axis_limits,
        _short_interval,
        _too_fast,
        _load,
        _below_horizon,
        _sun_in_frame,
        _no_sighting,
        *outdoors.CHECKS,
        _swap_outside,
        _long_shot,
        _zone_far,
        _doubled_clocks,
    )
    found = [warning for check in checks for warning in check(planned)]
    return sorted(found, key=lambda warning: warning["level"] != "no-go")


def _targets_down(planned: Planned) -> list[bool]:
    """For each keyframe whether it aims at a target below the level horizon."""
    pairs = zip(planned.brief["keyframes"], planned.settings, strict=True)
    return [_is_down(keyframe["aim"], setting.altitude_deg) for keyframe, setting in pairs]


def _is_down(aim: dict[str, Any] | None, altitude_deg: float | None) -> bool:
    if aim is None or "target" not in aim or altitude_deg is None:
        return False
    return altitude_deg < -DISC_DEG.get(aim["target"], 0.0)


def _axis_limits(planned: Planned) -> Iterator[Caution]:
    """Axis values out of reach; not the pan and tilt to a target that is down: that is said on its own."""
    for index, (setting, is_down) in enumerate(zip(planned.settings, _targets_down(planned), strict=True)):
        for name, axis in planned.brief["rig"]["axes"].items():
            within = axis["min"] - 1e-9 <= setting.axes[name] <= axis["max"] + 1e-9
            if within or (is_down and name in ("pan", "tilt")):
                continue
            args = {"number": index + 1, "axis": name, "unit": "after." + axis["unit"]}
            limits = {"value": setting.axes[name], "min": axis["min"], "max": axis["max"]}
            yield caution("no-go", "axis-limit", {**args, **limits})


def _short_interval(planned: Planned) -> Iterator[Caution]:
    budget = planned.budget
    if budget["slack_ms"] < 0:
        id = "interval-short-moving" if budget["dwell_ms"] is None else "interval-short"
        if budget["shortest_interval_ms"] is None:
            id = "move-too-long"
        args = {"interval": planned.timing.interval_ms, "short": -budget["slack_ms"]}
        yield caution("no-go", id, {**args, **budget})


def _too_fast(planned: Planned) -> Iterator[Caution]:
    """A rig that moves all the time has the whole interval for each step."""
    if planned.brief["rig"]["motion"] != "continuous":
        return
    for name, step in planned.steps.items():
        axis = planned.brief["rig"]["axes"][name]
        needed = abs(step["step"]) * 1000 / planned.timing.interval_ms
        if needed > axis["speed_max"]:
            args = {"axis": name, "frame": step["frame"], "unit": "after." + axis["unit"]}
            yield caution("no-go", "too-fast", {**args, "needed": needed, "given": axis["speed_max"]})


def _below_horizon(planned: Planned) -> Iterator[Caution]:
    for index, (setting, is_down) in enumerate(zip(planned.settings, _targets_down(planned), strict=True)):
        if is_down and setting.altitude_deg is not None:
            args = {
                "number": index + 1,
                "target": planned.brief["keyframes"][index]["aim"]["target"],
                "clock": planned.timing.ms_of(setting.frame),
                "below": -setting.altitude_deg,
            }
            yield caution("no-go", "below-horizon", args)


def _sun_in_frame(planned: Planned) -> Iterator[Caution]:
    """The sun in the delivered frame of a shot that is not aimed at it: the first of SUN_SAMPLES moments."""
    brief, timing = planned.brief, planned.timing
    if any((keyframe["aim"] or {}).get("target") == "sun" for keyframe in brief["keyframes"]):
        return
    lens = lens_of(brief)
    for sample in range(SUN_SAMPLES + 1):
        frame = 1 + (timing.frames - 1) * sample / SUN_SAMPLES
        instant_ms = timing.ms_of(frame)
        looks = axis_of(brief, planned.path.at(frame))
        if looks is None:
            return
        azimuth, altitude = seen_deg(planned.night, "sun", instant_ms / 1000)
        place = place_in_frame(azimuth, altitude, *looks, lens)
        if altitude > 0 and place is not None and max(abs(place[0]), abs(place[1])) <= 1:
            args = {"frame": floor(frame), "clock": instant_ms, "altitude": altitude}
            yield caution("mind", "sun-in-frame", args)
            return


def _no_sighting(planned: Planned) -> Iterator[Caution]:
    """Keyframes are set long before their target stands there; landmarks of the place give a sighting too."""
    if planned.brief["place"]["landmarks"]:
        return
    for index, keyframe in enumerate(planned.brief["keyframes"]):
        if keyframe["aim"] and "target" in keyframe["aim"] and not keyframe["sighting"]:
            yield caution("mind", "no-sighting", {"number": index + 1, "target": keyframe["aim"]["target"]})


def _load(planned: Planned) -> Iterator[Caution]:
    """A rail's rating falls with its angle; between measured angles it is taken as straight."""
    rail, rating = planned.brief["rail"], planned.brief["rig"]["load_kg"]
    if rail is None or rail["payload_kg"] is None or rating is None:
        return
    incline = abs(rail["incline_deg"])
    allowed = _between(rating, incline)
    if rail["payload_kg"] > allowed:
        yield caution(
            "no-go", "load", {"payload": rail["payload_kg"], "allowed": allowed, "incline": incline}
        )


def _between(pairs: list[list[float]], x: float) -> float:
    """The value at x on the straight lines through ascending pairs; at their ends the end's value."""
    for (x0, y0), (x1, y1) in zip(pairs, pairs[1:], strict=False):
        if x <= x1:
            return y0 + (y1 - y0) * max(x - x0, 0.0) / (x1 - x0)
    return pairs[-1][1]


def _swap_outside(planned: Planned) -> Iterator[Caution]:
    if planned.brief["swap"] is not None and planned.swap is None:
        yield caution("mind", "swap-outside", {"frames": planned.timing.frames})


def _long_shot(planned: Planned) -> Iterator[Caution]:
    timing = planned.timing
    if timing.end_ms - timing.start_ms > LONG_SHOT_MS:
        args = {
            "duration": timing.end_ms - timing.start_ms,
            "start": timing.start_ms,
            "end": timing.end_ms,
        }
        yield caution("mind", "long-shot", args)


def _zone_far(planned: Planned) -> Iterator[Caution]:
    """The zone's offset against the sun's own time at this longitude, 15 degrees an hour."""
    longitude = planned.brief["place"]["longitude_deg"]
    zone_h = span_at(planned.night.spans, planned.timing.start_ms / 1000)[1] / 3600
    gap = zone_h - longitude / 15
    gap -= 24 * floor((gap + 12) / 24)
    if abs(gap) > ZONE_GAP_H:
        args = {"hours": abs(gap), "zone_offset": zone_h, "longitude": longitude}
        yield caution("mind", "zone-far", {**args, "sun_offset": longitude / 15})


def _doubled_clocks(planned: Planned) -> Iterator[Caution]:
    clocks = {"start": planned.timing.start_ms, "end": planned.timing.end_ms}
    for key in planned.timing.doubled:
        yield caution("mind", "clock-doubled", {"which": "edge." + key, "clock": clocks[key]})
