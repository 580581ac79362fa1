"""Plan -> Sheet: everything a person reads, as text.  Twin: app/core/sheet.js.

The page, the card and the terminal show these strings and no others, so that they cannot disagree.  Numbers
are rounded to what a hand can set; frame positions in `strip` stay numbers, since they are drawn.
"""

from __future__ import annotations

from collections.abc import Callable
from math import floor
from typing import Any

from ..plan.civil import Spans, day_number, local_day, span_at
from .words import MINUS, WORDS, bearing, clock, day_text, decimals_of, fixed, say, signed, span_text

LETTERS = {"slide": "S", "pan": "P", "tilt": "T"}
NUMBERS = (
    "interval",
    "dwell",
    "frames",
    "hold",
    "ease",
    "first_frame",
    "last_closes",
    "duration",
    "clip",
    "largest_step",
    "slack",
)
RULER_PARTS = 8

Clock = Callable[[int], str]


def make_sheet(plan: dict[str, Any]) -> dict[str, Any]:
    """Every text of a plan; shape as the page, the card and the terminal read it. Pure."""
    brief = plan["brief"]
    spans = brief["place"]["zone"]["spans"]
    axes = _axes(brief)
    at = _clocks(plan, spans)
    keyframes = [_keyframe(keyframe, brief, axes, at) for keyframe in plan["keyframes"]]
    numbers = _numbers(plan, axes, at)
    return {
        "letter": brief["rig"]["letter"],
        "title": plan["shot"]["title"],
        "place": plan["place"]["title"],
        "rig": brief["rig"]["title"],
        "camera": brief["camera"]["title"],
        "night": day_text(day_number(plan["window"]["night"])),
        "when": _when(plan, spans),
        "span": _span_line(plan, spans),
        "zone": _zone(plan, spans),
        "revision": plan["revision"],
        "changed": bool(plan["changes"]),
        "pan_zero": bearing(brief["zero_bearing_deg"]),
        "rail": _rail(brief, spans),
        "numbers": numbers,
        "labels": _labels(plan, spans),
        "program": [name for name in brief["rig"]["program_order"] if numbers[name]],
        "axes": [{key: axis[key] for key in ("name", "letter", "unit")} for axis in axes],
        "keyframes": keyframes,
        "set_order": [number - 1 for number in plan["move"]["set_order"]],
        "set_note": _set_note(plan, spans),
        "sky": [_event(event, plan["timing"]["frames"], at) for event in plan["sky"]["events"]],
        "strip": _strip(plan, at),
        "warnings": [_warning(warning, spans) for warning in plan["warnings"]],
        "checklist": [_section(section, numbers, keyframes, spans) for section in plan["checklist"]],
        "abort": brief["place"]["abort"],
        "notes": brief["shot"]["notes"],
    }


def _when(plan: dict[str, Any], spans: Spans) -> str:
    """The date of the shot: of its night, said so where the first frame is on another date."""
    night = day_number(plan["window"]["night"])
    starts = local_day(spans, plan["window"]["start"]["utc_ms"] / 1000)
    return day_text(night) if starts == night else say("line.night-of", {"date": day_text(night)}, ())


def _changes_zone(plan: dict[str, Any], spans: Spans) -> bool:
    """Whether the place's clocks change between the first frame and the end."""
    start, end = (span_at(spans, plan["window"][edge]["utc_ms"] / 1000) for edge in ("start", "end"))
    return start != end


def _clocks(plan: dict[str, Any], spans: Spans) -> Clock:
    """How this sheet writes clock times: bare, or each with its zone where the clocks change on the way."""
    if not _changes_zone(plan, spans):
        return lambda utc_ms: clock(utc_ms, spans)
    return lambda utc_ms: f"{clock(utc_ms, spans)} {span_at(spans, utc_ms / 1000)[2]}"


def _zone(plan: dict[str, Any], spans: Spans) -> str:
    """The short name of the zone, or both and when the clocks show the second one first."""
    start_ms, end_ms = (plan["window"][edge]["utc_ms"] for edge in ("start", "end"))
    if not _changes_zone(plan, spans):
        return str(span_at(spans, start_ms / 1000)[2])
    change_ms = span_at(spans, end_ms / 1000)[0] * 1000
    return say("line.zones", {"start": start_ms, "change": change_ms, "end": end_ms}, spans)


def _axes(brief: dict[str, Any]) -> list[dict[str, Any]]:
    """Name, letter, unit sign and decimals of each axis, in the rig's order."""
    return [
        {
            "name": name,
            "letter": LETTERS.get(name, name[0].upper()),
            "unit": WORDS["unit." + axis["unit"]],
            "angle": axis["unit"] == "deg",
            "decimals": decimals_of(axis["step"]),
        }
        for name, axis in brief["rig"]["axes"].items()
    ]


def _figure(value: float, axis: dict[str, Any], more: int = 0) -> str:
    """An axis value as it is set; angles carry their sign."""
    write = signed if axis["angle"] else fixed
    return write(value, axis["decimals"] + more)


def _with_unit(figure: str, axis: dict[str, Any]) -> str:
    return f"{axis['letter']} {figure}{'' if axis['angle'] else ' '}{axis['unit']}"


def _keyframe(
    keyframe: dict[str, Any], brief: dict[str, Any], axes: list[dict[str, Any]], at: Clock
) -> dict[str, Any]:
    spans = brief["place"]["zone"]["spans"]
    figures = {axis["name"]: _figure(keyframe["axes"][axis["name"]], axis) for axis in axes}
    return {
        "key": say("moment.keyframe", {"number": keyframe["number"]}, spans),
        "name": WORDS[keyframe["name"]],
        "on_rig": str(keyframe["rig_number"]),
        "frame": str(keyframe["nearest_frame"]),
        "clock": at(keyframe["time"]["utc_ms"]),
        "axes": figures,
        "line": " · ".join(_with_unit(figures[axis["name"]], axis) for axis in axes),
        "aim": _aim(keyframe, brief, spans),
        "sighting": keyframe["sighting"] or "",
    }


def _aim(keyframe: dict[str, Any], brief: dict[str, Any], spans: Spans) -> str:
    """What the keyframe aims at and where in the delivered frame it stands; else where the lens looks."""
    aim = keyframe["aim"]
    if aim is None:
        return _looks(keyframe["axes"], brief, spans)
    args = {"azimuth": keyframe["azimuth_deg"], "altitude": keyframe["altitude_deg"]}
    if keyframe["x"] is None:
        what = WORDS["body." + aim["target"]] if "target" in aim else bearing(args["azimuth"])
        return say("line.aim-lost", {"what": what}, spans)
    args |= {"x": keyframe["x"], "y": keyframe["y"]}
    if "target" in aim:
        return say("line.aim-body", {**args, "body": "body." + aim["target"]}, spans)
    return say("line.aim-bearing", args, spans)


def _looks(axes: dict[str, float], brief: dict[str, Any], spans: Spans) -> str:
    if not {"pan", "tilt"} <= axes.keys():
        return ""
    args = {"azimuth": brief["zero_bearing_deg"] + axes["pan"], "altitude": axes["tilt"]}
    return say("line.looks", args, spans)


def _labels(plan: dict[str, Any], spans: Spans) -> dict[str, str]:
    """The names of the numbers; a clock time of another date than the night's own carries its date."""
    window = plan["window"]
    labels = {name: WORDS["number." + name] for name in NUMBERS}
    for name, key in (("first_frame", "start"), ("last_closes", "last_shutter_closes")):
        instant = window[key]["utc_ms"]
        if local_day(spans, instant / 1000) != day_number(window["night"]):
            labels[name] = say("number.on-day", {"label": labels[name], "instant": instant}, spans)
    return labels


def _numbers(plan: dict[str, Any], axes: list[dict[str, Any]], at: Clock) -> dict[str, str]:
    brief, timing, budget = plan["brief"], plan["timing"], plan["interval_budget"]
    steps = plan["move"]["largest_step"]
    rate, scale = timing["fps"]
    figures = [
        _with_unit(_figure(abs(steps[axis["name"]]["step"]), {**axis, "angle": False}, 1), axis)
        for axis in axes
    ]
    return {
        "interval": span_text(timing["interval_ms"]),
        "dwell": "" if budget["dwell_ms"] is None else span_text(budget["dwell_ms"]),
        "frames": str(timing["frames"]),
        "hold": _both(brief["hold"]),
        "ease": _both(brief["ease"]),
        "first_frame": at(plan["window"]["start"]["utc_ms"]),
        "last_closes": at(plan["window"]["last_shutter_closes"]["utc_ms"]),
        "duration": span_text(timing["duration_ms"]),
        "clip": say("value.clip", {"clip": timing["clip_ms"] // 100 * 100, "fps": rate / scale}, ()),
        "largest_step": " · ".join(figures),
        "slack": _slack(budget["slack_ms"]),
    }


def _slack(ms: int) -> str:
    """To a tenth of a second, from a minute on to a second, never rounded in the rig's favour."""
    step_ms = 100 if abs(ms) < 60_000 else 1000
    whole_ms = ms // step_ms * step_ms
    return MINUS + span_text(-whole_ms) if whole_ms < 0 else span_text(whole_ms)


def _both(pair: list[int]) -> str:
    """Frames; one number where start and end agree, else both."""
    if pair[0] == pair[1]:
        return say("value.frames", {"frames": pair[0]}, ())
    return say("value.frames-both", {"first": pair[0], "last": pair[1]}, ())


def _rail(brief: dict[str, Any], spans: Spans) -> str:
    rail = brief["rail"]
    if rail is None:
        return ""
    incline = rail["incline_deg"]
    slope = WORDS["line.level"]
    if incline:
        slope = say("line.home-low" if incline > 0 else "line.home-high", {"incline": abs(incline)}, spans)
    args = {"bearing": rail["bearing_deg"], "home": "home." + rail["home_end"], "slope": slope}
    return say("line.rail", args, spans)


def _span_line(plan: dict[str, Any], spans: Spans) -> str:
    """The window by the clock; with each date that is not the night's own, and both zones if they change."""
    window = plan["window"]
    args = {"start": window["start"]["utc_ms"], "end": window["end"]["utc_ms"]}
    start_s, end_s = args["start"] / 1000, args["end"] / 1000
    if _changes_zone(plan, spans):
        return say("line.window-zones", args, spans)
    first, last = local_day(spans, start_s), local_day(spans, end_s)
    if first == day_number(window["night"]):
        return say("line.window" if last == first else "line.window-next", args, spans)
    return say("line.window-day" if last == first else "line.window-dates", args, spans)


def _set_note(plan: dict[str, Any], spans: Spans) -> str:
    move = plan["move"]
    args = {"last": len(plan["keyframes"]), "back": floor(move["travel_back_s"] + 0.999) * 1000}
    return say("set." + move["order"], args, spans)


def _event(event: dict[str, Any], frames: int, at: Clock) -> dict[str, str]:
    where = say("line.frame", {"frame": floor(event["frame"])}, ())
    if event["frame"] < 1:
        where = WORDS["line.before"]
    elif event["frame"] > frames:
        where = WORDS["line.after"]
    return {
        "name": WORDS["event." + event["event"]],
        "clock": at(event["time"]["utc_ms"]),
        "frame": where,
    }


def _strip(plan: dict[str, Any], at: Clock) -> dict[str, Any]:
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
    is_keyframe = moment["kind"] == "keyframe"
    number = moment["args"]["number"] if is_keyframe else 0
    label = (
        say(moment["id"], moment["args"], ()) if is_keyframe else WORDS["label." + moment["id"].split(".")[1]]
    )
    return {
        "side": moment["side"],
        "kind": moment["kind"],
        "frame": moment["frame"],
        "label": label,
        "clock": at(moment["time"]["utc_ms"]),
        "detail": WORDS[plan["keyframes"][number - 1]["name"]] if is_keyframe else "",
    }


def _warning(warning: dict[str, Any], spans: Spans) -> dict[str, str]:
    parts = {part: say(f"{warning['id']}.{part}", warning["args"], spans) for part in ("head", "sum", "fix")}
    return {"level": warning["level"], "word": WORDS["level." + warning["level"]], **parts}


def _section(
    section: dict[str, Any], numbers: dict[str, str], keyframes: list[dict[str, Any]], spans: Spans
) -> dict[str, Any]:
    title = WORDS[section["title"]]
    if section["parts"] > 1:
        title = say(
            "section.part", {"title": title, "part": section["part"], "parts": section["parts"]}, spans
        )
    return {
        "title": title,
        "manner": WORDS[section["manner"]],
        "items": [
            {
                "id": item["id"],
                "must": item["must"],
                "text": say(item["message"], item["args"], spans),
                "note": say(item["note"], item["args"], spans) if item["note"] else "",
                "value": _value(item["value"], numbers, keyframes),
            }
            for item in section["items"]
        ],
    }


def _value(slot: dict[str, Any] | None, numbers: dict[str, str], keyframes: list[dict[str, Any]]) -> str:
    """What an item's slot names: one of the numbers, or the settings of a keyframe."""
    if slot is None:
        return ""
    if "number" in slot:
        return numbers[slot["number"]]
    return str(keyframes[slot["keyframe"] - 1]["line"])
