"""The plan's format, version 1, is frozen: what readers know stays where it is, and of the same type.

`plan-1.txt` has each key of the demo's plans with the types of its values. Keys may be added; where one that
is listed must go or change, that is version 2.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from fieldsheet.catalog.read import Catalog
from fieldsheet.plan.plan import FORMAT, VERSION, plan
from fieldsheet.sky.sky import Sky

FROZEN = Path(__file__).with_name("plan-1.txt")
HALF_HOUR_MS = 1_800_000
# Their keys are axes of the rig, or arguments of one message each.
NAMED = ("axes", "positions", "aimed", "way", "travel_back", "via", "moving_wh", "args")
TYPES = {dict: "object", list: "list", str: "text", bool: "truth", int: "number", float: "number"}


def keys_of(value: Any, path: str = "") -> Iterator[tuple[str, str]]:
    """(path, type) of everything in a plan; rows of a list are one, and so are axes."""
    yield path, "null" if value is None else TYPES[type(value)]
    if isinstance(value, dict):
        named = path.rpartition(".")[2].removesuffix("[]") in NAMED
        for key, part in value.items():
            yield from keys_of(part, f"{path}.{'*' if named else key}")
    elif isinstance(value, list):
        for part in value:
            yield from keys_of(part, path + "[]")


@pytest.fixture(scope="module")
def keys(demo: Catalog, sky: Sky) -> dict[str, set[str]]:
    """Of the demo's plans: as they are, started late, and stopped in the middle."""
    found: dict[str, set[str]] = {}
    for shot in demo.shots:
        brief = demo.brief(shot)
        usual = plan(brief, sky, {})
        start_ms = usual["window"]["start"]["utc_ms"]
        frame = usual["timing"]["frames"] // 2
        rolling_ms = (start_ms + usual["window"]["end"]["utc_ms"]) // 2 + HALF_HOUR_MS
        late = plan(brief, sky, {"start_ms": start_ms + HALF_HOUR_MS // 3})
        stopped = plan(brief, sky, {"stopped": {"frame": frame, "rolling_ms": rolling_ms}})
        for planned in (usual, late, stopped):
            for path, type_ in keys_of(planned):
                found.setdefault(path, set()).add(type_)
    return found


def frozen() -> dict[str, set[str]]:
    lines = (line.split(": ") for line in FROZEN.read_text("utf-8").splitlines())
    return {path: set(types.split(" or ")) for path, types in lines}


def test_it_says_what_it_is(demo_plan: dict[str, Any]) -> None:
    assert (demo_plan["format"], demo_plan["version"]) == (FORMAT, VERSION) == ("fieldsheet plan", 1)


def test_every_key_of_version_1_is_where_it_was(keys: dict[str, set[str]]) -> None:
    assert frozen().keys() - keys.keys() == set()


def test_and_holds_what_it_held(keys: dict[str, set[str]]) -> None:
    """A key of which nothing but null was seen promises nothing yet."""
    known = {path: types for path, types in frozen().items() if types != {"null"}}
    other = {path: keys[path] - types for path, types in known.items() if not keys[path] <= types}
    assert other == {}
