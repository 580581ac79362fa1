"""What is said of the sky, and of the shot along its frames.  Twin: app/core/sheet-sky.js."""

from __future__ import annotations

from math import floor
from typing import Any

from ..plan.civil import Spans, span_at
from ..plan.pace import pace_of
from .phases import phase_text
from .times import Clock
from .words import WORDS, body_word, event_word, say

RULER_PARTS = 8
ROLLING_MS = 30 * 60_000


def event_row(event: dict[str, Any], frames: int, at: Clock) -> dict[str, str]:
    """An event's name, clock time and frame."""
    where = say("line.frame", {"frame": floor(event["frame"])}, ())
    if event["frame"] < 1:
        where = WORDS["line.before"]
    elif event["frame"] > frames:
        where = WORDS["line.after"]
    return {"name": event_word(event["event"]), "clock": at(event["time"]["utc_ms"]), "frame": where}


def sky_lines(sky: dict[str, Any], at: Clock) -> list[dict[str, str]]:
    """A line each for the moon, the core and planets that are up: {name, text}."""
    planets = [
        {"name": body_word(row["body"]), "text": say("line.planet", _planet_ends(row), ())}
        for row in sky["planets"]
    ]
    moon, core = _moon(sky["moon"], at), _core(sky, at)
    names = (WORDS["line.moon-name"], moon), (WORDS["line.core-name"], core)
    return [*({"name": name, "text": text} for name, text in names), *planets]


def _moon(moon: dict[str, Any], at: Clock) -> str:
    edges = _edges(moon, at) or [(0, WORDS["line.all-up" if moon["up"] else "line.all-down"])]
    return say("line.moon", {"phase": moon["phase"], "lit": moon["lit"] * 100, "edges": _joined(edges)}, ())


def _core(sky: dict[str, Any], at: Clock) -> str:
    core, edges = sky["core"], _edges(sky["core"], at)
    if core["highest"]:
        args = {"highest": at(core["highest"]["utc_ms"]), "altitude": core["highest_deg"]}
        edges.append((core["highest"]["utc_ms"], say("line.highest", args, ())))
    moves = _joined(edges) or WORDS["line.all-down"]
    spans = [_usable(span, at) for span in sky["usable"]] or [WORDS["line.never-usable"]]
    return "; ".join([moves, *spans])


def _edges(body: dict[str, Any], at: Clock) -> list[tuple[int, str]]:
    """(ms UTC, text) of a body's rise and set, and of its passing the ridge."""
    edges = [
        (body[key]["utc_ms"], say(f"line.{key}s", {key: at(body[key]["utc_ms"])}, ()))
        for key in ("rise", "set")
        if body[key]
    ]
    passings = [(row["time"]["utc_ms"], row["way"]) for row in body["ridge"]]
    return edges + [(ms, say("line." + way, {"clock": at(ms)}, ())) for ms, way in passings]


def _joined(edges: list[tuple[int, str]]) -> str:
    return ", ".join(text for _, text in sorted(edges))


def _usable(span: dict[str, Any], at: Clock) -> str:
    """A span in which the core can be used; what is open begins or ends beyond the night.

    Where both ends have one clock time, that alone would read as a whole minute, or as a fault.
    """
    args = {key: at(span[key]["utc_ms"]) for key in ("from", "until") if span[key]}
    if len(args) == 2:
        is_brief = args["from"] == args["until"]
        return say("line.usable-brief" if is_brief else "line.usable", args, ())
    return say("line.usable-" + next(iter(args), "always"), args, ())


def arch_lines(arch: dict[str, Any]) -> list[dict[str, str]]:
    """A line for the Milky Way where it is dark at the start or the end: for page and roomy paper."""
    if not any(arch.values()):
        return []
    ends = {
        edge: say("line.arch", stands, ()) if stands else WORDS["line.arch-light"]
        for edge, stands in arch.items()
    }
    return [{"name": WORDS["line.arch-name"], "text": say("line.arch-ends", ends, ())}]


def light_line(light: dict[str, Any]) -> dict[str, str]:
    """How much light there is at the first and the last frame: for page and roomy paper."""
    return {"name": WORDS["line.light-name"], "text": say("line.light", light, ())}


def _planet_ends(row: dict[str, Any]) -> dict[str, str]:
    return {edge: _stands(row[edge]) for edge in ("start", "end")}


def _stands(at: dict[str, Any]) -> str:
    if at["altitude_deg"] <= 0:
        return WORDS["line.planet-down"]
    id = "line.planet-up" if at["seen"] else "line.planet-day"
    return say(id, {"altitude": at["altitude_deg"], "azimuth": at["azimuth_deg"]}, ())


def strip_text(plan: dict[str, Any], at: Clock) -> dict[str, Any]:
    """The shot along its frames: ruler, tones, and every moment with its label."""
    frames = plan["timing"]["frames"]
    return {
        "frames": frames,
        "ruler": _ruler(frames),
        "tones": plan["sky"]["tones"],
        "moments": [_moment(moment, plan, at) for moment in plan["moments"]],
    }


def _ruler(frames: int) -> list[int]:
    """Round frame numbers at an even 1, 2 or 5 step, at most RULER_PARTS of them, not crowding the end."""
    step = next(
        factor * 10**power
        for power in range(7)
        for factor in (1, 2, 5)
        if frames <= factor * 10**power * RULER_PARTS
    )
    return [number for number in range(step, frames + 1, step) if number <= frames - step / 4]


def _moment(moment: dict[str, Any], plan: dict[str, Any], at: Clock) -> dict[str, Any]:
    label, detail = _label(moment), ""
    if moment["id"] == "moment.interval":
        label = phase_text("moment", plan["brief"], moment["interval_ms"])
    if moment["kind"] == "keyframe":
        label = say(moment["id"], {"number": moment["number"]}, ())
        detail = WORDS[plan["keyframes"][moment["number"] - 1]["name"]]
    return {
        "side": moment["side"],
        "kind": moment["kind"],
        "frame": moment["frame"],
        "label": label,
        "clock": at(moment["time"]["utc_ms"]),
        "detail": detail,
    }


def _label(moment: dict[str, Any]) -> str:
    """The short name of an event where it has one, an act's name, or the event's name in full."""
    short = "label." + moment["id"]
    if short in WORDS:
        return WORDS[short]
    return WORDS[moment["id"]] if moment["id"] in WORDS else event_word(moment["id"])


def rolling_rows(plan: dict[str, Any], spans: Spans, at: Clock) -> list[dict[str, str]]:
    """Every full and half hour of the place's clock inside the window: {clock, frame, file}.

    frame is the one that fires then or just before; file what to add to the first file's number, from before
    a stop, if there was one.
    """
    start_ms, end_ms = (plan["window"][edge]["utc_ms"] for edge in ("start", "end"))
    offset_ms = span_at(spans, start_ms / 1000)[1] * 1000
    first_ms = ((start_ms + offset_ms) // ROLLING_MS + 1) * ROLLING_MS - offset_ms
    pace, before, rows = pace_of(plan["timing"]), plan["timing"]["frames_before"], []
    for ms in range(first_ms, end_ms, ROLLING_MS):
        gone = floor(pace.frame_at(ms)) - 1
        rows.append({"clock": at(ms), "frame": str(gone + 1), "file": f"+{before + gone}"})
    return rows
