"""A rig whose packs are known to the watt-hour, and what is told of them."""

from __future__ import annotations

from typing import Any

from fieldsheet.plan.plan import plan
from fieldsheet.sheet.sheet import changing
from fieldsheet.sky.sky import Sky

TOLD = ("pack", "swap", "camera", "heater", "peak", "payload", "cards")
COLD = [[-20.0, 0.5], [20.0, 1.0]]


def pack(name: str | None, wh: float) -> dict[str, Any]:
    """A pack of which so many Wh can be used."""
    held = {"name": name, "rated_wh": wh, "efficiency": 1.0, "reserve": 0.0, "cold": COLD}
    return {**held, "cell_v": 3.7, "output_w": 30.0}


def fed(demo_brief: dict[str, Any]) -> dict[str, Any]:
    """The demo's dusk shot, 753 frames of 18 s at 10 W: 37.65 Wh, and 9 before frame 1."""
    axes = demo_brief["rig"]["axes"]
    power = {
        **dict.fromkeys(("up", "down", "holding"), []),
        "electronics_w": 10.0,
        "holding_w": 0.0,
        "moving_wh": dict.fromkeys(axes, 0.0),
        "peak_w": 20.0,
        "payload_kg": None,
        "can_swap": True,
        "packs": [pack("A1", 40.0), pack("A2", 40.0)],
    }
    demo_brief["rig"]["power"] = power
    demo_brief["camera"] |= {"battery": None, "cards": None}
    return {**demo_brief, "needs": [], "swap": None, "heater": None, "temperature_c": 20.0}


def plan_of(brief: dict[str, Any], sky: Sky) -> dict[str, Any]:
    return plan(brief, sky, {})


def told_of(brief: dict[str, Any], sky: Sky) -> dict[str, list[str]]:
    """Head, sum and fix of each warning of power and storage, by its id."""
    computed = plan_of(brief, sky)
    sheet = changing({**computed, "revision": "0"})
    pairs = zip(computed["warnings"], sheet["warnings"], strict=True)
    return {
        warning["id"].removeprefix("warning."): [text["level"], text["head"], text["sum"], text["fix"]]
        for warning, text in pairs
        if warning["id"].removeprefix("warning.").startswith(TOLD)
    }
