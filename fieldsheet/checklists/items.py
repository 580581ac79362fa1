"""Rig + camera + shot -> the items to do, in the order of the hand (T36, T37).

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
        ("rig", "read-do", list(_rig(brief))),
        ("cables", "read-do", list(_cables(brief))),
        ("camera", "read-do", list(_camera(brief))),
        ("program", "read-do", list(_program(brief, plan))),
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


def _rig(brief: dict[str, Any]) -> Iterator[Item]:
    for joint in brief["rig"]["joints"]:
        yield _item("rig", "joint", joint["name"], must=True, note=True, **joint)
        if joint["lock"]:
            yield _item("rig", "lock", joint["name"], must=True, **joint)
    yield _item("rig", "level", must=True, note=True)


def _cables(brief: dict[str, Any]) -> Iterator[Item]:
    for cable in brief["rig"]["cables"]:
        yield _item("cables", "cable", cable["name"], must=True, note=True, **cable)
    yield _item("cables", "travel", must=True, note=True)


def _camera(brief: dict[str, Any]) -> Iterator[Item]:
    if any(keyframe["aim"] and keyframe["aim"].get("target") == "sun" for keyframe in brief["keyframes"]):
        yield _item("camera", "sun", must=True, note=True)
    plug = brief["camera"]["remote_plug"]
    if plug:
        yield _item("camera", "remote-plug", plug, plug=plug)
    for what in brief["camera"]["switch_off"]:
        yield _item("camera", "off", what, must=True, what=what)
    yield _item("camera", "focus", must=True)


def _program(brief: dict[str, Any], plan: dict[str, Any]) -> Iterator[Item]:
    for number in plan["move"]["set_order"]:
        keyframe = plan["keyframes"][number - 1]
        yield _item(
            "program",
            "stored",
            str(number),
            must=True,
            note=bool(keyframe["sighting"]),
            value={"keyframe": number},
            number=number,
            name=keyframe["name"],
            sighting=keyframe["sighting"],
        )
    for name in brief["rig"]["program_order"]:
        yield _item("program", name, must=name in ("interval", "frames"), value={"number": name})


def _roll(brief: dict[str, Any]) -> Iterator[Item]:
    yield _item("roll", "bubble", must=True)
    remote = brief["rig"]["remote"]
    if remote and remote["pair"]:
        yield _item("roll", "remote-paired", must=True, pair=remote["pair"])
    if remote and remote["steers_by_tilt"]:
        yield _item("roll", "remote-hangs", must=True, note=True)
    if brief["order"] == "first-to-last":
        yield _item("roll", "back", must=True, value={"keyframe": 1})
    for hazard in brief["place"]["hazards"]:
        yield _item("roll", "place", hazard, hazard=hazard)
    yield _item("roll", "cap", must=True)
    yield _item("roll", "first-frame", must=True, value={"number": "first_frame"})


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
