"""The search of nights says of every night what the plan of that night says."""

from __future__ import annotations

from collections import Counter
from datetime import date, timedelta
from random import Random
from typing import Any

from fieldsheet.plan.nights import grid_for, search
from fieldsheet.plan.plan import plan
from fieldsheet.plan.problem import PlanProblem
from fieldsheet.sky.sky import Sky
from tests.random_briefs import random_brief
from tests.random_needs import random_needs

SEED = 20270606
BRIEFS = 40
SPAN = 40
COMPARED = 6


def _by_plan(brief: dict[str, Any], sky: Sky, night: str) -> dict[str, Any]:
    """A night as the plan has it, as far as a row of the search has it too."""
    try:
        planned = plan(brief, sky, {"night": night})
    except PlanProblem as problem:
        told = {"id": problem.id, "args": problem.args_}
        return {"problem": told, "window": None, "needs": [], "good": False}
    window = {key: planned["window"][key] for key in ("start", "end")}
    moon = {key: planned["sky"]["moon"][key] for key in ("lit", "phase", "rise", "set")}
    good = all(need["met"] for need in planned["needs"])
    return {"problem": None, "window": window, "needs": planned["needs"], "good": good, "moon": moon}


def test_search_and_plan_agree_on_random_shots_and_nights(sky: Sky) -> None:
    rng = Random(SEED)
    outcomes: Counter[str] = Counter()
    for number in range(BRIEFS):
        brief = random_brief(rng)
        brief["needs"] = brief["needs"] or random_needs(rng, lambda rng: {"event": "sunset", "offset_s": 0})
        first = date.fromisoformat(brief["night"]["date"]) - timedelta(days=SPAN // 2)
        rows = search(brief, sky, first, first + timedelta(days=SPAN))
        assert [row["night"] for row in rows] == [
            (first + timedelta(days=step)).isoformat() for step in range(SPAN + 1)
        ]
        for row in rng.sample(rows, COMPARED):
            expected = _by_plan(brief, sky, row["night"])
            got = {key: row[key] for key in expected}
            assert _rounded(got) == _rounded(expected), f"brief {number} of seed {SEED}, {row['night']}"
            outcomes[row["problem"]["id"] if row["problem"] else "good" if row["good"] else "unmet"] += 1
    print(dict(outcomes))
    assert min(outcomes["good"], outcomes["unmet"], outcomes["problem.no-event"]) > 5, outcomes


def _rounded(value: Any) -> Any:
    """Numbers to a millionth: one look-up for many nights may differ from many in the last digit."""
    if isinstance(value, dict):
        return {key: _rounded(part) for key, part in value.items()}
    if isinstance(value, list):
        return [_rounded(part) for part in value]
    return round(value, 6) if isinstance(value, float) else value


def test_a_grid_made_for_many_shots_serves_each_of_them(sky: Sky) -> None:
    rng = Random(SEED)
    briefs = [random_brief(rng) for _ in range(3)]
    grid = grid_for(briefs, sky)
    first = date(2027, 3, 1)
    for brief in briefs:
        last = first + timedelta(days=30)
        alone, shared = search(brief, sky, first, last), search(brief, sky, first, last, grid)
        assert _rounded(alone) == _rounded(shared)


def test_nights_beyond_the_sky_are_answers(sky: Sky) -> None:
    brief = random_brief(Random(1))
    rows = search(brief, sky, date(2028, 12, 20), date(2029, 1, 5))
    assert len(rows) == 17
    assert rows[-1]["problem"]["id"] in ("problem.no-sky", "problem.no-zone")
    assert rows[-1]["moon"] is None and rows[-1]["dark_h"] is None and not rows[-1]["good"]
