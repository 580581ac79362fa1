"""What breaks, when and by how much: message ids with arguments, worst first.  Twin: app/core/cautions.js."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import floor
from typing import Any

from ..sky.observe import apparent_altitude_deg, horizontal
from .aim import half_tangents, place_in_frame
from .anchors import Night
from .civil import span_at
from .keyframes import Setting
from .move import Path
from .timing import Timing

SUN_SAMPLES = 48
LONG_SHOT_MS = 12 * 3_600_000
# Zones follow borders, not the sun; the widest gap in real use is a little over 3 h (from memory).
ZONE_GAP_H = 3.5
# A disc whose centre is this far down is out of sight; nearer, its rise or set is what the shot is about.
DISC_DEG = {"sun": 0.5, "moon": 0.5, "galactic core": 0.0}

Warning_ = dict[str, Any]


@dataclass(frozen=True)
class Planned:
    """What the warnings look at."""

    brief: dict[str, Any]
    night: Night
    timing: Timing
    settings: list[Setting]
    path: Path
    steps: dict[str, dict[str, float]]
    budget: dict[str, Any]


def warnings(planned: Planned) -> list[Warning_]:
    """Every limit that this plan breaks ("no-go") or that should be minded ("mind")."""
    checks = (
        _axis_limits,
        _short_interval,
        _too_fast,
        _below_horizon,
        _sun_in_frame,
        _no_sighting,
        _long_shot,
        _zone_far,
        _doubled_clocks,
    )
    found = [warning for check in checks for warning in check(planned)]
    return sorted(found, key=lambda warning: warning["level"] != "no-go")


def _warning(level: str, id: str, args: dict[str, Any]) -> Warning_:
    return {"level": level, "id": "warning." + id, "args": args}


def _targets_down(planned: Planned) -> list[bool]:
    """For each keyframe whether it aims at a target below the level horizon."""
    pairs = zip(planned.brief["keyframes"], planned.settings, strict=True)
    return [_is_down(keyframe["aim"], setting.altitude_deg) for keyframe, setting in pairs]


def _is_down(aim: dict[str, Any] | None, altitude_deg: float | None) -> bool:
    if aim is None or "target" not in aim or altitude_deg is None:
        return False
    return altitude_deg < -DISC_DEG[aim["target"]]


def _axis_limits(planned: Planned) -> Iterator[Warning_]:
    """Axis values out of reach; not the pan and tilt to a target that is down: that is said on its own."""
    for index, (setting, is_down) in enumerate(zip(planned.settings, _targets_down(planned), strict=True)):
        for name, axis in planned.brief["rig"]["axes"].items():
            within = axis["min"] - 1e-9 <= setting.axes[name] <= axis["max"] + 1e-9
            if within or (is_down and name in ("pan", "tilt")):
                continue
            args = {"number": index + 1, "axis": name, "unit": "after." + axis["unit"]}
            limits = {"value": setting.axes[name], "min": axis["min"], "max": axis["max"]}
            yield _warning("no-go", "axis-limit", {**args, **limits})


def _short_interval(planned: Planned) -> Iterator[Warning_]:
    budget = planned.budget
    if budget["slack_ms"] < 0:
        id = "interval-short-moving" if budget["dwell_ms"] is None else "interval-short"
        if budget["shortest_interval_ms"] is None:
            id = "move-too-long"
        args = {"interval": planned.timing.interval_ms, "short": -budget["slack_ms"]}
        yield _warning("no-go", id, {**args, **budget})


def _too_fast(planned: Planned) -> Iterator[Warning_]:
    """A rig that moves all the time has the whole interval for each step."""
    if planned.brief["rig"]["motion"] != "continuous":
        return
    for name, step in planned.steps.items():
        axis = planned.brief["rig"]["axes"][name]
        needed = abs(step["step"]) * 1000 / planned.timing.interval_ms
        if needed > axis["speed_max"]:
            args = {"axis": name, "frame": step["frame"], "unit": "after." + axis["unit"]}
            yield _warning("no-go", "too-fast", {**args, "needed": needed, "given": axis["speed_max"]})


def _below_horizon(planned: Planned) -> Iterator[Warning_]:
    for index, (setting, is_down) in enumerate(zip(planned.settings, _targets_down(planned), strict=True)):
        if is_down and setting.altitude_deg is not None:
            args = {
                "number": index + 1,
                "target": "body." + planned.brief["keyframes"][index]["aim"]["target"],
                "clock": planned.timing.ms_of(setting.frame),
                "below": -setting.altitude_deg,
            }
            yield _warning("no-go", "below-horizon", args)


def _sun_in_frame(planned: Planned) -> Iterator[Warning_]:
    """The sun in the delivered frame of a shot that is not aimed at it: the first of SUN_SAMPLES moments."""
    brief, timing = planned.brief, planned.timing
    aims = [keyframe["aim"] or {} for keyframe in brief["keyframes"]]
    if not {"pan", "tilt"} <= brief["rig"]["axes"].keys() or any(aim.get("target") == "sun" for aim in aims):
        return
    tangents = half_tangents(brief)
    for sample in range(SUN_SAMPLES + 1):
        frame = 1 + (timing.frames - 1) * sample / SUN_SAMPLES
        instant_ms = timing.ms_of(frame)
        geometric, azimuth, _ = horizontal(planned.night.sky, planned.night.site, "sun", instant_ms / 1000)
        altitude = float(apparent_altitude_deg(float(geometric)))
        axes = planned.path.at(frame)
        axis_deg = brief["zero_bearing_deg"] + axes["pan"]
        place = place_in_frame(float(azimuth), altitude, axis_deg, axes["tilt"], tangents)
        if altitude > 0 and place is not None and max(abs(place[0]), abs(place[1])) <= 1:
            args = {"frame": floor(frame), "clock": instant_ms, "altitude": altitude}
            yield _warning("mind", "sun-in-frame", args)
            return


def _no_sighting(planned: Planned) -> Iterator[Warning_]:
    """Keyframes are set long before their target stands there."""
    for index, keyframe in enumerate(planned.brief["keyframes"]):
        if keyframe["aim"] and "target" in keyframe["aim"] and not keyframe["sighting"]:
            args = {"number": index + 1, "target": "body." + keyframe["aim"]["target"]}
            yield _warning("mind", "no-sighting", args)


def _long_shot(planned: Planned) -> Iterator[Warning_]:
    timing = planned.timing
    if timing.end_ms - timing.start_ms > LONG_SHOT_MS:
        args = {
            "duration": timing.end_ms - timing.start_ms,
            "start": timing.start_ms,
            "end": timing.end_ms,
        }
        yield _warning("mind", "long-shot", args)


def _zone_far(planned: Planned) -> Iterator[Warning_]:
    """The zone's offset against the sun's own time at this longitude, 15 degrees an hour."""
    longitude = planned.brief["place"]["longitude_deg"]
    zone_h = span_at(planned.night.spans, planned.timing.start_ms / 1000)[1] / 3600
    gap = zone_h - longitude / 15
    gap -= 24 * floor((gap + 12) / 24)
    if abs(gap) > ZONE_GAP_H:
        args = {"hours": abs(gap), "zone_offset": zone_h, "longitude": longitude}
        yield _warning("mind", "zone-far", {**args, "sun_offset": longitude / 15})


def _doubled_clocks(planned: Planned) -> Iterator[Warning_]:
    clocks = {"start": planned.timing.start_ms, "end": planned.timing.end_ms}
    for key in planned.timing.doubled:
        yield _warning("mind", "clock-doubled", {"which": "edge." + key, "clock": clocks[key]})
