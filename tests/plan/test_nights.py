"""The search of nights says of every night what the plan of that night says."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from datetime import date, timedelta
from random import Random
from typing import Any

import numpy as np

from fieldsheet.plan.anchors import site_of
from fieldsheet.plan.civil import DAY_S, day_number
from fieldsheet.plan.nights import search
from fieldsheet.plan.plan import plan
from fieldsheet.plan.problem import PlanProblem
from fieldsheet.plan.sights import grid_for
from fieldsheet.sky.events import clearance_deg, crossing_named
from fieldsheet.sky.observe import horizontal
from fieldsheet.sky.sky import Sky
from tests.random_briefs import random_brief
from tests.random_needs import random_needs

SEED = 20270606
BRIEFS = 40
SPAN = 40
# What the search says against a night that lacks no need, of what a plan may warn of as a no-go.
FORBIDDING = {
    f"warning.{name}"
    for name in ("axis-limit", "cable-wrap", "below-horizon", "behind-skyline", "exit-closes", "wet-line")
} | {"warning.turn-back-passed", "warning.gate-passed"}
BEYOND = ("problem.no-sky", "problem.no-zone")


def _by_plan(brief: dict[str, Any], sky: Sky, night: str) -> dict[str, Any]:
    """A night as the plan has it, as far as a row of the search has it too."""
    try:
        planned = plan(brief, sky, {"night": night})
    except PlanProblem as problem:
        told = {"id": problem.id, "args": problem.args_, "key": problem.key}
        return {"problem": told, "window": None, "verdict": "none", "no_go": []}
    window = {key: planned["window"][key] for key in ("start", "end")}
    moon = {key: planned["sky"]["moon"][key] for key in ("lit", "phase", "rise", "set")}
    met = [need["met"] for need in planned["needs"]]
    no_go = [one for one in planned["warnings"] if one["id"] in FORBIDDING and False not in met]
    verdict = "fails" if False in met or no_go else "open" if None in met else "good"
    told = {"needs": planned["needs"], "verdict": verdict, "no_go": no_go}
    return {"problem": None, "window": window, "moon": moon, **told}


def test_search_and_plan_agree_on_random_shots_and_nights(sky: Sky) -> None:
    rng = Random(SEED)
    outcomes: Counter[str] = Counter()
    for number in range(BRIEFS):
        brief = random_brief(rng)
        needs = brief["needs"] or random_needs(rng, lambda rng: {"event": "sunset", "offset_s": 0})
        brief["needs"] = needs[:1] if number % 2 else needs  # one alone is met more often
        first = date.fromisoformat(brief["night"]["date"]) - timedelta(days=SPAN // 2)
        rows = search(brief, sky, first, first + timedelta(days=SPAN))
        assert [row["night"] for row in rows] == [
            (first + timedelta(days=step)).isoformat() for step in range(SPAN + 1)
        ]
        for row in _one_of_each(rng.sample(rows, len(rows))):
            expected = _by_plan(brief, sky, row["night"])
            got = {key: row[key] for key in expected}
            assert _rounded(got) == _rounded(expected), f"brief {number} of seed {SEED}, {row['night']}"
            outcomes[row["problem"]["id"] if row["problem"] else row["verdict"]] += 1
            outcomes["forbidden"] += bool(row["no_go"])
    print(dict(outcomes))
    reached = ("good", "open", "fails", "forbidden", "problem.no-event")
    assert min(outcomes[verdict] for verdict in reached) > 0, outcomes


def test_a_night_without_a_plan_judges_what_does_not_hang_on_the_shot(sky: Sky) -> None:
    """As the same night judges it for a shot that can be planned: from a clock time, without keyframes."""
    rng = Random(SEED)
    judged: Counter[str] = Counter()
    for _ in range(BRIEFS // 2):
        brief = random_brief(rng)
        brief["needs"] = random_needs(rng, lambda rng: {"event": "sunset", "offset_s": 0})
        edges = {"start": {"clock_s": 22 * 3600}, "end": None, "duration_ms": 3_600_000}
        plain = {**brief, **edges, "interval_ms": 10_000, "frames": None, "keyframes": [], "swap": None}
        plain |= {"rig": {**brief["rig"], "axes": {}, "motion": "none"}, "tilt_deg": 0.0, "rail": None}
        plain["exposure"] = None
        first = date.fromisoformat(brief["night"]["date"])
        rows = search(brief, sky, first, first + timedelta(days=SPAN))
        fails = [row for row in rows if row["problem"] and row["problem"]["id"] not in BEYOND]
        for row in fails[:2]:
            expected = plan(plain, sky, {"night": row["night"]})["needs"]
            for got, other, need in zip(row["needs"], expected, brief["needs"], strict=True):
                if {"frame", "fraction"} & need.get("at", {}).keys():
                    assert got["met"] is None or row["problem"]["key"] != "start"
                else:
                    assert _rounded(got) == _rounded(other), row["night"]
                    judged[str(got["met"])] += 1
    print(dict(judged))
    assert min(judged["True"], judged["False"]) > 5, judged


def _one_of_each(rows: list[dict[str, Any]]) -> Iterable[dict[str, Any]]:
    """A row of every kind of answer that there is: a shot has few kinds, but many nights."""
    kinds = {
        (row["problem"]["id"] if row["problem"] else row["verdict"], bool(row["no_go"])): row for row in rows
    }
    return kinds.values()


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
    assert rows[-1]["moon"] is None and rows[-1]["dark_h"] is None and rows[-1]["verdict"] == "none"


def test_beyond_the_sky_the_needs_are_named_and_not_known(sky: Sky, demo_brief: dict[str, Any]) -> None:
    (row,) = search(demo_brief, sky, date(2035, 1, 1), date(2035, 1, 1))
    within = search(demo_brief, sky, date(2027, 1, 1), date(2027, 1, 1))[0]
    assert [need["id"] for need in row["needs"]] == [need["id"] for need in within["needs"]]
    assert {need["met"] for need in row["needs"]} == {None}


def test_a_core_that_is_not_usable_says_what_keeps_it(sky: Sky, demo_brief: dict[str, Any]) -> None:
    """By the sun, the core's height and the moon of each night, looked at every two minutes."""
    brief = {**demo_brief, "start": {"event": "core usable", "offset_s": 0}, "end": None}
    brief |= {"duration_ms": 3_600_000, "keyframes": []}
    rows = search(brief, sky, date(2027, 6, 5), date(2028, 6, 3))
    lost = [row for row in rows if row["verdict"] == "none"]
    site = site_of(brief["place"])
    for row in lost:
        noon_s = day_number(row["night"]) * DAY_S + 11 * 3600
        t_s = np.arange(noon_s, noon_s + DAY_S, 120.0)
        dark = horizontal(sky, site, "sun", t_s)[0] < -15
        high = horizontal(sky, site, "galactic core", t_s)[0] > 10
        moon_down = clearance_deg(sky, site, crossing_named("moonrise"), t_s) < 0
        assert not (dark & high & moon_down).any()
        assert row["cause"] == ("moon" if (dark & high).any() else "low" if dark.any() else "sun"), row[
            "night"
        ]
    assert Counter(row["cause"] for row in lost).keys() == {"low", "moon"}
    assert not any(row["cause"] for row in rows if row["verdict"] != "none")
    arctic = {**brief, "place": {**brief["place"], "latitude_deg": 62.0}}
    assert search(arctic, sky, date(2027, 6, 20), date(2027, 6, 20))[0]["cause"] == "sun"
    ridge = {
        **brief,
        "place": {**brief["place"], "horizon": [[azimuth, 80.0] for azimuth in (0, 90, 180, 270)]},
    }
    assert search(ridge, sky, date(2027, 6, 5), date(2027, 6, 5))[0]["cause"] == "ridge"
