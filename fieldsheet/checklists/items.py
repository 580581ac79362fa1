"""Rig + camera + shot -> the items to do, in the order of the hand.

Python only: the items travel with the plan, and the phone fills in their values.  Wording follows the
published work on flight-deck checklists (Degani & Wiener 1990, NASA CR-177549, appendix A): the response is
the state or the value itself, never "checked"; long lists are cut at natural pauses.  At most MOST_ITEMS
stand at one pause (5 to 9 in Gawande, The Checklist Manifesto, 2009).
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterator
from typing import Any

MOST_ITEMS = 7
Item = dict[str, Any]


def checklist(brief: dict[str, Any], plan: dict[str, Any]) -> list[dict[str, Any]]:
    """Sections of items as message ids with arguments and value slots, JSON-able.

    A section has title, manner, part of parts, items; an item has id (a hash of section, rule and subject),
    must, message, args, note, and value: {"number": name}, {"keyframe": number} or None.
    """
    sections = [
        ("rig" if _rides(brief) else "head", "read-do", list(_rig(brief))),
        ("cables", "read-do", list(_cables(brief))),
        ("camera", "read-do", list(_camera(brief))),
        ("keyframes", "read-do", list(_keyframes(plan))),
        ("program", "read-do", list(_program(brief))),
        ("roll", "do-confirm", list(_roll(brief))),
    ]
    return [part for name, manner, items in sections for part in _parts(name, manner, items)]


def _item(
    section: str,
    rule: str,
    subject: str = "",
    *,
    must: bool = False,
    note: bool = False,
    value: dict[str, Any] | None = None,
    **args: Any,
) -> Item:
    name = hashlib.sha256(f"{section}\n{rule}\n{subject}".encode()).hexdigest()[:12]
    message = "item." + rule
    return {
        "id": name,
        "must": must,
        "message": message,
        "args": args,
        "note": message + ".note" if note else None,
        "value": value,
    }


def _rides(brief: dict[str, Any]) -> bool:
    """Whether the head rides a rail."""
    return "slide" in brief["rig"]["axes"]


def _rig(brief: dict[str, Any]) -> Iterator[Item]:
    for hazard in brief["place"]["hazards"]:
        yield _item("rig", "place", hazard, must=True, hazard=hazard)
    for joint in brief["rig"]["joints"]:
        yield _item("rig", "joint", joint["name"], must=True, note=True, **joint)
        if joint["lock"]:
            yield _item("rig", "lock", joint["name"], must=True, **joint)
    if brief["rail"] and brief["rail"]["incline_deg"]:
        yield _item("rig", "incline", must=True, note=True)
    yield _item("rig", "level-rail" if _rides(brief) else "level", must=True, note=True)
    if "pan" in brief["rig"]["axes"]:
        sighting = brief["zero_sighting"]
        args = {"bearing": brief["zero_bearing_deg"], "sighting": sighting}
        yield _item("rig", "zero", must=True, note=bool(sighting), **args)
    if brief["rail"]:
        yield _item("rig", "zero-slide", must=True, home="home." + brief["rail"]["home_end"])


def _cables(brief: dict[str, Any]) -> Iterator[Item]:
    for cable in brief["rig"]["cables"]:
        yield _item("cables", "cable", cable["name"], must=True, note=True, **cable)
    remote = brief["rig"]["remote"]
    if remote and remote["pair"]:
        yield _item("cables", "remote-ready", must=True, note=True, **remote)
    yield _item("cables", "travel-rail" if _rides(brief) else "travel", must=True, note=True)


def _camera(brief: dict[str, Any]) -> Iterator[Item]:
    yield _item("camera", "sun", must=True, note=True)
    yield _item("camera", "strap", must=True)
    plug = brief["camera"]["remote_plug"]
    if plug:
        yield _item("camera", "remote-plug", plug, plug=plug)
    yield _item("camera", "drive", must=True)
    for what in brief["camera"]["switch_off"]:
        yield _item("camera", "off", what, must=True, what=what)
    yield _item("camera", "focus", must=True)


def _keyframes(plan: dict[str, Any]) -> Iterator[Item]:
    for number in plan["move"]["set_order"]:
        keyframe = plan["keyframes"][number - 1]
        yield _item(
            "keyframes",
            "stored",
            str(number),
            must=True,
            value={"keyframe": number},
            number=number,
            name=keyframe["name"],
        )


def _program(brief: dict[str, Any]) -> Iterator[Item]:
    """The rig's own menu in its order; a rig that moves all the time has no dwell."""
    for name in brief["rig"]["program_order"]:
        if name == "dwell" and brief["rig"]["motion"] == "continuous":
            continue
        by_camera = name == "interval" and brief["rig"]["trigger"] == "camera"
        must = name in ("interval", "frames", "dwell")
        yield _item("program", "interval-camera" if by_camera else name, must=must, value={"number": name})


def _roll(brief: dict[str, Any]) -> Iterator[Item]:
    yield _item("roll", "test-frames", must=True, value={"keyframe": 1})
    remote = brief["rig"]["remote"]
    if remote and remote["steers_by_tilt"]:
        yield _item("roll", "remote-hangs", must=True, note=True)
    if brief["order"] == "first-to-last":
        yield _item("roll", "back", must=True, value={"keyframe": 1})
    yield _item("roll", "cap", must=True)
    yield _item("roll", "bubble", must=True)
    yield _item("roll", "first-frame", must=True, value={"number": "first_frame"})
    if remote:
        yield _item("roll", "remote-off", must=True)


def _parts(name: str, manner: str, items: list[Item]) -> list[dict[str, Any]]:
    """A section cut into even parts of at most MOST_ITEMS."""
    count = -(-len(items) // MOST_ITEMS)
    size = -(-len(items) // count)
    return [
        {
            "title": "section." + name,
            "manner": "manner." + manner,
            "part": part + 1,
            "parts": count,
            "items": items[part * size : (part + 1) * size],
        }
        for part in range(count)
    ]
