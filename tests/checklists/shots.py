"""Briefs by hand, as far as the checklist reads them, and a plan that fits.  All of it is invented."""

from __future__ import annotations

import re
from typing import Any

from fieldsheet.checklists.checklist import checklist
from fieldsheet.checklists.words import WORDS

JOINTS = [
    {"name": "head", "seat": "carriage plate", "key": "arrow to the front", "lock": "half turn of the lever"},
    {"name": "slide motor", "seat": "right end of the rail", "key": "two pins", "lock": "both screws"},
]
CABLES: list[dict[str, Any]] = [
    {"name": "slide", "from": "slide motor", "to": "head, lower socket", "key": "white dot up", "fits": None},
    {
        "name": "shutter",
        "from": "head, upper socket",
        "to": "camera",
        "key": "flat side in",
        "fits": "camera",
    },
]
REMOTE = {"kind": "corded", "pair": "plugged in before power", "steers_by_tilt": False}
POWER: dict[str, Any] = {
    "supply": "12 V pack",
    "isolating_lead": False,
    "sleeps": False,
    "packs": [{"name": "A1", "seat": "strapped to the back leg"}],
}
LEVEL = {
    "bearing_deg": 300.0,
    "incline_deg": 0.0,
    "home_end": "left",
    "motor_end": "right",
    "payload_kg": None,
}
WORDED: dict[str, Any] = {
    "hazards": ["weed on the ramp", "swell runs up"],
    "abort": [],
    "access": [],
    "permit": None,
    "stays": None,
    "notes": [],
    "crew": [],
    "roles": {},
    "joints": [{**joint, "release": None} for joint in JOINTS],
    "cables": CABLES,
    "remote": REMOTE,
    "power": POWER,
    "shutter_by": "camera",
    "back_to_start": "menu, then the start key",
    "remote_plug": "three pins, left flap",
    "switch_off": [],
    "viewfinder": "optical",
    "file_roll": 9999,
    "pack": [],
    "house": [],
    "other_letters": [],
}
PROGRAM = ["frames", "interval", "dwell", "ease", "hold"]
RIG: dict[str, Any] = {
    "id": "rail-and-head",
    "title": "Rail and head",
    "letter": "A",
    "motion": "shoot-move-shoot",
    "trigger": "rig",
    "interval_means": "start to start",
    "position_after_power_loss": "lost",
    "program_order": PROGRAM,
    "power": None,
}


CAMERA: dict[str, Any] = {
    "id": "full-frame-14",
    "title": "Full frame, 14 mm",
    "focal_mm": 14.0,
    "cards": None,
    "widest_f": None,
    "noise_reduction": False,
}


DAMP = {"air_c": 7.0, "dew_point_c": 4.0, "humidity_pct": None}


def shot(
    axes: tuple[str, ...] = ("slide", "pan", "tilt"),
    keyframes: int | list[dict[str, Any]] = 3,
    order: str = "last-to-first",
    rail: dict[str, Any] | None = None,
    rig: dict[str, Any] | None = None,
    words: dict[str, Any] | None = None,
    **changes: Any,
) -> tuple[dict[str, Any], dict[str, Any]]:
    """A brief and its plan; `rail`, `rig`, `words` and the rest change what there is by default."""
    if isinstance(keyframes, int):
        keyframes = [{"aim": None, "sighting": None} for _ in range(keyframes)]
    brief = {
        "place": {"check_in": None, "declination": {"deg": -13.1, "weak": False}},
        "rig": {**RIG, "axes": {axis: {} for axis in axes}, **(rig or {})},
        "camera": CAMERA,
        "night": {"rule": "night", "date": "2027-06-05"},
        "start": {"event": "sunset", "offset_s": -4500},
        "setup_ms": 5_400_000,
        "rail": {**LEVEL, **(rail or {})} if "slide" in axes else None,
        "tilt_deg": None,
        "exposure": None,
        "phases": [],
        "swap": None,
        "heater": None,
        "dew": None,
        "deep_cold": False,
        "mains_hz": None,
        "zero_bearing_deg": 225.0,
        "zero_sighting": "harbour light",
        "order": order,
        "keyframes": keyframes,
        "words": {**WORDED, **(words or {})},
        **changes,
    }
    return brief, plan_of(brief)


def _supplies(brief: dict[str, Any]) -> list[dict[str, Any]]:
    """A rig that takes 12 Wh, from packs of 10."""
    packs = brief["rig"]["power"]["packs"] if brief["rig"]["power"] else []
    return [{"id": "rig", "total_wh": 12.0, "packs": [{"usable_wh": 10.0} for _ in packs]}][: len(packs)]


def plan_of(brief: dict[str, Any]) -> dict[str, Any]:
    """The part of a plan that the checklist reads."""
    numbers = list(range(1, len(brief["keyframes"]) + 1))
    reverse = brief["order"] == "last-to-first"
    names = {1: "keyframe.start", len(numbers): "keyframe.end"}
    return {
        "power": {"changes": [brief["swap"]] if brief["swap"] else [], "supplies": _supplies(brief)},
        "timing": {"duration_ms": 7_200_000},
        "move": {"set_order": numbers[::-1] if reverse else numbers},
        "keyframes": [
            {
                "number": number,
                "name": names.get(number, "keyframe.middle"),
                "rig_number": len(numbers) + 1 - number if reverse else number,
                "sighting": keyframe["sighting"],
            }
            for number, keyframe in enumerate(brief["keyframes"], start=1)
        ],
    }


def items(brief: dict[str, Any], plan: dict[str, Any], section: str | None = None) -> list[dict[str, Any]]:
    """Every item of the checklist, or of one section, in order."""
    parts = [part for part in checklist(brief, plan) if section in (None, part["name"])]
    return [item for part in parts for item in part["items"]]


def rules(brief: dict[str, Any], plan: dict[str, Any], section: str | None = None) -> list[str]:
    """The rule of every item, in order."""
    return [item["message"].removeprefix("item.") for item in items(brief, plan, section)]


def item_of(brief: dict[str, Any], plan: dict[str, Any], rule: str) -> dict[str, Any]:
    """The one item of this rule."""
    (found,) = [item for item in items(brief, plan) if item["message"] == "item." + rule]
    return found


SLOT = re.compile(r"\{([a-z_]+)(?:\|[a-z_]+[0-9]?)?\}")


def slots(*messages: str | None) -> set[str]:
    """The arguments that these messages name."""
    return {name for message in messages if message for name in SLOT.findall(WORDS[message])}


LATCH = {**JOINTS[0], "release": "the head drops forward"}
TWO_PACKS: dict[str, Any] = {
    "supply": "24 V",
    "isolating_lead": True,
    "sleeps": True,
    "packs": [{"name": "1", "seat": "left pouch"}, {"name": "2", "seat": "right pouch"}],
}
TWO_PLAIN: dict[str, Any] = {**POWER, "packs": [*POWER["packs"], {"name": "A2", "seat": "in the bag, warm"}]}
MAINS = {**POWER, "supply": "site socket, breaker known", "packs": []}
SWAP: dict[str, Any] = {"swap": {"from": {"frame": 121}, "until": {"frame": 301}}}
LOOSE = [{**cable, "fits": None} for cable in CABLES]
SIGHTED: list[dict[str, Any]] = [
    {"aim": {"target": "sun"}, "sighting": "chimney on the right third"} for _ in range(2)
]
UPRIGHT = {"bearing_deg": None, "incline_deg": 90.0, "home_end": "low", "motor_end": "high"}
HOUSE = {"section": "wrap", "text": "Gate shut", "note": "both bolts", "must": True, "role": "assistant"}

TILTED = {**REMOTE, "steers_by_tilt": True}
DUSK: dict[str, Any] = {"start": {"event": "astronomical dusk", "offset_s": 0}}

SHOTS: dict[str, tuple[dict[str, Any], dict[str, Any]]] = {
    "rail, pan and tilt": shot(),
    "first to last, sighted": shot(order="first-to-last", keyframes=SIGHTED),
    "steep rail with a swap": shot(
        rail={"incline_deg": 45.0, "motor_end": None, "payload_kg": 3.2},
        rig={"position_after_power_loss": "kept"},
        words={"power": TWO_PACKS, "back_to_start": None},
        **SWAP,
    ),
    "upright rail without pan": shot(
        axes=("slide", "tilt"),
        rail=UPRIGHT,
        words={
            "joints": [LATCH],
            "remote": {**REMOTE, "steers_by_tilt": True},
            "other_letters": ["B", "C"],
            "power": TWO_PLAIN,
        },
        zero_sighting=None,
        **SWAP,
    ),
    "upright rail, motor unnamed": shot(axes=("slide",), rail={**UPRIGHT, "motor_end": None}, tilt_deg=-4.0),
    "sloping rail, home high": shot(rail={"incline_deg": -12.0}),
    "level rail, motor unnamed": shot(rail={"motor_end": None}, zero_sighting=None),
    "head that runs on": shot(
        axes=("pan", "tilt"), keyframes=2, rig={"motion": "continuous"}, words={"power": MAINS}
    ),
    "pan alone, gap keyed": shot(
        axes=("pan",), keyframes=2, rig={"interval_means": "gap"}, zero_sighting=None, tilt_deg=5.0
    ),
    "pan on a rail": shot(axes=("slide", "pan"), words={"power": TWO_PLAIN}),
    "isolating lead, no swap": shot(words={"power": TWO_PACKS, "remote": {**REMOTE, "pair": None}}),
    "slide alone, sighted": shot(axes=("slide",), tilt_deg=8.0),
    "slide alone, by compass": shot(axes=("slide",), tilt_deg=8.0, zero_sighting=None),
    "no power of its own": shot(words={"power": None}),
    "no power, other rigs": shot(
        axes=("pan", "tilt"), words={"power": None, "other_letters": ["B"], "cables": []}
    ),
    "tilt alone": shot(axes=("tilt",), keyframes=1, zero_sighting=None),
    "tilt alone, sighted": shot(axes=("tilt",), keyframes=1),
    "one keyframe, sighted": shot(axes=("pan", "tilt"), keyframes=SIGHTED[:1]),
    "camera fires, bulb": shot(
        rig={"trigger": "camera", "position_after_power_loss": None},
        words={"shutter_by": "rig", "cables": LOOSE, "remote": TILTED},
        **SWAP,
    ),
    "no remote, no plug": shot(words={"remote": None, "remote_plug": None, "switch_off": ["focus stacking"]}),
    "still, wired": shot(
        axes=(),
        keyframes=0,
        rig={"motion": "none"},
        words={"pack": ["stool"], "other_letters": ["B"]},
        tilt_deg=3.0,
    ),
    "still, bare": shot(
        axes=(),
        keyframes=SIGHTED[:1],
        rig={"motion": "none", "trigger": "camera", "program_order": ["interval", "frames"]},
        words={
            "joints": [],
            "cables": [],
            "remote": None,
            "power": None,
            "back_to_start": None,
            "remote_plug": None,
        },
        tilt_deg=-12.0,
        zero_sighting=None,
    ),
    "house items": shot(words={"house": [HOUSE, {**HOUSE, "text": "Boots off", "note": None}]}),
    "checked out": shot(place={"check_in": {"with": "M. at the hut", "at": {"clock_s": 84600}}}),
    "by day": shot(night={"rule": "day", "date": "2027-06-05"}, words={"viewfinder": "none"}),
    "by permit, after dusk": shot(words={"permit": "slip in the lid of case 2"}, **DUSK),
    "camera fires, gap keyed": shot(rig={"trigger": "camera", "interval_means": "gap"}),
    "upright rail, no joints": shot(
        rail={**UPRIGHT, "payload_kg": 2.3},
        words={"joints": [], "remote": TILTED, "power": TWO_PLAIN},
        **SWAP,
    ),
    "watt-hours, heater and cards known": shot(
        rig={"power": {"packs": [{}], "can_swap": False}},
        camera={**CAMERA, "cards": {"card_gb": [64.0]}},
        heater={"heater_w": 5.0},
    ),
    "three packs of known watt-hours": shot(
        rig={"power": {"packs": [{}] * 3, "can_swap": True}},
        words={"power": {**TWO_PACKS, "packs": [*TWO_PACKS["packs"], {"name": "3", "seat": "in the car"}]}},
    ),
    **{
        f"turned by {name}": shot(exposure={"turned_by": name})
        for name in ("hand", "tether", "camera ramp", "automatic")
    },
    "mains light, at the lens's widest, a second exposure": shot(
        camera={**CAMERA, "widest_f": "2.8", "noise_reduction": True}, mains_hz=50
    ),
    "timed by the rig, at the lens's widest": shot(
        camera={**CAMERA, "widest_f": "2.8"}, words={"shutter_by": "rig"}
    ),
    "mains light, a lens that closes": shot(
        camera={**CAMERA, "widest_f": "2.8"},
        exposure={"turned_by": "hand", "ladder": [["4", "13", "100", 13_000]]},
        mains_hz=60,
    ),
    "interval that changes": shot(phases=[{}, {}]),
    "gap that changes": shot(rig={"interval_means": "gap"}, phases=[{}]),
    "camera fires, interval that changes": shot(rig={"trigger": "camera"}, phases=[{}]),
    "still, camera fires, interval that changes": shot(
        axes=(), keyframes=0, rig={"motion": "none", "trigger": "camera"}, tilt_deg=0.0, phases=[{}]
    ),
    "damp and deep cold": shot(dew=DAMP, deep_cold=True),
    "clamped": shot(
        axes=(), keyframes=0, rig={"motion": "none"}, words={"joints": [LATCH], "power": None}, tilt_deg=0.0
    ),
}
"""Shots that between them reach every rule."""
