"""What comes from a phone, beyond all measure: refused in words, and soon.

What is spoilt and sealed again goes through both readers at once, in tests/web/test_hostile_codes.py.
"""

from __future__ import annotations

import json
import time
from random import Random
from typing import Any

import pytest

from fieldsheet.exchange.carrycode import brief_of
from fieldsheet.exchange.digits import CodeError
from fieldsheet.exchange.takefile import read_take
from fieldsheet.exchange.takerules import MOST_BYTES, MOST_NOTE
from tests.random_takes import random_take
from tests.takes import carried, file_of

SLOWEST_S = 2.0


@pytest.fixture(scope="module")
def taken(demo_plan: dict[str, Any]) -> dict[str, Any]:
    return carried(demo_plan)


def _long_note(file: dict[str, Any]) -> None:
    file["events"].append(
        {**file["events"][-1], "counter": 99_999, "kind": "note", "payload": {"text": "x" * 2_000_000}}
    )


@pytest.mark.parametrize(
    ("data", "words"),
    [
        (b" " * (MOST_BYTES + 1), "more than 10 MB"),
        (b"[" * MOST_BYTES, "a nesting beyond all logs"),
        (b"9" * MOST_BYTES, "a number or a nesting beyond all logs"),
    ],
    ids=["more than 10 MB", "brackets", "one number"],
)
def test_logs_beyond_all_measure_are_refused_soon(data: bytes, words: str) -> None:
    since_s = time.process_time()
    problems = read_take("a.json", data)
    assert isinstance(problems, list) and words in problems[0].found
    assert time.process_time() - since_s < SLOWEST_S


def test_a_note_of_two_megabytes_and_a_code_of_100_000_digits_are_refused_soon(
    taken: dict[str, Any],
) -> None:
    file = json.loads(file_of(random_take(Random(1), taken)))
    _long_note(file)
    since_s = time.process_time()
    problems = read_take("a.json", json.dumps(file).encode())
    assert isinstance(problems, list)
    (problem,) = problems
    assert f"at most {MOST_NOTE} signs" in problem.right and len(problem.found) <= 40
    with pytest.raises(CodeError, match="too long"):
        brief_of("1" * 100_000)
    assert time.process_time() - since_s < SLOWEST_S
