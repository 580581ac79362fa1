"""A plan from elsewhere with any one part of it spoilt is refused in words, or shown with sane figures."""

from __future__ import annotations

import base64
import copy
import json
import re
from collections.abc import Callable, Iterator
from random import Random
from typing import Any

import pytest
from playwright.sync_api import Page, Route

from fieldsheet.catalog.read import Catalog
from fieldsheet.site.build import modules
from fieldsheet.templates import templates
from tests.long import tries
from tests.random_briefs import random_brief

SEED = 20270605
SLOWEST_MS = 3000
# As JSON: what is of another kind, and numbers that are beyond all measure, or just within one.
ODD = ["null", "true", '""', '"x"', '"12"', "[]", "{}", '[[{"a": [1]}]]', "1e308", "1e13", "-1e13", "5e-324"]
NEAR = ["0", "-1", "0.5", "1", "89.9", "360", "1e6"]
GONE = "gone"
# As open.js does it: through the gate, then worked out and said. The texts are all that a person reads of it.
OPENED = """async ({files, packs}) => {
  const [file, worked, pack, sky] = await Promise.all(
    ["codes/planfile", "phones/worked", "core/pack", "core/sky"].map((name) => import(`/app/${name}.js`)));
  const bytes = (text) => Uint8Array.from(atob(text), (sign) => sign.charCodeAt(0)).buffer;
  const over = sky.makeSky(packs.map((text) => pack.readPack(bytes(text))));
  const texts = (value) => typeof value === "string" ? [value]
    : typeof value === "object" && value !== null ? Object.values(value).flatMap(texts) : [];
  return files.map((text) => {
    const since_ms = performance.now();
    let [refused, shown] = [null, null];
    try {
      shown = texts(worked.workedOut(file.readPlan(text), over).sheet);
    } catch (error) {
      if (!(error instanceof file.PlanFileError)) throw new Error(`${error} of ${text}`);
      refused = error.message;
    }
    return {refused, shown, took_ms: performance.now() - since_ms};
  });
}"""
REFUSED = re.compile(
    r"This file is not a plan\."
    r"|This plan is damaged: [a-z0-9. ]+ is (missing|missing or out of range|none|out of range)\."
    r"|This plan is damaged: it (cannot be worked out|holds more than a plan does)\."
    r"|This plan (is of version|cannot be worked out: |is for ).+\."
)
# What a number that is none leaves behind, and one that no reader takes in.
NONSENSE = re.compile(r"Na\.?N|Infin|undefined|\bnull\b|\[object|[0-9]e[+-]?[0-9]|[0-9]{13}")
Path = tuple[str | int, ...]
Opened = Callable[[list[str]], list[dict[str, Any]]]


@pytest.fixture(scope="module")
def opening(pure: Page) -> Iterator[Page]:
    """A page that has the modules as a site has them, with the tables made from Python's."""
    sources = modules(templates() / "app")

    def answer(route: Route) -> None:
        route.fulfill(body=sources[route.request.url.partition("/app/")[2]], content_type="text/javascript")

    pure.route("**/app/**/*.js", answer)
    yield pure


@pytest.fixture(scope="module")
def opened(opening: Page, packs: dict[int, bytes]) -> Opened:
    """What becomes of the texts of some files: refused, shown, took_ms."""
    skies = [base64.b64encode(pack).decode() for pack in packs.values()]

    def opened(files: list[str]) -> list[dict[str, Any]]:
        found: list[dict[str, Any]] = opening.evaluate(OPENED, {"files": files, "packs": skies})
        return found

    return opened


def brief_of(catalog: Catalog, shot: str) -> dict[str, Any]:
    brief = {key: value for key, value in catalog.brief(shot).items() if key != "words"}
    return {**brief, "revision": "ABC123"}


def parts_of(value: Any, path: Path = ()) -> Iterator[Path]:
    """Every part of a brief; of the rows of a list the first two, for the others are like them."""
    if path:
        yield path
    rows = (
        value.items() if isinstance(value, dict) else enumerate(value[:2]) if isinstance(value, list) else ()
    )
    for key, part in rows:
        yield from parts_of(part, (*path, key))


def spoilt(brief: dict[str, Any], path: Path, value: str) -> str:
    """The file with this one part gone, or another value in its place."""
    spoilt = copy.deepcopy(brief)
    part: Any = spoilt
    for key in path[:-1]:
        part = part[key]
    if value == GONE:
        del part[path[-1]]
        return json.dumps(spoilt)
    part[path[-1]] = "the value"
    return json.dumps(spoilt).replace('"the value"', value)


def _some(dice: Random, values: list[str]) -> list[str]:
    return dice.sample(values, min(tries(1), len(values)))


def test_any_part_of_a_plan_spoilt_is_refused_in_words_or_shown_sanely(opened: Opened, demo: Catalog) -> None:
    dice = Random(SEED)
    cases = [
        (shot, path, value)
        for shot in ("slipway", "hoist", "moonrise")[: tries(1)]
        for path in list(parts_of(brief_of(demo, shot)))[:: 1 if tries(1) > 1 else 6]
        for value in (GONE, *_some(dice, ODD), *_some(dice, NEAR))
    ]
    briefs = {shot: brief_of(demo, shot) for shot in demo.shots}
    files = [spoilt(briefs[shot], path, value) for shot, path, value in cases]
    outcomes = opened(files)
    for case, outcome in zip(cases, outcomes, strict=True):
        assert outcome["took_ms"] < SLOWEST_MS, case
        if outcome["refused"]:
            assert REFUSED.fullmatch(outcome["refused"]), (case, outcome["refused"])
        else:
            assert not [text for text in outcome["shown"] if NONSENSE.search(text)], case
    shown = sum(outcome["refused"] is None for outcome in outcomes)
    print(f"seed {SEED}: {len(outcomes)} spoilt plans, {shown} shown")
    assert 0 < shown < len(outcomes) / 2


def test_what_the_desk_makes_passes_the_gate(opened: Opened, demo: Catalog) -> None:
    dice = Random(SEED)
    briefs = [brief_of(demo, shot) for shot in demo.shots]
    briefs += [{**random_brief(dice), "revision": "ABC123"} for _ in range(tries(12))]
    for outcome in opened([json.dumps(brief) for brief in briefs]):
        assert "damaged" not in (outcome["refused"] or "")
