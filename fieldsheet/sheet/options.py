"""What is said of a late start and of a shot that stopped: what to do, and each way to go on.

Twin: app/core/sheet-options.js.
"""

from __future__ import annotations

from typing import Any

from ..plan.opened import rungs_of
from ..plan.timing import MINUTE_MS
from .figures import HAND_DEG, both, figure, program, slack_text, unsigned, with_unit
from .times import Clock
from .words import WORDS, body_word, say, span_text

Axes = list[dict[str, Any]]
# Less than that is the rounding of what was computed.
EXACT = 1e-6
# Less would be printed as nothing.
SHOWN_DEG = 0.05


def late_text(plan: dict[str, Any], axes: Axes, at: Clock) -> dict[str, Any] | None:
    """{head, lines, steps, options} of a start that came late; None of any other."""
    late = plan["late"]
    if late is None:
        return None
    head = say("late.head", {"late": late["late_ms"], "start": at(late["start"]["utc_ms"])}, ())
    return {"head": head, "lines": [], "steps": [], "options": _options(late, plan, axes, at)}


def recovery_text(plan: dict[str, Any], axes: Axes, at: Clock) -> dict[str, Any] | None:
    """The same of a shot that stopped, with what to do first; None of one that did not."""
    recovery = plan["recovery"]
    if recovery is None:
        return None
    stands = _positions(recovery["stands"], axes)
    args = {
        "frame": recovery["frame"],
        "frames": recovery["frames"],
        "rolls": at(recovery["rolls"]["utc_ms"]),
        "gap": recovery["gap_ms"] // 1000 * 1000,  # nobody stopped it to the millisecond
        "missed": recovery["missed"],
        "shot": _tenths(recovery["shot_ms"]),
        "least": recovery["keying"][0],
        "most": recovery["keying"][1],
    }
    lines = [_line("so-far", say("recovery.so-far", args, ()))]
    return {
        "head": say("recovery.head", args, ()),
        "lines": [*lines, *([_line("stands", stands)] if stands else []), *_exposed(plan)],
        "steps": [say(step, args, ()) for step in recovery["steps"]],
        "options": _options(recovery, plan, axes, at),
    }


def _exposed(plan: dict[str, Any]) -> list[dict[str, str]]:
    """What the camera is set to as it rolls again, by the frame that is due then; none without a plan."""
    exposure, recovery = plan["exposure"], plan["recovery"]
    if exposure is None:
        return []
    due = recovery["frame"] + recovery["missed"] + 1
    rung = next(rung for first, rung in reversed(rungs_of(exposure)) if first <= due)
    f, shutter, iso, _ = plan["brief"]["exposure"]["ladder"][rung]
    id = "recovery.exposure" if due <= recovery["frames"] else "recovery.exposure-over"
    return [_line("exposure", say(id, {"f": f, "shutter": shutter, "iso": iso}, ()))]


def _options(told: dict[str, Any], plan: dict[str, Any], axes: Axes, at: Clock) -> list[dict[str, Any]]:
    return [
        _option(option, number, told, plan, axes, at)
        for number, option in enumerate(told["options"], start=1)
    ]


def _option(
    option: dict[str, Any], number: int, told: dict[str, Any], plan: dict[str, Any], axes: Axes, at: Clock
) -> dict[str, Any]:
    """A way to go on; why: what it fails by, "" of one that can be."""
    spans, why = plan["brief"]["place"]["zone"]["spans"], option["why"]
    head = say("option.head", {"number": number, "what": "option." + option["id"]}, ())
    words = "" if why is None else say("option.cannot", {"why": say(why["id"], why["args"], spans)}, ())
    if "frames" not in option:
        return {"head": head, "why": words, "lines": [], "keyframes": []}
    lines = [*_keyed(option, plan), *_comes_of_it(option, told, at), *_strays(option, axes)]
    mind = "; ".join(say(trouble["id"] + ".head", trouble["args"], spans) for trouble in option["troubles"])
    return {
        "head": head,
        "why": words,
        "lines": [*lines, _line("mind", mind)] if mind else lines,
        "keyframes": [_keyframe(keyframe, axes, at) for keyframe in option["keyframes"]],
    }


def _line(name: str, text: str) -> dict[str, str]:
    return {"name": WORDS["option.name." + name], "text": text}


def _keyed(option: dict[str, Any], plan: dict[str, Any]) -> list[dict[str, str]]:
    """The figures in the order of the rig's menu, how long that takes, and what an interval then spares."""
    still = len(option["keyframes"]) < 2
    numbers = {
        "interval": _intervals(option, "interval_ms"),
        "gap": "" if option["gap_ms"] is None else _intervals(option, "gap_ms"),
        "dwell": "" if option["dwell_ms"] is None else span_text(option["dwell_ms"]),
        "frames": str(option["frames"]),
        "hold": "" if still else both(option["hold"]),
        "ease": "" if still else both(option["ease"]),
    }
    names = program(plan["brief"], numbers)
    shown = names if "interval" in names or "gap" in names else ["interval", *names]
    keys = [say("option.key", {"name": "number." + name, "value": numbers[name]}, ()) for name in shown]
    args = {"least": option["minutes"][0], "most": option["minutes"][1]}
    takes = say("option.takes", args, ()) if args["most"] else WORDS["option.takes-none"]
    spare = slack_text(option["slack_ms"])
    return [_line("key", " · ".join(keys)), _line("takes", takes), _line("spare", spare)]


def _intervals(option: dict[str, Any], key: str) -> str:
    """The interval, or the gap of it, and from which frames on it is another."""
    first, *later = option["segments"]
    texts = [
        say("option.from", {"span": segment[key], "frame": segment["first_frame"]}, ()) for segment in later
    ]
    return ", ".join([span_text(first[key]), *texts])


def _comes_of_it(option: dict[str, Any], told: dict[str, Any], at: Clock) -> list[dict[str, str]]:
    """By the clock, the clip, and where the sun then stands."""
    later_ms = option["later_ms"]
    by = abs(later_ms) // MINUTE_MS * MINUTE_MS
    way = ("-later" if later_ms > 0 else "-earlier") if by else ""
    args = {"start": at(option["start"]["utc_ms"]), "end": at(option["end"]["utc_ms"]), "by": by}
    first_deg, last_deg = option["sun_deg"]
    return [
        _line("runs", say("option.runs" + way, args, ())),
        _line("clip", _clip(option, told)),
        _line("sun", say("option.sun", {"first": first_deg, "last": last_deg}, ())),
    ]


def _clip(option: dict[str, Any], told: dict[str, Any]) -> str:
    clip_ms = _tenths(option["clip_ms"])
    if "before" in option:
        so_far, whole = _tenths(told["shot_ms"]), _tenths(option["whole_ms"])
        id = "option.clip-second" if option["id"] == "second" else "option.clip-on"
        return say(id, {"clip": clip_ms, "so_far": so_far, "whole": whole}, ())
    fewer, times = told["frames"] - option["frames"], told["interval_ms"] / option["interval_ms"]
    id = "option.clip-fewer" if fewer else "option.clip-faster" if times > 1 else "option.clip"
    return say(id, {"clip": clip_ms, "fewer": fewer, "times": times}, ())


def _strays(option: dict[str, Any], axes: Axes) -> list[dict[str, str]]:
    """Of what goes on after a stop: the jumps in it, and how far the new move is from the planned one."""
    if "before" not in option:
        return []
    lines = [_line("sky", say("option.sky-jump", {"turned": option["sky_deg"]}, ()))]
    if not option["keyframes"]:
        return lines
    if option["skipped"]:
        jump = _positions(option["jump"], axes)
        lines.append(_line("move", say("option.jump", {"frames": option["skipped"], "jump": jump}, ())))
    off = [
        say("option.off-by", {**worst, "off": with_unit(unsigned(worst["off"], axis, 1), axis)}, ())
        for axis in axes
        if abs((worst := option["differs"][axis["name"]])["off"]) > EXACT
    ]
    return [*lines, _line("differs", ", ".join(off) if off else WORDS["option.as-planned"])]


def _keyframe(keyframe: dict[str, Any], axes: Axes, at: Clock) -> dict[str, str]:
    return {
        "key": say("moment.keyframe", {"number": keyframe["number"]}, ()),
        "name": WORDS[keyframe["name"]],
        "on_rig": str(keyframe["rig_number"]),
        "frame": str(keyframe["nearest_frame"]),
        "clock": at(keyframe["time"]["utc_ms"]),
        "line": _positions(keyframe["axes"], axes),
        "keyed": WORDS["option.keyed-" + (keyframe["keyed"] or "not")],
        "off": _off(keyframe),
        "aimed": _aimed(keyframe, axes),
    }


def _off(keyframe: dict[str, Any]) -> str:
    """How far a target then is from its place."""
    off = keyframe["off"]
    if off is None:
        return ""
    if off["deg"] is None or off["share"] is None:
        return say("line.aim-lost", {"what": body_word(keyframe["target"])}, ())
    args = {"body": keyframe["target"], "off": off["deg"], "share": off["share"] * 100}
    return say("option.off" if off["deg"] >= SHOWN_DEG else "option.on", args, ())


def _aimed(keyframe: dict[str, Any], axes: Axes) -> str:
    """Beside what is kept, what would aim at the target then; "" where no hand would set it better."""
    aimed, off = keyframe["aimed"], keyframe["off"]
    if aimed is None or (off["deg"] is not None and off["deg"] < HAND_DEG):
        return ""
    turning = [axis for axis in axes if axis["name"] in ("pan", "tilt")]
    return say("option.aimed", {"axes": _positions(aimed, turning)}, ())


def _positions(values: dict[str, float], axes: Axes) -> str:
    return " · ".join(with_unit(figure(values[axis["name"]], axis), axis) for axis in axes)


def _tenths(ms: int) -> int:
    return ms // 100 * 100
