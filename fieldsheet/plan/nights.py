"""The right night: a shot on every night of a span, each with its verdict.  Python only.

The same timing and the same measures as plan(), so that what is good here is good on the page; only what a
verdict hangs on is worked out.  Events are found for the whole sky at once, and so are places of bodies.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from typing import Any

from ..sky.bulk import bodies_of, bulk_events
from ..sky.events import clearance_deg, crossing_named, usable_margin_deg
from ..sky.grid import Grid, year_grid
from ..sky.moon import moon_lights, phase_id
from ..sky.observe import Floats, Site, apparent_altitude_deg, horizontal
from ..sky.sky import Sky
from . import civil
from .aim import aim_at, lens_of
from .anchors import TIDES, Night, must_reach, night_of, occurrences, site_of, tides_of, whole_second
from .keyframes import Setting
from .move import path_through
from .needs import DARK, Sight, asked_ms, dark_ms, measured, middle_ms, usable_ms
from .nightsky import USABLE, Found
from .problem import PlanProblem
from .timing import Timing, keyframe_frames, solve

MOON = ("moonrise", "moonset")
OF_EVERY_NIGHT = (*DARK, *USABLE, *MOON)
# What is asked of the sky beside places of bodies, and by which needs; () asks for the place of its target.
MOON_UP, LIGHT, CORE = "is the moon up", "how much of her is lit", "is the core usable"
OF_THE_SKY: dict[str, tuple[str, ...]] = {
    "altitude": (),
    "azimuth": (),
    "moon-up": (MOON_UP, "moon"),
    "moon-down": (MOON_UP, "moon"),
    "moon-lit": (LIGHT,),
}
HOUR_MS = 3_600_000
A_YEAR = timedelta(days=364)
"""From a night to the last one of a year from it."""


@dataclass(frozen=True)
class _Timed:
    """A night on which the shot has a window: its timing, frames of its keyframes, moments of its needs."""

    night: Night
    timing: Timing
    frames: list[float]
    moments: list[int | None]


@dataclass(frozen=True)
class _Try:
    """One night: where it lies (None beyond the reach), and either the shot on it or why there is none."""

    day: date
    night: Night | None
    timed: _Timed | None
    problem: PlanProblem | None

    @property
    def middle_ms(self) -> int:
        """The middle of the window, or of the night, at which the moon is told."""
        if self.timed is not None:
            return (self.timed.timing.start_ms + self.timed.timing.end_ms) // 2
        assert self.night is not None, "only a night within reach has a moon"
        return middle_ms(self.night)


def search(
    brief: dict[str, Any], sky: Sky, first: date, last: date, grid: Grid | None = None
) -> list[dict[str, Any]]:
    """Every night from the first to the last, a row each:

    {night, problem, window, needs, good, moon, core_usable_h, dark_h}.  night: its date; problem: {id, args}
    of why there is no plan, else None; window: {start, end} as instants {utc_ms, local}, None without a plan;
    needs: as in a plan; good: planned, and every need met; moon: {lit, phase} in the middle of window or
    night, {rise, set} of the night; hours of the night in which the core can be used, and of darkness.  A
    night that the sky or the zone's clock changes do not reach has None for moon and hours.
    grid: that of grid_for, where more than one shot is asked for.
    """
    known = known_events(brief, grid or grid_for([brief], sky))
    days = [first + timedelta(days=step) for step in range((last - first).days + 1)]
    # The table of tides is the same on every night: it is read once.
    place = brief["place"]
    tides = tides_of(place["tides"], place["zone"]["spans"])
    bare = {**brief, "place": {**place, "tides": []}}
    tries = [_tried(bare, sky, day, known, tides) for day in days]
    sight = _sight(brief, sky, tries)
    return [_row(brief, one, sight) for one in tries]


def grid_for(briefs: Sequence[dict[str, Any]], sky: Sky) -> Grid:
    """The bodies that the nights of some shots hang on, over all that the sky reaches."""
    names = {name for brief in briefs for name in _names(brief)}
    return year_grid(sky, sky.span_s[0] + civil.DAY_S, sky.span_s[1] - civil.DAY_S, bodies_of(sorted(names)))


def known_events(brief: dict[str, Any], grid: Grid) -> dict[str, Floats]:
    """Name -> every moment [s UTC] in the grid of all events that a night of the shot hangs on."""
    names = _names(brief)
    found = bulk_events(grid, [site_of(brief["place"])], names, polish=True)
    return {name: found.moment_s[found.name == index] for index, name in enumerate(names)}


def _names(brief: dict[str, Any]) -> list[str]:
    return sorted({*OF_EVERY_NIGHT, *_asked(brief)} - {*TIDES})


def _asked(brief: dict[str, Any]) -> Iterator[str]:
    """The events that start, end, keyframes and needs name."""
    anchors = [brief["start"], brief["end"], *(keyframe["at"] for keyframe in brief["keyframes"])]
    anchors += [need.get("at") for need in brief["needs"]]
    yield from (anchor["event"] for anchor in anchors if anchor is not None and "event" in anchor)
    yield from (need["event"] for need in brief["needs"] if "event" in need)


def _tried(
    brief: dict[str, Any],
    sky: Sky,
    day: date,
    known: Mapping[str, Floats],
    tides: tuple[tuple[int, str], ...],
) -> _Try:
    """The shot on one night as far as events say it, in the order in which plan() works it out."""
    night = None
    try:
        night = night_of(brief, sky, {**brief["night"], "date": day.isoformat()})
        night = replace(night, known=known, tides=tides)
        timing = solve(brief, night, None)
        must_reach(night, timing.start_ms / 1000, timing.end_ms / 1000)
        timed = _Timed(night, timing, keyframe_frames(brief, night, timing), asked_ms(brief, night, timing))
        return _Try(day, night, timed, None)
    except PlanProblem as problem:
        return _Try(day, night, None, problem)


def _sight(brief: dict[str, Any], sky: Sky, tries: Sequence[_Try]) -> Sight:
    """All that the sky is asked, each body looked up once for all nights."""
    asked: dict[str, list[int]] = {}
    for one in (one for one in tries if one.night is not None):
        for what, at_ms in _asked_of_sky(brief, one):
            asked.setdefault(what, []).append(at_ms)
    told: dict[tuple[str, int], Any] = {}
    site = site_of(brief["place"])
    for what, moments in asked.items():
        answers = _answers(sky, site, what, [at_ms / 1000 for at_ms in moments])
        told |= {(what, at_ms): answer for at_ms, answer in zip(moments, answers, strict=True)}
    return Sight(
        lambda body, at_ms: told[body, at_ms],
        lambda at_ms: told[MOON_UP, at_ms],
        lambda at_ms: told[LIGHT, at_ms],
        lambda at_ms: told[CORE, at_ms],
    )


def _answers(sky: Sky, site: Site, what: str, t_s: list[float]) -> Iterator[Any]:
    """What a Sight says at many instants [s UTC]: of a body by its name, or of one of the other three."""
    if what == MOON_UP:
        yield from map(float, clearance_deg(sky, site, crossing_named("moonrise"), t_s))
    elif what == CORE:
        yield from map(float, usable_margin_deg(sky, site, t_s))
    elif what == LIGHT:
        for lit, waxing in zip(*moon_lights(sky, t_s), strict=True):
            yield float(lit), bool(waxing)
    else:
        altitudes, azimuths, _ = horizontal(sky, site, what, t_s)
        for azimuth, altitude in zip(azimuths, apparent_altitude_deg(altitudes, site.air), strict=True):
            yield float(azimuth), float(altitude)


def _asked_of_sky(brief: dict[str, Any], one: _Try) -> Iterator[tuple[str, int]]:
    """What a night asks of a Sight, and when [ms UTC]."""
    assert one.night is not None, "only a night within reach asks"
    yield CORE, middle_ms(one.night)
    yield LIGHT, one.middle_ms
    if one.timed is None:
        return
    for keyframe, frame in zip(brief["keyframes"], one.timed.frames, strict=True):
        if keyframe["aim"] is not None and "target" in keyframe["aim"]:
            yield keyframe["aim"]["target"], one.timed.timing.ms_of(frame)
    for need, at_ms in zip(brief["needs"], one.timed.moments, strict=True):
        if at_ms is not None and need["kind"] in OF_THE_SKY:
            yield from ((what, at_ms) for what in OF_THE_SKY[need["kind"]] or (need["target"],))


def _row(brief: dict[str, Any], one: _Try, sight: Sight) -> dict[str, Any]:
    night, timed = one.night, one.timed
    if night is None:
        nothing: dict[str, Any] = {"moon": None, "core_usable_h": None, "dark_h": None}
        return {**_verdict(one.day, one.problem, None, []), **nothing}
    found = _found(night)
    problem = one.problem if timed is None else _move_problem(brief, timed, sight)
    window, needs = None, []
    if timed is not None and problem is None:
        timing = timed.timing
        window = {
            "start": civil.stamp(night.spans, timing.start_ms),
            "end": civil.stamp(night.spans, timing.end_ms),
        }
        needs = measured(brief, night, timing, found, sight)
    return {
        **_verdict(one.day, problem, window, needs),
        "moon": _moon(night, found, sight.light(one.middle_ms)),
        "core_usable_h": usable_ms(night, found, sight) / HOUR_MS,
        "dark_h": dark_ms(night, found) / HOUR_MS,
    }


def _verdict(
    day: date, problem: PlanProblem | None, window: dict[str, Any] | None, needs: list[dict[str, Any]]
) -> dict[str, Any]:
    return {
        "night": day.isoformat(),
        "problem": problem and {"id": problem.id, "args": problem.args_},
        "window": window,
        "needs": needs,
        "good": problem is None and all(need["met"] for need in needs),
    }


def _move_problem(brief: dict[str, Any], timed: _Timed, sight: Sight) -> PlanProblem | None:
    """Why the keyframes make no move on a night: one that no tilt can aim, or one in a hold."""
    lens = lens_of(brief)
    for index, (keyframe, frame) in enumerate(zip(brief["keyframes"], timed.frames, strict=True)):
        aim = keyframe["aim"]
        if aim is None:
            continue
        altitude = aim.get("altitude_deg")
        if "target" in aim:
            _, altitude = sight.place(aim["target"], timed.timing.ms_of(frame))
        if aim_at(0.0, altitude, aim["x"], aim["y"], lens) is None:
            args = {"number": index + 1, "altitude": altitude, "x": aim["x"], "y": aim["y"]}
            return PlanProblem("problem.aim", args, f"keyframe.{index}.aim")
    try:
        path_through(
            brief, [Setting(frame, {}, None, None, None, None) for frame in timed.frames], timed.timing.frames
        )
    except PlanProblem as problem:
        return problem
    return None


def _found(night: Night) -> Found:
    """The events of a night that its measures hang on."""
    return sorted(
        (whole_second(t_s) * 1000, name)
        for name in OF_EVERY_NIGHT
        for t_s in occurrences(night, name, night.from_s, night.until_s)
    )


def _moon(night: Night, found: Found, light: tuple[float, bool]) -> dict[str, Any]:
    edges = {
        key: next((civil.stamp(night.spans, ms) for ms, name in found if name == "moon" + key), None)
        for key in ("rise", "set")
    }
    return {"lit": light[0], "phase": "phase." + phase_id(*light), **edges}
