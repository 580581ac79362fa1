"""Plan -> Sheet: everything a person reads, as text.

The page, the card and the terminal show these strings and no others, so that they cannot disagree.  Numbers
are rounded to what a hand can set; frame positions in `strip` stay numbers, since they are drawn.

Twin of `changing`: app/core/sheet.js.
"""

from __future__ import annotations

from math import floor
from typing import Any

from ..plan.aim import axis_of
from ..plan.civil import Spans, day_number
from .figures import axes_of, labels_of, numbers_of, program
from .keyframes import keyframe_text
from .skylines import event_row, rolling_rows, sky_lines, strip_text
from .times import Clock, clocks, dated, span_line, when_text, zone_text
from .told import told
from .words import WORDS, bearing, day_text, say


def make_sheet(plan: dict[str, Any]) -> dict[str, Any]:
    """Every text of a plan; shape as the page, the card and the terminal read it. Pure."""
    sheet = changing(plan)
    return {**sheet, **told(plan, sheet)}


def changing(plan: dict[str, Any]) -> dict[str, Any]:
    """The texts that another night or another start may change, and what they stand beside."""
    brief = plan["brief"]
    spans = brief["place"]["zone"]["spans"]
    axes = axes_of(brief)
    at = clocks(plan, spans)
    on_day = dated(plan, spans, at)
    numbers = numbers_of(plan, axes, at)
    return {
        "letter": brief["rig"]["letter"],
        "title": plan["shot"]["title"],
        "place": plan["place"]["title"],
        "rig": brief["rig"]["title"],
        "camera": brief["camera"]["title"],
        "night": day_text(day_number(plan["window"]["night"])),
        "night_date": plan["window"]["night"],
        "when": when_text(plan, spans),
        "span": span_line(plan, spans),
        "zone": zone_text(plan, spans),
        "revision": plan["revision"],
        "changed": bool(plan["changes"]),
        "pan_zero": bearing(brief["zero_bearing_deg"]),
        "zero_label": WORDS["zero.pan" if "pan" in brief["rig"]["axes"] else "zero.lens"],
        "zero_sighting": brief["zero_sighting"] or "",
        "rail": _rail(brief, spans),
        "numbers": numbers,
        "labels": labels_of(plan, spans),
        "program": program(brief, numbers),
        "axes": [{key: axis[key] for key in ("name", "letter", "unit")} for axis in axes],
        "keyframes": [keyframe_text(keyframe, plan, axes, at) for keyframe in plan["keyframes"]],
        "set_order": [number - 1 for number in plan["move"]["set_order"]],
        "set_note": _set_note(plan, spans),
        "deadlines": _deadlines(plan, on_day),
        "limits": [
            {"label": say("limit." + row["id"], row, spans), "clock": on_day(row["time"]["utc_ms"])}
            for row in plan["place"]["limits"]
        ],
        "sky": [event_row(event, plan["timing"]["frames"], at) for event in plan["sky"]["events"]],
        "sky_lines": sky_lines(plan["sky"], at),
        "strip": strip_text(plan, at),
        "rolling": rolling_rows(plan, spans, at),
        "warnings": [_warning(warning, spans) for warning in plan["warnings"]],
    }


def _deadlines(plan: dict[str, Any], at: Clock) -> list[dict[str, str]]:
    """By when each thing is done before frame 1; a shot that stands still is framed once, not stored."""
    names = {"stored": "framed"} if len(plan["keyframes"]) < 2 else {}
    return [
        {"label": WORDS["deadline." + names.get(row["id"], row["id"])], "clock": at(row["time"]["utc_ms"])}
        for row in plan["window"]["deadlines"]
    ]


def _rail(brief: dict[str, Any], spans: Spans) -> str:
    """How the rail lies, as seen from behind it."""
    rail = brief["rail"]
    if rail is None:
        return ""
    incline, motor = rail["incline_deg"], rail["motor_end"]
    slope = WORDS["line.level"]
    if incline:
        slope = say("line.home-low" if incline > 0 else "line.home-high", {"incline": abs(incline)}, spans)
    id = "line.rail" if abs(incline) < 90 else "line.rail-upright"
    args = {"bearing": rail["bearing_deg"], "home": "home." + rail["home_end"], "slope": slope}
    if motor is None:
        return say(id, args, spans)
    return say(id + "-motor", {**args, "motor": "home." + motor}, spans)


def _set_note(plan: dict[str, Any], spans: Spans) -> str:
    """In which order the keyframes are set, and what follows from it."""
    move = plan["move"]
    looks = axis_of(plan["brief"], {})
    if not plan["keyframes"] and looks is not None:
        return say("set.looks", {"azimuth": looks[0], "altitude": looks[1]}, spans)
    if len(plan["keyframes"]) < 2:
        return WORDS["set.still"]
    args = {"last": len(plan["keyframes"]), "back": floor(move["travel_back_s"] + 0.999) * 1000}
    return say("set." + move["order"], args, spans)


def _warning(warning: dict[str, Any], spans: Spans) -> dict[str, str]:
    parts = {part: say(f"{warning['id']}.{part}", warning["args"], spans) for part in ("head", "sum", "fix")}
    return {"level": warning["level"], "word": WORDS["level." + warning["level"]], **parts}
