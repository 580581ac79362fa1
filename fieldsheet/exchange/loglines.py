"""The events of a take as lines that a person reads, word for word as on the phone
(app/takes/loglines.js).
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from ..plan.civil import Spans, clock_of, day_number, iso_date, span_at
from ..sheet.words import WORDS, day_text, say
from .takes import Event, TakeState, event_key, reduce

_CONTROLS = re.compile("[\x00-\x20\x7f-\xa0\u2028-\u202e\u2066-\u2069]+")
"""Those that turn the line around, too."""
_UNITS = {"deg": "°"}
_LAST_MS = 4_102_444_800_000  # the year 2100


@dataclass(frozen=True)
class Line:
    """What an event says, and its value, "" where it has none."""

    text: str
    value: str

    def __str__(self) -> str:
        return f"{self.text}: {self.value}" if self.value else self.text


class Lines:
    """Says the events of one take."""

    def __init__(self, events: Sequence[Event], plan: Mapping[str, Any]) -> None:
        self._events = {event_key(event): event for event in events}
        self._plan = plan
        self._items: Mapping[str, str] = plan.get("items") or {}
        self._spans: Spans = plan["brief"]["place"]["zone"]["spans"]
        state: TakeState = reduce(events)
        self._names = state.names
        self._devices = list(dict.fromkeys(event["device"] for event in events))
        edges = [plan["window"][edge]["utc_ms"] for edge in ("start", "end")]
        instants = [*edges, *(event["utc_ms"] for event in events)]
        self._zoned = len({span_at(self._spans, utc_ms / 1000)[0] for utc_ms in instants}) > 1

    @property
    def phones(self) -> list[str]:
        """What each phone is called that wrote in this log, in the order of their first events."""
        return [self.phone(device) for device in self._devices]

    def phone(self, device: str) -> str:
        """What a phone is called; which one it is, where it has no name."""
        return one_line(self._names.get(device, "")) or self._unnamed(device)

    def _unnamed(self, device: str) -> str:
        if device not in self._devices:
            return WORDS["log.other-phone"]
        return say("log.phone", {"number": self._devices.index(device) + 1}, ())

    def item(self, item: str) -> str:
        """The text of an item of the checklist, as the plan has it."""
        return one_line(self._items.get(item, item))

    def line(self, event: Event) -> Line:
        """What an event says; one of a newer version says so."""
        say_it = _KINDS.get(event["kind"])
        if say_it is None:
            return Line(say("log.unknown", {"kind": event["kind"]}, ()), "")
        text, value = say_it(self, event["payload"])
        return Line(one_line(text), one_line(value))

    def changes(self, changes: Mapping[str, Any]) -> str:
        """What of a plan is changed; "" for nothing."""
        return ", ".join(self._change(key, value) for key, value in changes.items())

    def _change(self, key: str, value: Any) -> str:
        args = _change_args(key, value)
        if args is None:
            return one_line(key)
        return say(f"log.change.{_change_name(key, args)}", args, self._spans)

    def named(self, keys: Sequence[str]) -> str:
        """What the events said that others take back."""
        return "; ".join(map(self._named, keys))

    def _named(self, key: str) -> str:
        event = self._events.get(key)
        if event is None:
            return WORDS["log.lost"]
        return WORDS["log.back"] if event["kind"] in ("undo", "untick") else str(self.line(event))

    def unticked(self, keys: Sequence[str]) -> str:
        """The items whose ticks are taken back."""
        known = [self._events[key]["payload"].get("item", "") for key in keys if key in self._events]
        return "; ".join(dict.fromkeys(map(self.item, known))) or WORDS["log.lost"]

    def unit(self, axis: str) -> str:
        """The unit of an axis as it stands after a figure; "" for an axis that the rig has not."""
        known = self._plan["brief"]["rig"]["axes"].get(axis)
        return _UNITS.get(known["unit"], f" {known['unit']}") if known else ""

    def clock(self, utc_ms: int) -> str:
        """The clock of the place to the second, with its zone where the clocks change on the way."""
        zone = f" {span_at(self._spans, utc_ms / 1000)[2]}" if self._zoned else ""
        return clock_text(utc_ms, self._spans) + zone


def one_line(text: str) -> str:
    """Whatever was typed, without line breaks and controls."""
    return _CONTROLS.sub(" ", text).strip(" ")


def clock_text(utc_ms: float, spans: Spans) -> str:
    """The clock of the place to the second: 19:36:04."""
    seconds = clock_of(spans, utc_ms / 1000)
    return f"{seconds // 3600:02d}:{seconds % 3600 // 60:02d}:{seconds % 60:02d}"


def night_text(night: str) -> str:
    """A date as people say it; as it is written where there is no such date."""
    try:
        day = day_number(night)
    except ValueError:
        return night
    return day_text(day) if iso_date(day) == night else night


def _change_args(key: str, value: Any) -> dict[str, Any] | None:
    """The arguments of the message for a change; None for one of a newer version."""
    table = value if isinstance(value, dict) else {}
    if key == "night" and isinstance(value, str):
        return {"night": night_text(value)}
    if key == "start_ms" and _is_moment(value):
        return {"start": value}
    if key == "interval_ms" and _is_moment(value):
        return {"interval": value}
    if key == "spot" and table:
        return {}
    if key == "exposure_shift_ev" and type(value) in (int, float) and abs(value) <= 99:
        return {"shift": value}
    if key == "stopped" and _is_moment(table.get("frame")) and _is_moment(table.get("rolling_ms")):
        return {"frame": table["frame"], "rolling": table["rolling_ms"]}
    if key == "way" and isinstance(table.get("id"), str) and f"option.{table['id']}" in WORDS:
        return _way_args(table)
    return None


def _way_args(way: Mapping[str, Any]) -> dict[str, Any]:
    """A way on with its moment, as far as it is known."""
    args = {"way": f"option.{way['id']}"}
    if _is_moment(way.get("start_ms")):
        return args | {"start": way["start_ms"]}
    if _is_moment(way.get("frame")) and _is_moment(way.get("rolling_ms")):
        return args | {"frame": way["frame"], "rolling": way["rolling_ms"]}
    return args


def _change_name(key: str, args: Mapping[str, Any]) -> str:
    """The message for a change, by what is known of it."""
    if key != "way":
        return key
    return "way.late" if "start" in args else "way.on" if "frame" in args else key


def _is_moment(value: Any) -> bool:
    """A whole number that a clock can show."""
    return isinstance(value, int) and not isinstance(value, bool) and 0 <= value <= _LAST_MS


_Said = tuple[str, str]


def _take(lines: Lines, payload: Event) -> _Said:
    return say("log.take", payload["plan"], ()), lines.changes(payload.get("changes", {}))


def _changes(lines: Lines, payload: Event) -> _Said:
    what = lines.changes(payload["changes"])
    return (say("log.changes", {"what": what}, ()) if what else WORDS["log.printed"]), ""


def _tick(lines: Lines, payload: Event) -> _Said:
    return say("log.tick", {"item": lines.item(payload["item"])}, ()), payload["value"]


def _untick(lines: Lines, payload: Event) -> _Said:
    return say("log.untick", {"what": lines.unticked(payload["events"])}, ()), ""


def _undo(lines: Lines, payload: Event) -> _Said:
    return say("log.undo", {"what": lines.named(payload["events"])}, ()), ""


def _field(lines: Lines, payload: Event) -> _Said:
    said = say("log.field", {"item": lines.item(payload["item"])}, ())
    return said, payload["value"] or WORDS["log.erased"]


def _as_set(lines: Lines, payload: Event) -> _Said:
    value = payload["value"]
    shown = f"{value}{lines.unit(payload['axis'])}" if value else WORDS["log.erased"]
    return say("log.as-set", {"number": payload["keyframe"] + 1, "axis": payload["axis"]}, ()), shown


def _photo(lines: Lines, payload: Event) -> _Said:
    size = say("log.kilobytes", {"kilobytes": payload["bytes"] / 1000}, ())
    return say("log.photo", {"number": payload["keyframe"] + 1}, ()), size


def _start(lines: Lines, payload: Event) -> _Said:
    if payload["utc_ms"] is None:
        return WORDS["log.start-back"], ""
    unready = "; ".join(map(lines.item, payload.get("unready", [])))
    said = say("log.start-unready", {"what": unready}, ()) if unready else WORDS["log.start"]
    return said, lines.clock(payload["utc_ms"])


def _mark(lines: Lines, payload: Event) -> _Said:
    return say("log.mark", {"what": payload["what"]}, ()), place_text(payload)


def _act(lines: Lines, payload: Event) -> _Said:
    return say("log.act", {"what": payload.get("text") or act_text(payload["act"])}, ()), ""


def _ready(lines: Lines, payload: Event) -> _Said:
    if not payload["open"]:
        return WORDS["log.ready"], ""
    return say("log.ready-forced", {"what": "; ".join(map(lines.item, payload["open"]))}, ()), ""


def _reads(lines: Lines, payload: Event) -> _Said:
    return WORDS["log.reads"], say("log.exposed", payload, ())


def _joined(lines: Lines, payload: Event) -> _Said:
    args = {"via": payload["via"], "who": lines.phone(payload["from"])}
    return say("log.joined", args, ()), say("log.events", payload, ())


def _plainly(id: str, key: str | None = None) -> Callable[[Lines, Event], _Said]:
    """A message, and the value at a key."""
    return lambda lines, payload: (WORDS[id], str(payload[key]) if key else "")


_KINDS: dict[str, Callable[[Lines, Event], _Said]] = {
    "take": _take,
    "changes": _changes,
    "tick": _tick,
    "untick": _untick,
    "undo": _undo,
    "field": _field,
    "as-set": _as_set,
    "photo": _photo,
    "start": _start,
    "count": _plainly("log.count", "frame"),
    "mark": _mark,
    "note": _plainly("log.note", "text"),
    "act": _act,
    "ready": _ready,
    "reads": _reads,
    "watch": _plainly("log.watch", "who"),
    "name": _plainly("log.name", "name"),
    "joined": _joined,
    "end": _plainly("log.end"),
}


def place_text(mark: Event) -> str:
    """Frame and file of a mark, as far as they are known."""
    if mark["frame"] is None:
        return ""
    return say("log.frame-file" if mark["file"] else "log.frame", mark, ())


def act_text(act: str) -> str:
    """An act of the plan by its name: "swap.1" is "swap 1"."""
    kind, _, of = act.partition(".")
    known = f"log.act.{kind}"
    return say(known, {"of": of}, ()) if known in WORDS else act.replace(".", " ")
