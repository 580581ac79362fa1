"""The exposure from frame to frame, between the photographer's own two bases.  Twin: app/core/exposure.js.

The light of the ground gives the shape, never the exposure: a sunset sky meters some 4 EV above it.  With m
the EV of the ground, s the picture's own scene_ev and B, D the EV of the two bases, each at its moment of the
shot's own night, the target is T = a + g m + s with a and g such that T = B at the one and T = D at the
other: both bases are met exactly.  Another night, a late start or another spot keep a and g, so that a moon
that is up then counts.  Where the light of the two moments is less than a stop apart, nothing can be
stretched: then g = 1 and the dark base is met.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil, floor, isfinite
from typing import Any

from ..sky.events import HALF_DISC_DEG
from ..sky.illuminance import ev100
from ..sky.moon import moon_light
from ..sky.sky import Sky
from .aim import axis_of, looks_of
from .bands import Band, bands, control_of
from .civil import stamp
from .lit import Lit, ground_lx, metered_ev, own_run
from .move import Path
from .opened import rungs_of
from .problem import PlanProblem
from .trails import CORE_DEG, declination_deg, trails_of

CLICKS = 3  # a stop has three
CURVE_POINTS = 48
MOST_SHIFT_EV = 5.0
LEAST_STOPS = 1.0
# Half a click beyond the ladder is rounded onto it.
BEYOND_CLICKS = 0.55
CONTROLS = ("aperture", "shutter", "iso")
# Changes with which the night shown is not the shot's own, as its file has it.
TURNING = ("night", "start_ms", "interval_ms", "spot", "way", "run")
# A moon less lit than that is no lamp in the frame (our own choice).
DISC_LIT = 0.25


@dataclass(frozen=True)
class _Stretch:
    """T = offset + factor x m + s; stops: how far the bases lie apart, and the light at their moments."""

    offset: float
    factor: float
    bases_stops: float
    light_stops: float
    moments_s: dict[str, float]


def exposure_of(
    given: dict[str, Any],
    sky: Sky,
    changes: dict[str, Any],
    run: Lit,
    path: Path,
    inside: list[dict[str, Any]],
) -> dict[str, Any] | None:
    """The plan's `exposure`; None where the brief has none.  given: the brief before any change; inside: as
    the plan's picture has it.

    bright, dark: {time, ev} of the bases; stretch: {factor, bases_stops, light_stops}; stops: from the
    brightest to the darkest target; steepest: {ev_per_min, frame, time}, negative as it gets darker; curve:
    targets [EV at ISO 100] to a tenth, evenly from the first frame to the last; bands: see _row; first_rung:
    the place on the brief's ladder at frame 1; beyond: {bright, dark: {ev, frame} or None} where settings run
    out; lag_ev: the farthest off target within them; discs: {body, first_frame, last_frame} of sun and moon
    in the frame; trails: see trails_of.  Raises PlanProblem.
    """
    brief, timing = run.brief, run.timing
    exposure = brief["exposure"]
    if exposure is None:
        return None
    shift_ev = _shift(changes)
    fit = _stretched(given, sky, changes, run)
    ladder = exposure["ladder"]
    targets = _targets(run, fit, shift_ev)
    wanted = [CLICKS * (exposure["top_ev"] - target) for target in targets]
    rungs = [min(max(rung, 0.0), len(ladder) - 1.0) for rung in _at_frames(wanted, timing.frames)]
    found = bands(rungs, ladder)
    first_rung = found[0].before
    rows = [_row(run, band, ladder, first_rung) for band in found]
    open_ms, first_longest = _longest(rungs_of({"bands": rows, "first_rung": first_rung}), ladder)
    return {
        "turned_by": exposure["turned_by"],
        "shift_ev": shift_ev,
        **{
            name: {"time": stamp(run.night.spans, _ms(at_s)), "ev": exposure[name]["ev"]}
            for name, at_s in fit.moments_s.items()
        },
        "stretch": {
            "factor": fit.factor,
            "bases_stops": fit.bases_stops,
            "light_stops": fit.light_stops,
        },
        "stops": max(targets) - min(targets),
        "steepest": _steepest(run, targets),
        "curve": _tenths(targets),
        "bands": rows,
        "beyond": _beyond(run, wanted, len(ladder) - 1),
        "lag_ev": _lag(rungs, found) / CLICKS,
        "first_rung": first_rung,
        "longest_shutter_ms": open_ms,
        "discs": [disc for row in inside for disc in _discs(run, row)],
        "trails": _trails(run, path, open_ms, first_longest),
    }


def light_of(run: Lit) -> dict[str, Any]:
    """What a meter shows flat on the ground, under the shot's own sky: {start_ev, end_ev, curve} at ISO 100.

    curve: to a tenth, evenly from the first frame to the last; None where no exposure is planned.
    """
    exposure = run.brief["exposure"]
    if exposure is None:
        ends_s = [run.timing.ms_of(frame) / 1000 for frame in (1, run.timing.frames)]
        evs = [ev100(lx) for lx in ground_lx(run.night, ends_s)]
        return {"start_ev": evs[0], "end_ev": evs[-1], "curve": None}
    evs = [metered_ev(exposure, lx, exposure["sky_divisor"]) for lx in run.clear_lx]
    return {"start_ev": evs[0], "end_ev": evs[-1], "curve": _tenths(evs)}


def _tenths(evs: list[float]) -> list[float]:
    """A curve as it is drawn."""
    return [floor(each * 10 + 0.5) / 10 for each in _evenly(evs)]


def _shift(changes: dict[str, Any]) -> float:
    """Stops of exposure more (or fewer) than planned, as asked on the spot."""
    shift = changes.get("exposure_shift_ev", 0.0)
    is_number = isinstance(shift, int | float) and not isinstance(shift, bool)
    if not is_number or not isfinite(shift) or abs(shift) > MOST_SHIFT_EV:
        raise PlanProblem("problem.shift", {"most": MOST_SHIFT_EV}, "exposure")
    return float(shift)


def _stretched(given: dict[str, Any], sky: Sky, changes: dict[str, Any], run: Lit) -> _Stretch:
    """The stretch of the shot's own night; of the night shown where its own gives none."""
    if any(key in changes for key in TURNING):
        try:
            return _stretch(own_run(given, sky))
        except PlanProblem:
            pass
    return _stretch(run)


def _stretch(run: Lit) -> _Stretch:
    exposure = run.brief["exposure"]
    light, wanted, moments = {}, {}, {}
    for name in ("bright", "dark"):
        moments[name], frame = run.base(name)
        light[name] = metered_ev(exposure, ground_lx(run.night, [moments[name]])[0], 1.0)
        wanted[name] = exposure[name]["ev"] - run.scene_ev(frame)
    light_stops = light["bright"] - light["dark"]
    factor = (wanted["bright"] - wanted["dark"]) / light_stops if light_stops >= LEAST_STOPS else 1.0
    bases_stops = wanted["bright"] - wanted["dark"]
    return _Stretch(wanted["dark"] - factor * light["dark"], factor, bases_stops, light_stops, moments)


def _targets(run: Lit, fit: _Stretch, shift_ev: float) -> list[float]:
    """EV at ISO 100 at the run's samples."""
    exposure = run.brief["exposure"]
    return [
        fit.offset
        + fit.factor * metered_ev(exposure, lx, exposure["sky_divisor"])
        + run.scene_ev(frame)
        - shift_ev
        for frame, lx in zip(run.frames, run.clear_lx, strict=True)
    ]


def _between(values: list[float], share: float) -> float:
    """Evenly spaced values at a share of their way, straight in between."""
    place = share * (len(values) - 1)
    before = min(floor(place), len(values) - 2)
    return values[before] + (values[before + 1] - values[before]) * (place - before)


def _at_frames(values: list[float], frames: int) -> list[float]:
    return [_between(values, frame / (frames - 1)) for frame in range(frames)]


def _evenly(values: list[float]) -> list[float]:
    return [_between(values, point / CURVE_POINTS) for point in range(CURVE_POINTS + 1)]


def _steepest(run: Lit, targets: list[float]) -> dict[str, Any]:
    """Where the target changes fastest; the first of equals."""
    fastest, place = 0.0, 0
    for number in range(1, len(targets)):
        minutes = (run.times_s[number] - run.times_s[number - 1]) / 60
        change = (targets[number] - targets[number - 1]) / minutes
        # A shade of slack, so that rounding noise on a steady change does not pick the place.
        if abs(change) > abs(fastest) * (1 + 1e-6) + 1e-9:
            fastest, place = change, number - 1
    frame = floor(run.frames[place] + 0.5)
    return {
        "ev_per_min": fastest,
        "frame": frame,
        "time": stamp(run.night.spans, run.timing.ms_of(frame)),
    }


def _row(run: Lit, band: Band, ladder: list[Any], first_rung: int) -> dict[str, Any]:
    """A band of the plan: clicks positive towards more exposure, total since frame 1.

    every_frames and control are None where nothing is clicked; slack_ms: from a closed shutter to the next
    frame, with the longest of the band.
    """
    moves = band.clicks > 0
    ends = [ladder[band.before], ladder[band.after]]
    open_ms = max(rung[3] for rung in ends)
    return {
        "first_frame": band.first,
        "last_frame": band.last,
        "time": stamp(run.night.spans, run.timing.ms_of(band.first)),
        "control": CONTROLS[control_of(ladder, band.before, band.before + band.way)] if moves else None,
        "every_frames": band.every if moves else None,
        "clicks": band.way * band.clicks,
        "total": band.after - first_rung,
        "from": _setting(ends[0]),
        "to": _setting(ends[1]),
        "slack_ms": run.timing.shortest_ms(band.first, band.last)
        - run.brief["camera"]["release_lag_ms"]
        - open_ms,
    }


def _setting(rung: list[Any]) -> dict[str, Any]:
    return {"f": rung[0], "shutter": rung[1], "iso": rung[2], "open_ms": rung[3]}


def _longest(rungs: list[tuple[int, int]], ladder: list[Any]) -> tuple[int, int]:
    """(milliseconds, frame) of the longest exposure, and where it first comes; rungs: see rungs_of."""
    longest_ms = max(ladder[rung][3] for _, rung in rungs)
    return longest_ms, next(frame for frame, rung in rungs if ladder[rung][3] == longest_ms)


def _beyond(run: Lit, wanted: list[float], last: int) -> dict[str, Any]:
    """By how many stops the target leaves the ladder at either end, and at which frame first."""
    return {
        "bright": _outside(run, [-rung for rung in wanted]),
        "dark": _outside(run, [rung - last for rung in wanted]),
    }


def _outside(run: Lit, over: list[float]) -> dict[str, Any] | None:
    if max(over) <= BEYOND_CLICKS:
        return None
    first = next(place for place, by in enumerate(over) if by > BEYOND_CLICKS)
    return {"ev": max(over) / CLICKS, "frame": floor(run.frames[first] + 0.5)}


def _lag(rungs: list[float], found: list[Band]) -> float:
    """The most clicks by which a band is off the curve."""
    worst = 0.0
    for band in found:
        for frame in range(band.first, band.last + 1):
            done = min((frame - band.first) // band.every + 1, band.clicks)
            worst = max(worst, abs(rungs[frame - 1] - band.before - band.way * done))
    return worst


def _discs(run: Lit, row: dict[str, Any]) -> list[dict[str, Any]]:
    """The first and the last frame with a bright disc in the delivered frame: none or one row."""
    body, spans = row["body"], row["spans"]
    if not spans or body not in HALF_DISC_DEG:
        return []
    if body == "moon" and moon_light(run.night.sky, run.times_s[len(run.times_s) // 2])[0] < DISC_LIT:
        return []
    first, last = ceil(spans[0]["from"]["frame"]), floor(spans[-1]["until"]["frame"])
    return [{"body": body, "first_frame": first, "last_frame": last}] if first <= last else []


def _trails(run: Lit, path: Path, open_ms: int, frame: int) -> dict[str, Any]:
    """Of the core, where the shot aims at it; else of what stands in the middle of the frame."""
    brief, set_to = run.brief, path.at(frame)
    axis = axis_of(brief, set_to)
    if any((keyframe["aim"] or {}).get("target") == "galactic core" for keyframe in brief["keyframes"]):
        return trails_of(brief, CORE_DEG, True, open_ms, axis)
    looks = looks_of(brief, set_to)
    latitude = brief["place"]["latitude_deg"]
    return trails_of(brief, declination_deg(latitude, *looks) if looks else 0.0, False, open_ms, axis)


def _ms(utc_s: float) -> int:
    return floor(utc_s * 1000 + 0.5)
