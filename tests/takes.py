"""Takes for the tests: events in order, the file that a phone writes of them, one whole invented night."""

from __future__ import annotations

import json
from collections.abc import Sequence
from typing import Any

from fieldsheet.exchange.takefile import FORMAT, VERSION
from fieldsheet.plan.civil import span_at
from fieldsheet.sheet.sheet import make_sheet

TAKE, SHOT = "5f0c2a91-take", "slipway"
MINUTE_MS = 60_000
Body = tuple[float, str, str, dict[str, Any]]
"""(minutes from the planned start, phone, kind, payload)"""


def carried(plan: dict[str, Any]) -> dict[str, Any]:
    """The plan as a take embeds it: with the texts of its items instead of the checklist."""
    sections = make_sheet(plan)["checklist"]
    items = {item["id"]: item["text"] for section in sections for item in section["items"]}
    return {key: value for key, value in plan.items() if key not in ("checklist", "words")} | {"items": items}


def events_of(plan: dict[str, Any], bodies: Sequence[Body], take: str = TAKE) -> list[dict[str, Any]]:
    """A take of the plan, begun an hour before its start; each event knows those before it."""
    start_ms = plan["window"]["start"]["utc_ms"]
    begun: Body = (-60, "7f3a90c1", "take", {"plan": plan, "changes": plan["changes"]})
    return [
        {
            "take": take,
            "shot": plan["shot"]["id"],
            "device": device,
            "counter": counter,
            "utc_ms": round(start_ms + minutes * MINUTE_MS),
            "kind": kind,
            "payload": payload,
        }
        for counter, (minutes, device, kind, payload) in enumerate([begun, *bodies], start=1)
    ]


def file_of(events: Sequence[dict[str, Any]], /, **other: Any) -> bytes:
    """The events as a file."""
    plan = events[0]["payload"]["plan"]
    head = {"format": FORMAT, "version": VERSION, "take": events[0]["take"], "shot": events[0]["shot"]}
    whole = {**head, "revision": plan["revision"], "events": list(events), **other}
    return json.dumps(whole, ensure_ascii=False).encode()


def a_night(plan: dict[str, Any]) -> list[dict[str, Any]]:
    """One night of two phones: fired late, run slow, a swap, marks, a note, handed over, ended early."""
    start_ms = plan["window"]["start"]["utc_ms"]
    ana, ben = "7f3a90c1", "b81d04e6"
    named = {text: item for item, text in plan["items"].items()}
    bodies: list[Body] = [
        (-59.5, ana, "name", {"name": "Ana"}),
        (-41, ana, "tick", {"item": named["Interval, start to start"], "value": "18 s"}),
        (-33, ana, "as-set", {"keyframe": 2, "axis": "pan", "value": "\u221284.6"}),
        (-26, ana, "as-set", {"keyframe": 0, "axis": "slide", "value": "2"}),
        (-25.8, ana, "photo", {"keyframe": 0, "bytes": 84_123}),
        (-4, ana, "field", {"item": named["Frame 1 will be"], "value": "9950"}),
        (-2, ana, "ready", {"open": [named["Camera battery fresh, cap off"]], "forced": True}),
        (4.05, ana, "start", {"utc_ms": start_ms + 243_000}),
        (35.2, ana, "count", {"frame": 103}),
        (40, ana, "act", {"act": "swap.1"}),
        (47.5, ana, "mark", {"what": "plane", "frame": 143, "file": "0093"}),
        (70, ana, "note", {"text": "Gust from the west while the rig moved, hood held until it was over"}),
        (118, ana, "changes", {"changes": {"exposure_shift_ev": 1 / 3}}),
        (131, ben, "joined", {"via": "code", "from": ana, "events": 14}),
        (131.3, ben, "watch", {"who": "Ben"}),
        (150.5, ben, "count", {"frame": 481}),
        (163.2, ben, "mark", {"what": "touched", "frame": 522, "file": "0472"}),
        (206, ben, "end", {}),
    ]  # fmt: skip
    return events_of(plan, bodies)


def clocks_back(plan: dict[str, Any]) -> dict[str, Any]:
    """The plan where the clocks go back by an hour two hours after its start."""
    zone = plan["brief"]["place"]["zone"]
    start_s = plan["window"]["start"]["utc_ms"] // 1000
    _, offset_s, name = span_at(zone["spans"], start_s)
    spans = [[0, offset_s, name], [start_s + 7200, offset_s - 3600, "WET"]]
    place = {**plan["brief"]["place"], "zone": {**zone, "spans": spans}}
    return {**plan, "brief": {**plan["brief"], "place": place}}
