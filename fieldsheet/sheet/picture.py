"""What is in the frame, in words.  Twin: app/core/sheet-picture.js."""

from __future__ import annotations

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
        *_own_rig(shown["own_rig"], at),
        {"name": WORDS["picture.keep-out"], "text": _stay(plan)},
    ]


def _stay(plan: dict[str, Any]) -> str:
    """Where to be, and that lamps stay out until the last frame."""
    seen = plan["picture"]["keep_out"]
    if seen is None:
        return WORDS["picture.nowhere"]
    place = plan["brief"]["place"]
    return say("picture.stay", {key: by_compass(place, seen[key + "_deg"]) for key in ("from", "to")}, ())


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


def _own_rig(own: dict[str, Any] | None, at: Clock) -> list[Line]:
    if own is None:
        return []
    first = own["first"]
    text = WORDS["picture.rail-out"]
    if first is not None:
        args = {"end": "rail-end." + first["end"], "frame": first["frame"]}
        text = say("picture.rail-in", {**args, "clock": at(first["time"]["utc_ms"])}, ())
    return [{"name": WORDS["picture.rail-name"], "text": text}]
