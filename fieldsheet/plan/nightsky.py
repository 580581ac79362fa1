"""What the sky and the sea do on the night of a shot.  Twin: app/core/nightsky.js."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any

from ..sky.bodies import BODIES, PLANETS
from ..sky.bulk import bodies_of, bulk_events, year_grid
from ..sky.events import EVENTS, RIDGE_EVENTS, clearance_deg, crossing_named, usable_margin_deg
from ..sky.grazes import find_grazes
from ..sky.moon import moon_light, phase_id
from ..sky.observe import Floats, horizontal
from .aim import axis_of, inside_frame, lens_of
from .anchors import TIDES, Night, occurrences, whole_second
from .civil import stamp
from .light import tone
from .seen import BRIGHT, is_seen, over_deg, seen_at, seen_deg, stars_out
from .timing import Timing
from .waits import FIXED

TONES = 48
USABLE = ("core usable", "core unusable")
UNSEEN_BY_DAY = ("core rise", "core highest", "core set", "core behind ridge", "core over ridge")
# One of each pair: they share their altitude, and so their grazes.
GRAZED = ("sunset", "civil dusk", "nautical dusk", "astronomical dusk", "moonset")
# A sickle by day is not seen (common practice, no source).
MOON_BY_DAY = 0.05

Found = list[tuple[int, str]]


def found_events(night: Night, timing: Timing) -> Found:
    """(ms UTC, name) of all events and tides of the night and of the window, in order of time."""
    names, reach_s = (*EVENTS, *(RIDGE_EVENTS if night.site.ridge else ())), _around(night, timing)
    if night.known is None:
        night = replace(night, known=_searched(night, names, reach_s))
    return sorted(
        (whole_second(t_s) * 1000, name)
        for name in (*names, *TIDES)
        for t_s in occurrences(night, name, *reach_s)
    )


def _searched(night: Night, names: Sequence[str], reach_s: tuple[float, float]) -> dict[str, Floats]:
    """The moments [s UTC] of events, all at once: a tenth of the time that they take one by one."""
    grid = year_grid(night.sky, *reach_s, bodies_of(names))
    found = bulk_events(grid, [night.site], names, polish=True)
    return {name: found.moment_s[found.name == index] for index, name in enumerate(names)}


def _around(night: Night, timing: Timing) -> tuple[float, float]:
    """From where to where [s UTC] the night and the window reach."""
    return min(night.from_s, timing.start_ms / 1000), max(night.until_s, timing.end_ms / 1000)


def grazes(night: Night, timing: Timing) -> list[dict[str, Any]]:
    """Where sun or moon all but touches the altitude of an event: {event, time, margin_deg}, by time."""
    found = [
        (whole_second(graze.moment_s) * 1000, name, graze.margin_deg)
        for name in GRAZED
        for graze in find_grazes(night.sky, night.site, name, *_around(night, timing))
    ]
    return [
        {"event": name, "time": stamp(night.spans, ms), "margin_deg": margin_deg}
        for ms, name, margin_deg in sorted(found)
    ]


def window_events(
    night: Night, timing: Timing, found: Found, anchored: Sequence[tuple[int, str]]
) -> list[dict[str, Any]]:
    """The events in the window that can be seen, and those that the shot hangs on, in order of time."""
    inside = {
        (ms, name)
        for ms, name in found
        if timing.start_ms <= ms < timing.end_ms
        and (name not in UNSEEN_BY_DAY or stars_out(night, ms / 1000))
    } | set(anchored)
    return [
        {"event": name, "time": stamp(night.spans, ms), "frame": timing.frame_at(ms)}
        for ms, name in sorted(inside)
    ]


def tones(night: Night, timing: Timing) -> list[float]:
    """Tone of the light in the middle of each of TONES parts of the shot, of equally many frames."""
    instants = [timing.utc_ms(1 + timing.frames * (part + 0.5) / TONES) / 1000 for part in range(TONES)]
    return [tone(altitude) for altitude in horizontal(night.sky, night.site, "sun", instants)[0].tolist()]


def moon(night: Night, timing: Timing, found: Found) -> dict[str, Any]:
    """The moon in the middle of the window: lit (0..1), phase (message id); rise, set and ridge of the night.

    up: whether she is up in the middle of the night, which says it all where she neither rises nor sets.
    """
    lit, waxing = moon_light(night.sky, (timing.start_ms + timing.end_ms) / 2000)
    edges = {edge: _first(night, found, "moon" + edge) for edge in ("rise", "set")}
    middle_s = (night.from_s + night.until_s) / 2
    up = float(clearance_deg(night.sky, night.site, crossing_named("moonrise"), middle_s)) > 0
    ridge = _ridge(night, found, "moon")
    return {"lit": lit, "phase": "phase." + phase_id(lit, waxing), "up": up, **edges, "ridge": ridge}


def core(night: Night, found: Found) -> dict[str, Any]:
    """The galactic core of the night: rise, set, highest (instants or None), how high [deg], ridge."""
    highest = _first(night, found, "core highest")
    altitude = None if highest is None else seen_deg(night, "galactic core", highest["utc_ms"] / 1000)[1]
    return {
        "rise": _first(night, found, "core rise"),
        "highest": highest,
        "highest_deg": altitude,
        "set": _first(night, found, "core set"),
        "ridge": _ridge(night, found, "core"),
    }


def _ridge(night: Night, found: Found, body: str) -> list[dict[str, Any]]:
    """When a body comes over the measured skyline and goes behind it in the night: {way, time}."""
    ways = {f"{body} over ridge": "over", f"{body} behind ridge": "behind"}
    return [
        {"way": ways[name], "time": stamp(night.spans, ms)}
        for ms, name in found
        if name in ways and night.holds(ms)
    ]


def usable(night: Night, found: Found) -> list[dict[str, Any]]:
    """The spans {from, until} of the night in which the core can be used; None at an end beyond the night."""
    edges = [(stamp(night.spans, ms), name) for ms, name in found if name in USABLE and night.holds(ms)]
    if not edges:
        always = core_margin_deg(night, (night.from_s + night.until_s) / 2) >= 0
        return [{"from": None, "until": None}] if always else []
    spans: list[dict[str, Any]] = [{"from": None, "until": None}] if edges[0][1] == USABLE[1] else []
    for at, name in edges:
        if name == USABLE[0]:
            spans.append({"from": at, "until": None})
        else:
            spans[-1]["until"] = at
    return spans


def core_margin_deg(night: Night, utc_s: float) -> float:
    """Degrees that the core has in hand to be used, negative where dusk, haze or the moon hides it."""
    return float(usable_margin_deg(night.sky, night.site, utc_s))


def planets(night: Night, timing: Timing) -> list[dict[str, Any]]:
    """Each planet that shows at the first frame or at the end: {body, start, end}.

    start and end: azimuth_deg and apparent altitude_deg then, and whether it shows.
    """
    instants = (timing.start_ms / 1000, timing.end_ms / 1000)
    dark = [stars_out(night, at_s) for at_s in instants]
    rows = []
    for body in PLANETS:
        places = zip(*(part.tolist() for part in seen_at(night, body, instants)), dark, strict=True)
        start, end = (_stands(night, body, *place) for place in places)
        if start["seen"] or end["seen"]:
            rows.append({"body": body, "start": start, "end": end})
    return rows


def _stands(night: Night, body: str, azimuth: float, altitude: float, dark: bool) -> dict[str, Any]:
    seen = is_seen(body, over_deg(night.site, azimuth, altitude), dark)
    return {"azimuth_deg": azimuth, "altitude_deg": altitude, "seen": seen}


def in_frames(
    brief: dict[str, Any], night: Night, asked: Sequence[tuple[Mapping[str, float], float, str | None]]
) -> list[list[dict[str, Any]]]:
    """What the delivered frame shows, {body, x, y}: for each (axis values, instant [s UTC], body left out).

    Each body is looked up at all instants at once, which is where the time goes.
    """
    lens, dark = lens_of(brief), [stars_out(night, utc_s) for _, utc_s, _ in asked]
    rows: list[list[dict[str, Any]]] = [[] for _ in asked]
    for body in (each for each in BODIES if each not in FIXED):
        here = [n for n, (_, _, but) in enumerate(asked) if body != but and (dark[n] or body in BRIGHT)]
        if not here:
            continue
        places = seen_at(night, body, [asked[n][1] for n in here])
        for n, azimuth, altitude in zip(here, *(place.tolist() for place in places), strict=True):
            axes, utc_s, _ = asked[n]
            looks = axis_of(brief, axes)
            spot = looks and inside_frame(azimuth, altitude, *looks, lens)
            if spot is None or not is_seen(body, over_deg(night.site, azimuth, altitude), dark[n]):
                continue
            if dark[n] or body != "moon" or moon_light(night.sky, utc_s)[0] >= MOON_BY_DAY:
                rows[n].append({"body": body, "x": spot[0], "y": spot[1]})
    return rows


def _first(night: Night, found: Found, name: str) -> dict[str, Any] | None:
    """The first event of a name in the night."""
    first = next((ms for ms, what in found if what == name and night.holds(ms)), None)
    return None if first is None else stamp(night.spans, first)
