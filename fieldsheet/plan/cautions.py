"""What breaks, when and by how much: message ids with arguments, worst first.  Twin: app/core/cautions.js."""

from __future__ import annotations

from typing import Any

from .keyframes import Setting
from .timing import Timing

Warning_ = dict[str, Any]


def warnings(
    brief: dict[str, Any], timing: Timing, settings: list[Setting], budget: dict[str, int]
) -> list[Warning_]:
    """Every limit that this plan breaks ("stop") or should be minded ("mind")."""
    found = [
        *_axis_limits(brief, settings),
        *_short_interval(timing, budget),
        *_below_horizon(brief, timing, settings),
        *_doubled_clocks(timing),
    ]
    return sorted(found, key=lambda warning: warning["level"] != "stop")


def _warning(level: str, id: str, args: dict[str, Any]) -> Warning_:
    return {"level": level, "id": "warning." + id, "args": args}


def _axis_limits(brief: dict[str, Any], settings: list[Setting]) -> list[Warning_]:
    return [
        _warning(
            "stop",
            "axis-limit",
            {
                "number": index + 1,
                "axis": name,
                "unit": "unit." + axis["unit"],
                "value": setting.axes[name],
                "min": axis["min"],
                "max": axis["max"],
            },
        )
        for index, setting in enumerate(settings)
        for name, axis in brief["rig"]["axes"].items()
        if not axis["min"] - 1e-9 <= setting.axes[name] <= axis["max"] + 1e-9
    ]


def _short_interval(timing: Timing, budget: dict[str, int]) -> list[Warning_]:
    if budget["slack_ms"] >= 0:
        return []
    args = {"interval": timing.interval_ms, "short": -budget["slack_ms"], **budget}
    return [_warning("stop", "interval-short", args)]


def _below_horizon(brief: dict[str, Any], timing: Timing, settings: list[Setting]) -> list[Warning_]:
    return [
        _warning(
            "stop",
            "below-horizon",
            {
                "number": index + 1,
                "target": "body." + keyframe["aim"]["target"],
                "clock": timing.ms_of(setting.frame),
                "below": -setting.altitude_deg,
            },
        )
        for index, (keyframe, setting) in enumerate(zip(brief["keyframes"], settings, strict=True))
        if keyframe["aim"] and "target" in keyframe["aim"]
        if setting.altitude_deg is not None and setting.altitude_deg < 0
    ]


def _doubled_clocks(timing: Timing) -> list[Warning_]:
    clocks = {"start": timing.start_ms, "end": timing.end_ms}
    return [
        _warning("mind", "clock-doubled", {"which": "edge." + key, "clock": clocks[key]})
        for key in timing.doubled
    ]
