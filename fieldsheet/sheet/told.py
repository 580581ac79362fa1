"""What does not change with the night: the place's and the crew's words, and the checklist.

Python only: on the phone these texts stand in the page itself.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from ..checklists.words import WORDS as CHECKLIST_WORDS
from ..plan.acts import place_anchors
from ..plan.civil import Spans
from .better import better_lines
from .curves import curves_of
from .times import clocks
from .view import view_of
from .words import say

PLAIN = ("abort", "hazards", "access", "permit", "stays", "notes", "crew")


def told(plan: dict[str, Any], sheet: Mapping[str, Any]) -> dict[str, Any]:
    """The unchanging part of a sheet; values of the checklist are looked up in the changing part."""
    spans = plan["brief"]["place"]["zone"]["spans"]
    words = plan["brief"]["words"]
    return {
        **{name: words[name] or ([] if isinstance(words[name], list) else "") for name in PLAIN},
        "views": _views(plan, sheet),
        "curves": curves_of(plan),
        "better": better_lines(plan, clocks(plan, spans)),
        "position": _position(plan["place"]),
        "hangs_on": hangs_on(plan["brief"], [moment["id"] for moment in plan["moments"]]),
        "checklist": [_section(section, sheet, spans) for section in plan["checklist"]],
    }


def _views(plan: dict[str, Any], sheet: Mapping[str, Any]) -> list[dict[str, Any]]:
    """The marks of each frame that is drawn, with what stands over the drawing."""
    return [{"caption": caption, **view_of(plan, index)} for index, caption in enumerate(sheet["captions"])]


def hangs_on(brief: Mapping[str, Any], moments: Sequence[str]) -> list[int]:
    """Positions of the moments (by id) that the times of the shot are tied to, the weightiest first.

    That is its start, its end, its keyframes, the place's limits, and the swap.
    """
    ends = (brief["start"], brief["end"], *(key["at"] for key in brief["keyframes"]))
    limits = (anchor for _, anchor, _ in place_anchors(dict(brief)))
    phases = (phase["from"] for phase in brief["phases"])
    anchors = (*ends, *phases, *limits, *(brief["swap"] or {}).values())
    names = dict.fromkeys(at["event"] for at in anchors if at and "event" in at)
    return [n for name in names for n, id in enumerate(moments) if id == name]


def text_at(sheet: Mapping[str, Any], path: str) -> str:
    """The text at a dotted path of a sheet, such as "numbers.interval" or "keyframes.0.line"."""
    part: Any = sheet
    for key in path.split("."):
        part = part[int(key)] if isinstance(part, list) else part[key]
    return str(part)


def _position(place: Mapping[str, Any]) -> str:
    """Where the place is, in degrees as a rescuer would take them."""
    north, east = place["latitude_deg"], place["longitude_deg"]
    args = {
        "north": abs(north),
        "ns": "position.north" if north >= 0 else "position.south",
        "east": abs(east),
        "ew": "position.east" if east >= 0 else "position.west",
    }
    return say("position.line", args, ())


def _section(section: dict[str, Any], sheet: Mapping[str, Any], spans: Spans) -> dict[str, Any]:
    title = CHECKLIST_WORDS[section["title"]]
    if section["parts"] > 1:
        args = {"title": title, "part": section["part"], "parts": section["parts"]}
        title = say("section.part", args, spans, CHECKLIST_WORDS)
    return {
        "name": section["name"],
        "title": title,
        "manner": CHECKLIST_WORDS[section["manner"]],
        "role": section["role"] or "",
        "part": section["part"],
        "items": [_item(item, section["role"], sheet, spans) for item in section["items"]],
    }


def _item(
    item: dict[str, Any], section_role: str | None, sheet: Mapping[str, Any], spans: Spans
) -> dict[str, Any]:
    """An item in words; the role that its whole section has is not said again."""
    return {
        "id": item["id"],
        "must": item["must"],
        "text": say(item["message"], item["args"], spans, CHECKLIST_WORDS),
        "note": say(item["note"], item["args"], spans, CHECKLIST_WORDS) if item["note"] else "",
        "value": text_at(sheet, item["value"]) if item["value"] else "",
        "path": item["value"] or "",
        "blank": CHECKLIST_WORDS[item["blank"]] if item["blank"] else "",
        "blank_id": item["blank"] or "",
        "role": "" if item["role"] == section_role else item["role"] or "",
    }
