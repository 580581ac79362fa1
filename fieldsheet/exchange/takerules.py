"""What stands in the log of a take: of which type and in which range each part is.

As in app/takes/takefile.js.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from ..plan.plan import FORMAT as PLAN_FORMAT
from ..plan.plan import VERSION as PLAN_VERSION

MOST_BYTES = 10_000_000
MOST_EVENTS = 20_000
MOST_NOTE = 500
_MOST_TEXT = 2000
_MOST_FRAME = 1_000_000
_MOST_NUMBER = 1e12
_LAST_MS = 4_102_444_800_000  # the year 2100


@dataclass(frozen=True)
class Rule:
    """What a value must be, in words, and whether it is; optional: it may be missing."""

    right: str
    holds: Callable[[Any], bool]
    optional: bool = False

    def perhaps(self) -> Rule:
        """The same, where it may be missing."""
        return Rule(self.right, self.holds, True)

    def or_null(self) -> Rule:
        """The same, where it may be null."""
        return Rule(f"{self.right}, or null", lambda value: value is None or self.holds(value))


def whole(least: int, most: int) -> Rule:
    """A whole number of a range."""

    def holds(value: Any) -> bool:
        return isinstance(value, int) and not isinstance(value, bool) and least <= value <= most

    return Rule(f"a whole number from {least} to {most}", holds)


def _text(most: int) -> Rule:
    return Rule(f"text of at most {most} signs", lambda value: isinstance(value, str) and len(value) <= most)


def _like(pattern: str, right: str) -> Rule:
    compiled = re.compile(pattern)
    return Rule(right, lambda value: isinstance(value, str) and compiled.fullmatch(value) is not None)


def _list_of(rule: Rule, least: int = 0) -> Rule:
    def holds(value: Any) -> bool:
        return isinstance(value, list) and len(value) >= least and all(map(rule.holds, value))

    return Rule(f"a list, each {rule.right}", holds)


def _number(value: Any) -> bool:
    is_number = isinstance(value, int | float) and not isinstance(value, bool)
    return is_number and abs(value) <= _MOST_NUMBER


def _at(value: Any, *path: str | int) -> Any:
    """The value at a path of objects and lists; None where there is none."""
    for step in path:
        found = isinstance(value, dict) and step in value
        listed = isinstance(value, list) and isinstance(step, int) and step < len(value)
        if not found and not listed:
            return None
        value = value[step]
    return value


ID = _like(r"[0-9A-Za-z-]{1,64}", "1 to 64 letters, digits and dashes")
SHOT = _like(r"[a-z0-9-]{1,100}", "the name of a shot")
_NIGHT = _like(r"[0-9]{4}-[0-9]{2}-[0-9]{2}", "a date")
_REVISION = _like(r"[0-9A-Z]{6}", "a revision")
_KEYS = _list_of(_like(r"[0-9A-Za-z-]{1,64}:[0-9]{1,7}", "PHONE:NUMBER"))
_OBJECT = Rule("an object", lambda value: isinstance(value, dict))
_TRUTH = Rule("true or false", lambda value: isinstance(value, bool))
_SAID = _text(_MOST_TEXT)
_FRAME, _MOMENT, _INDEX = whole(1, _MOST_FRAME), whole(0, _LAST_MS), whole(0, 99)
_ENTRY = whole(1, 9_999_999)
_READING = Rule("a number or a short text", lambda value: _number(value) or _text(40).holds(value))


def _is_segment(one: Any) -> bool:
    every = whole(1, _LAST_MS)
    rules = (("first_frame", _FRAME), ("start_ms", _MOMENT), ("interval_ms", every))
    return all(rule.holds(_at(one, key)) for key, rule in rules)


def _is_span(one: Any) -> bool:
    named = isinstance(one, list) and len(one) == 3 and _number(one[0])
    return named and whole(-86400, 86400).holds(one[1]) and _text(40).holds(one[2])


def _is_axis(one: Any) -> bool:
    step = _at(one, "step")
    return _text(40).holds(_at(one, "unit")) and _number(step) and step > 0


def _is_keyframe(one: Any) -> bool:
    axes = _at(one, "axes")
    return _number(_at(one, "frame")) and isinstance(axes, dict) and all(map(_number, axes.values()))


def _is_swap(one: Any) -> bool:
    return _number(_at(one, "from", "frame")) and _number(_at(one, "until", "frame"))


def _is_outline(plan: Any) -> bool:
    """What of a plan changes can alter."""
    lists = (
        (("timing", "segments"), _is_segment, 1),
        (("keyframes",), _is_keyframe, 0),
        (("power", "changes"), _is_swap, 0),
    )
    edges = (_at(plan, "window", edge, "utc_ms") for edge in ("start", "end"))
    return (
        _FRAME.holds(_at(plan, "timing", "frames"))
        and all(map(_MOMENT.holds, edges))
        and all(_list_of(Rule("", rule), least).holds(_at(plan, *path)) for path, rule, least in lists)
    )


def _is_plan(plan: Any) -> bool:
    axes, items = _at(plan, "brief", "rig", "axes"), _at(plan, "items")
    texts = (
        (_REVISION, ("revision",)), (SHOT, ("shot", "id")), (_SAID, ("shot", "title")),
        (_SAID, ("place", "title")), (_NIGHT, ("window", "night")),
    )  # fmt: skip
    return (
        _is_outline(plan)
        and plan.get("format") == PLAN_FORMAT
        and plan.get("version") == PLAN_VERSION
        and all(rule.holds(_at(plan, *path)) for rule, path in texts)
        and _list_of(Rule("", _is_span), 1).holds(_at(plan, "brief", "place", "zone", "spans"))
        and isinstance(axes, dict)
        and all(map(_is_axis, axes.values()))
        and (items is None or (isinstance(items, dict) and all(map(_SAID.holds, items.values()))))
    )


PAYLOADS: dict[str, dict[str, Rule]] = {
    "take": {
        "plan": Rule(f"a plan of version {PLAN_VERSION}", _is_plan),
        "changes": _OBJECT.perhaps(),
    },
    "changes": {"changes": _OBJECT, "planned": Rule("what was planned", _is_outline, True)},
    "tick": {"item": _SAID, "value": _SAID},
    "untick": {"events": _KEYS},
    "undo": {"events": _KEYS},
    "field": {"item": _SAID, "value": _SAID},
    "as-set": {"keyframe": _INDEX, "axis": _text(40), "value": _text(40)},
    "photo": {"keyframe": _INDEX, "bytes": whole(0, MOST_BYTES)},
    "start": {"utc_ms": _MOMENT.or_null(), "unready": _list_of(_SAID).perhaps()},
    "count": {"frame": _FRAME},
    "mark": {"what": _text(40), "frame": _FRAME.or_null(), "file": _text(40), "of": _ENTRY.perhaps()},
    "note": {"text": _text(MOST_NOTE)},
    "act": {"act": _text(100), "text": _SAID.perhaps()},
    "ready": {"open": _list_of(_SAID), "forced": _TRUTH},
    "watch": {"who": _text(100)},
    "name": {"name": _text(40)},
    "reads": {"frame": _FRAME.or_null(), "f": _READING, "shutter": _READING, "iso": _READING},
    "joined": {"via": _text(40), "from": _text(100), "events": whole(0, MOST_EVENTS)},
}
"""What the payload of each kind must hold; other kinds, and other keys, are a newer version's and kept."""

EVENT: dict[str, Rule] = {
    "device": ID,
    "counter": _ENTRY,
    "utc_ms": _MOMENT,
    "kind": _like(r"[a-z][a-z-]{0,39}", "a word in small letters"),
    "payload": _OBJECT,
}
