"""What the exposure cannot do as it is meant: message ids, arguments.  Twin: app/core/exposing.js."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from .planned import Caution, Planned, caution

# Bases and light that differ by more than this do not belong together (our own choice).
FACTORS = (0.5, 1.5)
LEAST_LIGHT_STOPS = 1.0
# A band keeps within a click or a little more; so far off, it could not follow.
MOST_LAG_EV = 0.5
# A hand needs 3 to 4 s after the shutter has closed (common practice, no source).
HAND_MS = 3000


def rung_clicks(exposure: dict[str, Any]) -> list[tuple[int, int, int]]:
    """(frame that it comes before, place on the ladder before, after) of every click of an exposure."""
    clicks = []
    for band in exposure["bands"]:
        before = exposure["first_rung"] + band["total"] - band["clicks"]
        way = 1 if band["clicks"] > 0 else -1
        for number in range(abs(band["clicks"])):
            frame = band["first_frame"] + band["every_frames"] * number
            clicks.append((frame, before + way * number, before + way * (number + 1)))
    return clicks


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
    exposure = planned.exposure
    if exposure is not None and exposure["lag_ev"] > MOST_LAG_EV:
        args = {"lag": exposure["lag_ev"], "interval": planned.timing.interval_ms}
        yield caution("mind", "exposure-lags", {**args, **exposure["steepest"]})


def _outgrows(planned: Planned) -> Iterator[Caution]:
    """The shutter of the night no longer fits into the interval: from which frame, and what would keep it."""
    exposure, budget = planned.exposure, planned.budget
    if exposure is None or budget["shortest_interval_ms"] is None:
        return
    ladder, fits_ms = planned.brief["exposure"]["ladder"], budget["longest_shutter_ms"]
    clicks = [(1, 0, exposure["first_rung"]), *rung_clicks(exposure)]
    broken = next(((frame, rung) for frame, _, rung in clicks if ladder[rung][3] > fits_ms), None)
    shutters = _of_each(ladder, 1)
    kept = [rung for rung in shutters if rung[3] <= fits_ms]
    if broken is None or not kept:
        return
    frame, rung = broken
    args = {
        "frame": frame,
        "clock": planned.timing.ms_of(frame),
        "shutter": ladder[rung][1],
        "interval": planned.timing.interval_ms,
        "works": budget["shortest_interval_ms"],
        "keeps": kept[-1][1],
    }
    # What the shutter gives up, click by click, the ISO makes up for at the deepest point of the ramp.
    deepest = max((rung for _, _, rung in clicks), default=0)
    isos = [rung[2] for rung in _of_each(ladder, 2)]
    lost = sum(fits_ms < rung[3] <= ladder[deepest][3] for rung in shutters)
    place = isos.index(ladder[deepest][2]) + lost
    if place < len(isos):
        yield caution("no-go", "exposure-outgrows", {**args, "iso": isos[place]})
    else:
        yield caution("no-go", "exposure-outgrows-all", args)


def _of_each(ladder: list[Any], place: int) -> list[Any]:
    """The first rung of every mark of a control, in the order of the ladder."""
    marks = dict.fromkeys(rung[place] for rung in ladder)
    return [next(rung for rung in ladder if rung[place] == mark) for mark in marks]


def _hand_slack(planned: Planned) -> Iterator[Caution]:
    """Who turns by hand does it between a closed shutter and the next frame."""
    exposure, interval_ms = planned.exposure, planned.timing.interval_ms
    if exposure is None or exposure["turned_by"] != "hand":
        return
    ladder, lag_ms = planned.brief["exposure"]["ladder"], planned.brief["camera"]["release_lag_ms"]
    for frame, before, _ in rung_clicks(exposure):
        slack_ms = interval_ms - lag_ms - ladder[before][3]
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
