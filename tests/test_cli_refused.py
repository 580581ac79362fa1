"""What fieldsheet new does not take: each option refused in words, and nothing written."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.commands import HILL, Run

REFUSED = [
    ((), "nobody to ask: this is no terminal; right: options, see --help"),
    (
        ("--lat", "5"),
        "found no --place and no --lon; right: --place NAME: name of the place; --lon DEG: longitude",
    ),
    ((*HILL, "--lat", "47 75 N"), "--lat: found the text '47 75 N'; right: degrees north from -90 to 90"),
    ((*HILL, "--lat", "47.25, 12.5"), "--lon, which nothing asks for here; right: without it"),
    ((*HILL, "--lat", "99, 12.5"), "--lat: found 99; right: degrees north from -90 to 90"),
    ((*HILL, "--lat", "47.2 N, 12.5 N"), "--lat: found '47.2 N, 12.5 N'; right: one of N or S, and one of E"),
    (
        (*HILL, "--lat", "geo:47.2;12.5"),
        "--lat: found 'geo:47.2;12.5'; right: an address such as geo:61.52,25",
    ),
    (
        (*HILL, "--travel", "80"),
        "--travel: found '80'; right: a length with its unit: 800 mm, 80 cm or 0.8 m",
    ),
    ((*HILL, "--travel", "0.4 mm"), "--travel: found '0.4 mm'; right: a length with its unit"),
    ((*HILL, "--rig", "head", "--travel", "1 m"), "--travel, which nothing asks for here; right: without it"),
    ((*HILL, "--rig", "head", "--incline", "3"), "--incline, which nothing asks for here; right: without it"),
    ((*HILL, "--incline", "31"), "--incline: found 31; right: degrees from -30 to 30; a steeper rail is"),
    ((*HILL, "--incline", "uphill"), "--incline: found the text 'uphill'; right: degrees from -30 to 30;"),
    ((*HILL, "--lat", "47,25"), "--lat: found '47,25'; right: 47.25: a point before the decimals"),
    ((*HILL, "--lon", "47.25, 12.5 E"), "--lon: found '47.25, 12.5 E'; right: the longitude alone, 12.5 E"),
    ((*HILL, "--lat", "8.67 W"), "--lat: found the text '8.67 W'; right: degrees north from -90 to 90"),
    ((*HILL, "--lat", "37° 60' N"), "--lat: found the text '37° 60' N'; right: degrees north"),
    ((*HILL, "--lon", "181"), "--lon: found 181; right: degrees east from -180 to 180, such as -8.67"),
    ((*HILL, "--zone", "Lisabon"), "--zone: found 'Lisabon'; right: a zone named by a place"),
    ((*HILL, "--place", " "), "--place: found empty text; right: a text in quotes of 1 to 120 characters"),
    ((*HILL, "--rig", "haed"), "--rig: found 'haed'; right: 'head' (did you mean that?)"),
    (
        (*HILL, "--rig", "lift"),
        "found no --load-kg; right: --load-kg KG: what the maker lets it carry upright, kg;",
    ),
    ((*HILL, "--rig", "lift", "--load-kg", "heavy"), "--load-kg: found"),
    ((*HILL, "--load-kg", "3"), "--load-kg, which nothing asks for here; right: without it"),
    ((*HILL, "--focal", "0"), "--focal: found 0; right: the focal length in mm from 1 to 5000"),
    ((*HILL, "--night", "2027-02-30"), "--night: found '2027-02-30'; right: a date such as 2027-06-05"),
    ((*HILL, "--start", "sunsett"), "--start: found 'sunsett'; right: 'sunset' (did you mean that?)"),
    ((*HILL, "--lat", "70", "--start", "sunset"), "--start: found sunset, which does not come between"),
    ((*HILL, "--until", "5"), "--until: found '5'; right: a length such as '2h30m', or when it ends"),
    ((*HILL, "--until", "nautical dsk"), "--until: found 'nautical dsk'; right: 'nautical dusk'"),
    ((*HILL, "--interval", "-3"), "--interval: found -3; right: seconds above 0 to 3600, such as 18"),
    ((*HILL, "--shutter", "soon"), "--shutter: found the text 'soon'; right: the longest shutter"),
    (("--demo", "--rig", "head"), "--rig with --demo, which is copied as it is; right: one of the two"),
]


@pytest.mark.parametrize(("words", "told"), REFUSED)
def test_what_cannot_be_is_refused_in_words_and_nothing_is_written(
    run: Run, tmp_path: Path, words: tuple[str, ...], told: str
) -> None:
    status, _, err = run("new", tmp_path / "nights", *words)
    assert status == 2
    assert f"fieldsheet: {told}" in err
    assert list(tmp_path.iterdir()) == []
