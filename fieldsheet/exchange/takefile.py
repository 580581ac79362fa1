"""A take as a file, as the phone writes it (app/takes/takefile.js), read with distrust: size first, then all
of it.

{"format": "fieldsheet take", "version": 1, take, shot, revision, events}; the plan stands in the event that
began the take.  What the two readers take up and refuse is the same but for keys given twice, which only the
desk can see.
"""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from itertools import islice
from typing import Any

from ..problems import Problem
from .takerules import EVENT, ID, MOST_BYTES, MOST_EVENTS, PAYLOADS, SHOT, Rule, whole
from .takes import Event, event_key, merge

FORMAT, VERSION = "fieldsheet take", 1
_MOST_DEPTH = 32
_MOST_FAULTS = 20
"""What is told of one file."""
_Faults = Iterator[tuple[str, str, str]]
"""(key, found, right) of each."""
_ENVELOPE = ("take", "shot", "device", "counter", "utc_ms", "kind", "payload")
_LANGUAGE = "__proto__"
"""A key that reaches into the phone's language itself."""
_MADE_BY_PHONE = "a file that a shot's page saved by its button JSON"


@dataclass(frozen=True)
class Take:
    """One take: its events in the order of the log, and the plan that it was begun on."""

    take: str
    shot: str
    plan: Mapping[str, Any]
    events: tuple[Event, ...]

    def joined(self, other: Take) -> Take:
        """The union of two logs of this take."""
        return Take(self.take, self.shot, self.plan, tuple(merge(self.events, other.events)))


class _Twice(ValueError):
    """A key that an object has twice."""


def read_take(name: str, data: bytes) -> Take | list[Problem]:
    """The take of a file, or everything that is wrong with it; name is what to call the file."""

    def only(found: str, right: str, key: str = "", line: int | None = None) -> list[Problem]:
        return [Problem(name, line, key, found, right)]

    if len(data) > MOST_BYTES:
        return only("more than 10 MB", f"a log of at most {MOST_BYTES // 1_000_000} MB")
    try:
        found = json.loads(data.decode("utf-8"), object_pairs_hook=_once, parse_constant=_no_number)
    except UnicodeDecodeError as error:
        return only("bytes that are not UTF-8", _MADE_BY_PHONE, line=data[: error.start].count(b"\n") + 1)
    except json.JSONDecodeError as error:
        return only("text that is not JSON, or was cut off", _MADE_BY_PHONE, line=error.lineno)
    except _Twice as error:
        return only(f"the key {str(error)!r} twice in one object", "each key once")
    except (ValueError, RecursionError):
        return only("a number or a nesting beyond all logs", _MADE_BY_PHONE)
    if not isinstance(found, dict) or found.get("format") != FORMAT:
        return only("a file of something else", _MADE_BY_PHONE)
    if not whole(1, VERSION).holds(found.get("version")):
        newer = whole(VERSION + 1, 10**9).holds(found.get("version"))
        right = f"version {VERSION}: update fieldsheet" if newer else f"version {VERSION}"
        return only(f"version {_shown(found.get('version'))}", right, "version")
    if _depth(found) > _MOST_DEPTH:
        return only("a nesting beyond all logs", _MADE_BY_PHONE)
    problems = [Problem(name, None, *fault) for fault in islice(_faults(found), _MOST_FAULTS)]
    if not problems and _has_key(found, _LANGUAGE):
        return only(f"the key {_LANGUAGE!r}", "keys that a log has")
    return problems or _take_of(found)


def _once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    found: dict[str, Any] = {}
    for key, value in pairs:
        if key in found:
            raise _Twice(key)
        found[key] = value
    return found


def _no_number(name: str) -> float:
    raise ValueError(name)


def _depth(value: Any) -> int:
    parts = value.values() if isinstance(value, dict) else value if isinstance(value, list) else ()
    return 1 + max(map(_depth, parts), default=0) if isinstance(value, dict | list) else 0


def _has_key(value: Any, key: str) -> bool:
    """Whether an object anywhere in a value has the key."""
    parts = value.values() if isinstance(value, dict) else value if isinstance(value, list) else ()
    return (isinstance(value, dict) and key in value) or any(_has_key(part, key) for part in parts)


def _faults(found: Mapping[str, Any]) -> _Faults:
    """The faults of a file of our format and version."""
    head = [
        (key, _shown(found.get(key)), rule.right)
        for key, rule in (("take", ID), ("shot", SHOT))
        if not rule.holds(found.get(key))
    ]
    events = found.get("events")
    yield from head
    if not isinstance(events, list) or not 0 < len(events) <= MOST_EVENTS:
        yield "events", "no list of events", f"1 to {MOST_EVENTS} events"
    elif not head:
        is_sound = True
        for number, event in enumerate(events):
            for fault in _event_faults(event, number, found):
                is_sound = False
                yield fault
        if is_sound:
            yield from _whole_faults(events, found["shot"])


def _event_faults(event: Any, number: int, of: Mapping[str, Any]) -> _Faults:
    at = f"event.{number}"
    if not isinstance(event, dict):
        yield at, _shown(event), "an event"
        return
    for key in event:
        if key not in _ENVELOPE:
            yield at, f"the key {_shown(key)}", f"only {', '.join(_ENVELOPE)}"
    for key in ("take", "shot"):
        if event.get(key) != of[key]:
            yield f"{at}.{key}", _shown(event.get(key)), f"the file's own: {of[key]}"
    yield from _rule_faults(EVENT, event, at)
    kind, payload = event.get("kind"), event.get("payload")
    if isinstance(kind, str) and isinstance(payload, dict):
        yield from _rule_faults(PAYLOADS.get(kind, {}), payload, f"{at}.{kind}")


def _rule_faults(rules: Mapping[str, Rule], values: Mapping[str, Any], at: str) -> _Faults:
    for key, rule in rules.items():
        if key not in values and not rule.optional:
            yield f"{at}.{key}", "nothing", rule.right
        elif key in values and not rule.holds(values[key]):
            yield f"{at}.{key}", _shown(values[key]), rule.right


def _whole_faults(events: list[Event], shot: str) -> _Faults:
    seen: set[str] = set()
    for number, event in enumerate(events):
        if event_key(event) in seen:
            yield f"event.{number}", f"{event_key(event)} again", "each event once"
        seen.add(event_key(event))
    plans = [event["payload"]["plan"] for event in events if event["kind"] == "take"]
    if not plans:
        yield "events", "none that began the take", "one of kind take, with its plan"
    for plan in plans:
        if plan["shot"]["id"] != shot:
            yield "events", f"a plan of the shot {plan['shot']['id']}", f"one of {shot}"


def _take_of(found: Mapping[str, Any]) -> Take:
    events = merge(found["events"])
    plan = next(event["payload"]["plan"] for event in events if event["kind"] == "take")
    return Take(found["take"], found["shot"], plan, tuple(events))


def _shown(value: Any) -> str:
    """A wrong value, short."""
    if isinstance(value, dict | list):
        return "an object" if isinstance(value, dict) else "a list"
    text = json.dumps(value, ensure_ascii=False)
    return text if len(text) <= 40 else text[:37] + "..."
