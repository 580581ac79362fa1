"""plan(brief, sky, changes): one shot on one night, whole.  Twin: app/core/plan.js.

Pure: the brief holds every number of the shot, the sky every position; nothing else is asked.
"""

from __future__ import annotations

from math import floor
from typing import Any

from ..sky.events import EVENTS, find_events
from ..sky.observe import horizontal
from ..sky.sky import Sky
from . import civil
from .anchors import Night, night_of
from .budget import interval_budget, mended_interval_ms
from .cautions import Planned, warnings
from .keyframes import Setting, settings
from .light import tone
from .move import largest_steps, path_through, slowest_s
from .timing import Timing, anchor_events, keyframe_frames, solve

FORMAT, VERSION = "fieldsheet plan", 1
TONES = 48


def plan(brief: dict[str, Any], sky: Sky, changes: dict[str, Any]) -> dict[str, Any]:
    """The whole plan of a shot, JSON-able.

    changes may hold `night` (date YYYY-MM-DD) and `start_ms` (first frame, ms UTC).  Raises PlanProblem
    where this night gives no plan.  Units are in the names; instants are {utc_ms, local}.
    """
    night = night_of(brief, sky, {**brief["night"], "date": changes.get("night", brief["night"]["date"])})
    timing = solve(brief, night, changes.get("start_ms"))
    frames = keyframe_frames(brief, night, timing)
    set_to = settings(brief, night, timing, frames)
    path = path_through(brief, set_to, timing.frames)
    steps = largest_steps(path, timing.frames)
    budget = interval_budget(brief, steps, timing.interval_ms)
    if budget["slack_ms"] < 0:
        shortest_ms = mended_interval_ms(brief, timing, path, budget["shortest_interval_ms"])
        budget = {**budget, "shortest_interval_ms": shortest_ms}
    events = _events(night, timing, anchor_events(brief, timing, frames))
    keyframes = _keyframes(brief, night, timing, set_to)
    return {
        "format": FORMAT,
        "version": VERSION,
        "shot": brief["shot"],
        "place": {key: brief["place"][key] for key in ("id", "title", "latitude_deg", "longitude_deg")},
        "changes": changes,
        "window": _window(brief, night, timing),
        "timing": _timing(brief, timing),
        "sky": {"events": events, "tones": _tones(night, timing)},
        "keyframes": keyframes,
        "move": _move(brief, set_to, steps, path.warp.first, path.warp.last),
        "interval_budget": budget,
        "moments": _moments(events, keyframes, timing),
        "warnings": warnings(Planned(brief, night, timing, set_to, path, steps, budget)),
        "brief": brief,
    }


def _window(brief: dict[str, Any], night: Night, timing: Timing) -> dict[str, Any]:
    last_ms = timing.end_ms - timing.interval_ms
    closes_ms = last_ms + brief["camera"]["release_lag_ms"] + brief["longest_shutter_ms"]
    return {
        "night": civil.iso_date(night.day),
        "start": civil.stamp(night.spans, timing.start_ms),
        "end": civil.stamp(night.spans, timing.end_ms),
        "last_frame": civil.stamp(night.spans, last_ms),
        "last_shutter_closes": civil.stamp(night.spans, closes_ms),
    }


def _timing(brief: dict[str, Any], timing: Timing) -> dict[str, Any]:
    rate, scale = brief["fps"]
    return {
        "interval_ms": timing.interval_ms,
        "frames": timing.frames,
        "duration_ms": timing.frames * timing.interval_ms,
        "fps": brief["fps"],
        "clip_ms": floor(timing.frames * 1000 * scale / rate + 0.5),
        "segments": [
            {"first_frame": 1, "start_ms": timing.start_ms, "interval_ms": timing.interval_ms},
        ],
    }


def _events(night: Night, timing: Timing, anchored: list[tuple[int, str]]) -> list[dict[str, Any]]:
    """Every event of the sky in the window, and those that the shot hangs on, in order of time."""
    found = {
        (int(t_s + 0.5) * 1000, name)
        for name in EVENTS
        for t_s in find_events(night.sky, night.site, name, timing.start_ms / 1000, timing.end_ms / 1000)
    } | set(anchored)
    order = list(EVENTS)
    return [
        {"event": name, "time": civil.stamp(night.spans, ms), "frame": timing.frame_at(ms)}
        for ms, name in sorted(found, key=lambda pair: (pair[0], order.index(pair[1])))
    ]


def _tones(night: Night, timing: Timing) -> list[float]:
    """Tone of the light in the middle of each of TONES equal parts of the window."""
    span_ms = timing.end_ms - timing.start_ms
    instants = [(timing.start_ms + span_ms * (part + 0.5) / TONES) / 1000 for part in range(TONES)]
    return [tone(float(horizontal(night.sky, night.site, "sun", t_s)[0])) for t_s in instants]


def _keyframes(
    brief: dict[str, Any], night: Night, timing: Timing, set_to: list[Setting]
) -> list[dict[str, Any]]:
    last = len(set_to)
    reverse = brief["order"] == "last-to-first"
    return [
        {
            "number": number,
            "name": _name(number, last),
            "rig_number": last + 1 - number if reverse else number,
            "frame": setting.frame,
            "nearest_frame": floor(setting.frame + 0.5),
            "time": civil.stamp(night.spans, timing.ms_of(setting.frame)),
            "axes": setting.axes,
            "aim": brief["keyframes"][number - 1]["aim"],
            "azimuth_deg": setting.azimuth_deg,
            "altitude_deg": setting.altitude_deg,
            "x": setting.x,
            "y": setting.y,
            "sighting": brief["keyframes"][number - 1]["sighting"],
        }
        for number, setting in enumerate(set_to, start=1)
    ]


def _name(number: int, last: int) -> str:
    if number == 1:
        return "keyframe.start"
    if number == last:
        return "keyframe.end"
    return "keyframe.middle" if last == 3 else "keyframe.between"


def _move(
    brief: dict[str, Any],
    set_to: list[Setting],
    steps: dict[str, dict[str, float]],
    first: float,
    last: float,
) -> dict[str, Any]:
    """Order of setting, the largest step of each axis, and the way back that setting first-to-last costs."""
    numbers = list(range(1, len(set_to) + 1))
    reverse = brief["order"] == "last-to-first"
    back = {name: set_to[0].axes[name] - value for name, value in set_to[-1].axes.items()}
    return {
        "order": brief["order"],
        "set_order": numbers[::-1] if reverse else numbers,
        "first_moving_frame": first,
        "last_moving_frame": last,
        "largest_step": steps,
        "travel_back": None if reverse else back,
        "travel_back_s": 0.0 if reverse else slowest_s(back, brief["rig"]["axes"]),
    }


def _moments(
    events: list[dict[str, Any]], keyframes: list[dict[str, Any]], timing: Timing
) -> list[dict[str, Any]]:
    """What lies along the run strip: the sky's doings on one side, the hand's on the other, by frame."""
    sky = [
        {
            "side": "sky",
            "kind": "event",
            "id": "event." + event["event"],
            "frame": event["frame"],
            "time": event["time"],
        }
        for event in events
        if 1 <= event["frame"] <= timing.frames
    ]
    hand = [
        {
            "side": "hand",
            "kind": "keyframe",
            "id": "moment.keyframe",
            "args": {"number": keyframe["number"]},
            "frame": keyframe["frame"],
            "time": keyframe["time"],
        }
        for keyframe in keyframes
    ]
    return sorted(sky + hand, key=lambda moment: moment["frame"])
