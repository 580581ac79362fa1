"""Plan -> Sheet: everything a person reads, as text.  Twin: app/core/sheet.js.

The page, the card and the terminal show these strings and no others, so that they cannot disagree.  Numbers
are rounded to what a hand can set; frame positions in `strip` stay numbers, since they are drawn.
"""

from __future__ import annotations

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


def make_sheet(plan: dict[str, Any]) -> dict[str, Any]:
    """Every text of a plan; shape as the page, the card and the terminal read it. Pure."""
    brief = plan["brief"]
    spans = brief["place"]["zone"]["spans"]
    axes = _axes(brief)
    keyframes = [_keyframe(keyframe, axes, spans) for keyframe in plan["keyframes"]]
    numbers = _numbers(plan, axes, spans)
    return {
        "letter": brief["rig"]["letter"],
        "title": plan["shot"]["title"],
        "place": plan["place"]["title"],
        "rig": brief["rig"]["title"],
        "camera": brief["camera"]["title"],
        "when": day_text(day_number(plan["window"]["night"])),
        "span": _span_line(plan, spans),
        "zone": span_at(spans, plan["window"]["start"]["utc_ms"] / 1000)[2],
        "revision": plan["revision"],
        "changed": bool(plan["changes"]),
        "pan_zero": bearing(brief["zero_bearing_deg"]),
        "rail": _rail(brief, spans),
        "numbers": numbers,
        "labels": {name: WORDS["number." + name] for name in NUMBERS},
        "program": brief["rig"]["program_order"],
        "axes": [{key: axis[key] for key in ("name", "letter", "unit")} for axis in axes],
        "keyframes": keyframes,
        "set_order": [number - 1 for number in plan["move"]["set_order"]],
        "set_note": _set_note(plan, spans),
        "sky": [_event(event, spans) for event in plan["sky"]["events"]],
        "strip": _strip(plan, spans),
        "warnings": [_warning(warning, spans) for warning in plan["warnings"]],
        "checklist": [_section(section, numbers, keyframes, spans) for section in plan["checklist"]],
        "abort": brief["place"]["abort"],
        "notes": brief["shot"]["notes"],
    }


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


def _keyframe(keyframe: dict[str, Any], axes: list[dict[str, Any]], spans: Spans) -> dict[str, Any]:
    figures = {axis["name"]: _figure(keyframe["axes"][axis["name"]], axis) for axis in axes}
    return {
        "key": say("moment.keyframe", {"number": keyframe["number"]}, spans),
        "name": WORDS[keyframe["name"]],
        "on_rig": str(keyframe["rig_number"]),
        "frame": str(keyframe["nearest_frame"]),
        "clock": clock(keyframe["time"]["utc_ms"], spans),
        "axes": figures,
        "line": " · ".join(_with_unit(figures[axis["name"]], axis) for axis in axes),
        "aim": _aim(keyframe, spans),
        "sighting": keyframe["sighting"] or "",
    }


def _aim(keyframe: dict[str, Any], spans: Spans) -> str:
    aim = keyframe["aim"]
    if aim is None:
        return ""
    args = {"azimuth": keyframe["azimuth_deg"], "altitude": keyframe["altitude_deg"]}
    if "target" in aim:
        return say("line.aim-body", {**args, "body": "body." + aim["target"]}, spans)
    return say("line.aim-bearing", args, spans)


def _numbers(plan: dict[str, Any], axes: list[dict[str, Any]], spans: Spans) -> dict[str, str]:
    brief, timing, budget = plan["brief"], plan["timing"], plan["interval_budget"]
    steps = plan["move"]["largest_step"]
    rate, scale = timing["fps"]
    figures = [
        _with_unit(_figure(abs(steps[axis["name"]]["step"]), {**axis, "angle": False}, 1), axis)
        for axis in axes
    ]
    return {
        "interval": span_text(timing["interval_ms"]),
        "dwell": span_text(budget["dwell_ms"]),
        "frames": str(timing["frames"]),
        "hold": _both(brief["hold"]),
        "ease": _both(brief["ease"]),
        "first_frame": clock(plan["window"]["start"]["utc_ms"], spans),
        "last_closes": clock(plan["window"]["last_shutter_closes"]["utc_ms"], spans),
        "duration": span_text(timing["duration_ms"]),
        "clip": say("value.clip", {"clip": timing["clip_ms"] // 100 * 100, "fps": rate / scale}, spans),
        "largest_step": " · ".join(figures),
        "slack": _slack(budget["slack_ms"]),
    }


def _slack(ms: int) -> str:
    """To a tenth of a second, never rounded in the rig's favour."""
    tenths = ms // 100 * 100
    return MINUS + span_text(-tenths) if tenths < 0 else span_text(tenths)


def _both(pair: list[int]) -> str:
    """One number where start and end agree, else both."""
    return str(pair[0]) if pair[0] == pair[1] else f"{pair[0]} / {pair[1]}"


def _rail(brief: dict[str, Any], spans: Spans) -> str:
    rail = brief["rail"]
    if rail is None:
        return ""
    incline = rail["incline_deg"]
    slope = say("line.incline", {"incline": incline}, spans) if incline else WORDS["line.level"]
    args = {"bearing": rail["bearing_deg"], "home": "home." + rail["home_end"], "slope": slope}
    return say("line.rail", args, spans)


def _span_line(plan: dict[str, Any], spans: Spans) -> str:
    """The window by the clock; with dates where it crosses midnight, with both zones where clocks change."""
    args = {"start": plan["window"]["start"]["utc_ms"], "end": plan["window"]["end"]["utc_ms"]}
    start_s, end_s = args["start"] / 1000, args["end"] / 1000
    if span_at(spans, start_s) != span_at(spans, end_s):
        return say("line.window-zones", args, spans)
    same_day = local_day(spans, start_s) == local_day(spans, end_s)
    return say("line.window" if same_day else "line.window-dates", args, spans)


def _set_note(plan: dict[str, Any], spans: Spans) -> str:
    move = plan["move"]
    args = {"last": len(plan["keyframes"]), "back": floor(move["travel_back_s"] + 0.999) * 1000}
    return say("set." + move["order"], args, spans)


def _event(event: dict[str, Any], spans: Spans) -> dict[str, str]:
    return {
        "name": WORDS["event." + event["event"]],
        "clock": clock(event["time"]["utc_ms"], spans),
        "frame": str(floor(event["frame"])),
    }


def _strip(plan: dict[str, Any], spans: Spans) -> dict[str, Any]:
    frames = plan["timing"]["frames"]
    return {
        "frames": frames,
        "ruler": _ruler(frames),
        "tones": plan["sky"]["tones"],
        "moments": [_moment(moment, plan, spans) for moment in plan["moments"]],
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


def _moment(moment: dict[str, Any], plan: dict[str, Any], spans: Spans) -> dict[str, Any]:
    is_keyframe = moment["kind"] == "keyframe"
    number = moment["args"]["number"] if is_keyframe else 0
    label = (
        say(moment["id"], moment["args"], spans)
        if is_keyframe
        else WORDS["label." + moment["id"].split(".")[1]]
    )
    return {
        "side": moment["side"],
        "kind": moment["kind"],
        "frame": moment["frame"],
        "label": label,
        "clock": clock(moment["time"]["utc_ms"], spans),
        "detail": WORDS[plan["keyframes"][number - 1]["name"]] if is_keyframe else "",
    }


def _warning(warning: dict[str, Any], spans: Spans) -> dict[str, str]:
    parts = {part: say(f"{warning['id']}.{part}", warning["args"], spans) for part in ("head", "sum", "fix")}
    return {"level": warning["level"], **parts}


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
