"""plan(brief, sky, changes): one shot on one night, whole.  Twins: app/core/plan.js, and
app/core/format.js of what a plan calls itself.

Pure: the brief holds every number of the shot, the sky every position; nothing else is asked.
"""

from __future__ import annotations

from dataclasses import asdict, replace
from math import floor
from typing import Any

from ..sky.sky import Sky
from . import acts, civil, nightsky
from .aim import lens_of
from .anchors import Night, night_of
from .arch import arch
from .budget import budget_of, mended
from .cautions import too_fast, warnings
from .drives import drive_s, drives, way_back
from .exposing import click_acts
from .exposure import exposure_of, light_of
from .keyed import gap_ms
from .keyframes import Setting, settings
from .late import late_of
from .lit import Lit
from .look import exposed, look_of, turns_of
from .meant import meant_of
from .move import Path, Stage, largest_of, path_through, staged, top_speed
from .needs import measured
from .opened import Opens, carried_over, opens_of
from .options import Shot, name_of
from .picture import picture
from .planned import Planned
from .power import after_stop, power_of
from .problem import PlanProblem
from .programme import Programme, late_start_ms, planned_for, programme_of
from .recovery import recovery_of
from .scene import Scene
from .schedule import deadlines, late_interval_ms, latest_start_ms, stored_ms
from .spot import at_spot
from .storage import storage_of
from .supplies import thinned
from .timing import Timing, anchor_events, clip_ms, keyframe_frames, quickened
from .waits import beside_landmark, waits

FORMAT, VERSION = "fieldsheet plan", 1
PLACE = ("id", "title", "latitude_deg", "longitude_deg")


def plan(brief: dict[str, Any], sky: Sky, changes: dict[str, Any]) -> dict[str, Any]:
    """The whole plan of a shot, JSON-able.

    changes may hold
    - `night` (date YYYY-MM-DD), `start_ms` (first frame, ms UTC), `interval_ms` (the opening interval)
    - `spot` (another position: latitude_deg, longitude_deg, elevation_m)
    - `exposure_shift_ev` (stops more than planned)
    - `stopped` (frame, the last that was fired; rolling_ms, when it rolls again, ms UTC): the ways to go on
    - `way`, one that was taken: {id, start_ms} of a late start; {id, frame, rolling_ms, after} of a stop,
      where after holds the start_ms, interval_ms, way and run that were in force before it, and swapped, the
      frames at which packs were changed until then
    - `run`, how the rig was seen to run: {start_ms, ratio}, when frame 1 fired (ms UTC) and how many times
      as long its intervals are; frames and keyframes stay as they are keyed in, and all is re-timed.

    Raises PlanProblem where this night gives no plan.  Units are in the names; instants are {utc_ms, local}.
    """
    given, here = brief, at_spot(brief, changes)
    night = night_of(here, sky, {**here["night"], "date": changes.get("night", here["night"]["date"])})
    programme = programme_of(here, night, changes)
    brief, timing, frames = programme.brief, programme.timing, programme.frames
    path = _moved(brief, night, timing, frames)
    set_to = path.settings
    lit = Lit(brief, night, timing, path.warp, path.knots)
    shown = picture(Scene(brief, night, timing, path, lens_of(brief)))
    exposure = exposure_of(given, sky, changes, lit, path, shown["inside"])
    turned, opens = turns_of(brief, path, timing.frames), opens_of(brief, exposure)
    look, stages = look_of(brief, turned), staged(path, timing)
    run = Shot(brief, night, timing, opens)
    budget = {**_budget(brief, timing, path, opens), **exposed(brief, turned, timing, opens)}
    found = nightsky.found_events(night, timing)
    events = nightsky.window_events(night, timing, found, anchor_events(brief, timing, frames))
    keyframes = _keyframes(programme, night, set_to)
    swap, limited = acts.swap_range(brief, night, timing), acts.limits(brief, night, timing)
    power = power_of(brief, night, timing, path, found, swap, exposure, programme.before)
    stop = recovery_of(run, path, changes["stopped"]) if changes.get("stopped") else None
    storage = storage_of(brief, night, timing, programme.before.frames)
    needs = measured(brief, night, timing, found)
    grazes = nightsky.grazes(night, timing)
    planned = Planned(
        brief,
        night,
        timing,
        set_to,
        limited,
        path=path,
        stages=stages,
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
        meant=[keyframe["meant"] for keyframe in keyframes],
    )
    return {
        "format": FORMAT,
        "version": VERSION,
        "shot": brief["shot"],
        "place": {**{key: brief["place"][key] for key in PLACE}, "limits": limited},
        "changes": changes,
        "window": _window(programme, night, path, budget, opens),
        "timing": _timing(programme, changes.get("run")),
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
        "move": _move(brief, stages, path, look),
        "interval_budget": budget,
        "picture": shown,
        "power": {
            **power,
            "rest": after_stop(power["supplies"], night, timing, stop),
            "supplies": [thinned(supply) for supply in power["supplies"]],
        },
        "storage": storage,
        "exposure": exposure,
        "light": light_of(lit),
        "late": _late_start(replace(run, brief=here), changes),
        "recovery": stop,
        "moments": acts.moments(
            night, timing, events, keyframes, power["changes"], limited, click_acts(exposure)
        ),
        "needs": needs,
        "warnings": warnings(planned),
        "brief": brief,
    }


def _moved(brief: dict[str, Any], night: Night, timing: Timing, frames: list[float]) -> Path:
    """The move through the keyframes at these frame positions; raises PlanProblem."""
    return path_through(brief, settings(brief, night, timing, frames), timing.frames)


def _budget(brief: dict[str, Any], timing: Timing, path: Path, opens: Opens) -> dict[str, Any]:
    """The budget of the worst frame, with the shortest interval that really works."""
    budget = budget_of(brief, timing, path, opens)
    if budget["slack_ms"] >= 0:
        return budget
    works = mended(brief, timing, path, opens, budget["shortest_interval_ms"])
    interval_ms, mended_to = works or (None, None)
    return {
        **budget,
        "shortest_interval_ms": interval_ms,
        "shortest_frames": mended_to and mended_to.frames,
    }


def _window(
    programme: Programme, night: Night, path: Path, budget: dict[str, Any], opens: Opens
) -> dict[str, Any]:
    brief, timing = programme.brief, programme.timing
    closes_ms = timing.last_ms + brief["camera"]["release_lag_ms"] + brief["longest_shutter_ms"]
    return {
        "night": civil.iso_date(night.day),
        "start": civil.stamp(night.spans, timing.start_ms),
        "end": civil.stamp(night.spans, timing.end_ms),
        "last_frame": civil.stamp(night.spans, timing.last_ms),
        "last_shutter_closes": civil.stamp(night.spans, closes_ms),
        "late": _latest(programme, night, path, budget, opens),
        "deadlines": [
            {"id": name, "time": civil.stamp(night.spans, ms)}
            for name, ms in deadlines(brief, timing.prepared_ms)
        ],
    }


def late_from(brief: dict[str, Any], sky: Sky, whole: dict[str, Any], start_ms: int) -> dict[str, Any] | None:
    """The ways to start a shot late, as `late` of a plan has them; None for a start that is not later.

    whole: its plan without that start, which may be one that has no plan of its own.
    """
    changes = whole["changes"]
    here = at_spot(brief, changes)
    night = night_of(here, sky, {**here["night"], "date": whole["window"]["night"]})
    programme = programme_of(here, night, changes)
    opens = opens_of(programme.brief, whole["exposure"])
    return _late_by(Shot(here, night, programme.timing, opens), changes, start_ms)


def _late_start(shot: Shot, changes: dict[str, Any]) -> dict[str, Any] | None:
    """What to do of a start that was changed to later; None of any other, and while the rig runs."""
    start_ms = late_start_ms(changes)
    return None if start_ms is None or changes.get("run") else _late_by(shot, changes, start_ms)


def _late_by(shot: Shot, changes: dict[str, Any], start_ms: int) -> dict[str, Any] | None:
    planned = planned_for(shot.brief, shot.night, changes)
    return late_of(replace(shot, timing=planned, opens=shot.opens_in(planned)), start_ms)


def _latest(
    programme: Programme, night: Night, path: Path, budget: dict[str, Any], opens: Opens
) -> dict[str, Any] | None:
    """The latest start of the programme as it was told: how the rig runs shows only after it."""
    brief, told = programme.brief, programme.told
    if told is not programme.timing:
        opens = carried_over(opens, programme.timing, told)
        budget = budget_of(brief, told, path, opens)
    late_ms = late_interval_ms(brief, told, budget)
    return None if late_ms is None else _late(brief, night, told, late_ms, opens)


def _late(
    brief: dict[str, Any], night: Night, timing: Timing, interval_ms: int, opens: Opens
) -> dict[str, Any]:
    """The latest start, the interval (and gap) that it takes; the planned ones where a later one fails."""
    late = quickened(timing, latest_start_ms(timing, interval_ms), interval_ms)
    if not _works(brief, night, late, carried_over(opens, timing, late)):
        late = timing
    return {
        "start": civil.stamp(night.spans, late.start_ms),
        "interval_ms": late.interval_ms,
        "gap_ms": gap_ms(brief, late.interval_ms),
    }


def _works(brief: dict[str, Any], night: Night, timing: Timing, opens: Opens) -> bool:
    """Whether the same shot, timed otherwise, has its keyframes inside, and time to expose and to move."""
    try:
        path = _moved(brief, night, timing, keyframe_frames(brief, night, timing))
    except PlanProblem:
        return False
    fits = budget_of(brief, timing, path, opens)["slack_ms"] >= 0
    return fits and not list(too_fast(brief, staged(path, timing)))


def _timing(programme: Programme, run: dict[str, Any] | None) -> dict[str, Any]:
    """interval_ms is what the rig is told to begin with; the segments have how it runs, run what it is told
    for each where that is not the same.
    """
    brief, timing = programme.brief, programme.timing
    told_ms = [timing.told_ms(segment) for segment in timing.segments]
    return {
        "interval_ms": timing.keyed_ms,
        "frames": timing.frames,
        "frames_before": programme.before.frames,
        "duration_ms": timing.elapsed_ms(timing.frames),
        "fps": brief["fps"],
        "clip_ms": clip_ms(brief, timing.frames),
        "segments": [asdict(segment) for segment in timing.segments],
        "run": run and {"start_ms": run["start_ms"], "ratio": run["ratio"], "told_ms": told_ms},
    }


def _keyframes(programme: Programme, night: Night, set_to: list[Setting]) -> list[dict[str, Any]]:
    brief, timing = programme.brief, programme.timing
    last = len(set_to)
    reverse = brief["order"] == "last-to-first"
    # After a stop they are set until it rolls.
    stored = timing.start_ms if programme.before.frames else stored_ms(brief, timing.prepared_ms)
    frames = [setting.frame for setting in set_to]
    targets = [(keyframe["aim"] or {}).get("target") for keyframe in brief["keyframes"]]
    stand = [(setting.axes, timing.ms_of(setting.frame) / 1000) for setting in set_to]
    shown = nightsky.in_frames(brief, night, [(*at, own) for at, own in zip(stand, targets, strict=True)])
    rows = []
    for number, setting in enumerate(set_to, start=1):
        given, ms = brief["keyframes"][number - 1], timing.ms_of(setting.frame)
        wait = waits(night, given["aim"], ms / 1000, stored / 1000)
        rows.append(
            {
                "number": number,
                "name": name_of(number, last),
                "rig_number": last + 1 - number if reverse else number,
                "frame": setting.frame,
                "nearest_frame": floor(setting.frame + 0.5),
                "time": civil.stamp(night.spans, ms),
                "meant": meant_of(brief, night, timing, frames, number - 1),
                "axes": setting.axes,
                "aim": given["aim"],
                "azimuth_deg": setting.azimuth_deg,
                "altitude_deg": setting.altitude_deg,
                "x": setting.x,
                "y": setting.y,
                "sighting": given["sighting"],
                "landmark": beside_landmark(brief, setting),
                "waits": wait and {**wait, "time": civil.stamp(night.spans, stored)},
                "in_frame": shown[number - 1],
            }
        )
    return rows


def _move(
    brief: dict[str, Any],
    stages: list[Stage],
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
            name: {**step, "top_speed": top_speed(brief, name, stages)}
            for name, step in largest_of(stages).items()
        },
        "look": look,
        "travel_back": None if reverse else back,
        "travel_back_s": 0.0 if reverse else drive_s(axes, way_back(axes, set_to)),
    }
