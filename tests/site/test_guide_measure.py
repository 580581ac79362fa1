"""The worked examples of the guide's chapter on measuring a rig: each figure is what its formula gives."""

from __future__ import annotations

import re
from collections.abc import Callable
from math import ceil

import pytest

from fieldsheet.starts.library import rigs
from fieldsheet.templates import templates

CHAPTER = (templates() / "guide" / "measure.html.j2").read_text("utf-8")
EXAMPLES = dict(re.findall(r'call example\("Formula: (.*?)"\) %\}\n(.*?)\{% endcall', CHAPTER, re.DOTALL))


def travel_s(way: float, speed: float, acceleration: float) -> float:
    """Seconds of a way from rest to rest, at one acceleration up and down, that reaches its speed."""
    assert way >= speed * speed / acceleration
    return way / speed + speed / acceleration


def speed(long: float, long_s: float, short: float, short_s: float) -> float:
    return (long - short) / (long_s - short_s)


def acceleration(long: float, long_s: float, short: float, short_s: float) -> float:
    there = speed(long, long_s, short, short_s)
    return there / (long_s - long / there)


WORKED: list[tuple[str, Callable[..., float], tuple[float, ...], str]] = [
    ("speed and acceleration", speed, (900, 62.0, 300, 22.0), "15 mm/s"),
    ("speed and acceleration", acceleration, (900, 62.0, 300, 22.0), "7.5 mm/s²"),
    ("settling", lambda *counted: ceil(15 * max(counted)) / 10, (0.5, 0.8, 0.6), "1.2 s"),
    ("ready again", lambda n, shutter, time: time / (n - 1) - shutter, (11, 2, 25.0), "0.5 s"),
    ("lag", lambda n, a_second: n / a_second, (24, 240), "0.1 s"),
    (
        "energy of a way",
        lambda ways, metres, hours, wh, board, hold: (wh - (board + hold) * hours) / (ways * metres),
        (20, 1, 0.5, 6.5, 2, 3),
        "0.2 Wh/m",
    ),
    (
        "incline ratio",
        lambda hours, there, level, board: (there - board * hours) / (level - board * hours),
        (0.5, 9.25, 6.5, 2),
        "1.5",
    ),
    ("watts by percentage", lambda wh, pct, hours: wh * pct / 100 / hours, (62.9, 8, 2), "2.5 W"),
    (
        "energy of a frame",
        lambda wh, pct, n, hours, idle: (wh * pct / 100 - idle * hours) / n,
        (14, 29, 600, 2, 0.8),
        "0.004 Wh",
    ),
    ("what a pack gives", lambda mah, volts: mah * volts / 1000, (20000, 3.7), "74 Wh"),
    ("what a pack gives", lambda mah, volts, out: out / (mah * volts / 1000), (20000, 3.7, 62.9), "0.85"),
    ("weight", lambda both, one: both - one, (78.9, 76.4), "2.5 kg"),
]


@pytest.mark.parametrize(("name", "formula", "measured", "told"), WORKED)
def test_a_worked_example_is_what_its_formula_gives(
    name: str, formula: Callable[..., float], measured: tuple[float, ...], told: str
) -> None:
    text = EXAMPLES[name]
    figures = [float(figure) for figure in re.findall(r"(?<![\w.])\d+(?:\.\d+)?", text)]
    assert set(measured) <= set(figures)
    decimals = len(told.split()[0].partition(".")[2])
    assert f"{formula(*measured):.{decimals}f}" == told.split()[0]
    assert f"= {told}\n" in text


def test_every_example_is_worked() -> None:
    assert set(EXAMPLES) == {name for name, *_ in WORKED}


def test_two_ways_give_back_the_speed_and_the_acceleration_that_timed_them() -> None:
    ways = 900, travel_s(900, 15, 7.5), 300, travel_s(300, 15, 7.5)
    assert ways == (900, 62.0, 300, 22.0)
    assert (speed(*ways), acceleration(*ways)) == pytest.approx((15, 7.5))


def test_an_example_is_as_narrow_as_a_phone() -> None:
    assert max(len(line) for text in EXAMPLES.values() for line in text.splitlines()) <= 40


def test_files_of_the_library_point_at_sections_that_there_are() -> None:
    sections = set(re.findall(r'<h2 id="measure-(\d)">', CHAPTER))
    pointed = {one for start in rigs().values() for one in re.findall(r"guide: measure, (\d)", start.text)}
    assert pointed and pointed <= sections
