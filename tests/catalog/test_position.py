"""A position as maps and receivers write it, answered to `fieldsheet new`."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from typing import NoReturn

import astropy.units as u
import pytest
from astropy.coordinates import Angle
from hypothesis import given
from hypothesis import strategies as st

from fieldsheet.catalog.words import Wrong
from fieldsheet.starts.question import Given
from fieldsheet.starts.questions import QUESTIONS


def _no_sky(day: date) -> NoReturn:
    raise AssertionError("no sky is asked for")


@pytest.mark.parametrize(
    ("name", "text", "degrees"),
    [
        ("latitude_deg", "37.08", "37.08"),
        ("latitude_deg", "+37.08", "37.08"),
        ("latitude_deg", "\u221237.08", "-37.08"),
        ("latitude_deg", "37.08 N", "37.08"),
        ("latitude_deg", "37.08°s", "-37.08"),
        ("latitude_deg", "37° 30' S", "-37.5"),
        ("latitude_deg", "37°4′48″N", "37.08"),
        ("longitude_deg", "8° 40.2' W", "-8.67"),
        ("latitude_deg", "37 4.8 S", "-37.08"),
        ("latitude_deg", "37 4 48 N", "37.08"),
        ("longitude_deg", "W 8 40.2", "-8.67"),
        ("longitude_deg", "E008° 40.2'", "8.67"),
        ("longitude_deg", "-8.67", "-8.67"),
        ("longitude_deg", "179°59'59.9999\"E", "180"),
    ],
)
def test_degrees_are_read_as_they_are_written(name: str, text: str, degrees: str) -> None:
    assert _read(name, text) == Decimal(degrees)


@given(st.floats(0, 90), st.sampled_from("NS"), st.booleans())
def test_degrees_are_read_as_astropy_writes_them(value: float, letter: str, in_minutes: bool) -> None:
    """Tenths of a second or thousandths of a minute, 1 to 3 m; what is read has five decimals, 1 m."""
    signs, fields, decimals = ("\u00b0", "\u2032", "\u2033"), 3, 1
    if in_minutes:
        signs, fields, decimals = ("\u00b0 ", "'", ""), 2, 0
    text = Angle(value * u.deg).to_string(unit=u.deg, sep=signs, fields=fields, precision=decimals)
    within = 0.5 / 60 if in_minutes else 0.05 / 3600
    signed = -value if letter == "S" else value
    assert float(_read("latitude_deg", f"{text} {letter}")) == pytest.approx(signed, abs=within + 0.5e-5)


@pytest.mark.parametrize(
    ("text", "latitude", "longitude"),
    [
        ("61.52, 25.31", "61.52", "25.31"),
        ("61.52 25.31", "61.52", "25.31"),
        ("-61.52,-25.31", "-61.52", "-25.31"),
        ("\u221261.52; 25.31", "-61.52", "25.31"),
        ("61.52 N 25.31 E", "61.52", "25.31"),
        ("61 S 25 W", "-61", "-25"),
        ("61.52 N 25.31", "61.52", "25.31"),
        ("N 61.52 W 25.31", "61.52", "-25.31"),
        ("61 31.2 S, 25 18.6 E", "-61.52", "25.31"),
        ("61 31 12 N 25 18 36 W", "61.52", "-25.31"),
        ("S 61 31.2 E 25 18.6", "-61.52", "25.31"),
        ("E 25.31 N 61.52", "61.52", "25.31"),
        ("25.31 E, 61.52 N", "61.52", "25.31"),
        ("61°31'12\"N 25°18'36\"W", "61.52", "-25.31"),
        ("geo:61.52,25.31", "61.52", "25.31"),
        ("GEO:61,-25", "61", "-25"),
        # Examples of RFC 5870, sections 5 and 6.
        ("geo:48.2010,16.3695,183", "48.2010", "16.3695"),
        ("geo:48.198634,16.371648;crs=wgs84;u=40", "48.198634", "16.371648"),
        ("geo:66,30;u=6.500;FOo=this%2dthat", "66", "30"),
    ],
)
def test_a_pair_answers_latitude_and_longitude(text: str, latitude: str, longitude: str) -> None:
    known = Given(date(2027, 6, 5), _no_sky)
    assert QUESTIONS["latitude_deg"].read(text, known) == Decimal(latitude)
    assert known.answers["longitude_deg"] == Decimal(longitude)
    assert not QUESTIONS["longitude_deg"].applies(known)


@pytest.mark.parametrize(
    ("text", "found", "right"),
    [
        ("95.2, 25.3", "95.2", "degrees north from -90 to 90"),
        ("61.5, 190", "190", "degrees east from -180 to 180"),
        ("61.5 E, 25.3 E", "'61.5 E, 25.3 E'", "one of N or S, and one of E or W"),
        ("61 25", "the text '61 25'", "degrees north"),  # minutes of arc, or whole degrees?
        ("N 61 31 S", "'N 61 31 S'", "one of N or S, and one of E or W"),
        ("61 75 N", "the text '61 75 N'", "as maps write it: 37 4.8 S; both: 37 4.8 S, 25 18.6 E"),
        ("61.5, 25.3, 120", "the text '61.5, 25.3, 120'", "degrees north"),
        ("61,52; 25,31", "'61,52; 25,31'", "61.52; 25.31: a point before the decimals"),
        ("geo:61.52", "'geo:61.52'", "an address such as geo:61.52,25.31"),
        ("geo:61.52,25.31;crs=other", "positions by 'other'", "crs=wgs84"),
    ],
)
def test_a_wrong_pair_is_told_what_is_wrong_with_it(text: str, found: str, right: str) -> None:
    known = Given(date(2027, 6, 5), _no_sky)
    with pytest.raises(Wrong) as wrong:
        QUESTIONS["latitude_deg"].read(text, known)
    assert wrong.value.found == found and right in wrong.value.right
    assert "longitude_deg" not in known.answers


def _read(name: str, text: str) -> Decimal:
    read: Decimal = QUESTIONS[name].read(text, Given(date(2027, 6, 5), _no_sky))
    return read
