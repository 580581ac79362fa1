"""The numbers of a sheet, and what they are called.  Twin: app/core/sheet-figures.js."""

from __future__ import annotations

from math import radians, tan
from typing import Any

from ..plan.aim import lens_of
from ..plan.civil import Spans, day_number, local_day
from ..plan.keyed import gap_ms
from ..plan.pace import pace_of
from .phases import phased, runs_text
from .power import lasts, stored, swaps_ahead
from .times import Clock
from .words import MINUS, WORDS, decimals_of, fixed, say, signed, span_text

NUMBERS = (
    "interval",
    "gap",
    "dwell",
    "frames",
    "hold",
    "ease",
    "first_frame",
    "latest_start",
    "lost",
    "last_closes",
    "swap",
    "shutter",
    "duration",
    "clip",
    "largest_step",
    "top_speed",
    "joins",
    "slack",
    "blur",
    "pace",
    "change",
    "view",
    "aim_error",
    "pack_lasts",
    "storage",
)
# More than this at once is seen as a jerk (common practice, no source).
JERK = 0.5
# Of a narrower view a whole degree is too much to round by.
NARROW_DEG = 10.0
# Nobody sets an angle better by hand (common practice, no source).
HAND_DEG = 0.5


def axes_of(brief: dict[str, Any]) -> list[dict[str, Any]]:
    """Name, letter, unit sign and decimals of each axis, in the rig's order."""
    return [
        {
            "name": name,
            "letter": axis["letter"],
            "unit": WORDS["unit." + axis["unit"]],
            "angle": axis["unit"] == "deg",
            "decimals": decimals_of(axis["step"]),
        }
        for name, axis in brief["rig"]["axes"].items()
    ]


def figure(value: float, axis: dict[str, Any], more: int = 0) -> str:
    """An axis value as it is set; angles carry their sign."""
    write = signed if axis["angle"] else fixed
    return write(value, axis["decimals"] + more)


def with_unit(text: str, axis: dict[str, Any]) -> str:
    """A figure between its axis's letter and unit."""
    return f"{axis['letter']} {text}{'' if axis['angle'] else ' '}{axis['unit']}"


def program(brief: dict[str, Any], numbers: dict[str, str]) -> list[str]:
    """The keys of the numbers that go into the rig's menu, in its order; some rigs key the gap."""
    names = [
        "gap" if name == "interval" and numbers["gap"] else name for name in brief["rig"]["program_order"]
    ]
    return [name for name in names if numbers[name]]


def _to_second(utc_ms: int, at: Clock) -> str:
    """A clock time with its seconds where it has some: a shot that stopped goes on when a frame was due."""
    over_ms = utc_ms % 60_000 // 1000 * 1000
    if not over_ms:
        return at(utc_ms)
    return say("value.to-second", {"clock": at(utc_ms // 60_000 * 60_000), "over": over_ms}, ())


def labels_of(plan: dict[str, Any], spans: Spans) -> dict[str, str]:
    """The names of the numbers; a clock time of another date than the night's own carries its date."""
    window = plan["window"]
    labels = {name: WORDS["number." + name] for name in NUMBERS}
    late = window["late"]
    if late and late["interval_ms"] < plan["timing"]["interval_ms"]:
        id = "number.latest-at" if late["gap_ms"] is None else "number.latest-gap"
        labels["latest_start"] = say(id, {"interval": late["interval_ms"], "gap": late["gap_ms"]}, spans)
    for name, key in (("first_frame", "start"), ("last_closes", "last_shutter_closes")):
        instant = window[key]["utc_ms"]
        if local_day(spans, instant / 1000) != day_number(window["night"]):
            labels[name] = say("number.on-day", {"label": labels[name], "instant": instant}, spans)
    return labels


def numbers_of(plan: dict[str, Any], axes: list[dict[str, Any]], at: Clock) -> dict[str, str]:
    """Every number by its key in NUMBERS; "" for one that this shot does not have."""
    brief, timing, budget = plan["brief"], plan["timing"], plan["interval_budget"]
    window, way = plan["window"], plan["move"]["way"]
    late = window["late"]
    rate, scale = timing["fps"]
    still = len(plan["keyframes"]) < 2
    steps = [with_unit(unsigned(way[axis["name"]]["step"], axis, 1), axis) for axis in axes]
    speeds = [
        with_unit(unsigned(way[axis["name"]]["top_speed"], axis, 2 if axis["angle"] else 1), axis)
        for axis in axes
    ]
    return {
        "interval": phased(plan, at, lambda interval_ms: interval_ms),
        "gap": "" if budget["gap_ms"] is None else phased(plan, at, lambda ms: gap_ms(brief, ms) or 0),
        "dwell": "" if budget["dwell_ms"] is None else span_text(budget["dwell_ms"]),
        "frames": str(timing["frames"]),
        "hold": "" if still else both(brief["hold"]),
        "ease": "" if still else both(brief["ease"]),
        "first_frame": _to_second(window["start"]["utc_ms"], at),
        "latest_start": at(late["start"]["utc_ms"]) if late else "",
        "lost": say("value.lost", {"interval": late["interval_ms"]}, ()) if late else "",
        "last_closes": at(window["last_shutter_closes"]["utc_ms"]),
        "swap": "; ".join(swaps_ahead(plan, at)[: max(len(plan["power"]["changes"]), 1)]),
        "shutter": span_text(brief["longest_shutter_ms"]),
        "duration": span_text(timing["duration_ms"]),
        "clip": say("value.clip", {"clip": timing["clip_ms"] // 100 * 100, "fps": rate / scale}, ()),
        "largest_step": "" if still else " · ".join(steps),
        "top_speed": "" if still else say("value.top-speed", {"speeds": " · ".join(speeds)}, ()),
        "joins": WORDS["value.joins-" + plan["move"]["joins"]] if len(plan["keyframes"]) > 2 else "",
        "slack": _least_slack(plan, at),
        "blur": _blur(budget),
        **_look(plan["move"]["look"]),
        "view": _view(brief),
        "aim_error": _aim_error(brief),
        "pack_lasts": lasts(plan, at),
        "storage": stored(plan["storage"]),
    }


def unsigned(value: float, axis: dict[str, Any], more: int) -> str:
    """The size of an axis value, with `more` decimals than it is set to, or up to two on where it read 0."""
    texts = [figure(abs(value), {**axis, "angle": False}, more + extra) for extra in range(3)]
    return next((text for text in texts if text.strip("0.")), texts[0])


def _blur(budget: dict[str, Any]) -> str:
    """Of a rig that moves while it exposes, else ""."""
    if budget["blur_px"] is None:
        return ""
    args = {"pixels": budget["blur_px"], "angle": budget["shutter_angle_deg"], "frame": budget["blur_frame"]}
    return say("value.blur", args, ())


def _look(look: dict[str, Any] | None) -> dict[str, str]:
    """How fast the picture passes and where its speed jumps; "" of one that stands still or passes evenly."""
    if look is None:
        return {"pace": "", "change": ""}
    args = {"seconds": look["seconds_per_frame_width"], "widths": look["frame_widths_per_s"]}
    share, frame = look["largest_change"]["share"], look["largest_change"]["frame"]
    changed = {"share": share * 100, "frame": frame}
    id = "value.change-jerk" if share > JERK else "value.change"
    return {
        "pace": say("value.pace", {**args, "frame": look["fastest_frame"]}, ()),
        "change": say(id, changed, ()) if frame is not None else "",
    }


def interval_lines(plan: dict[str, Any], at: Clock) -> list[dict[str, str]]:
    """What of an interval camera and rig take, each in one line, the camera's first; and at which frame."""
    budget = plan["interval_budget"]
    rig = "interval.rig" if budget["dwell_ms"] is not None else "interval.rig-moving"
    lines = [("camera", say("interval.camera", budget, ()))]
    if plan["brief"]["rig"]["axes"]:
        lines.append(("rig", say(rig, budget, ())))
    frame = budget["frame"]
    if frame is not None:
        args = {"frame": frame, "clock": at(pace_of(plan["timing"]).ms_of(frame))}
        lines.append(("worst", say("interval.worst", {**args, "interval": budget["interval_ms"]}, ())))
    runs = runs_text(plan)
    if runs:
        lines.append(("runs", runs))
    return [{"name": WORDS["interval.name." + name], "text": text} for name, text in lines]


def usual_lines(plan: dict[str, Any]) -> list[dict[str, str]]:
    """What interval is usual for what the shot is of, beside its own; none where nobody says."""
    subject = plan["brief"]["subject"]
    if subject is None:
        return []
    args = {"least": subject["least_ms"], "most": subject["most_ms"], "subject": subject["name"]}
    text = say("interval.usual", {**args, "interval": plan["timing"]["interval_ms"]}, ())
    return [{"name": WORDS["interval.name.usual"], "text": text}]


def _view(brief: dict[str, Any]) -> str:
    """The angles of view of the delivered frame, and what it takes of the sensor."""
    across, up = lens_of(brief).view_deg()
    width, height = brief["frame_mm"]
    sensor_width, sensor_height = brief["camera"]["sensor_mm"]
    decimals = 0 if min(across, up) >= NARROW_DEG else 1
    args = {
        "across": fixed(across, decimals),
        "up": fixed(up, decimals),
        "width": width,
        "height": height,
        "sensor_width": sensor_width,
        "sensor_height": sensor_height,
        "held": "held.landscape" if sensor_width >= sensor_height else "held.portrait",
        "projection": "projection." + brief["camera"]["projection"],
    }
    return say("value.view", args, ())


def _aim_error(brief: dict[str, Any]) -> str:
    """By what part of the frame's width a slip of the hand moves its middle."""
    lens = lens_of(brief)
    moved = tan(radians(HAND_DEG)) if lens.projection == "rectilinear" else radians(HAND_DEG)
    return say("value.aim-error", {"share": moved / (2 * lens.half_width) * 100}, ())


def _least_slack(plan: dict[str, Any], at: Clock) -> str:
    """What an interval has to spare at the worst frame, and which that is."""
    budget = plan["interval_budget"]
    slack, frame = slack_text(budget["slack_ms"]), budget["frame"]
    if frame is None:
        return slack
    clock = at(pace_of(plan["timing"]).ms_of(frame))
    return say("value.slack-at", {"slack": slack, "frame": frame, "clock": clock}, ())


def slack_text(ms: int) -> str:
    """To a tenth of a second, from a minute on to a second, never rounded in the rig's favour."""
    step_ms = 100 if abs(ms) < 60_000 else 1000
    whole_ms = ms // step_ms * step_ms
    return MINUS + span_text(-whole_ms) if whole_ms < 0 else span_text(whole_ms)


def both(pair: list[int]) -> str:
    """Frames; one number where start and end agree, else both."""
    if pair[0] == pair[1]:
        return say("value.frames", {"frames": pair[0]}, ())
    return say("value.frames-both", {"first": pair[0], "last": pair[1]}, ())
