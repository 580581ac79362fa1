"""Clock times of a place against Python's zoneinfo, an independent reader of the same IANA data."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fieldsheet.catalog.zones import spans
from fieldsheet.plan import civil

ZONES = ("Europe/Lisbon", "America/St_Johns", "Pacific/Chatham", "America/Santiago", "Asia/Kathmandu")
instants = st.integers(1_770_000_000, 1_890_000_000)


@given(st.sampled_from(ZONES), instants)
def test_stamps_agree_with_zoneinfo(zone: str, utc_s: int) -> None:
    expected = datetime.fromtimestamp(utc_s, ZoneInfo(zone)).isoformat(timespec="milliseconds")
    assert civil.stamp(spans(zone, 2027), utc_s * 1000)["local"] == expected


@given(st.sampled_from(ZONES), instants)
def test_clock_instants_find_every_instant_again(zone: str, utc_s: int) -> None:
    local = utc_s + civil.span_at(spans(zone, 2027), utc_s)[1]
    assert utc_s in civil.clock_instants(spans(zone, 2027), local // 86400, local % 86400)


# Clock changes of 2027 by the IANA data: Lisbon springs forward at 01:00 on 28 March and falls back at 02:00
# on 31 October.
@pytest.mark.parametrize(
    ("date", "clock", "hours"),
    [
        pytest.param("2027-03-28", "01:30", [], id="skipped"),
        pytest.param("2027-10-31", "01:30", [0, 1], id="doubled"),
        pytest.param("2027-06-05", "01:30", [0], id="plain"),
    ],
)
def test_skipped_and_doubled_clock_times(date: str, clock: str, hours: list[int]) -> None:
    hour, minute = map(int, clock.split(":"))
    found = civil.clock_instants(
        spans("Europe/Lisbon", 2027), civil.day_number(date), hour * 3600 + minute * 60
    )
    assert [(instant - found[0]) // 3600 for instant in found] == hours


@pytest.mark.parametrize(("date", "hours"), [("2027-03-27", 23), ("2027-10-30", 25), ("2027-06-05", 24)])
def test_a_night_over_a_clock_change_is_an_hour_shorter_or_longer(date: str, hours: int) -> None:
    zone = spans("Europe/Lisbon", 2027)
    day = civil.day_number(date)
    assert civil.noon(zone, day + 1) - civil.noon(zone, day) == hours * 3600


def test_a_day_that_begins_with_skipped_hours_begins_at_the_skip() -> None:
    """Santiago goes from 24:00 to 01:00 on 5 September 2027 (IANA data, checked against zoneinfo)."""
    begins = civil.midnight(spans("America/Santiago", 2027), civil.day_number("2027-09-05"))
    before = datetime.fromtimestamp(begins - 1, ZoneInfo("America/Santiago"))
    after = datetime.fromtimestamp(begins, ZoneInfo("America/Santiago"))
    assert (before.date().isoformat(), after.isoformat()) == ("2027-09-04", "2027-09-05T01:00:00-03:00")


@given(st.integers(-200_000, 200_000))
def test_day_numbers_count_days(day: int) -> None:
    expected = (datetime(1970, 1, 1, tzinfo=UTC) + timedelta(days=day)).date().isoformat()
    assert civil.iso_date(day) == expected
    assert civil.day_number(expected) == day
