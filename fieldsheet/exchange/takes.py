"""The log of a take at the desk: its events joined and added up as the phone does it in app/takes/added.js.

An event is {take, shot, device, counter, utc_ms, kind, payload}; it is named DEVICE:COUNTER.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import asdict, dataclass, field, replace
from typing import Any

Event = Mapping[str, Any]
UNDONE = ("start", "count", "mark", "note", "act", "ready", "watch")
"""What an undo takes back."""
_PLANS = ("take", "changes")
_OF_PROGRAMME = ("fired_ms", "counts", "acts", "ready")
_OF_KEYFRAMES = ("as_set", "photos")


@dataclass(frozen=True)
class Kept:
    """When something was kept [ms UTC], by which phone, and the event that holds it."""

    utc_ms: int
    device: str
    key: str


@dataclass
class TakeState:
    """What the events of one take add up to; named as in app/takes/added.js.

    fields: what was written in, by item; as_set: what the rig showed, by "KEYFRAME.AXIS"; fired_ms: when
    frame 1 fired [ms UTC]; acts: what of the plan is done, by its name; closed: the warnings that were,
    whatever the rig is told; names: what each phone is called.  A mark has the way that was in force, a tick
    the night and spot, and the way if that went on after a stop.  Reports read a part of it; the
    whole is what the phone's is held against.
    """

    ticks: dict[str, dict[str, Any]] = field(default_factory=dict)
    fields: dict[str, str] = field(default_factory=dict)
    as_set: dict[str, str] = field(default_factory=dict)
    photos: dict[int, str] = field(default_factory=dict)
    changes: Mapping[str, Any] = field(default_factory=dict)
    ended: bool = False
    marks: list[dict[str, Any]] = field(default_factory=list)
    notes: list[dict[str, Any]] = field(default_factory=list)
    watch: dict[str, Any] | None = None
    names: dict[str, str] = field(default_factory=dict)
    joined: list[dict[str, Any]] = field(default_factory=list)
    closed: dict[str, dict[str, Any]] = field(default_factory=dict)
    fired_ms: int | None = None
    counts: list[dict[str, Any]] = field(default_factory=list)
    acts: dict[str, dict[str, Any]] = field(default_factory=dict)
    ready: dict[str, Any] | None = None


def event_key(event: Event) -> str:
    """How other events name this one."""
    return f"{event['device']}:{event['counter']}"


def merge(*logs: Iterable[Event]) -> list[Event]:
    """The union of logs, each event once: causes before effects, then the clock, then the device."""
    first: dict[tuple[str, str], Event] = {}
    for event in sorted((event for log in logs for event in log), key=_order):
        first.setdefault((event["take"], event_key(event)), event)
    return list(first.values())


def _order(event: Event) -> tuple[int, int, str, str]:
    return event["counter"], event["utc_ms"], event["device"], json.dumps(event, sort_keys=True)


def reduce(events: Iterable[Event]) -> TakeState:
    """What the events of one take add up to, whatever order they arrive in; unknown kinds are passed over."""
    ordered = merge(events)
    taken_back = {kind: _named(ordered, "undo") for kind in UNDONE} | {"tick": _named(ordered, "untick")}
    taken_back["mark"] |= set(_named_marks(ordered).values())
    marked_ms = _marked_ms(ordered)
    state = TakeState()
    left: dict[str, TakeState] = {}
    for event in ordered:
        key = event_key(event)
        kept = Kept(marked_ms[key] if key in marked_ms else event["utc_ms"], event["device"], key)
        if event["kind"] in _PLANS:
            _change(state, left, event["payload"].get("changes", {}))
        effect = _EFFECTS.get(event["kind"])
        if effect and kept.key not in taken_back.get(event["kind"], ()):
            effect(state, event["payload"], kept)
    return state


def _named(events: Sequence[Event], kind: str) -> set[str]:
    return {key for event in events if event["kind"] == kind for key in event["payload"]["events"]}


def _named_marks(events: Sequence[Event]) -> dict[str, str]:
    """Naming -> mark that was named: the naming, a later mark of the same phone, stands in its place."""
    marks = [
        event
        for event in events
        if event["kind"] == "mark" and event["payload"].get("of", event["counter"]) < event["counter"]
    ]
    return {event_key(mark): f"{mark['device']}:{mark['payload']['of']}" for mark in marks}


def _marked_ms(events: Sequence[Event]) -> dict[str, int]:
    """Mark -> when it was made [ms UTC]: what was named happened at the tap, not when it was named."""
    named = _named_marks(events)
    made_ms: dict[str, int] = {}
    for mark in (event for event in events if event["kind"] == "mark"):
        key = event_key(mark)
        first = named.get(key, key)
        made_ms[key] = made_ms[first] if first in made_ms else mark["utc_ms"]
    return made_ms


def _change(state: TakeState, left: dict[str, TakeState], changes: Mapping[str, Any]) -> None:
    """Another way to go on that keys in anything is another programme of the rig; after a stop its keyframes
    are others, too.

    left: the state by the programmes and stops that were left; one gone back to on its night is as it was.
    """
    for part_of, names in ((keyed_by, _OF_PROGRAMME), (_stop, _OF_KEYFRAMES)):
        was, is_now = part_of(state.changes), part_of(changes)
        if was != is_now:
            left[_place(names, was, state.changes)] = replace(state)
            begun = left.get(_place(names, is_now, changes), TakeState())
            for name in names:
                setattr(state, name, getattr(begun, name))
    state.changes = changes


def keyed_by(changes: Mapping[str, Any]) -> Any:
    """The way by which the rig was told anew; None where it has what it was told at first: a late start with
    everything as it is set keys in nothing."""
    way = changes.get("way")
    return None if isinstance(way, dict) and way.get("id") == "as-set" else way


def _stop(changes: Mapping[str, Any]) -> Any:
    way = changes.get("way")
    return way if isinstance(way, dict) and "frame" in way else None


def _place(names: Sequence[str], part: Any, changes: Mapping[str, Any]) -> str:
    return json.dumps([names, part, changes.get("night")])


def _tick(state: TakeState, payload: Event, kept: Kept) -> None:
    before = state.ticks.get(payload["item"], {"keys": []})
    who = {"utc_ms": kept.utc_ms, "device": kept.device, "keys": [*before["keys"], kept.key]}
    where = {"night": state.changes.get("night"), "spot": state.changes.get("spot")}
    of = {"value": payload["value"], **where, "stop": _stop(state.changes)}
    state.ticks[payload["item"]] = of | who


def _write(state: TakeState, payload: Event, kept: Kept) -> None:
    state.fields[payload["item"]] = payload["value"]


def _set(state: TakeState, payload: Event, kept: Kept) -> None:
    state.as_set[f"{payload['keyframe']}.{payload['axis']}"] = payload["value"]


def _photo(state: TakeState, payload: Event, kept: Kept) -> None:
    state.photos[payload["keyframe"]] = kept.key


def _start(state: TakeState, payload: Event, kept: Kept) -> None:
    state.fired_ms = payload["utc_ms"]


def _count(state: TakeState, payload: Event, kept: Kept) -> None:
    state.counts.append({"frame": payload["frame"], "utc_ms": kept.utc_ms, "key": kept.key})


def _mark(state: TakeState, payload: Event, kept: Kept) -> None:
    said = {key: payload[key] for key in ("what", "frame", "file")}
    state.marks.append(said | {"way": state.changes.get("way")} | asdict(kept))


def _note(state: TakeState, payload: Event, kept: Kept) -> None:
    state.notes.append({"text": payload["text"]} | asdict(kept))


def _act(state: TakeState, payload: Event, kept: Kept) -> None:
    (state.closed if payload.get("text") else state.acts)[payload["act"]] = asdict(kept)


def _ready(state: TakeState, payload: Event, kept: Kept) -> None:
    state.ready = {"open": payload["open"], "forced": payload["forced"]} | asdict(kept)


def _watch(state: TakeState, payload: Event, kept: Kept) -> None:
    state.watch = {"who": payload["who"]} | asdict(kept)


def _name(state: TakeState, payload: Event, kept: Kept) -> None:
    state.names[kept.device] = payload["name"]


def _join(state: TakeState, payload: Event, kept: Kept) -> None:
    of = {key: payload[key] for key in ("via", "from", "events")}
    state.joined.append(of | {"utc_ms": kept.utc_ms, "key": kept.key})


def _end(state: TakeState, payload: Event, kept: Kept) -> None:
    state.ended = True


_EFFECTS: dict[str, Callable[[TakeState, Event, Kept], None]] = {
    "tick": _tick,
    "field": _write,
    "as-set": _set,
    "photo": _photo,
    "start": _start,
    "count": _count,
    "mark": _mark,
    "note": _note,
    "act": _act,
    "ready": _ready,
    "watch": _watch,
    "name": _name,
    "joined": _join,
    "end": _end,
}
