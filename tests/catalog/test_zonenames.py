"""Which zones a place may name; a wrong name brings a guess only where it cannot mislead."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fieldsheet.catalog import zones
from fieldsheet.catalog.words import Wrong
from fieldsheet.catalog.zonenames import ETC_RIGHT, PLACE_RIGHT, usable, zone_name


def told(text: str) -> tuple[str, str]:
    with pytest.raises(Wrong) as caught:
        zone_name(text)
    return caught.value.found, caught.value.right


@pytest.mark.parametrize(
    "name", ["UTC", "Asia/Amman", "America/Argentina/Buenos_Aires", "Asia/Calcutta", "US/Eastern"]
)
def test_a_zone_named_by_a_place_and_utc_are_taken(name: str) -> None:
    assert zone_name(name) == name


@pytest.mark.parametrize(
    "text",
    [
        # In no list.
        *("ACST", "AST", "IST", "UTC+3", "UTC-3", "GMT+3", "+03:00", "", "/", "lisbonn"),
        # Listed, but they hide whether they keep summer time.
        *("EST", "MST", "est", "CET", "EST5EDT", "GMT", "GMT0", "GMT+0", "Zulu", "Portugal", "Factory"),
        # Names that several zones end in, or that no map shows.
        *("Eastern", "ACT", "North"),
        # Near in letters, far on the ground.
        *("Asia/Jordan", "Europe/Bern", "Asia/Kyoto", "America/San_Diego", "Asia/Mumbai", "Asia/Delhi"),
        *("Asia/Lisbon", "Erope/Lisbon", "America/Argentina", "../../etc/passwd"),
    ],
)
def test_what_names_no_place_is_refused_without_a_guess(text: str) -> None:
    assert told(text) == (f"'{text}'" if text else "empty text", PLACE_RIGHT)


@pytest.mark.parametrize("text", ["Etc/GMT+3", "Etc/UTC", "etc/gmt-3", "Etc/UTC+3"])
def test_signs_that_are_the_other_way_round_are_refused(text: str) -> None:
    assert told(text) == (f"'{text}'", ETC_RIGHT)


def test_the_traps_are_traps() -> None:
    assert {span[1] for span in zones.spans("Etc/GMT+3", 2027)} == {-3 * 3600}
    assert {span[1] for span in zones.spans("MST", 2027)} == {-7 * 3600}
    assert {span[1] for span in zones.spans("CET", 2027)} == {3600, 7200}


@pytest.mark.parametrize(
    ("text", "meant"),
    [
        ("utc", "UTC"),
        (" UTC ", "UTC"),
        ("asia/amman", "Asia/Amman"),
        ("America/New York", "America/New_York"),
        ("america / new_york", "America/New_York"),
        ("lisbon", "Europe/Lisbon"),
        ("Buenos Aires", "America/Argentina/Buenos_Aires"),
        ("Europe/Lisabon", "Europe/Lisbon"),
        ("Europe/Lisboa", "Europe/Lisbon"),
        ("europe/Lissabon", "Europe/Lisbon"),
        ("America/Port au Prince", "America/Port-au-Prince"),
        ("America/Argentina/Buenos_Aries", "America/Argentina/Buenos_Aires"),
        ("Asia/Katmandoo", "Asia/Katmandu"),
    ],
)
def test_a_slip_of_the_pen_is_told_what_was_meant(text: str, meant: str) -> None:
    assert told(text) == (f"'{text}'", f"'{meant}' (did you mean that?)")


@given(st.sampled_from(sorted(usable().values())))
def test_any_zone_in_other_letters_is_known(name: str) -> None:
    assert zone_name(name) == name
    assert told(f" {name.upper()}")[1] == f"'{name}' (did you mean that?)"


def test_no_two_zones_differ_in_case_and_spacing_alone() -> None:
    assert len(usable()) == len(set(usable().values()))
    assert set(zones.places()) <= set(usable().values())
