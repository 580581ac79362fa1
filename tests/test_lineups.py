"""fieldsheet lineups: as typed, against the search of the sky itself, and in what light."""

from __future__ import annotations

import json
from datetime import UTC, datetime
from math import cos, hypot, radians
from pathlib import Path

import pytest

from fieldsheet.lineups import light
from fieldsheet.plan.anchors import site_of
from fieldsheet.sky.observe import apparent_altitude_deg, horizontal
from fieldsheet.sky.sky import Sky
from tests.commands import Run

DEMO = Path(__file__).resolve().parents[1] / "fieldsheet" / "demo"
SPAN = ("--from", "2027-11-01", "--to", "2027-12-31")
MAST = ("lineups", DEMO, "lime-quarry", "mast on the ridge")


def test_it_tells_when_how_far_off_how_high_and_in_what_light(run: Run) -> None:
    status, out, err = run(*MAST, *SPAN, "--within", "0.1")
    assert (status, err) == (0, "")
    asked, row = out.splitlines()
    assert asked == (
        "moon behind mast on the ridge (300° true, 301° magnetic, +3.5°, 4.6 km away), "
        "from Lime quarry, upper bench"
    )
    assert row.split("  ") == [
        *("Mon 13 December 2027", "07:08 WET", "0.01° right, 0.01° above", "+3.5°"),
        *("nautical twilight", "moon 100 % lit"),
    ]


def test_for_a_machine_every_figure_is_that_of_the_sky(run: Run, sky: Sky) -> None:
    from fieldsheet.catalog.read import read_catalog

    status, out, _ = run(*MAST, *SPAN, "--json")
    found = json.loads(out)
    assert status == 0 and found["place"] == "lime-quarry" and found["target"] == "moon"
    assert found["landmark"]["distance_m"] == pytest.approx(4_620, abs=20)
    assert len(found["line_ups"]) == 5
    place = read_catalog(DEMO).brief("hoist")["place"]
    site = site_of(place)
    for row in found["line_ups"]:
        at_s = row["time"]["utc_ms"] / 1000
        assert datetime.fromisoformat(row["time"]["local"]).astimezone(UTC).timestamp() == at_s
        altitude, azimuth, _ = (float(value) for value in horizontal(sky, site, "moon", at_s))
        seen = float(apparent_altitude_deg(altitude, site.air))
        assert row["azimuth_deg"] == pytest.approx(azimuth, abs=1e-4)
        assert row["altitude_deg"] == pytest.approx(seen, abs=1e-4)
        assert row["up_deg"] == pytest.approx(seen - found["landmark"]["altitude_deg"], abs=1e-4)
        across = (azimuth - found["landmark"]["bearing_deg"]) * cos(radians(seen))
        assert row["right_deg"] == pytest.approx(across, abs=1e-4)
        assert row["apart_deg"] == pytest.approx(hypot(row["right_deg"], row["up_deg"]), abs=0.005)
        assert row["apart_deg"] <= 1.0


def test_a_direction_may_stand_for_the_landmark_and_another_body_for_the_moon(run: Run) -> None:
    typed = ("--bearing", "97", "--altitude", "0.5", "--target", "SUN", "--within", "0.5")
    status, out, _ = run("lineups", DEMO, "white-pan", *typed, "--from", "2027-09-01", "--to", "2027-11-01")
    asked, *rows = out.splitlines()
    assert status == 0 and asked.startswith("sun behind 097° true, 110° magnetic, +0.5°, from White Pan")
    assert rows and all("CAT" in row and ("lit, up" in row or "lit, down" in row) for row in rows)


def test_none_is_an_answer(run: Run) -> None:
    status, out, _ = run(*MAST, *SPAN, "--target", "polaris")
    assert status == 0 and out.splitlines()[1] == "no line-up within 1.00°"


@pytest.mark.parametrize(
    ("sun_deg", "name"),
    [
        (3.0, "day"),
        (-0.83, "day"),
        (-0.84, "civil twilight"),
        (-6.0, "civil twilight"),
        (-6.1, "nautical twilight"),
        (-12.1, "astronomical twilight"),
        (-18.0, "astronomical twilight"),
        (-18.1, "night"),
    ],
)
def test_light_has_the_names_of_the_almanacs(sun_deg: float, name: str) -> None:
    """Sunset at 50', twilights to 6, 12 and 18 degrees (U.S. Naval Observatory, definitions; from memory)."""
    assert light(sun_deg) == name


@pytest.mark.parametrize(
    ("typed", "told"),
    [
        (("lime-quary", "mast on the ridge"), "no place 'lime-quary' in"),
        (("lime-quarry", "mast"), "no landmark 'mast' at lime-quarry; there are: 'conveyor head', 'mast on"),
        (("lime-quarry",), "give a LANDMARK of the place, or --bearing and --altitude"),
        (("lime-quarry", "--bearing", "3"), "give a LANDMARK of the place, or --bearing and --altitude"),
        (("lime-quarry", "conveyor head", "--bearing", "3"), "give a LANDMARK"),
    ],
)
def test_what_cannot_be_meant_is_wrong_use(run: Run, typed: tuple[str, ...], told: str) -> None:
    status, out, err = run("lineups", DEMO, *typed, *SPAN)
    assert (status, out) == (2, "") and told in err


@pytest.mark.parametrize(
    ("typed", "told"),
    [
        (("--target", "mooon"), "'moon' (did you mean that?)"),
        (("--within", "0"), "not above 0 to 10 degrees: '0'"),
        (("--within", "nan"), "not degrees from -360 to 360: 'nan'"),
        (("--bearing", "north"), "not degrees from -360 to 360: 'north'"),
        (("--altitude", "91"), "not degrees from -90 to 90: '91'"),
    ],
)
def test_what_is_no_figure_is_wrong_use(run: Run, typed: tuple[str, ...], told: str) -> None:
    status, out, err = run(*MAST, *SPAN, *typed)
    assert (status, out) == (2, "") and told in err


@pytest.mark.parametrize(
    ("first", "last", "told"),
    [
        ("2027-12-31", "2027-11-01", "a span of at most 1095 days"),
        ("2027-01-01", "2030-12-31", "a span of at most 1095 days"),
        ("1899-01-01", "1899-02-01", "the ephemeris runs from"),
    ],
)
def test_a_span_that_nothing_covers_is_wrong_use(run: Run, first: str, last: str, told: str) -> None:
    status, _, err = run(*MAST, "--from", first, "--to", last)
    assert status == 2 and told in err
