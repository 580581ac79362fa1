"""Nights in words: letters of needs, what is not known, and why there is no plan."""

from __future__ import annotations

from typing import Any

import pytest

from fieldsheet.plan.known import NO_PLAN
from fieldsheet.sheet.nights import CAUSES, Reason, letter, nights_told, why_not
from fieldsheet.sheet.words import WORDS

SPANS = [[0, 0, "UTC"]]
BRIEF = {"place": {"zone": {"spans": SPANS}}}


def test_letters_go_on_after_z() -> None:
    letters = [letter(index) for index in range(26 * 27 + 1)]
    assert (letters[0], letters[25], letters[26], letters[27], letters[51], letters[52]) == (
        *("a", "z", "aa", "ab"),
        *("az", "ba"),
    )
    assert letters[-2:] == ["zz", "aaa"]
    assert len(set(letters)) == len(letters)


def _need(most: int, met: bool | None) -> dict[str, Any]:
    at = {"fraction": 1.0}
    args = {"at": at, "target": "moon", "low": -90.0, "high": float(most), "actual": 3.0}
    return {
        "id": "need.altitude-most",
        "args": args | ({"found": NO_PLAN} if met is None else {}),
        "met": met,
    }


def _row(
    day: int, verdict: str, met: list[bool | None], problem: dict[str, Any] | None = None
) -> dict[str, Any]:
    return {
        "night": f"2027-06-{day:02d}",
        "verdict": verdict,
        "no_go": [],
        "limits_unknown": [],
        "problem": problem,
        "cause": None,
        "window": None,
        "needs": [_need(index, one) for index, one in enumerate(met)],
        "moon": None,
        "core_usable_h": None,
        "dark_h": None,
    }


NO_MOON = {"id": "problem.no-event", "args": {"event": "moonrise"}, "key": "start"}


def test_what_is_not_known_is_told_apart_from_what_is_not_met() -> None:
    rows = [
        _row(1, "good", [True, True, True]),
        _row(2, "open", [True, None, True]),
        _row(3, "fails", [False, None, True]),
        _row(4, "none", [None, None, False], NO_MOON),
        _row(5, "none", [None, None, True], NO_MOON),
    ]
    told = nights_told(BRIEF, rows)
    assert [line.lacks for line in told.lines] == ["", "b?", "a b?", "c", ""]
    assert [told.count(verdict) for verdict in ("good", "open", "fails", "none")] == [1, 1, 1, 2]
    assert told.unjudged
    assert not nights_told(BRIEF, rows[:1]).unjudged
    names = list(told.needs.values())
    assert told.reasons == [
        Reason("", "no plan: no moonrise to start at", 2, 1, 0),
        Reason("a", names[0], 1, 1, 0),
        Reason("c", names[2], 1, 0, 0),
        Reason("b", names[1], 0, 0, 2),
    ]


def test_what_forbids_a_night_and_what_nobody_knows_of_it_are_told() -> None:
    args = {"number": 3, "target": "galactic core"}
    behind = [{"level": "no-go", "id": "warning.behind-skyline", "args": args}]
    rows = [
        {**_row(1, "fails", [True]), "no_go": behind},
        {**_row(2, "good", [True]), "limits_unknown": ["turn-back", "check-in"]},
    ]
    told = nights_told(BRIEF, rows)
    forbidden = "no go: K3: the core is behind the skyline"
    assert [(line.why, line.unsaid) for line in told.lines] == [
        (forbidden, ""),
        ("", "not known: turn back, check in"),
    ]
    assert told.reasons == [Reason("", forbidden, 1, 1, 0)]


def test_what_forbids_many_nights_is_counted_without_the_figures_of_one() -> None:
    gate = {"id": "warning.gate-passed", "args": {"clock": 0, "end": 0}}
    behind = {"id": "warning.behind-skyline", "args": {"number": 1, "target": "moon"}}
    rows = [
        {
            **_row(day, "fails", [day > 2]),
            "no_go": [{**gate, "args": {"clock": day * 86_400_000, "end": 0}}, *([behind] * more)],
        }
        for day, more in ((1, 0), (2, 1), (3, 0), (4, 2))
    ]
    told = nights_told(BRIEF, rows)
    assert len({line.why for line in told.lines}) == 4
    assert [(one.letter, one.what, one.nights, one.alone) for one in told.reasons] == [
        ("", "no go: the gate closes before the end", 4, 1),
        ("", "no go: K1: the moon is behind the skyline", 2, 0),
        ("a", told.needs["a"], 2, 0),
    ]


def test_the_core_s_time_is_rounded_as_its_need_is() -> None:
    rows = [{**_row(1, "good", []), "core_usable_h": seconds / 3600} for seconds in (3629, 3630, 3690)]
    assert [line.core for line in nights_told(BRIEF, rows).lines] == ["1 h", "1 h 1 min", "1 h 2 min"]


def test_more_than_26_needs_are_told_apart() -> None:
    told = nights_told(BRIEF, [_row(1, "fails", [False] * 30)])
    assert len(told.needs) == len(told.reasons) == 30
    assert told.lines[0].lacks.split(" ")[24:] == ["y", "z", "aa", "ab", "ac", "ad"]


@pytest.mark.parametrize(
    ("id", "args", "key", "text"),
    [
        ("no-event", {"event": "moonrise"}, "start", "no moonrise to start at"),
        ("never-event", {"event": "core usable"}, "end", "no core usable to end at"),
        ("no-event", {"event": "core unusable"}, "end", "no core usable to end at"),
        ("no-event", {"event": "sunset"}, "keyframe.1.at", "no sunset for K2"),
        ("no-event", {"event": "low tide"}, "start", "no low tide typed in to start at"),
        ("clock-skipped", {"clock": "02:30"}, "end", "the clocks skip 02:30 to end at"),
        ("keyframe-outside", {"number": 2}, "keyframe.1.at", "K2 not in the shot"),
        ("keyframes-meet", {"number": 2}, "keyframe.1.at", "K2 at the same frame as the one before"),
    ],
)
def test_why_there_is_no_plan_says_what_hangs_on_it(
    id: str, args: dict[str, Any], key: str, text: str
) -> None:
    assert f"problem.{id}.found" in WORDS
    problem = {"id": f"problem.{id}", "args": args, "key": key}
    assert why_not({"problem": problem, "cause": None}, SPANS) == text


def test_a_core_that_is_not_usable_says_what_keeps_it() -> None:
    problem = {"id": "problem.no-event", "args": {"event": "core usable"}, "key": "start"}
    told = {why_not({"problem": problem, "cause": cause}, SPANS) for cause in CAUSES}
    assert "no core usable to start at (moon up while it is dark)" in told
    assert len(told) == len(CAUSES) == 4
