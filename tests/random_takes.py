"""Random takes of a plan, as several phones might have kept them: of all kinds, with whatever was typed."""

from __future__ import annotations

from random import Random
from typing import Any

from tests.takes import Body, events_of

PHONES = ["7f3a90c1", "b81d04e6-2", "c3"]
TEXTS = [
    "", "plane", "  two  spaces ", "a\nline \t and\u2028one", "=1+1", "@x", "-5", "\u22125.25", "12.5",
    "<script>x</script>", '"quoted", and ,', "a word and another " * 6, "x" * 120, "日本語 🌌 dusk",
    "{what|clock}", "turned \u202e\u2067round",
]  # fmt: skip
ACTS = [
    "swap.1",
    "swap.9",
    "keyframe.2",
    "keyframe.77",
    "exposure.251",
    "compare.21:30",
    "limit.gate",
    "end",
    "x.y.z",
]
WAYS = [
    None,
    {"id": "frames", "start_ms": 1_812_221_000_000},
    {"id": "as-set", "start_ms": 1_812_221_000_000},
    {"id": "move", "frame": 200, "rolling_ms": 1_812_225_000_000},
    {"id": "newer"},
]


def random_take(rng: Random, plan: dict[str, Any]) -> list[dict[str, Any]]:
    """Some thirty events in the order of the log, some of them doubled."""
    minutes = sorted(rng.uniform(-90, 300) for _ in range(rng.randrange(3, 45)))
    bodies: list[Body] = [_body(rng, plan, at) for at in minutes]
    events = events_of(plan, bodies)
    return events + rng.sample(events, k=rng.randrange(3))


def _body(rng: Random, plan: dict[str, Any], minutes: float) -> Body:
    kind = rng.choice(list(_PAYLOADS))
    return minutes, rng.choice(PHONES), kind, _PAYLOADS[kind](rng, plan, minutes)


def _keys(rng: Random) -> list[str]:
    return [f"{rng.choice(PHONES)}:{rng.randrange(1, 30)}" for _ in range(rng.randrange(1, 4))]


def _frame(rng: Random, plan: dict[str, Any], minutes: float) -> int:
    """About where the rig would be, now and then somewhere else."""
    due = int(minutes * 60_000 / plan["timing"]["interval_ms"] * rng.choice([1, 1, 1.02, 0.5]))
    return max(1, due + rng.randrange(-1, 3))


def _changes(rng: Random, plan: dict[str, Any]) -> dict[str, Any]:
    changes: dict[str, Any] = {}
    if rng.random() < 0.3:
        changes["night"] = rng.choice(["2027-06-12", "2027-02-31", "later"])
    if rng.random() < 0.4:
        changes["exposure_shift_ev"] = rng.choice([1 / 3, -1.0, 2])
    if rng.random() < 0.3:
        changes["spot"] = {"latitude_deg": 1.0, "longitude_deg": 2.0, "elevation_m": 3}
    if rng.random() < 0.3:
        changes |= {"interval_ms": 20_000, "newer": [1], "start_ms": 1_812_220_700_000}
    if rng.random() < 0.2:
        changes["stopped"] = {"frame": 200, "rolling_ms": 1_812_225_000_000}
    way = rng.choice(WAYS)
    return changes | ({"way": way} if way else {})


def _changed(rng: Random, plan: dict[str, Any], minutes: float) -> dict[str, Any]:
    planned = {key: plan[key] for key in ("timing", "window", "keyframes", "power")}
    return {"changes": _changes(rng, plan)} | ({"planned": planned} if rng.random() < 0.6 else {})


def _item(rng: Random, plan: dict[str, Any]) -> str:
    items: list[str] = [*plan["items"]][:4]
    return rng.choice([*items, "gone"])


_PAYLOADS: dict[str, Any] = {
    "changes": _changed,
    "tick": lambda rng, plan, at: {"item": _item(rng, plan), "value": rng.choice(TEXTS)},
    "untick": lambda rng, plan, at: {"events": _keys(rng)},
    "undo": lambda rng, plan, at: {"events": _keys(rng)},
    "field": lambda rng, plan, at: {"item": _item(rng, plan), "value": rng.choice(TEXTS)},
    "as-set": lambda rng, plan, at: {
        "keyframe": rng.randrange(4),
        "axis": rng.choice(["slide", "pan", "tilt", "roll"]),
        "value": rng.choice(["", "12.5", "\u221284.6", "+3", "far"]),
    },
    "photo": lambda rng, plan, at: {"keyframe": rng.randrange(3), "bytes": rng.randrange(10**6)},
    "start": lambda rng, plan, at: {
        "utc_ms": rng.choice([None, plan["window"]["start"]["utc_ms"] + rng.randrange(-2, 900) * 1000]),
        **({"unready": [_item(rng, plan)]} if rng.random() < 0.3 else {}),
    },
    "count": lambda rng, plan, at: {"frame": _frame(rng, plan, at)},
    "mark": lambda rng, plan, at: {
        "what": rng.choice(TEXTS[:4]),
        "frame": rng.choice([None, _frame(rng, plan, at)]),
        "file": rng.choice(["", "0093"]),
        **({"of": rng.randint(1, 30)} if rng.random() < 0.5 else {}),
    },
    "note": lambda rng, plan, at: {"text": rng.choice(TEXTS)},
    "act": lambda rng, plan, at: {
        "act": rng.choice(ACTS),
        **({"text": rng.choice(TEXTS)} if rng.random() < 0.3 else {}),
    },
    "ready": lambda rng, plan, at: {
        "open": [_item(rng, plan) for _ in range(rng.randrange(3))],
        "forced": True,
    },
    "reads": lambda rng, plan, at: {"frame": None, "f": 2.8, "shutter": "1/4", "iso": 400},
    "watch": lambda rng, plan, at: {"who": rng.choice(TEXTS[:4])},
    "name": lambda rng, plan, at: {"name": rng.choice(["", "Ana", "B\nen", "日本"])},
    "joined": lambda rng, plan, at: {"via": "code", "from": rng.choice(PHONES), "events": rng.randrange(9)},
    "end": lambda rng, plan, at: {},
    "newer-kind": lambda rng, plan, at: {"what": {"is": ["this"]}},
}
