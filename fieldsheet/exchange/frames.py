"""Every frame of a shot, for a machine: CSV by RFC 4180.  Twin: app/core/frames.js.

Columns: frame; time, local, ISO 8601 with the offset from UTC; each axis with its unit in the name, such as
slide_mm; then how far each moved since the frame before, such as step_slide_mm, 0 at the first.  Every number
has DECIMALS decimals and a point.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from ..plan.civil import stamp
from ..plan.move import path_of
from ..plan.pace import pace_of
from ..sheet.words import MINUS, fixed

DECIMALS = 4
LINE_END = "\r\n"


def frames_csv(plan: Mapping[str, Any]) -> str:
    """The table of a plan, with its line ends."""
    path, pace = path_of(plan), pace_of(plan["timing"])
    axes = {name: f"{name}_{axis['unit']}" for name, axis in plan["brief"]["rig"]["axes"].items()}
    lines = [",".join(("frame", "time", *axes.values(), *(f"step_{key}" for key in axes.values())))]
    before = path.at(1)
    for frame in range(1, plan["timing"]["frames"] + 1):
        utc_ms = pace.ms_of(frame)
        here = path.at(frame)
        values = [here[name] for name in axes] + [here[name] - before[name] for name in axes]
        local = stamp(plan["brief"]["place"]["zone"]["spans"], utc_ms)["local"]
        lines.append(",".join((str(frame), local, *(_number(value) for value in values))))
        before = here
    return LINE_END.join(lines) + LINE_END


def frames_file(plan: Mapping[str, Any]) -> bytes:
    """The same as a file."""
    return frames_csv(plan).encode()


def _number(value: float) -> str:
    return fixed(value, DECIMALS).replace(MINUS, "-")
