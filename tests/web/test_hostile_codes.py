"""What a phone reads of digits, bytes and files, spoilt and sealed again: read, or refused in words and soon.

Desk and phone read the same of codes and packs, or refuse them in the same words, and take in the same logs.
"""

from __future__ import annotations

import base64
import json
import struct
import zlib
from collections.abc import Iterator
from random import Random
from typing import Any

import pytest
from playwright.sync_api import Page, Route

from fieldsheet.catalog.read import Catalog
from fieldsheet.exchange.carrycode import brief_of
from fieldsheet.exchange.digits import CodeError
from fieldsheet.exchange.report import report
from fieldsheet.exchange.takefile import Take, read_take
from fieldsheet.site.build import FIELDS, modules
from fieldsheet.sky.pack import PackError, read_pack
from fieldsheet.templates import templates
from tests.long import tries
from tests.random_takes import random_take
from tests.takes import carried, file_of
from tests.web.test_carry import call, random_log

SEED = 20270817
SLOWEST_MS = 1000
ODD: list[Any] = [
    None,
    True,
    -1,
    0,
    1.5,
    1e308,
    10**400,
    "",
    "x" * 3000,
    "\x1b[2J\u202e",
    [],
    {},
    [[]],
    {"__proto__": 1},
]
# Each case by itself: what was thrown, by its class and in its words, or what was read; and how long it took.
EACH = """const each = (cases, read) => cases.map((one) => {
  const since_ms = performance.now();
  let [refused, found] = [null, null];
  try { found = read(one); } catch (error) { refused = `${error.constructor.name}: ${error.message}`; }
  return {refused, found, took_ms: performance.now() - since_ms};
});"""
# The steps of what is written, which its one number is made of: [value, of how many] as texts.
STEPS = """const stepsOf = (write) => {
  const {reduceRight} = Array.prototype;
  let steps = [];
  Array.prototype.reduceRight = function (...how) { steps = this; return reduceRight.apply(this, how); };
  try { write(); } finally { Array.prototype.reduceRight = reduceRight; }
  return steps.map((step) => step.map(String));
};"""
Steps = list[tuple[int, int]]
OTHER_WORDS = ("version 1 is read here: update Fieldsheet", "this page reads version 1: update it")


def sealed(body: str) -> str:
    return f"1{zlib.crc32(body.encode()):010d}{body}"


def parts_of(value: Any) -> list[tuple[Any, Any]]:
    """(holder, key) of every part."""
    keys = value.keys() if isinstance(value, dict) else range(len(value)) if isinstance(value, list) else ()
    return [found for key in keys for found in ((value, key), *parts_of(value[key]))]


def outcomes(found: list[dict[str, Any]], right: tuple[str, ...]) -> list[bool]:
    """Whether each was read; what was not is refused by one of these classes, and all of it soon."""
    for one in found:
        assert one["took_ms"] < SLOWEST_MS
        assert one["refused"] is None or one["refused"].startswith(right), one["refused"]
    return [one["refused"] is None for one in found]


def number_of(steps: Steps, rest: int) -> str:
    for value, size in reversed(steps):
        rest = rest * size + value
    return str(rest)


def spoilt(dice: Random, steps: Steps) -> str:
    """Sound as far as some step: that has another value then, and what follows is as it was, or by chance."""
    at = dice.randrange(len(steps))
    size = steps[at][1]
    near = (steps[at][0] + dice.choice([-1, 1])) % size
    other = (dice.choice([near, dice.randrange(size), size - 1]), size)
    if dice.random() < 0.5:
        return number_of([*steps[:at], other, *steps[at + 1 :]], 1)
    return number_of([*steps[:at], other], dice.getrandbits(dice.choice([8, 60, 600, 4000])))


def codes_of(dice: Random, steps: Any, count: int) -> list[str]:
    sound: Steps = [(int(value), int(size)) for value, size in steps]
    bodies = [spoilt(dice, sound) for _ in range(count)]
    bodies += [str(dice.getrandbits(dice.choice([8, 90, 900, 9000]))) for _ in range(count // 4)]
    codes = [sealed(body) for body in bodies]
    sound_code = sealed(number_of(sound, 1))
    codes += [sound_code[: dice.randrange(len(sound_code))] for _ in range(20)]
    return [sound_code, *codes]


@pytest.fixture(scope="module")
def taken(demo_plan: dict[str, Any]) -> dict[str, Any]:
    return carried(demo_plan)


# The page, whose plan is that of a take.
OWN = "const own = {...page, under: (changes) => ({...page.under(changes), plan})};"
WRITTEN = f"(raw, plan) => {{ {STEPS}{OWN} return stepsOf(() => carry.digitsOf(told(raw), 0, own)); }}"
# With the gate that all pass which is to be kept.
READ = f"""async (codes, plan) => {{
  const {{readTake, writeTake}} = await import("/app/takes/takefile.js");
  {EACH}{OWN}
  return each(codes, (digits) => readTake(writeTake(carry.logFrom(digits, own).events)).events.length);
}}"""


def test_spoilt_codes_of_takes(pure: Page, taken: dict[str, Any]) -> None:
    dice = Random(SEED)
    logs = [random_log(dice, 25) for _ in range(4)]
    codes = [code for log in logs for code in codes_of(dice, call(pure, WRITTEN, log, taken), tries(30))]
    was_read = outcomes(call(pure, READ, codes, taken), ("CodeError: ", "TakeFileError: "))
    assert 0 < sum(was_read) < len(was_read) / 2


def test_a_code_whose_take_begins_with_nothing_is_refused_in_words(pure: Page, taken: dict[str, Any]) -> None:
    (begun, *_) = random_log(Random(SEED), 1)
    steps: Steps = [
        (int(value), int(size))
        for value, size in call(pure, WRITTEN, [{**begun, "payload": {}}], {"of": "a take"})
    ]
    (at,) = [at for at in range(len(steps)) if steps[at : at + 2] == [(6, 7), (0, 4)]]  # an object of no keys
    none = sealed(number_of([*steps[:at], (0, 7), *steps[at + 2 :]], 1))
    (found,) = call(pure, READ, [none], taken)
    assert found["refused"] == "CodeError: This code is damaged: an entry in it is none. Scan it again."


def test_a_code_nested_beyond_all_takes_is_refused_in_words_and_the_next_one_is_read(pure: Page) -> None:
    nested, flat = ([(5, 7), (1, 4)] * depth + [(0, 7)] for depth in (2050, 3))
    codes = [sealed(number_of(steps, 1)) for steps in (nested, flat)]
    deep, next_one = pure.evaluate(
        f"""async (codes) => {{
          const {{plainOf, unsealed}} = await import("/app/codes/digits.js");
          {EACH}
          const {{plain}} = plainOf([]);
          return each(codes, (digits) => unsealed(digits, "a take", 1, (step) => plain(step)));
        }}""",
        codes,
    )
    assert "nested too deep" in deep["refused"] and deep["refused"].startswith("CodeError: ")
    assert next_one["found"] == [[[None]]]


def test_spoilt_codes_of_plans(pure: Page, demo: Catalog) -> None:
    sources = modules(templates() / "app")

    def fields(route: Route) -> None:
        route.fulfill(body=sources[FIELDS], content_type="text/javascript")

    pure.route(f"**/app/{FIELDS}", fields)
    dice = Random(SEED)
    briefs = [demo.brief(shot) for shot in ("slipway", "hoist")]
    steps = pure.evaluate(
        f"""async (briefs) => {{
          const {{digitsOf}} = await import("/app/codes/plancode.js");
          {STEPS}
          return briefs.map((brief) => stepsOf(() => digitsOf(brief)));
        }}""",
        briefs,
    )
    codes = [code for sound in steps for code in codes_of(dice, sound, tries(60))]
    found = pure.evaluate(
        f"""async (codes) => {{
          const {{briefOf}} = await import("/app/codes/plancode.js");
          {EACH}
          return each(codes, briefOf);
        }}""",
        codes,
    )
    for digits, one in zip(codes, found, strict=True):
        try:
            assert one["found"] == brief_of(digits)
        except CodeError as error:
            assert one["refused"] == f"CodeError: {error}".replace(*OTHER_WORDS)
    was_read = outcomes(found, ("CodeError: ",))
    assert 0 < sum(was_read) < len(was_read)


def spoilt_packs(dice: Random, whole: bytes, count: int) -> Iterator[bytes]:
    """Summed again, mostly in the tables at the head of a channel, where all else hangs on."""
    for _ in range(count):
        data = bytearray(whole[:-4])
        for _ in range(dice.randint(1, 3)):
            at = dice.choice([dice.randrange(56), 56 + dice.randrange(120), dice.randrange(len(data))])
            data[at] = dice.choice([0, 1, 127, 128, 255, dice.randrange(256)])
        cut = bytes(data) if dice.random() < 0.9 else bytes(data[: dice.randrange(len(data))])
        yield cut + struct.pack("<I", zlib.crc32(cut)) if dice.random() < 0.95 else cut


def no_width(whole: bytes) -> bytes:
    """As many integers as the table can name, of no bytes: nothing that a length shows."""
    data = bytearray(whole[:-4])
    at = 56 + 16 * data[36]
    data[at + 28 : at + 31] = b"\xff" * 3
    data[at + 33 : at + 33 + data[at + 32]] = bytes(data[at + 32])
    return bytes(data) + struct.pack("<I", zlib.crc32(data))


def test_spoilt_sky_packs_in_the_words_of_the_desk(pure: Page, packs: dict[int, bytes]) -> None:
    whole = packs[2027]
    cases = [no_width(whole), *spoilt_packs(Random(SEED), whole, tries(50))]
    found = pure.evaluate(
        f"""async (packs) => {{
          const {{readPack}} = await import("/app/core/pack.js");
          {EACH}
          const bytes = (text) => Uint8Array.from(atob(text), (sign) => sign.charCodeAt(0)).buffer;
          return each(packs, (text) => readPack(bytes(text)).channels.length);
        }}""",
        [base64.b64encode(pack).decode() for pack in cases],
    )
    for pack, one in zip(cases, found, strict=True):
        try:
            assert one["found"] == len(read_pack(pack).channels)
        except PackError as error:
            assert one["refused"] == f"Error: {error}"
    was_read = outcomes(found, ("Error: ",))
    assert 0 < sum(was_read) < len(was_read)


def spoilt_log(dice: Random, log: list[dict[str, Any]]) -> str:
    """Some of its parts, or of its signs, are others."""
    file = json.loads(file_of(log))
    for _ in range(dice.randrange(3)):
        holder, key = dice.choice(parts_of(file))
        holder[key] = dice.choice(ODD)
    text = json.dumps(file)
    for _ in range(dice.randrange(3)):
        at = dice.randrange(len(text))
        text = (
            text[:at]
            + dice.choice(["", "\x00", '"', "}", "[", "9", "-", "\u2028", "\\ud800", "e9"])
            + text[at + 1 :]
        )
    return text if dice.random() < 0.9 else text[: dice.randrange(len(text))]


def test_spoilt_logs_are_refused_where_the_desk_refuses_them(pure: Page, taken: dict[str, Any]) -> None:
    dice = Random(SEED)
    files = [spoilt_log(dice, random_take(dice, taken)) for _ in range(tries(60))]
    found = pure.evaluate(
        f"""async (files) => {{
          const {{readTake}} = await import("/app/takes/takefile.js");
          {EACH}
          return each(files, (file) => readTake(file).events.length);
        }}""",
        files,
    )
    was_read = outcomes(found, ("TakeFileError: ",))
    for file, is_read, one in zip(files, was_read, found, strict=True):
        desk = read_take("a.json", file.encode())
        assert isinstance(desk, Take) == is_read, (one["refused"], desk)
        assert report(desk) if isinstance(desk, Take) else all(problem.right for problem in desk)
    assert 0 < sum(was_read) < len(was_read)
