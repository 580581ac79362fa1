"""What is said of each keyframe: settings, sighting, what shows.  Twin: app/core/sheet-keyframes.js."""

from __future__ import annotations

from math import floor
from typing import Any

from ..plan.aim import by_compass, looks_of
from ..plan.civil import Spans
from ..plan.timing import to_minute
from .figures import figure, with_unit
from .times import Clock
from .words import WORDS, bearing, body_word, fixed, say

# A fist at arm's length (common practice, no source).
FIST_DEG = 10.0
FEW_FISTS = {0.5: "half", 1.0: "one"}


def keyframe_text(
    keyframe: dict[str, Any], plan: dict[str, Any], axes: list[dict[str, Any]], at: Clock
) -> dict[str, Any]:
    """The texts of one keyframe; those that a keyframe does not have are ""."""
    brief = plan["brief"]
    spans = brief["place"]["zone"]["spans"]
    figures = {axis["name"]: figure(keyframe["axes"][axis["name"]], axis) for axis in axes}
    return {
        "key": say("moment.keyframe", {"number": keyframe["number"]}, spans),
        "name": WORDS[keyframe["name"]],
        "on_rig": str(keyframe["rig_number"]),
        "frame": str(keyframe["nearest_frame"]),
        "clock": at(keyframe["time"]["utc_ms"]),
        "axes": figures,
        "line": " · ".join(with_unit(figures[axis["name"]], axis) for axis in axes),
        "aim": _aim(keyframe, brief, spans),
        "sighting": _sighting(keyframe, plan),
        "waits": _waits(keyframe, spans),
        **_meant(keyframe["meant"], spans),
        "approach": approach(plan, keyframe["number"] - 1, axes),
        "also": _also(keyframe),
    }


def approach(plan: dict[str, Any], index: int, axes: list[dict[str, Any]], last: bool = False) -> str:
    """By way of which positions a keyframe is driven to, so that each axis comes the way it runs.

    last: on the way back to the first one, after all are set; "" where nothing is to be gone past.
    """
    rows = [row for row in plan["move"]["drives"] if row["number"] == index + 1]
    via = rows[-1 if last else 0]["via"] if rows else {}
    past = [with_unit(figure(via[axis["name"]], axis), axis) for axis in axes if axis["name"] in via]
    return say("line.approach", {"past": " · ".join(past)}, ()) if past else ""


def _aim(keyframe: dict[str, Any], brief: dict[str, Any], spans: Spans) -> str:
    """What the keyframe aims at and where in the delivered frame it stands; else where the lens looks."""
    aim = keyframe["aim"]
    if aim is None:
        looks = looks_of(brief, keyframe["axes"])
        return "" if looks is None else _looks(brief, *looks)
    args = {"azimuth": keyframe["azimuth_deg"], "altitude": keyframe["altitude_deg"]}
    if keyframe["x"] is None:
        what = body_word(aim["target"]) if "target" in aim else bearing(args["azimuth"])
        return say("line.aim-lost", {"what": what}, spans)
    azimuth = by_compass(brief["place"], keyframe["azimuth_deg"])
    args |= {"placed": _placed(keyframe["x"], keyframe["y"]), "azimuth": azimuth}
    if "target" in aim:
        return say("line.aim-body", {**args, "body": aim["target"]}, spans)
    return say("line.aim-bearing", args, spans)


def _placed(x: float, y: float) -> str:
    """Where it stands in the delivered frame: how much of the way from the middle to an edge, -1 to 1."""
    sides = (("left", "right", x), ("lower", "upper", y))
    parts = [
        say("placed." + (less if value < 0 else more), {"share": abs(value) * 100}, ())
        for less, more, value in sides
        if fixed(value * 100, 0) != "0"
    ]
    return say("placed.off", {"parts": ", ".join(parts)}, ()) if parts else WORDS["placed.middle"]


def _looks(brief: dict[str, Any], azimuth_deg: float, altitude_deg: float) -> str:
    azimuth = by_compass(brief["place"], azimuth_deg)
    return say("line.looks", {"azimuth": azimuth, "altitude": altitude_deg}, ())


def _sighting(keyframe: dict[str, Any], plan: dict[str, Any]) -> str:
    """The sighting that was written, or one by a landmark.

    A written sighting of a moving target is the printed night's: on another one the landmark's is given.
    """
    moves = keyframe["aim"] is not None and "target" in keyframe["aim"]
    landmark, written = keyframe["landmark"], keyframe["sighting"]
    if written and not (landmark and moves and plan["changes"]):
        return str(written)
    return "" if landmark is None else _beside(keyframe["aim"], landmark)


def _beside(aim: dict[str, Any] | None, landmark: dict[str, Any]) -> str:
    if landmark["x"] is not None:
        return say("sighting.inside", {key: landmark[key] for key in ("name", "x", "y")}, ())
    what = WORDS["sighting.middle" if aim is None else "sighting.aim"]
    if aim is not None and "target" in aim:
        what = body_word(aim["target"])
    across, up_deg = abs(landmark["right_deg"]), landmark["up_deg"]
    args = {"what": what, "across": across, "side": _side(landmark["right_deg"]), "name": landmark["name"]}
    id = "sighting.over" if across < 0.5 else "sighting.beside"
    if up_deg is None:
        return say(id, args, ())
    return say("sighting.high", {"place": say(id, args, ()), "height": _height(up_deg)}, ())


def _height(up_deg: float) -> str:
    """Fists, to the half."""
    fists = floor(abs(up_deg) / FIST_DEG * 2 + 0.5) / 2
    way = "up" if up_deg > 0 else "down"
    if fists == 0:
        return WORDS["height.level"]
    if fists in FEW_FISTS:
        return WORDS[f"height.{FEW_FISTS[fists]}-{way}"]
    return say("height." + way, {"fists": fists}, ())


def _waits(keyframe: dict[str, Any], spans: Spans) -> str:
    """Where the target stands, beside its place, when the keyframe is stored."""
    wait = keyframe["waits"]
    if wait is None:
        return ""
    return say("waits.at", {"clock": wait["time"]["utc_ms"], "place": waits_place(keyframe, wait)}, spans)


def waits_place(keyframe: dict[str, Any], wait: dict[str, Any]) -> str:
    """Where a target stands beside its place at the keyframe; or that it is not to be seen."""
    if not wait["seen"]:
        return say("waits.hidden", {"body": keyframe["aim"]["target"]}, ())
    args = {
        "body": keyframe["aim"]["target"],
        "across": abs(wait["right_deg"]),
        "side": _side(wait["right_deg"]),
        "up": abs(wait["up_deg"]),
        "where": "where.above" if wait["up_deg"] >= 0 else "where.below",
    }
    return say("waits.seen", args, ())


def _meant(meant: dict[str, Any] | None, spans: Spans) -> dict[str, str]:
    """How far a keyframe falls off what it is meant for; and, as there, with what would put it there."""
    if meant is None:
        return {"meant": "", "there": ""}
    args: dict[str, Any] = {"meant": meant}
    if meant["time"] is None:
        never = say("meant.never", args, spans)
        return {"meant": never, "there": never}
    args |= {"clock": meant["time"]["utc_ms"], "off": to_minute(abs(meant["off_ms"]))}
    args["side"] = "when.after" if meant["off_ms"] > 0 else "when.before"
    off = say("meant.off" if args["off"] else "meant.on", args, spans)
    offers = _offers(meant, spans) if args["off"] else []
    return {
        "meant": off,
        "there": say("meant.there", {"off": off, "offers": _one_of(offers)}, ()) if offers else off,
    }


def _offers(meant: dict[str, Any], spans: Spans) -> list[str]:
    start, end, split = meant["start"], meant["end"], meant["split"]
    told = []
    if start:
        told.append(say("meant.start-" + start["keeps"], {"to": start["time"]["utc_ms"]}, spans))
    if end:
        told.append(say("meant.end", {"to": end["time"]["utc_ms"]}, spans))
    if split:
        id = "meant.split" if split["free"] else "meant.parted"
        told.append(say(id, {"frame": split["frame"], "share": split["share"] * 100}, spans))
    return told


def _one_of(texts: list[str]) -> str:
    *others, last = texts
    return say("meant.or", {"others": ", ".join(others), "last": last}, ()) if others else last


def _side(right_deg: float) -> str:
    return "side.right" if right_deg >= 0 else "side.left"


def _also(keyframe: dict[str, Any]) -> str:
    if not keyframe["in_frame"]:
        return ""
    bodies = ", ".join(body_word(row["body"]) for row in keyframe["in_frame"])
    return say("line.also", {"bodies": bodies}, ())
