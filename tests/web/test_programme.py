"""What the rig does in a take: it is of one programme of the rig, and what was a slip can be undone."""

from __future__ import annotations

from typing import Any

from playwright.sync_api import Page

STATES = """async (logs) => {
  const {reduce} = await import("/app/takes/added.js");
  return logs.map(reduce).map(({fired_ms, counts, acts, marks, ready, changes}) => ({
    fired_ms, frames: counts.map(({frame}) => frame), acts: [...acts.keys()],
    marks: marks.map(({what}) => what),
    ready: ready !== null, way: changes.way?.id ?? ""}));
}"""


def _event(counter: int, kind: str, payload: dict[str, Any], device: str = "A") -> dict[str, Any]:
    of_take = {"take": "t1", "shot": "slipway", "device": device, "counter": counter, "utc_ms": 10 * counter}
    return of_take | {"kind": kind, "payload": payload}


ROLLING = [
    _event(1, "take", {"plan": {}, "changes": {}}),
    _event(2, "start", {"utc_ms": 20}),
    _event(3, "start", {"utc_ms": 25}),
    _event(4, "count", {"frame": 2}),
    _event(5, "act", {"act": "swap.1"}),
    _event(6, "mark", {"what": "plane", "frame": 3, "file": ""}),
    _event(7, "ready", {"open": [], "forced": False}),
]
STOOD = {"fired_ms": 25, "frames": [2], "acts": ["swap.1"], "marks": ["plane"], "ready": True, "way": ""}
NEW: dict[str, Any] = {"fired_ms": None, "frames": [], "acts": [], "ready": False, "way": "move"}
MOVE = {"way": {"id": "move", "frame": 2, "rolling_ms": 90}}

CASES: dict[str, tuple[list[dict[str, Any]], dict[str, Any]]] = {
    "as it stands": ([], {}),
    "the start set before comes back": ([_event(8, "undo", {"events": ["A:3"]})], {"fired_ms": 20}),
    "not fired after all": ([_event(8, "start", {"utc_ms": None})], {"fired_ms": None}),
    "another phone undoes": (
        [_event(8, "undo", {"events": ["A:4", "A:5", "A:6"]}, device="B")],
        {"frames": [], "acts": [], "marks": []},
    ),
    "an undo of what no undo takes back": ([_event(8, "undo", {"events": ["A:1", "B:9"]})], {}),
    "changed, and running on": ([_event(8, "changes", {"changes": {"exposure_shift_ev": 0.3}})], {}),
    "a new programme; marks stay the take's": ([_event(8, "changes", {"changes": MOVE})], NEW),
    "a new programme that has begun": (
        [
            _event(8, "changes", {"changes": MOVE}),
            _event(9, "start", {"utc_ms": 90}),
            _event(10, "changes", {"changes": {"exposure_shift_ev": 0.3} | MOVE}),
        ],
        NEW | {"fired_ms": 90},
    ),
    "back to the printed plan, which had gone on": (
        [_event(8, "changes", {"changes": MOVE}), _event(9, "changes", {"changes": {}})],
        {},
    ),
    "back to the printed plan on a night on which it never ran": (
        [_event(8, "changes", {"changes": MOVE}), _event(9, "changes", {"changes": {"night": "2027-06-10"}})],
        NEW | {"way": ""},
    ),
}


def test_what_the_rig_does_is_of_one_programme_and_can_be_undone(modules_page: Page) -> None:
    logs = [[*reversed(more), *ROLLING] for more, _ in CASES.values()]
    found = dict(zip(CASES, modules_page.evaluate(STATES, logs), strict=True))
    assert found == {name: STOOD | differs for name, (_, differs) in CASES.items()}
