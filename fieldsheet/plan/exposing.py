"""What the exposure cannot do as it is meant: message ids, arguments.  Twin: app/core/exposing.js."""

from __future__ import annotations

from collections.abc import Iterator
from math import floor
from typing import Any

from .budget import second_interval
from .exposure import CLICKS
from .opened import opens_of, rung_clicks, rungs_of
from .planned import Caution, Planned, caution
from .timing import clip_ms

# Bases and light that differ by more than this do not belong together (our own choice).
FACTORS = (0.5, 1.5)
LEAST_LIGHT_STOPS = 1.0
# A band keeps within a click or a little more; so far off, it could not follow.
MOST_LAG_EV = 0.5
# A hand needs 3 to 4 s after the shutter has closed (common practice, no source).
HAND_MS = 3000


def click_acts(exposure: dict[str, Any] | None) -> list[dict[str, Any]]:
    """Where a hand begins to turn a control, or turns it back, by a stop or more: {id, frame, time}.

    Less has no place on the strip (our own choice).  None where the camera turns by itself: there is nothing
    to do then.
    """
    if exposure is None or exposure["turned_by"] == "automatic":
        return []
    stretches: list[dict[str, Any]] = []
    for band in exposure["bands"]:
        if band["control"] is None:
            continue
        id = f"moment.{band['control']}-{'more' if band['clicks'] > 0 else 'less'}"
        if not stretches or stretches[-1]["id"] != id:
            stretches.append({"id": id, "frame": band["first_frame"], "time": band["time"], "clicks": 0})
        stretches[-1]["clicks"] += abs(band["clicks"])
    found: list[dict[str, Any]] = []
    for stretch in stretches:
        if stretch["clicks"] >= CLICKS and (not found or found[-1]["id"] != stretch["id"]):
            found.append({key: stretch[key] for key in ("id", "frame", "time")})
    return found


def _bases_apart(planned: Planned) -> Iterator[Caution]:
    """Two bases that the light between their moments does not account for."""
    exposure = planned.exposure
    if exposure is None:
        return
    stretch = exposure["stretch"]
    if stretch["light_stops"] >= LEAST_LIGHT_STOPS and FACTORS[0] <= stretch["factor"] <= FACTORS[1]:
        return
    yield caution("mind", "bases-apart", {"bases": stretch["bases_stops"], "light": stretch["light_stops"]})


def _beyond(planned: Planned) -> Iterator[Caution]:
    """Too bright for the shortest shutter, too dark for the last ISO."""
    exposure = planned.exposure
    if exposure is None:
        return
    ladder = planned.brief["exposure"]["ladder"]
    for end, rung in (("bright", ladder[0]), ("dark", ladder[-1])):
        beyond = exposure["beyond"][end]
        if beyond is not None:
            args = {"stops": beyond["ev"], "frame": beyond["frame"]}
            args["clock"] = planned.timing.ms_of(beyond["frame"])
            setting = {"f": rung[0], "shutter": rung[1], "iso": rung[2]}
            yield caution("mind", "too-" + end, {**args, **setting})


def _lags(planned: Planned) -> Iterator[Caution]:
    """Faster than a click a frame, and the interval, in whole seconds, at which that would keep up."""
    exposure = planned.exposure
    if exposure is not None and exposure["lag_ev"] > MOST_LAG_EV:
        interval_ms = planned.timing.interval_at(exposure["steepest"]["frame"])
        args = {"lag": exposure["lag_ev"], "interval": interval_ms}
        args["works"] = floor(60 / CLICKS / abs(exposure["steepest"]["ev_per_min"])) * 1000
        yield caution("mind", "exposure-lags", {**args, **exposure["steepest"]})


def _outgrows(planned: Planned) -> Iterator[Caution]:
    """The shutter of the night no longer fits into the interval: from which frame, and what would keep it."""
    exposure, budget = planned.exposure, planned.budget
    if exposure is None or budget["shortest_interval_ms"] is None:
        return
    ladder, rungs = planned.brief["exposure"]["ladder"], rungs_of(exposure)
    broken = _broken(ladder, rungs, budget["stages"])
    shutters = _of_each(ladder, 1)
    kept = [rung for rung in shutters if broken is not None and rung[3] <= broken[2]]
    if broken is None or not kept:
        return
    frame, rung, fits_ms = broken
    args = {
        "frame": frame,
        "clock": planned.timing.ms_of(frame),
        "shutter": ladder[rung][1],
        "interval": planned.timing.interval_at(frame),
        "works": budget["shortest_interval_ms"],
        "works_frames": budget["shortest_frames"],
        "works_clip": _clip_ms(planned.brief, budget["shortest_frames"]),
        "keeps": kept[-1][1],
        **_two_intervals(planned, frame),
    }
    # What the shutter gives up, click by click, the ISO makes up for at the deepest point of the ramp.
    deepest = max(rung for _, rung in rungs)
    isos = [rung[2] for rung in _of_each(ladder, 2)]
    lost = sum(fits_ms < rung[3] <= ladder[deepest][3] for rung in shutters)
    place, last = isos.index(ladder[deepest][2]) + lost, len(isos) - 1
    id = "exposure-outgrows" + ("-all" if place > last else "") + ("-two" if "second" in args else "")
    more = {"iso": isos[min(place, last)], "stops": max(place - last, 0) / CLICKS}
    yield caution("no-go", id, {**args, **more})


def _broken(
    ladder: list[Any], rungs: list[tuple[int, int]], stages: list[dict[str, Any]]
) -> tuple[int, int, int] | None:
    """(frame, place on the ladder, milliseconds for which there is time) of the first that does not fit."""
    frames = sorted({*(frame for frame, _ in rungs), *(stage["first_frame"] for stage in stages)})
    for frame in frames:
        rung = next(rung for first, rung in reversed(rungs) if first <= frame)
        stage = next(stage for stage in reversed(stages) if stage["first_frame"] <= frame)
        if ladder[rung][3] > stage["longest_shutter_ms"]:
            return frame, rung, stage["longest_shutter_ms"]
    return None


def _two_intervals(planned: Planned, frame: int) -> dict[str, Any]:
    """The other interval that keeps the exposure from a frame on, and what comes of it; {} if none does."""
    brief, opens = planned.brief, opens_of(planned.brief, planned.exposure)
    works = second_interval(brief, planned.timing, planned.path, opens, frame)
    if works is None:
        return {}
    interval_ms, timing = works
    return {"second": interval_ms, "frames": timing.frames, "clip": _clip_ms(brief, timing.frames)}


def _clip_ms(brief: dict[str, Any], frames: int) -> int:
    """To the tenth of a second, as a clip's length is told."""
    return clip_ms(brief, frames) // 100 * 100


def _of_each(ladder: list[Any], place: int) -> list[Any]:
    """The first rung of every mark of a control, in the order of the ladder."""
    marks = dict.fromkeys(rung[place] for rung in ladder)
    return [next(rung for rung in ladder if rung[place] == mark) for mark in marks]


def _hand_slack(planned: Planned) -> Iterator[Caution]:
    """Who turns by hand does it between a closed shutter and the next frame."""
    exposure = planned.exposure
    if exposure is None or exposure["turned_by"] != "hand":
        return
    ladder, lag_ms = planned.brief["exposure"]["ladder"], planned.brief["camera"]["release_lag_ms"]
    for frame, before, _ in rung_clicks(exposure):
        slack_ms = planned.timing.interval_at(frame - 1) - lag_ms - ladder[before][3]
        if frame > 1 and slack_ms < HAND_MS:
            args = {"frame": frame - 1, "clock": planned.timing.ms_of(frame - 1), "slack": max(slack_ms, 0)}
            yield caution("mind", "hand-slack", {**args, "shutter": ladder[before][1], "least": HAND_MS})
            return


def _trails(planned: Planned) -> Iterator[Caution]:
    """Only where the person said how long a trail may be."""
    exposure = planned.exposure
    most_px = planned.brief["exposure"] and planned.brief["exposure"]["trail_max_px"]
    if exposure is None or most_px is None or exposure["trails"]["clip_px"] <= most_px:
        return
    trails = exposure["trails"]
    args = {"px": trails["clip_px"], "most": most_px, "open": trails["open_ms"]}
    yield caution(
        "mind", "trails-long", {**args, "works_s": trails["open_ms"] / 1000 * most_px / trails["clip_px"]}
    )


def _moon_disc(planned: Planned) -> Iterator[Caution]:
    """A moon in the frame that nobody aimed at: the model follows her light, not her disc."""
    exposure = planned.exposure
    if exposure is None:
        return
    if any((keyframe["aim"] or {}).get("target") == "moon" for keyframe in planned.brief["keyframes"]):
        return
    for disc in exposure["discs"]:
        if disc["body"] == "moon":
            clock = planned.timing.ms_of(disc["first_frame"])
            yield caution("mind", "moon-disc", {"frame": disc["first_frame"], "clock": clock})


CHECKS = (_bases_apart, _beyond, _lags, _outgrows, _hand_slack, _trails, _moon_disc)
