"""The exposure in words: what is set, the bands of clicks, trails.  Twin: app/core/sheet-exposure.js."""

from __future__ import annotations

from typing import Any

from .times import Clock
from .words import WORDS, say


def exposure_text(plan: dict[str, Any], at: Clock) -> dict[str, Any] | None:
    """{start, lines: [{name, text}], bands: [{frames, clock, does, reads, total, spare}]}; None without one.

    start: the setting of frame 1; a band's reads: the setting at its end; total: clicks since frame 1; spare:
    from a closed shutter to the next frame.
    """
    exposure = plan["exposure"]
    if exposure is None:
        return None
    check = exposure["turned_by"] == "automatic"
    return {
        "start": _setting(exposure["bands"][0]["from"]),
        "lines": [{"name": WORDS["exposed." + id], "text": text} for id, text in _lines(plan, at)],
        "bands": [_band(band, check, at) for band in exposure["bands"]],
    }


def _lines(plan: dict[str, Any], at: Clock) -> list[tuple[str, str]]:
    """(id of its name, text) of each line above the bands."""
    exposure = plan["exposure"]
    steepest, bright, dark = exposure["steepest"], exposure["bright"], exposure["dark"]
    light = {
        "stops": exposure["stops"],
        "rate": abs(steepest["ev_per_min"]),
        "clock": at(steepest["time"]["utc_ms"]),
        "frame": steepest["frame"],
    }
    bases = {
        "bright": bright["ev"],
        "bright_at": at(bright["time"]["utc_ms"]),
        "dark": dark["ev"],
        "dark_at": at(dark["time"]["utc_ms"]),
    }
    longest = {"open": exposure["longest_shutter_ms"], "given": plan["brief"]["longest_shutter_ms"]}
    shift = exposure["shift_ev"]
    return [
        *([("shift", say("exposed.shifted", {"shift": shift}, ()))] if shift else []),
        ("start", _setting(exposure["bands"][0]["from"])),
        ("who", WORDS["turned." + exposure["turned_by"]]),
        ("light", say("exposed.changes", light, ())),
        ("bases", say("exposed.between", bases, ())),
        ("target", WORDS["exposed.histogram"]),
        ("longest", say("exposed.open", longest, ())),
        *_trails(exposure["trails"]),
        *((f"{disc['body']}", say("exposed.disc", disc, ())) for disc in exposure["discs"]),
    ]


def _trails(trails: dict[str, Any]) -> list[tuple[str, str]]:
    """How far stars trail, and what the published rules say."""
    where = WORDS["exposed.core" if trails["is_core"] else "exposed.middle"]
    args = {**trails, "open": trails["open_ms"], "where": where}
    parts = [say("exposed.clip", args, ())]
    if trails["clip_edge_px"] is not None:
        parts.append(say("exposed.edge", args, ()))
    rules = [say("exposed.rule-500", args, ())]
    if trails["sensor_px"] is not None:
        parts.insert(0, say("exposed.sensor", args, ()))
        rules.append(say("exposed.rule-pixel", args, ()))
    text = say("exposed.trailing", {**args, "parts": ", ".join(parts)}, ())
    return [("trails", text), ("rules", " · ".join(rules))]


def _setting(setting: dict[str, Any]) -> str:
    return say("exposed.setting", setting, ())


def _band(band: dict[str, Any], check: bool, at: Clock) -> dict[str, str]:
    """A row of the table; for checking, only what the camera should read."""
    frames = {"first": band["first_frame"], "last": band["last_frame"]}
    return {
        "frames": say("exposed.frames", frames, ()),
        "clock": at(band["time"]["utc_ms"]),
        "does": _does(band, check),
        "reads": _setting(band["to"]),
        "total": say("exposed.total", band, ()),
        "spare": say("exposed.spare", {"slack": band["slack_ms"] / 1000}, ()),
    }


def _does(band: dict[str, Any], check: bool) -> str:
    control, clicks = band["control"], abs(band["clicks"])
    if control is None:
        return WORDS["exposed.stay"]
    key = "f" if control == "aperture" else control
    args = {
        "way": f"click.{control}-{'more' if band['clicks'] > 0 else 'less'}",
        "every": band["every_frames"],
        "clicks": clicks,
        "from": band["from"][key],
        "to": band["to"][key],
    }
    ends = say(f"exposed.{control}-{'to' if clicks == 1 else 'from'}", args, ())
    if check:
        return ends
    if clicks == 1:
        return say("exposed.one", {**args, "ends": ends}, ())
    return say("exposed.each" if args["every"] == 1 else "exposed.every", {**args, "ends": ends}, ())
