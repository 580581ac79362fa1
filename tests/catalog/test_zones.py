"""Zone spans: one offset and one short name each, from the package and nothing else."""

from __future__ import annotations

import io
import zoneinfo
from bisect import bisect_right
from datetime import UTC, datetime, timedelta
from importlib import resources
from itertools import pairwise
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest
from dateutil.tz import tzical
from hypothesis import given
from hypothesis import strategies as st

from fieldsheet.catalog import zones

SAMPLE = (
    "Europe/Lisbon",
    "America/St_Johns",
    "Africa/Casablanca",
    "Australia/Lord_Howe",
    "Asia/Kathmandu",
    "Pacific/Apia",
    "Antarctica/Troll",
    "UTC",
)


def utc_s(year: int, month: int, day: int, hour: int = 0) -> int:
    return int(datetime(year, month, day, hour, tzinfo=UTC).timestamp())


def test_the_eu_changes_its_clocks_on_the_last_sundays_at_1_utc() -> None:
    # Directive 2000/84/EC, articles 2 and 3: last Sunday of March and of October, 01:00 UTC.
    assert list(zones.spans("Europe/Lisbon", 2027))[2:5] == [
        (utc_s(2026, 10, 25, 1), 0, "WET"),
        (utc_s(2027, 3, 28, 1), 3600, "WEST"),
        (utc_s(2027, 10, 31, 1), 0, "WET"),
    ]


# The rules in force in the example of RFC 5545, section 3.6.5 (from memory; read in an erratum of the RFC).
NEW_YORK = """BEGIN:VTIMEZONE
TZID:America/New_York
BEGIN:DAYLIGHT
DTSTART:20070311T020000
RRULE:FREQ=YEARLY;BYDAY=2SU;BYMONTH=3
TZOFFSETFROM:-0500
TZOFFSETTO:-0400
TZNAME:EDT
END:DAYLIGHT
BEGIN:STANDARD
DTSTART:20071104T020000
RRULE:FREQ=YEARLY;BYDAY=1SU;BYMONTH=11
TZOFFSETFROM:-0400
TZOFFSETTO:-0500
TZNAME:EST
END:STANDARD
END:VTIMEZONE
"""


@pytest.mark.parametrize("year", [2012, 2027, 2028])
def test_new_york_changes_its_clocks_as_the_calendar_standard_has_it(year: int) -> None:
    """By dateutil, which reads the rules and no table; a second to either side of every change."""
    rules = tzical(io.StringIO(NEW_YORK)).get()
    assert rules is not None
    spans = zones.spans("America/New_York", year)
    assert len(spans) == 11  # a change in spring and one in autumn of five years
    for before, after in pairwise(spans):
        for instant_s, (_, offset_s, name) in ((after[0] - 1, before), (after[0], after)):
            local = datetime.fromtimestamp(instant_s, UTC).astimezone(rules)
            assert (local.utcoffset(), local.tzname()) == (timedelta(seconds=offset_s), name)


@pytest.mark.parametrize(
    ("zone", "year", "name"),
    [
        ("Asia/Kathmandu", 2027, "UTC+5:45"),
        ("America/Sao_Paulo", 2027, "UTC\u22123"),
        ("Pacific/Marquesas", 2027, "UTC\u22129:30"),
        ("Antarctica/Troll", 2027, "UTC"),
        ("Asia/Tokyo", 2027, "JST"),
        ("UTC", 2027, "UTC"),
    ],
)
def test_a_zone_without_letters_is_named_by_its_offset(zone: str, year: int, name: str) -> None:
    assert name in {span[2] for span in zones.spans(zone, year)}


@given(st.sampled_from(SAMPLE), st.integers(1901, 2052), st.floats(-1, 4, exclude_max=True))
def test_spans_agree_with_the_zone_at_any_instant(zone: str, year: int, after: float) -> None:
    instant = int(utc_s(year, 1, 1) + after * 365.25 * 86400)
    found = zones.spans(zone, year)
    _, offset_s, name = found[bisect_right([span[0] for span in found], instant) - 1]
    local = datetime.fromtimestamp(instant, zones.zone(zone))
    offset = local.utcoffset()
    assert offset is not None
    assert offset_s == offset.total_seconds()
    assert name == zones.short_name(local.tzname() or "", offset_s)


@given(st.sampled_from(zones.names()), st.integers(1900, 2052))
def test_spans_ascend_differ_and_cover_the_years_around(zone: str, year: int) -> None:
    found = zones.spans(zone, year)
    assert [span[0] for span in found] == sorted({span[0] for span in found})
    assert all(one[1:] != following[1:] for one, following in zip(found, found[1:], strict=False))
    assert found[0][0] < utc_s(year - 1, 1, 1)
    changes_later = zones.spans(zone, year + 1)[1:]
    assert all(span in found for span in changes_later if span[0] < zones.until_s(year))
    assert all(span[2] and span[2].isprintable() for span in found)


def test_spans_of_many_years_hold_those_of_each() -> None:
    for name in SAMPLE:
        found = zones.spans(name, 2027, 2045)
        for year in (2027, 2036, 2045):
            assert set(zones.spans(name, year)[1:]) <= set(found)
        assert [span[0] for span in found] == sorted({span[0] for span in found})


def test_every_zone_of_the_package_can_be_read() -> None:
    assert len(zones.names()) > 400
    assert {zones.zone(name).key for name in zones.names()} == set(zones.names())


def test_the_machine_s_own_zones_are_never_used(tmp_path: Path) -> None:
    wrong = resources.files("tzdata").joinpath("zoneinfo", "Asia", "Tokyo").read_bytes()
    (tmp_path / "Europe").mkdir()
    (tmp_path / "Europe" / "Lisbon").write_bytes(wrong)
    zoneinfo.reset_tzpath(to=[str(tmp_path)])
    try:
        ZoneInfo.clear_cache()
        assert ZoneInfo("Europe/Lisbon").tzname(datetime(2027, 6, 5)) == "JST"
        zones.zone.cache_clear()
        zones.spans.cache_clear()
        assert {span[2] for span in zones.spans("Europe/Lisbon", 2027)} == {"WET", "WEST"}
    finally:
        zoneinfo.reset_tzpath()
        ZoneInfo.clear_cache()


@pytest.mark.parametrize(
    "name", ["Europe/Lisboa", "../../etc/passwd", "/etc/localtime", "", "Europe", "zone.tab"]
)
def test_a_name_that_is_not_listed_opens_no_file(name: str) -> None:
    with pytest.raises(KeyError):
        zones.zone(name)
