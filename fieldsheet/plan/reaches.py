"""Axes out of reach at a keyframe, and the least change that brings them back.  Twin: app/core/reaches.js."""

from __future__ import annotations

from collections.abc import Iterator
from math import ceil, floor
from typing import Any

from .aim import aim_at, base_of, lens_of
from .keyframes import Setting, reach, to_step
from .pictured import targets_down
from .planned import Caution, Placed, caution

HALVINGS = 20
NUDGE = 1e-9


def beyond_limits(planned: Placed) -> Iterator[Caution]:
    """Axis values out of reach; not the pan and tilt to a target that is down: that is said on its own."""
    for index, (setting, is_down) in enumerate(zip(planned.settings, targets_down(planned), strict=True)):
        for name, axis in planned.brief["rig"]["axes"].items():
            value = setting.axes[name]
            over = max(axis["min"] - value, value - axis["max"])
            if over <= NUDGE or (is_down and name in ("pan", "tilt")):
                continue
            args = {"number": index + 1, "axis": name, "unit": "after." + axis["unit"]}
            limits = {"value": value, "min": axis["min"], "max": axis["max"]}
            mend = _zero(planned) if name == "pan" else _place(planned, index) if name == "tilt" else None
            far = {"id": "mend.over", "args": {"over": over, "unit": args["unit"]}}
            yield caution("no-go", "axis-limit", {**args, **limits, "mend": mend or far})


def beyond_cables(planned: Placed) -> Iterator[Caution]:
    """Pan beyond what its cables allow; between keyframes it goes no further than at them, however joined."""
    axis = planned.brief["rig"]["axes"].get("pan")
    if axis is None or axis["wrap_deg"] is None:
        return
    down = targets_down(planned)
    for number, (setting, is_down) in enumerate(zip(planned.settings, down, strict=True), start=1):
        pan, wrap = setting.axes["pan"], axis["wrap_deg"]
        within_limits = axis["min"] - NUDGE <= pan <= axis["max"] + NUDGE
        if abs(pan) > wrap + NUDGE and within_limits and not is_down:
            args = {"number": number, "pan": pan, "wrap": wrap, "over": abs(pan) - wrap}
            mend = _zero(planned) or {"id": "mend.cables", "args": {}}
            yield caution("no-go", "cable-wrap", {**args, "mend": mend})


def _zero(planned: Placed) -> dict[str, Any] | None:
    """The nearest pan zero, to a tenth of a degree, that brings all keyframes within reach; else None.

    Only of a level head that is aimed at every keyframe: with its zero then every pan moves by as much.
    """
    brief = planned.brief
    if base_of(brief) is not None or any(keyframe["aim"] is None for keyframe in brief["keyframes"]):
        return None
    low, high = reach(brief["rig"]["axes"]["pan"])
    pans = [setting.axes["pan"] for setting in planned.settings]
    least, most = max(pans) - high, min(pans) - low
    zero_deg = brief["zero_bearing_deg"]
    if least > 0:
        to_deg = ceil((zero_deg + least) * 10 - NUDGE) / 10
    else:
        to_deg = floor((zero_deg + most) * 10 + NUDGE) / 10
    if not least - NUDGE <= to_deg - zero_deg <= most + NUDGE:
        return None
    args = {"zero": to_deg - 360 * floor(to_deg / 360), "by": abs(to_deg - zero_deg)}
    return {"id": "mend.zero", "args": args}


def _place(planned: Placed, index: int) -> dict[str, Any] | None:
    """The nearest height in the frame that a keyframe's tilt can aim at; None where no height does."""
    aim, setting = planned.brief["keyframes"][index]["aim"], planned.settings[index]
    if aim is None:
        return None
    axis = planned.brief["rig"]["axes"]["tilt"]
    upwards = setting.axes["tilt"] > axis["max"]
    edge = 1.0 if upwards else -1.0
    if not _reaches(planned, setting, aim["x"], edge):
        return None
    bad, good = aim["y"], edge
    for _ in range(HALVINGS):
        middle = (bad + good) / 2
        if _reaches(planned, setting, aim["x"], middle):
            good = middle
        else:
            bad = middle
    y = ceil(good * 100 - NUDGE) / 100 if upwards else floor(good * 100 + NUDGE) / 100
    return {"id": "mend.tilt", "args": {"number": index + 1, "y": y}}


def _reaches(planned: Placed, setting: Setting, x: float, y: float) -> bool:
    """Whether the tilt that puts a keyframe's direction at a place in the frame can be set."""
    assert setting.azimuth_deg is not None and setting.altitude_deg is not None, "it is aimed"
    axis = planned.brief["rig"]["axes"]["tilt"]
    aimed = aim_at(setting.azimuth_deg, setting.altitude_deg, x, y, lens_of(planned.brief))
    if aimed is None:
        return False
    return bool(axis["min"] - NUDGE <= to_step(aimed[1], axis["step"]) <= axis["max"] + NUDGE)
