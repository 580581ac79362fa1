"""A plan's code: the brief that it gives back makes the same plan; anything else is refused in words."""

from __future__ import annotations

import zlib
from collections.abc import Iterator
from random import Random
from typing import Any

import pytest

from fieldsheet.catalog.marks import APERTURES, ISOS, SHUTTERS, shutter_ms
from fieldsheet.catalog.read import Catalog
from fieldsheet.exchange.carrycode import MOST_DIGITS, TABLE, TooLong, brief_of, carried, digits_of
from fieldsheet.exchange.digits import CodeError, Writer, signed, whole
from fieldsheet.plan.plan import plan
from fieldsheet.plan.problem import PlanProblem
from fieldsheet.sky.sky import Sky
from tests.random_briefs import random_brief

SEED = 20301130
NUMBERS = ("window", "timing", "sky", "keyframes", "move", "interval_budget", "picture", "power", "storage")
MORE = ("exposure", "light", "late", "recovery", "moments", "place", "changes")


def planned(brief: dict[str, Any], sky: Sky) -> dict[str, Any]:
    """The numbers of a plan and its warnings, or its problem."""
    try:
        whole_plan = plan(brief, sky, {})
    except PlanProblem as problem:
        return {"problem": problem.id, "args": problem.args_}
    warnings = [warning for warning in whole_plan["warnings"] if not warning["id"].startswith("warning.need")]
    place = {key: value for key, value in whole_plan["place"].items() if key != "tides"}
    return {**{key: whole_plan[key] for key in (*NUMBERS, *MORE)}, "place": place, "warnings": warnings}


def test_a_code_gives_back_the_brief_and_so_the_plan(sky: Sky) -> None:
    dice = Random(SEED)
    for number in range(150):
        brief = random_brief(dice)
        read = brief_of(digits_of(brief))
        assert read == carried(brief), number
        if number % 25 == 0:
            assert planned(read, sky) == planned(brief, sky), number


def test_every_shot_of_the_demo_fits_and_plans_the_same(demo: Catalog, sky: Sky) -> None:
    sizes = {}
    for shot in demo.shots:
        brief = {**demo.brief(shot), "revision": "K3F7Q2"}
        digits = digits_of(brief)
        read = brief_of(digits)
        assert read == carried(brief)
        assert planned(read, sky) == planned(brief, sky), shot
        sizes[shot] = len(digits)
    print(sizes)
    assert max(sizes.values()) < MOST_DIGITS * 2 / 3


def test_every_mark_of_a_camera_is_known_to_the_table() -> None:
    marks = TABLE["marks"]
    assert [marks[name].split() for name in ("f", "shutter", "iso")] == [APERTURES, SHUTTERS, ISOS]
    assert marks["open_ms"] == [shutter_ms(number) for number in range(len(SHUTTERS))]


@pytest.mark.parametrize(
    "title", ["", "Ä\u2009\u96e8 \U0001f327", "\u05d0\u05d1 x", "x" * 300, "=1+1", "a\\b\n"]
)
def test_any_text_comes_back(demo: Catalog, title: str) -> None:
    brief = demo.brief("moonrise")
    brief["shot"]["title"] = title
    assert brief_of(digits_of(brief))["shot"]["title"] == title


def test_a_plan_that_is_too_long_is_told_and_not_cut(demo: Catalog) -> None:
    brief = demo.brief("slipway")
    brief["shot"]["title"] = "\u96e8" * 1000
    with pytest.raises(
        TooLong, match=r"takes [0-9],[0-9]{3} digits, and a code of it holds 3,000: it travels as a file"
    ):
        digits_of(brief)


def hostile(digits: str) -> Iterator[str]:
    """Codes that are none, are damaged, or have an honest checksum over nonsense."""
    yield from (
        "",
        "1",
        "9" * 100_000,
        "9" * 3000,
        "2" + digits[1:],
        "0" + digits[1:],
        "x" + digits,
        "\u0661" + digits,
    )
    yield from (
        digits[:-1],
        digits[:40],
        digits + "0",
        digits[:500] + digits[501] + digits[500] + digits[502:],
    )
    dice = Random(SEED)
    bodies = [str(dice.randrange(1, 10 ** dice.choice([2, 20, 300, 1500, 2900]))) for _ in range(200)]
    for body in [*bodies, digits[11:-200], "1" * 2989, "0", "00"]:
        yield f"1{zlib.crc32(body.encode()):010d}{body}"


def test_what_is_damaged_or_from_the_future_is_refused_in_words(demo: Catalog) -> None:
    good = digits_of(demo.brief("slipway"))
    for digits in hostile(good):
        with pytest.raises(CodeError, match=r"^This (code|is not)"):
            brief_of(digits)


def test_a_list_or_a_text_without_an_end_makes_nothing_large() -> None:
    writer = Writer()
    writer.step(1, 2)  # a revision
    writer.step(0, 5)
    writer.step(42, 43)
    whole(writer.step, 2**50)
    signed(writer.step, 1)
    body = str(writer.number())
    with pytest.raises(CodeError, match=r"a list in it has no end|it ends too early"):
        brief_of(f"1{zlib.crc32(body.encode()):010d}{body}")
