"""The schema of a plan, by an independent validator: every plan fits it, and what is no plan is refused."""

from __future__ import annotations

import copy
import json
from collections.abc import Callable
from random import Random
from typing import Any

import pytest
from jsonschema import Draft202012Validator

from fieldsheet.catalog.read import Catalog
from fieldsheet.exchange.planjson import plan_file, plan_schema, schema_file
from fieldsheet.plan.plan import plan
from fieldsheet.plan.problem import PlanProblem
from fieldsheet.press import Planned, plan_shot
from fieldsheet.sky.sky import Sky
from tests.commands import Run
from tests.random_briefs import random_case

RANDOM = 15
SEED = 5870
Edit = Callable[[dict[str, Any]], None]


@pytest.fixture(scope="module")
def validator() -> Draft202012Validator:
    schema = json.loads(plan_schema())
    Draft202012Validator.check_schema(schema)
    return Draft202012Validator(schema)


def faults(validator: Draft202012Validator, planned: dict[str, Any]) -> list[str]:
    whole = json.loads(plan_file(planned))
    return [f"{fault.json_path}: {fault.message[:80]}" for fault in validator.iter_errors(whole)]


def test_every_plan_of_the_demo_fits(validator: Draft202012Validator, demo_planned: Planned) -> None:
    for whole in demo_planned.plans.values():
        assert faults(validator, whole) == []


def test_a_plan_that_starts_late_and_one_that_stopped_fit(
    validator: Draft202012Validator, demo: Catalog, demo_planned: Planned, sky: Sky
) -> None:
    for shot_id in ("slipway", "hoist"):
        brief, whole = demo.brief(shot_id), demo_planned.plans[shot_id]
        late = {"start_ms": whole["window"]["start"]["utc_ms"] + 600_000}
        assert faults(validator, plan_shot(brief, sky, late)) == []
        middle_ms = sum(whole["window"][edge]["utc_ms"] for edge in ("start", "end")) // 2
        stopped = {"frame": whole["timing"]["frames"] // 2, "rolling_ms": middle_ms + 1_800_000}
        assert faults(validator, plan_shot(brief, sky, {"stopped": stopped})) == []


def test_plans_of_random_briefs_fit(validator: Draft202012Validator, sky: Sky) -> None:
    rng, planned = Random(SEED), 0
    while planned < RANDOM:
        case = random_case(rng)
        try:
            whole = plan(case["brief"], sky, case["changes"])
        except PlanProblem:
            continue
        planned += 1
        assert faults(validator, {**whole, "revision": "0A1B2C"}) == []


def put(path: str, value: Any) -> Edit:
    """Sets what stands at a dotted path."""

    def change(planned: dict[str, Any]) -> None:
        *above, last = path.split(".")
        part: Any = planned
        for key in above:
            part = part[int(key)] if isinstance(part, list) else part[key]
        part[int(last) if isinstance(part, list) else last] = value

    return change


def without(key: str) -> Edit:
    return lambda planned: planned.pop(key)


WRONG = {
    "another format": put("format", "fieldsheet brief"),
    "a version to come": put("version", 2),
    "a version as text": put("version", "1"),
    "no timing": without("timing"),
    "no brief": without("brief"),
    "no revision": without("revision"),
    "a revision of another kind": put("revision", "k3f7q2"),
    "an id that is no name of a file": put("shot.id", "../up"),
    "a title that is a number": put("shot.title", 7),
    "beyond the pole": put("place.latitude_deg", 90.01),
    "beyond the date line": put("brief.place.longitude_deg", -180.5),
    "a night that is no date": put("window.night", "5 June"),
    "a moment in seconds with a fraction": put("window.start.utc_ms", 1812220560.5),
    "a moment without a zone": put("window.end.local", "2027-06-05T19:36:00.000"),
    "no frames": put("timing.frames", 0),
    "half a frame": put("timing.frames", 752.5),
    "no segment": put("timing.segments", []),
    "an interval of nothing": put("timing.interval_ms", 0),
    "keyframes by name": put("keyframes", {"first": {}}),
    "a keyframe before the first frame": put("keyframes.0.frame", 0),
    "a position in words": put("keyframes.0.axes.pan", "left"),
    "a level that is none": put("warnings", [{"id": "warning.a", "level": "fatal", "args": {}}]),
    "a night of another rule": put("brief.night.rule", "week"),
    "an exposure that a stranger turns": put("exposure.turned_by", "nobody"),
    "a moon more than full": put("sky.moon.lit", 1.1),
    "a list": None,
}


@pytest.mark.parametrize("edit", WRONG.values(), ids=WRONG.keys())
def test_what_is_no_plan_is_refused(
    validator: Draft202012Validator, demo_plan: dict[str, Any], edit: Edit | None
) -> None:
    if edit is None:
        assert not validator.is_valid([demo_plan])
        return
    whole = copy.deepcopy(demo_plan)
    assert faults(validator, whole) == []
    edit(whole)
    assert faults(validator, whole) != []


def test_a_key_of_a_later_program_is_let_be(
    validator: Draft202012Validator, demo_plan: dict[str, Any]
) -> None:
    assert faults(validator, {**demo_plan, "later": {"a": 1}}) == []


def test_a_number_that_json_has_not_is_refused(demo_plan: dict[str, Any]) -> None:
    with pytest.raises(ValueError):
        plan_file({**demo_plan, "later": float("nan")})


def test_the_command_prints_the_schema_that_the_site_has(run: Run) -> None:
    assert run("schema", "plan") == (0, schema_file().decode(), "")
    assert run("schema", "brief")[0] == 2
