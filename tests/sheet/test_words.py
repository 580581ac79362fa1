"""Numbers and words as a person reads them."""

from __future__ import annotations

import re
from datetime import datetime, timedelta
from decimal import ROUND_HALF_UP, Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fieldsheet.sheet.words import (
    _FORMATTERS,
    _SLOT,
    WORDS,
    TwelveHours,
    bearing,
    clock,
    compass,
    compass_short,
    day_text,
    decimals_of,
    fixed,
    say,
    signed,
    span_text,
    time_of_day,
    way,
)

UTC_ONLY = [(0, 0, "UTC")]


@pytest.mark.parametrize(
    ("value", "decimals", "text"),
    [
        (0.25, 1, "0.3"),
        (0.35, 1, "0.4"),
        (2.5, 0, "3"),
        (-2.5, 0, "\u22123"),
        (-0.04, 1, "0.0"),
        (1059.9999999, 0, "1060"),
        (0.05, 1, "0.1"),
        (-72.449, 1, "\u221272.4"),
    ],
)
def test_numbers_are_rounded_half_up_on_their_magnitude(value: float, decimals: int, text: str) -> None:
    assert fixed(value, decimals) == text


@given(st.decimals(-99999, 99999, places=4), st.integers(0, 3))
def test_rounding_agrees_with_decimal(value: Decimal, decimals: int) -> None:
    expected = value.quantize(Decimal(1).scaleb(-decimals), rounding=ROUND_HALF_UP)
    if not expected:
        expected = abs(expected)
    assert fixed(float(value), decimals) == f"{expected:f}".replace("-", "\u2212")


@pytest.mark.parametrize(
    ("value", "text"), [(18.06, "+18.1"), (-0.01, "0.0"), (0.01, "0.0"), (-6.4, "\u22126.4")]
)
def test_angles_carry_their_sign(value: float, text: str) -> None:
    assert signed(value, 1) == text


@pytest.mark.parametrize(
    ("degrees", "text"), [(29.6, "030°"), (359.6, "000°"), (-90, "270°"), (225.0, "225°")]
)
def test_bearings_have_three_digits(degrees: float, text: str) -> None:
    assert bearing(degrees) == text


@pytest.mark.parametrize(
    ("degrees", "declination", "long", "short"),
    [
        (215.0, 2.0, "215° true, 213° magnetic", "215° (213° mag)"),
        (225.0, -0.6, "225° true, 226° magnetic", "225° (226° mag)"),
        (1.0, 3.2, "001° true, 358° magnetic", "001° (358° mag)"),
        (359.7, -0.4, "000° true, 000° magnetic", "000° (000° mag)"),
        (90.0, 0.0, "090° true, 090° magnetic", "090° (090° mag)"),
        (90.0, None, "090° true", "090°"),
    ],
)
def test_magnetic_is_true_less_the_declination(
    degrees: float, declination: float | None, long: str, short: str
) -> None:
    """East positive: with 2 degrees of it a compass shows 213 where the map says 215."""
    assert (compass([degrees, declination]), compass_short([degrees, declination])) == (long, short)


@pytest.mark.parametrize(
    ("metres", "text"),
    [
        (0.2, "0 m"),
        (340.4, "340 m"),
        (999.4, "999 m"),
        (999.6, "1 km"),
        (12_460, "12.5 km"),
        (50_000, "50 km"),
    ],
)
def test_distances_are_told_in_metres_and_then_in_kilometres(metres: float, text: str) -> None:
    assert way(metres) == text


@pytest.mark.parametrize(
    ("ms", "text"),
    [
        (500, "0.5 s"),
        (18_000, "18 s"),
        (9_990, "9.99 s"),
        (90_000, "1 min 30 s"),
        (180_000, "3 min"),
        (13_553_000, "3 h 46 min"),
        (7_199_600, "2 h"),
        (3_599_600, "59 min 59.6 s"),
        (75_500, "1 min 15.5 s"),
    ],
)
def test_lengths_of_time(ms: int, text: str) -> None:
    assert span_text(ms) == text


@pytest.mark.parametrize(
    ("utc_s", "text"), [(0, "00:00"), (29, "00:00"), (30, "00:01"), (86_399, "00:00"), (45_296, "12:35")]
)
def test_clocks_show_the_nearest_minute(utc_s: int, text: str) -> None:
    assert clock(utc_s * 1000, UTC_ONLY) == text


@pytest.mark.parametrize(
    ("day", "text"), [(0, "Thu 1 January 1970"), (20_974, "Sat 5 June 2027"), (-1, "Wed 31 December 1969")]
)
def test_dates_carry_their_weekday(day: int, text: str) -> None:
    assert day_text(day) == text


@pytest.mark.parametrize(
    ("step", "decimals"), [(1.0, 0), (0.1, 1), (0.05, 2), (0.125, 3), (5.0, 0), (0.30000000000000004, 1)]
)
def test_decimals_follow_the_step(step: float, decimals: int) -> None:
    assert decimals_of(step) == decimals


def test_every_template_uses_known_formatters_and_no_stray_braces() -> None:
    for id, template in WORDS.items():
        assert not re.search(r"[{}]", _SLOT.sub("", template)), id
        for _, formatter in _SLOT.findall(template):
            assert formatter in ("", *_FORMATTERS), id


def test_warnings_and_problems_are_said_whole() -> None:
    """A warning has its subject, consequence, sum and mend; a problem has found and right."""
    for kind, parts in {"warning": {"about", "head", "sum", "fix"}, "problem": {"found", "right"}}.items():
        named: dict[str, set[str]] = {}
        for id in (id for id in WORDS if id.startswith(kind + ".")):
            name, part = id.rsplit(".", 1)
            named.setdefault(name, set()).add(part)
        assert named and all(found == parts for found in named.values()), named


def test_arguments_are_text_and_never_templates() -> None:
    said = say("line.night-of", {"date": "{date|clock} <b>"}, UTC_ONLY)
    assert said == "night of {date|clock} <b>"


def test_what_a_warning_is_about_is_a_word_or_two() -> None:
    """Several to be minded are gathered in a line."""
    about = [text for id, text in WORDS.items() if id.endswith(".about")]
    assert len(about) > 50 and max(map(len, about)) <= 16


def test_every_need_has_its_few_words() -> None:
    few = {id.removeprefix("few.") for id in WORDS if id.startswith("few.")}
    needs = {id.removeprefix("need.") for id in WORDS if id.startswith("need.")}
    assert few == needs - {"met", "unmet", "unknown", "days"}


def test_twelve_hours_of_the_clock_are_those_of_posix() -> None:
    """Every minute of a day against strftime's %I and %p: midnight 12:00 am, noon 12:00 pm."""
    spans = TwelveHours(UTC_ONLY)
    for minute in range(24 * 60):
        told = (datetime(2027, 6, 5) + timedelta(minutes=minute)).strftime("%I:%M\u00a0%p")
        assert time_of_day(minute * 60, spans) == told.lstrip("0").lower()
        assert clock(minute * 60_000, spans) == time_of_day(minute * 60, spans)
    assert time_of_day(0, spans) == "12:00\u00a0am"
    assert time_of_day(43_200, spans) == "12:00\u00a0pm"
    assert time_of_day(43_200, UTC_ONLY) == "12:00"
