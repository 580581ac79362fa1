"""What is in the frame, in words.  Twin: app/core/sheet-picture.js."""

from __future__ import annotations

from collections.abc import Sequence
from math import ceil, floor, radians, tan
from typing import Any

from ..plan.aim import by_compass, lens_of
from ..plan.onrail import LEVEL_ERROR_DEG
from .times import Clock
from .words import WORDS, say

# Farther off, the way of a slide is hardly to be seen (common practice, no source).
FAR_M = 10.0

Line = dict[str, str]


def picture_lines(plan: dict[str, Any], at: Clock) -> list[Line]:
    """What is followed, what comes into the frame, how the horizon lies, what the rail does: {name, text}."""
    shown = plan["picture"]
    return [
        *(_tracked(row, at) for row in shown["tracked"]),
        *_inside(plan, at),
        *_lean(plan, at),
        *_foreground(shown["foreground"]),
        *_sag(shown["sag"]),
        *_own_rig(shown["own_rig"], at),
        {"name": WORDS["picture.keep-out"], "text": _stay(plan)},
        *_by_hour(plan, at),
    ]


def captions(plan: dict[str, Any], keyframes: Sequence[Line], at: Clock) -> list[str]:
    """What stands over the drawing of each frame: a keyframe, or an end of what stands still."""
    if keyframes:
        return [say("view.caption", keyframe, ()) for keyframe in keyframes]
    rows = zip(("start", "end"), plan["picture"]["views"], strict=True)
    return [
        say("view.still-" + end, {"clock": at(view["time"]["utc_ms"]), "frame": view["frame"]}, ())
        for end, view in rows
    ]


def keep_out(plan: dict[str, Any]) -> str:
    """The sector that the lens sees over the shot, as short as it can be told."""
    return _sector(plan, plan["picture"]["keep_out"])


def _stay(plan: dict[str, Any]) -> str:
    """Where to be, and that lamps stay out until the last frame."""
    seen = plan["picture"]["keep_out"]
    if seen["from_deg"] is None:
        return WORDS["picture.nowhere"]
    place = plan["brief"]["place"]
    return say("picture.stay", {key: by_compass(place, seen[key + "_deg"]) for key in ("from", "to")}, ())


def _by_hour(plan: dict[str, Any], at: Clock) -> list[Line]:
    """The sector of each hour, where it does not stay the same."""
    rows = plan["picture"]["keep_out"]["by_hour"]
    sectors = [_sector(plan, row) for row in rows]
    if all(sector == sectors[0] for sector in sectors):
        return []
    hours = [{key: at(row[key]["utc_ms"]) for key in ("from", "until")} for row in rows]
    return [
        {"name": say("picture.hour", hour, ()), "text": sector}
        for hour, sector in zip(hours, sectors, strict=True)
    ]


def _sector(plan: dict[str, Any], seen: dict[str, Any]) -> str:
    if seen["from_deg"] is None:
        return WORDS["picture.round"]
    place = plan["brief"]["place"]
    return say("picture.sector", {key: by_compass(place, seen[key + "_deg"]) for key in ("from", "to")}, ())


def _tracked(row: dict[str, Any], at: Clock) -> Line:
    worst = row["worst"]
    args = {"body": row["target"], "number": row["number"], "next": row["number"] + 1}
    name = say("picture.kept", args, ())
    told = {"frame": worst["frame"], "clock": at(worst["time"]["utc_ms"])}
    if worst["share"] is None:
        return {"name": name, "text": say("picture.kept-lost", told, ())}
    told |= {"share": worst["share"] * 100, "right": worst["right"] * 100, "up": worst["up"] * 100}
    told["px"] = "" if worst["px"] is None else say("picture.px", {"px": worst["px"]}, ())
    return {"name": name, "text": say("picture.kept-off", told, ())}


def _inside(plan: dict[str, Any], at: Clock) -> list[Line]:
    behind = "ridge" if plan["brief"]["place"]["horizon"] else "horizon"
    lines = [
        {
            "name": say("picture.shown", {"body": row["body"]}, ()),
            "text": "; ".join(_span(span, behind, at) for span in row["spans"]),
        }
        for row in plan["picture"]["inside"]
        if row["spans"]
    ]
    return lines or [{"name": WORDS["picture.bodies"], "text": WORDS["picture.none"]}]


def _span(span: dict[str, Any], behind: str, at: Clock) -> str:
    """A stay in the frame: its frames, how it begins, what is touched, how it ends."""
    frames = {"first": ceil(span["from"]["frame"]), "last": floor(span["until"]["frame"])}
    came = _said("picture.from-" + span["from"]["by"], span["from"], ceil, at)
    met = [_said(f"picture.{row['way']}-{behind}", row, ceil, at) for row in span["touches"]]
    went = _said("picture.until-" + span["until"]["by"], span["until"], floor, at)
    return ", ".join([say("picture.frames", frames, ()), came, *met, went])


def _said(id: str, row: dict[str, Any], whole: Any, at: Clock) -> str:
    return say(id, {"frame": whole(row["frame"]), "clock": at(row["time"]["utc_ms"])}, ())


def _lean(plan: dict[str, Any], at: Clock) -> list[Line]:
    lean, lens = plan["picture"]["lean"], lens_of(plan["brief"])
    raised = tan(radians(LEVEL_ERROR_DEG)) * lens.half_width / lens.half_height
    error = {"raised": raised * 100, "swing": lean["swing_deg"]}
    id = "picture.level-off" if lean["swing_deg"] < 0.05 else "picture.level-swings"
    lines = [{"name": WORDS["picture.level-name"], "text": say(id, error, ())}]
    if lean["worst"] is None:
        return lines
    worst = {"clock": at(lean["worst"]["time"]["utc_ms"]), "frame": lean["worst"]["frame"]}
    rolls = ", ".join(
        say("picture.roll", {"number": number, "roll": roll}, ())
        for number, roll in enumerate(lean["rolls"], start=1)
    )
    args = {**worst, "rolls": rolls, "roll": lean["worst"]["roll_deg"]}
    return [{"name": WORDS["picture.lean-name"], "text": say("picture.lean", args, ())}, *lines]


def _foreground(near: dict[str, Any] | None) -> list[Line]:
    if near is None:
        return []
    id = "picture.near" if near["metres"] <= FAR_M else "picture.far"
    args = {"travel": near["travel_mm"] / 1000, "shift": near["shift_deg"], "widths": near["widths"]}
    name = say("picture.near-name", {"metres": near["metres"]}, ())
    return [{"name": name, "text": say(id, args, ())}]


def _sag(sag: dict[str, Any] | None) -> list[Line]:
    if sag is None:
        return []
    px = "" if sag["px"] is None else say("picture.px", {"px": sag["px"]}, ())
    text = say("picture.sag", {"share": sag["share"] * 100, "px": px}, ())
    return [{"name": WORDS["picture.sag-name"], "text": text}]


def _own_rig(own: dict[str, Any], at: Clock) -> list[Line]:
    """What of the rig was looked for, and the first frame that shows it."""
    return [_own(part, own[part], at) for part in own["looked_for"]]


def _own(part: str, first: dict[str, Any] | None, at: Clock) -> Line:
    name, text = WORDS["picture.own-" + part], WORDS["picture.own-out"]
    if first is not None:
        args = {**first, "end": f"rail-end.{first.get('end')}", "clock": at(first["time"]["utc_ms"])}
        text = say(f"picture.{part}-in", args, ())
    return {"name": name, "text": text}
