"""The core in Python and in JavaScript gives equal strings on random briefs and changes."""

from __future__ import annotations

import base64
import json
from collections import Counter
from collections.abc import Callable
from random import Random
from typing import Any

import pytest
from playwright.sync_api import Page, Route

from fieldsheet.plan.plan import plan
from fieldsheet.plan.problem import PlanProblem
from fieldsheet.sheet.sheet import changing
from fieldsheet.sheet.view import view_of
from fieldsheet.sheet.words import WORDS, say
from fieldsheet.site.build import modules
from fieldsheet.site.lean import lean_modules
from fieldsheet.sky.bodies import STARS
from fieldsheet.sky.sky import Sky
from fieldsheet.templates import templates
from tests.conftest import BRIEFS
from tests.long import tries
from tests.random_briefs import random_case
from tests.random_wrongs import gone_wrong
from tests.web.seldom import seldom_cases

SEED = 20270605
SAID_BY_OTHERS = {"need.met", "need.unmet", "need.unknown", "need.days"}
UNUSUAL = {
    "found." + found
    for found in (
        *("no-tide", "no-ridge", "no-frame", "no-moment", "no-event", "none-near"),
        *("hidden", "up", "down", "up-behind", "up-lights", "near"),
    )
}

TWINS = {
    "plan": "plan",
    "sheet": "makeSheet",
    "view": "viewOf",
    "pack": "readPack",
    "sky": "makeSky",
    "say": "say",
    "problem": "PlanProblem",
}

IN_THE_BROWSER = """async ({cases, packs}) => {
  const {plan, makeSheet, viewOf, readPack, makeSky, say, PlanProblem} = await import('/lean/twins.js');
  const bytes = (text) => Uint8Array.from(atob(text), (sign) => sign.charCodeAt(0)).buffer;
  const sky = makeSky(packs.map((text) => readPack(bytes(text))));
  return cases.map(({brief, changes}) => {
    try {
      const planned = {...plan(brief, sky, changes), revision: brief.revision};
      const views = planned.picture.views.map((_, index) => viewOf(planned, index));
      return {...makeSheet(planned), views};
    } catch (error) {
      if (!(error instanceof PlanProblem)) throw error;
      const words = ['found', 'right'].map((part) =>
        say(`${error.id}.${part}`, error.args, brief.place.zone.spans));
      return {problem: error.id, key: error.key, words};
    }
  });
}"""


def _python(case: dict[str, Any], sky: Sky, outcomes: Counter[str]) -> dict[str, Any]:
    """What a night changes of the sheet, in Python; or the problem in words."""
    brief = case["brief"]
    try:
        planned = plan(brief, sky, case["changes"])
    except PlanProblem as problem:
        spans = brief["place"]["zone"]["spans"]
        outcomes[problem.id] += 1
        words = [say(f"{problem.id}.{part}", problem.args_, spans) for part in ("found", "right")]
        return {"problem": problem.id, "key": problem.key, "words": words}
    outcomes.update(["planned", *{warning["id"] for warning in planned["warnings"]}])
    outcomes.update({id for need in planned["needs"] for id in (need["id"], need["args"].get("found"))})
    views = [view_of(planned, index) for index in range(len(planned["picture"]["views"]))]
    return {**changing({**planned, "revision": brief["revision"]}), "views": views}


def test_both_languages_show_the_same_on_random_briefs_and_changes(
    modules_page: Page,
    packs: dict[int, bytes],
    sky: Sky,
    demo_brief: dict[str, Any],
    pytestconfig: pytest.Config,
) -> None:
    rng, count = Random(SEED), tries(pytestconfig.getoption("--briefs"))
    cases = [gone_wrong(rng, random_case(rng), sky) for _ in range(count)] + seldom_cases(demo_brief)
    outcomes: Counter[str] = Counter()
    expected = [_python(case, sky, outcomes) for case in cases]
    modules_page.route("**/lean/twins.js", _answer(_as_served()))
    sent = {"cases": cases, "packs": [base64.b64encode(pack).decode() for pack in packs.values()]}
    got = modules_page.evaluate(IN_THE_BROWSER, sent)
    print(f"seed {SEED}: {dict(outcomes)}")
    for number, (python, javascript) in enumerate(zip(expected, got, strict=True)):
        python = json.loads(json.dumps(python))
        assert _close(python, javascript), f"case {number} of seed {SEED}: {_difference(python, javascript)}"
    assert outcomes["planned"] > count / 3, outcomes
    if count >= BRIEFS:
        _must_reach_all(outcomes)


def _must_reach_all(outcomes: Counter[str]) -> None:
    warned = {id.rsplit(".", 1)[0] for id in WORDS if id.startswith("warning.")}
    assert warned <= outcomes.keys(), "every warning is reached"
    asked = {id for id in WORDS if id.startswith("need.")} - SAID_BY_OTHERS
    assert asked | UNUSUAL <= outcomes.keys(), "every need is reached, and all that can be found for one"
    problems = {id.rsplit(".", 1)[0] for id in WORDS if id.startswith("problem.")}
    assert problems <= outcomes.keys(), "every problem is reached"


def _as_served() -> bytes:
    """The twins as the site's modules are written, with all words: those of problems stay at the desk."""
    tables = {"core/words.js": ("WORDS", WORDS), "core/stars.js": ("STARS", STARS)}
    sources = {
        **modules(templates() / "app"),
        **{path: f"export const {name} = {json.dumps(table)};" for path, (name, table) in tables.items()},
        "twins.js": "\n".join(
            f'export {{ {name} }} from "./core/{file}.js";' for file, name in TWINS.items()
        ),
    }
    return lean_modules(sources, ["twins.js"])["twins.js"]


def _answer(body: bytes) -> Callable[[Route], None]:
    """What the build writes, given in place of a file."""
    return lambda route: route.fulfill(body=body, content_type="text/javascript")


def _close(a: Any, b: Any) -> bool:
    return _difference(a, b) is None


def _difference(a: Any, b: Any, path: str = "") -> str | None:
    """The first place at which two sheets differ: strings must be equal, drawn numbers within 1e-3."""
    if isinstance(a, dict) and isinstance(b, dict):
        if a.keys() != b.keys():
            return f"{path}: keys {sorted(a.keys() ^ b.keys())}"
        return next((found for key in a if (found := _difference(a[key], b[key], f"{path}.{key}"))), None)
    if isinstance(a, list) and isinstance(b, list):
        if len(a) != len(b):
            return f"{path}: {len(a)} and {len(b)} entries"
        pairs = enumerate(zip(a, b, strict=True))
        return next(
            (found for index, (x, y) in pairs if (found := _difference(x, y, f"{path}.{index}"))), None
        )
    numbers = isinstance(a, (int, float)) and isinstance(b, (int, float)) and not isinstance(a, bool)
    same = abs(a - b) < 1e-3 if numbers else a == b
    return None if same else f"{path}: Python {a!r}, JavaScript {b!r}"
