"""Plan -> Sheet: everything a person reads, as text.

The page, the card and the terminal show these strings and no others, so that they cannot disagree.  Numbers
are rounded to what a hand can set; frame positions in `strip` stay numbers, since they are drawn.

Twin of `changing`: app/core/sheet.js.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from math import floor
from typing import Any

from ..plan.aim import by_compass, looks_of
from ..plan.civil import Spans, day_number
from ..plan.supplies import added
from .dew import dew_lines
from .exposure import exposure_text
from .figures import axes_of, interval_lines, labels_of, numbers_of, program, usual_lines
from .keyframes import approach, keyframe_text
from .needs import need_text
from .options import late_text, recovery_text
from .phases import phase_lines
from .picture import captions, keep_out, picture_lines
from .power import power_lines, swap_texts
from .skylines import arch_lines, event_row, light_line, rolling_rows, sky_lines, strip_text
from .times import Clock, clocks, dated, span_line, when_text, zone_text
from .told import told
from .words import WORDS, bearing, compass, compass_short, day_text, say

Bearing = Callable[[Sequence[float | None]], str]


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
    keyframes = [keyframe_text(keyframe, plan, axes, at) for keyframe in plan["keyframes"]]
    needs = [need_text(need, spans) for need in plan["needs"]]
    lacking = {
        id: "; ".join(need["text"] for need in needs if need["met"] is met)
        for id, met in (("warning.need-unmet", False), ("warning.need-unknown", None))
    }
    warnings = [_warning(warning, lacking, spans) for warning in plan["warnings"]]
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
        **_zero(brief, spans),
        "zero_label": WORDS["zero.pan" if "pan" in brief["rig"]["axes"] else "zero.lens"],
        "zero_sighting": brief["zero_sighting"] or "",
        "zero_looks": _zero_looks(brief, spans),
        "rail": _rail(brief, spans, compass),
        "rail_runs": _rail_runs(brief),
        "rail_short": _rail(brief, spans, compass_short),
        "numbers": numbers,
        "labels": labels_of(plan, spans),
        "program": program(brief, numbers),
        "axes": [{key: axis[key] for key in ("name", "letter", "unit")} for axis in axes],
        "exposure": exposure_text(plan, at),
        "keyframes": keyframes,
        "ends_at": keyframes[-1]["line"] if keyframes else "",
        "set_order": [number - 1 for number in plan["move"]["set_order"]],
        "set_note": _set_note(plan, axes, spans),
        "late": late_text(plan, axes, on_day),
        "recovery": recovery_text(plan, axes, on_day),
        "interval_lines": [*interval_lines(plan, at), *usual_lines(plan)],
        "phases": phase_lines(plan, at),
        "deadlines": _deadlines(plan, on_day),
        "limits": [
            {"label": say("limit." + row["id"], row, spans), "clock": on_day(row["time"]["utc_ms"])}
            for row in plan["place"]["limits"]
        ],
        "sky": [event_row(event, plan["timing"]["frames"], at) for event in plan["sky"]["events"]],
        "sky_lines": sky_lines(plan["sky"], at),
        "arch_lines": [*arch_lines(plan["sky"]["arch"]), light_line(plan["light"])],
        "strip": strip_text(plan, at),
        "picture": picture_lines(plan, at),
        "keep_out": keep_out(plan),
        "captions": captions(plan, keyframes, at),
        "rolling": rolling_rows(plan, spans, at),
        "needs": needs,
        "power": power_lines(plan, numbers["swap"], at),
        "swaps": swap_texts(plan, at),
        "dew": dew_lines(plan, at),
        "warnings": warnings,
        "minds": _minds(warnings),
    }


def _deadlines(plan: dict[str, Any], at: Clock) -> list[dict[str, str]]:
    """By when each thing is done before frame 1; a shot that stands still is framed once, not stored."""
    names = {"stored": "framed"} if len(plan["keyframes"]) < 2 else {}
    return [
        {"label": WORDS["deadline." + names.get(row["id"], row["id"])], "clock": at(row["time"]["utc_ms"])}
        for row in plan["window"]["deadlines"]
    ]


def _zero(brief: dict[str, Any], spans: Spans) -> dict[str, str]:
    """The zero's bearing on a compass, "" where none is known, and beside the true one."""
    true, declination = by_compass(brief["place"], brief["zero_bearing_deg"])
    if true is None or declination is None:
        return {"zero_magnetic": "", "zero_both": bearing(brief["zero_bearing_deg"])}
    args = {"true": true, "magnetic": true - declination}
    return {"zero_magnetic": say("zero.magnetic", args, spans), "zero_both": say("zero.both", args, spans)}


def _zero_looks(brief: dict[str, Any], spans: Spans) -> str:
    """Where pan 0 (or the lens) looks, by compass and by its sighting."""
    looks = compass(by_compass(brief["place"], brief["zero_bearing_deg"]))
    if not brief["zero_sighting"]:
        return looks
    return say("zero.sighted", {"looks": looks, "sighting": brief["zero_sighting"]}, spans)


def _rail_runs(brief: dict[str, Any]) -> str:
    rail = brief["rail"]
    if rail is None or rail["bearing_deg"] is None:
        return ""
    return compass(by_compass(brief["place"], rail["bearing_deg"]))


def _rail(brief: dict[str, Any], spans: Spans, written: Bearing) -> str:
    """How the rail lies, as seen from behind it, its bearing written long or short."""
    rail = brief["rail"]
    if rail is None:
        return ""
    incline, motor = rail["incline_deg"], rail["motor_end"]
    slope = WORDS["line.level"]
    if incline:
        slope = say("line.home-low" if incline > 0 else "line.home-high", {"incline": abs(incline)}, spans)
    id = "line.rail" if abs(incline) < 90 else "line.rail-upright"
    args = {"home": "home." + rail["home_end"], "slope": slope}
    if rail["bearing_deg"] is not None:
        args["bearing"] = written(by_compass(brief["place"], rail["bearing_deg"]))
    if motor is None:
        return say(id, args, spans)
    return say(id + "-motor", {**args, "motor": "home." + motor}, spans)


def _set_note(plan: dict[str, Any], axes: list[dict[str, Any]], spans: Spans) -> str:
    """In which order the keyframes are set, and what follows from it."""
    move = plan["move"]
    looks = looks_of(plan["brief"], {})
    if not plan["keyframes"] and looks is not None:
        looked = by_compass(plan["brief"]["place"], looks[0])
        return say("set.looks", {"azimuth": looked, "altitude": looks[1]}, spans)
    if len(plan["keyframes"]) < 2:
        return WORDS["set.still"]
    args: dict[str, Any] = {
        "last": len(plan["keyframes"]),
        "back": floor(move["travel_back_s"] + 0.999) * 1000,
    }
    back = approach(plan, 0, axes, True) if move["order"] == "first-to-last" else ""
    reversed_ = WORDS["set.reversed"] if plan["brief"]["reverse"] else ""
    rig = next((supply for supply in plan["power"]["supplies"] if supply["id"] == "rig"), None)
    args["taken"] = say("set.taken", {"taken": added(rig["phases"]["back"].values())}, ()) if rig else ""
    note = say("set." + move["order"], args, spans)
    return " ".join(filter(None, (note, back and say("set.back", {"past": back}, ()), reversed_)))


def _minds(warnings: Sequence[dict[str, str]]) -> str:
    """What is to be minded, gathered in a line: "3 to mind: core, moon"; "" where it is one thing or none."""
    about = [warning["about"] for warning in warnings if warning["level"] == "mind"]
    args = {"count": len(about), "about": ", ".join(dict.fromkeys(about))}
    return say("level.minds", args, []) if len(about) > 1 else ""


def _warning(warning: dict[str, Any], lacking: dict[str, str], spans: Spans) -> dict[str, str]:
    """A warning in its parts; lacking: the texts of needs for the two that tell them, by id."""
    args = {**warning["args"], "needs": lacking.get(warning["id"])}
    texts = ("about", "head", "sum", "fix")
    parts = {part: say(f"{warning['id']}.{part}", args, spans) for part in texts}
    return {"level": warning["level"], "word": WORDS["level." + warning["level"]], **parts}
