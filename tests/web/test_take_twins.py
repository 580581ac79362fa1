"""Phone and desk make the same of a take: its state, its text, its table, and what of a file they refuse."""

from __future__ import annotations

import csv
import io
import json
from collections.abc import Iterator
from dataclasses import asdict
from random import Random
from typing import Any

import pytest
from playwright.sync_api import Browser, Page

from fieldsheet.exchange.report import report
from fieldsheet.exchange.takefile import Take, read_take
from fieldsheet.exchange.takerules import PAYLOADS
from fieldsheet.exchange.takes import reduce
from tests.exchange.test_takes import FAULTS
from tests.long import tries
from tests.random_takes import random_take
from tests.takes import a_night, carried, clocks_back, file_of
from tests.web.host import Host

TAKES = 24
AS_THE_PHONE_HAS_IT = """async (files) => {
  const [{readTake, writeTake, planOf}, {reportOf}, {csvOf}, {reduce}] = await Promise.all(
    ['takes/takefile', 'takes/report', 'takes/takecsv', 'takes/added']
      .map((name) => import(`/app/${name}.js`)));
  const plain = (state) => Object.fromEntries(Object.entries(state).map(([key, part]) =>
    [key, part instanceof Map ? Object.fromEntries(part) : part]));
  return files.map((file) => {
    const {events} = readTake(file);
    const plan = planOf(events);
    const written = writeTake(events);
    return {state: plain(reduce(events)), report: reportOf(events, plan), csv: csvOf(events, plan), written,
      again: writeTake(readTake(written).events.toReversed()) === written};
  });
}"""
REFUSED = """async (files) => {
  const {readTake} = await import('/app/takes/takefile.js');
  return [" ".repeat(10000001), ...files].map((file) => {
    try { readTake(file); return ""; } catch (error) { return `${error.constructor.name}: ${error.message}`; }
  });
}"""
PLAN_FORMAT = "async () => (({FORMAT, VERSION}) => [FORMAT, VERSION])(await import('/app/core/format.js'))"


@pytest.fixture(scope="module")
def page(chromium: Browser) -> Iterator[Page]:
    """A page beside the bare modules."""
    host = Host()
    context = chromium.new_context()
    page = context.new_page()
    page.goto(host.url("/app/takes/added.js"))
    yield page
    context.close()
    host.kill()


@pytest.fixture(scope="module")
def plan(demo_plan: dict[str, Any]) -> dict[str, Any]:
    return carried(demo_plan)


def test_state_text_and_table_of_random_takes_are_the_desk_s(page: Page, plan: dict[str, Any]) -> None:
    takes = [a_night(plan), a_night(clocks_back(plan))]
    takes += (_sound(random_take(Random(seed), plan)) for seed in range(tries(TAKES)))
    kinds = {event["kind"] for take in takes for event in take}
    assert kinds >= set(PAYLOADS) | {"end", "newer-kind"}
    files = [file_of(take) for take in takes]
    for file, phone in zip(
        files, page.evaluate(AS_THE_PHONE_HAS_IT, [file.decode() for file in files]), strict=True
    ):
        take = read_take("x", file)
        assert isinstance(take, Take), take
        assert json.loads(json.dumps(asdict(reduce(take.events)))) == phone["state"]
        assert report(take) == phone["report"]
        assert max(map(len, phone["report"].splitlines())) <= 80 or "x" * 120 in phone["report"]
        assert phone["again"]
        assert read_take("x", phone["written"].encode()) == take
        _check_table(take, phone["csv"])


def _sound(events: list[dict[str, Any]]) -> list[dict[str, Any]]:
    """Each event once, as a file holds them."""
    return list({event["counter"]: event for event in events}.values())


def _check_table(take: Take, table: str) -> None:
    rows = list(csv.reader(io.StringIO(table, newline=""), strict=True))
    assert table.endswith("\r\n") and table.replace("\r\n", "").count("\r") == 0
    assert rows[0] == ["utc", "local", "kind", "frame", "text", "value", "phone"]
    assert [row[2] for row in rows[1:]] == [event["kind"] for event in take.events]
    assert {len(row) for row in rows} == {7}
    assert not [cell for row in rows[1:] for cell in row if cell[:1] in ("=", "+", "-", "@")]


def test_phone_and_desk_refuse_the_same_files(page: Page, plan: dict[str, Any]) -> None:
    files = [make(plan) for name, (make, *_) in FAULTS.items() if name != "ten megabytes"]
    decodable = [file for file in files if _is_text(file)]
    said = page.evaluate(REFUSED, [file.decode() for file in decodable])
    assert all(words.startswith("TakeFileError: This file ") for words in said), said
    assert page.evaluate(REFUSED, [file_of(a_night(plan)).decode()])[1:] == [""]


def _is_text(file: bytes) -> bool:
    """What is no UTF-8, and a key given twice, no page gets to see."""
    try:
        return b'"take":"twice"' not in file and bool(file.decode())
    except UnicodeDecodeError:
        return False


def test_the_format_of_plans_that_the_phone_asks_for_is_the_one_that_it_writes(
    page: Page, plan: dict[str, Any]
) -> None:
    assert page.evaluate(PLAN_FORMAT) == [plan["format"], plan["version"]]
    assert page.evaluate(REFUSED, [file_of(a_night(plan)).decode()])[1:] == [""]
