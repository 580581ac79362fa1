"""What breaks in rig and timing: message ids, arguments.  Twin: app/core/cautions.js."""

from __future__ import annotations

from collections.abc import Iterator
from math import ceil, floor
from typing import Any

from . import exposing, flicker, outdoors, pictured, shortages
from .acts import swap_edges, swap_missed_ms
from .aim import wrap_deg
from .civil import span_at
from .keyed import settable_ms
from .meant import off_event
from .move import Stage, speed_in
from .planned import Caution, Placed, Planned, caution
from .reaches import beyond_cables, beyond_limits
from .timing import MINUTE_MS, lacking_phases
from .unseen import unseen

HALF_TURN_DEG = 180.0
# A frame's width in 7 s of playback or more is what a camera maker's training page gives for pans, as a
# starting point; clearly faster is below five sevenths of it (our own line).
PAN_S, CLEARLY = 7, 5 / 7
LONG_SHOT_MS = 12 * 3_600_000
# Zones follow borders, not the sun; the widest gap in real use is a little over 3 h (from memory).
ZONE_GAP_H = 3.5


def forbidden(placed: Placed) -> list[Caution]:
    """What forbids a shot on a night before anything but its keyframes is worked out: each a "no-go"."""
    checks = (beyond_limits, beyond_cables, pictured.out_of_sight, *outdoors.OF_THE_PLACE)
    return [warning for check in checks for warning in check(placed)]


def warnings(planned: Planned) -> list[Caution]:
    """Every limit that this plan breaks ("no-go") or that should be minded ("mind")."""
    checks = (
        beyond_limits,
        beyond_cables,
        _short_interval,
        _too_fast,
        _phases,
        _fast_picture,
        _load,
        unseen,
        *pictured.CHECKS,
        _long_way,
        off_event,
        *outdoors.CHECKS,
        _swap,
        *shortages.CHECKS,
        *exposing.CHECKS,
        *flicker.CHECKS,
        _ends_late,
        _long_shot,
        _zone_far,
        _doubled_clocks,
        _assumed,
    )
    found = [warning for check in checks for warning in check(planned)]
    return sorted(found, key=lambda warning: warning["level"] != "no-go")


def _short_interval(planned: Planned) -> Iterator[Caution]:
    budget = planned.budget
    if budget["slack_ms"] < 0:
        id = "interval-short-moving" if budget["dwell_ms"] is None else "interval-short"
        if budget["longest_shutter_ms"] == 0:
            id = "interval-short-of-all"
        if budget["shortest_interval_ms"] is None:
            id = "move-too-long"
        # With every frame kept, the steps stay as they are.
        works = {"works": settable_ms(planned.brief, budget["needed_ms"]), "frames": planned.timing.frames}
        args = {"interval": budget["interval_ms"], "short": -budget["slack_ms"], **works}
        yield caution("no-go", id, {**args, **budget})


def _too_fast(planned: Planned) -> Iterator[Caution]:
    for name, needed, frame in too_fast(planned.brief, planned.stages):
        axis = planned.brief["rig"]["axes"][name]
        args = {"axis": name, "frame": frame, "unit": "after." + axis["unit"]}
        slower_ms = ceil(planned.timing.interval_at(frame) * needed / axis["speed_max"])
        mends = {
            "works": settable_ms(planned.brief, slower_ms),
            "frames": planned.timing.frames,
            "part": axis["speed_max"] / needed * 100,
        }
        yield caution("no-go", "too-fast", {**args, "needed": needed, "given": axis["speed_max"], **mends})


def _fast_picture(planned: Planned) -> Iterator[Caution]:
    look, rate = planned.look, planned.brief["fps"]
    if look is not None and look["seconds_per_frame_width"] < PAN_S * CLEARLY:
        args = {"seconds": look["seconds_per_frame_width"], "frame": look["fastest_frame"]}
        yield caution("mind", "fast-picture", {**args, "fps": rate[0] / rate[1], "least": PAN_S})


def too_fast(brief: dict[str, Any], stages: list[Stage]) -> Iterator[tuple[str, float, int]]:
    """(axis, units a second needed, frame) where it is too much for a rig that moves all the time."""
    if brief["rig"]["motion"] != "continuous":
        return
    for name, axis in brief["rig"]["axes"].items():
        fastest = max(stages, key=lambda stage: speed_in(stage, name))
        if speed_in(fastest, name) > axis["speed_max"]:
            yield name, speed_in(fastest, name), int(fastest.steps[name]["frame"])


def _phases(planned: Planned) -> Iterator[Caution]:
    """A change of interval that does not come on this night."""
    for number, is_ended in lacking_phases(planned.timing):
        interval_ms = planned.timing.phases[number].interval_ms
        id = "phase-ended" if is_ended else "phase-outside"
        yield caution("mind", id, {"phase": number, "interval": interval_ms})


def _long_way(planned: Planned) -> Iterator[Caution]:
    """A pan given as a number goes where the number says, also the long way round."""
    if "pan" not in planned.brief["rig"]["axes"]:
        return
    pairs = zip(planned.settings, planned.settings[1:], strict=False)
    for number, (before, after) in enumerate(pairs, start=2):
        turn = after.axes["pan"] - before.axes["pan"]
        if abs(turn) > HALF_TURN_DEG and planned.brief["keyframes"][number - 1]["aim"] is None:
            short = wrap_deg(turn)
            args = {"number": number, "turn": abs(turn), "short": abs(short)}
            yield caution("mind", "long-way", {**args, "instead": before.axes["pan"] + short})


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


def _swap(planned: Planned) -> Iterator[Caution]:
    """A swap that cannot be, on this night or on any."""
    if planned.brief["swap"] is None or planned.swap is not None:
        return
    timing = planned.timing
    edges = swap_edges(planned.brief, planned.night, timing)
    missed_ms = swap_missed_ms(planned.brief, planned.night, timing)
    if missed_ms is not None:
        yield caution("mind", "swap-missed", {"until": missed_ms, "start": timing.start_ms})
    elif edges is not None and edges[1] <= edges[0]:
        args = {"from": timing.ms_of(edges[0]), "until": timing.ms_of(edges[1])}
        yield caution("no-go", "swap-reversed", args)
    else:
        yield caution("mind", "swap-outside", {"frames": timing.frames})


def _ends_late(planned: Planned) -> Iterator[Caution]:
    """The rig's steps made the interval longer than the window that was asked for allows."""
    timing = planned.timing
    late_ms = timing.end_ms - timing.start_ms - timing.asked_ms
    if late_ms >= MINUTE_MS:
        args = {"late": late_ms, "end": timing.end_ms, "interval": timing.interval_ms}
        yield caution("mind", "ends-late", {**args, "frames": timing.asked_ms // timing.interval_ms})


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


def _assumed(planned: Planned) -> Iterator[Caution]:
    """Figures that nobody has measured yet; a plan that came in a code does not tell of them."""
    assumed = planned.brief.get("assumed")
    if assumed:
        yield caution("mind", "assumed", assumed)
