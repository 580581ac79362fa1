"""plan(brief, sky, changes): one shot on one night, whole.  Twin: app/core/plan.js.

Pure: the brief holds every number of the shot, the sky every position; nothing else is asked.
"""

from __future__ import annotations

from dataclasses import replace
from math import floor
from typing import Any

from ..sky.sky import Sky
from . import acts, civil, nightsky
from .aim import lens_of
from .anchors import Night, must_reach, night_of
from .arch import arch
from .budget import interval_budget, mended_interval_ms
from .cautions import too_fast, warnings
from .drives import drives
from .exposure import exposure_of
from .keyed import gap_ms
from .keyframes import Setting, settings
from .lit import Lit
from .look import exposed, look_of
from .move import Path, largest_steps, path_through, slowest_s, top_speed
from .needs import measured
from .picture import picture
from .planned import Planned
from .power import power_of
from .problem import PlanProblem
from .scene import Scene
from .schedule import deadlines, late_interval_ms, latest_start_ms, stored_ms
from .spot import at_spot
from .storage import storage_of
from .supplies import thinned
from .timing import Timing, anchor_events, keyframe_frames, solve
from .waits import beside_landmark, waits

FORMAT, VERSION = "fieldsheet plan", 1
PLACE = ("id", "title", "latitude_deg", "longitude_deg")


def plan(brief: dict[str, Any], sky: Sky, changes: dict[str, Any]) -> dict[str, Any]:
    """The whole plan of a shot, JSON-able.

    changes may hold `night` (date YYYY-MM-DD), `start_ms` (first frame, ms UTC) and `spot` (another position:
    latitude_deg, longitude_deg, elevation_m) and `exposure_shift_ev` (stops more than planned).  Raises
    PlanProblem where this night gives no plan.  Units are in the names; instants are {utc_ms, local}.
    """
    given, brief = brief, at_spot(brief, changes)
    night = night_of(brief, sky, {**brief["night"], "date": changes.get("night", brief["night"]["date"])})
    timing = solve(brief, night, changes.get("start_ms"))
    must_reach(night, timing.start_ms / 1000, timing.end_ms / 1000)
    frames = keyframe_frames(brief, night, timing)
    path, steps = _moved(brief, night, timing, frames)
    set_to = path.settings
    exposure = exposure_of(given, sky, changes, Lit(brief, night, timing, path.warp, path.knots), path)
    look = look_of(brief, path, timing.frames)
    budget = {**_budget(brief, timing, path, steps), **exposed(brief, look, timing.interval_ms)}
    found = nightsky.found_events(night, timing)
    events = nightsky.window_events(night, timing, found, anchor_events(brief, timing, frames))
    keyframes = _keyframes(brief, night, timing, set_to)
    swap, limited = acts.swap_range(brief, night, timing), acts.limits(brief, night, timing)
    power = power_of(brief, night, timing, path, found, swap)
    storage = storage_of(brief, night, timing)
    needs = measured(brief, night, timing, found)
    grazes = nightsky.grazes(night, timing)
    shown = picture(Scene(brief, night, timing, path, lens_of(brief)))
    planned = Planned(
        brief,
        night,
        timing,
        set_to,
        limited,
        path=path,
        steps=steps,
        budget=budget,
        found=found,
        swap=swap,
        needs=needs,
        grazes=grazes,
        picture=shown,
        look=look,
        power=power,
        storage=storage,
        exposure=exposure,
    )
    return {
        "format": FORMAT,
        "version": VERSION,
        "shot": brief["shot"],
        "place": {**{key: brief["place"][key] for key in PLACE}, "limits": limited},
        "changes": changes,
        "window": _window(brief, night, timing, budget),
        "timing": _timing(brief, timing),
        "sky": {
            "events": events,
            "tones": nightsky.tones(night, timing),
            "moon": nightsky.moon(night, timing, found),
            "core": nightsky.core(night, found),
            "usable": nightsky.usable(night, found),
            "grazes": grazes,
            "planets": nightsky.planets(night, timing),
            "arch": arch(night, timing),
        },
        "keyframes": keyframes,
        "move": _move(brief, timing, steps, path, look),
        "interval_budget": budget,
        "picture": shown,
        "power": {**power, "supplies": [thinned(supply) for supply in power["supplies"]]},
        "storage": storage,
        "exposure": exposure,
        "moments": acts.moments(timing, events, keyframes, power["swap"], limited),
        "needs": needs,
        "warnings": warnings(planned),
        "brief": brief,
    }


def _moved(
    brief: dict[str, Any], night: Night, timing: Timing, frames: list[float]
) -> tuple[Path, dict[str, dict[str, float]]]:
    """The move through the keyframes at these frame positions, and its largest steps; raises PlanProblem."""
    path = path_through(brief, settings(brief, night, timing, frames), timing.frames)
    return path, largest_steps(path, timing.frames)


def _budget(
    brief: dict[str, Any], timing: Timing, path: Path, steps: dict[str, dict[str, float]]
) -> dict[str, Any]:
    """The budget of an interval, with the shortest one that really works."""
    budget = interval_budget(brief, steps, timing.interval_ms)
    if budget["slack_ms"] >= 0:
        return budget
    shortest_ms = mended_interval_ms(brief, timing, path, budget["shortest_interval_ms"])
    return {**budget, "shortest_interval_ms": shortest_ms}


def _window(brief: dict[str, Any], night: Night, timing: Timing, budget: dict[str, Any]) -> dict[str, Any]:
    last_ms = timing.end_ms - timing.interval_ms
    closes_ms = last_ms + brief["camera"]["release_lag_ms"] + brief["longest_shutter_ms"]
    late_ms = late_interval_ms(brief, timing, budget)
    return {
        "night": civil.iso_date(night.day),
        "start": civil.stamp(night.spans, timing.start_ms),
        "end": civil.stamp(night.spans, timing.end_ms),
        "last_frame": civil.stamp(night.spans, last_ms),
        "last_shutter_closes": civil.stamp(night.spans, closes_ms),
        "late": late_ms and _late(brief, night, timing, late_ms),
        "deadlines": [
            {"id": name, "time": civil.stamp(night.spans, ms)}
            for name, ms in deadlines(brief, timing.start_ms)
        ],
    }


def _late(brief: dict[str, Any], night: Night, timing: Timing, interval_ms: int) -> dict[str, Any]:
    """The latest start, the interval (and gap) that it takes; the planned ones where a later one fails."""
    late = replace(timing, start_ms=latest_start_ms(timing, interval_ms), interval_ms=interval_ms)
    if not _works(brief, night, late):
        late = timing
    return {
        "start": civil.stamp(night.spans, late.start_ms),
        "interval_ms": late.interval_ms,
        "gap_ms": gap_ms(brief, late.interval_ms),
    }


def _works(brief: dict[str, Any], night: Night, timing: Timing) -> bool:
    """Whether the same shot, timed otherwise, has its keyframes inside, and time to expose and to move."""
    try:
        _, steps = _moved(brief, night, timing, keyframe_frames(brief, night, timing))
    except PlanProblem:
        return False
    fits = interval_budget(brief, steps, timing.interval_ms)["slack_ms"] >= 0
    return fits and not list(too_fast(brief, steps, timing.interval_ms))


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


def _keyframes(
    brief: dict[str, Any], night: Night, timing: Timing, set_to: list[Setting]
) -> list[dict[str, Any]]:
    last = len(set_to)
    reverse = brief["order"] == "last-to-first"
    stored = stored_ms(brief, timing.start_ms)
    rows = []
    for number, setting in enumerate(set_to, start=1):
        given, ms = brief["keyframes"][number - 1], timing.ms_of(setting.frame)
        own = (given["aim"] or {}).get("target")
        wait = waits(night, given["aim"], ms / 1000, stored / 1000)
        rows.append(
            {
                "number": number,
                "name": _name(number, last),
                "rig_number": last + 1 - number if reverse else number,
                "frame": setting.frame,
                "nearest_frame": floor(setting.frame + 0.5),
                "time": civil.stamp(night.spans, ms),
                "axes": setting.axes,
                "aim": given["aim"],
                "azimuth_deg": setting.azimuth_deg,
                "altitude_deg": setting.altitude_deg,
                "x": setting.x,
                "y": setting.y,
                "sighting": given["sighting"],
                "landmark": beside_landmark(brief, setting),
                "waits": wait and {**wait, "time": civil.stamp(night.spans, stored)},
                "in_frame": nightsky.in_frame(brief, night, setting, ms / 1000, own),
            }
        )
    return rows


def _name(number: int, last: int) -> str:
    if last == 1:
        return "keyframe.only"
    if number == 1:
        return "keyframe.start"
    if number == last:
        return "keyframe.end"
    return "keyframe.middle" if last == 3 else "keyframe.between"


def _move(
    brief: dict[str, Any],
    timing: Timing,
    steps: dict[str, dict[str, float]],
    path: Path,
    look: dict[str, Any] | None,
) -> dict[str, Any]:
    """Order of setting, what each axis does, how it looks, and the way back that setting first-to-last costs.

    The moving frames are None where nothing moves.
    """
    set_to, axes = path.settings, brief["rig"]["axes"]
    numbers = list(range(1, len(set_to) + 1))
    reverse = brief["order"] == "last-to-first" or len(set_to) < 2
    back = {} if reverse else {name: set_to[0].axes[name] - value for name, value in set_to[-1].axes.items()}
    set_order = numbers[::-1] if reverse else numbers
    return {
        "joins": brief["rig"]["joins"],
        "order": brief["order"],
        "set_order": set_order,
        "drives": drives(axes, set_to, set_order),
        "first_moving_frame": path.warp and path.warp.first,
        "last_moving_frame": path.warp and path.warp.last,
        "way": {
            name: {**step, "top_speed": top_speed(brief, name, step["step"], timing.interval_ms)}
            for name, step in steps.items()
        },
        "look": look,
        "travel_back": None if reverse else back,
        "travel_back_s": slowest_s(back, axes),
    }
