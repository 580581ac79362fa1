"""fieldsheet lineups: as typed, against the search of the sky itself, and in what light."""

from __future__ import annotations

import json
import re
from datetime import UTC, date, datetime
from math import cos, hypot, radians
from pathlib import Path

import pytest

from fieldsheet.catalog.read import Catalog
from fieldsheet.lineups import Mark, doubts, light
from fieldsheet.plan.anchors import site_of
from fieldsheet.sky.observe import apparent_altitude_deg, horizontal
from fieldsheet.sky.sky import Sky
from fieldsheet.templates import templates
from tests.commands import Run

DEMO = Path(__file__).resolve().parents[1] / "fieldsheet" / "demo"
SPAN = ("--from", "2027-11-01", "--to", "2027-12-31")
MAST = ("lineups", DEMO, "lime-quarry", "mast on the ridge")


def test_it_tells_when_how_far_off_how_high_and_in_what_light(run: Run) -> None:
    status, out, err = run(*MAST, *SPAN, "--within", "0.4")
    assert (status, err) == (0, "")
    asked, heads, row = out.splitlines()
    assert asked == (
        "moon behind mast on the ridge (300° true, 301° magnetic, +4.4° high, 4.6 km away), "
        "from Lime quarry, upper bench"
    )
    assert re.split("  +", heads) == ["date", "clock", "its middle passes", "altitude", "light", "moon"]
    assert re.split("  +", row) == [
        *("Tue 16 November 2027", "09:21 WET", "0.30° left, 0.25° below", "+4.1°"),
        *("day", "94 % lit"),
    ]


def test_the_example_of_the_guide_is_what_is_printed(run: Run) -> None:
    _, out, _ = run(*MAST, "--from", "2027-11-01", "--to", "2028-01-31")
    assert out in (templates() / "guide" / "nights.html.j2").read_text("utf-8")


def test_for_a_machine_every_figure_is_that_of_the_sky(run: Run, sky: Sky) -> None:
    from fieldsheet.catalog.read import read_catalog

    status, out, _ = run(*MAST, *SPAN, "--json")
    found = json.loads(out)
    assert status == 0 and found["place"] == "lime-quarry" and found["target"] == "moon"
    assert found["landmark"]["distance_m"] == pytest.approx(4_620, abs=20)
    assert len(found["line_ups"]) == 3 and found["nearest"] is None
    assert found["landmark"]["doubts"] == []
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
    asked, _, *rows = out.splitlines()
    assert status == 0 and asked.startswith("sun behind 097° true, 110° magnetic, +0.5° high, from White Pan")
    assert rows and all("CAT" in row and ("lit, up" in row or "lit, down" in row) for row in rows)


def test_of_none_the_nearest_in_sight_is_told(run: Run) -> None:
    short = ("--from", "2027-11-01", "--to", "2027-11-03")
    status, out, _ = run(*MAST, *short, "--target", "polaris")
    asked, none, heads, row, off = out.splitlines()
    assert status == 0 and none == "no line-up within 1.00°; the nearest in sight:"
    assert "right" in row and "+37.2°" in row and "nautical twilight" in row
    assert off.endswith("° off: it would be behind what stands at 359° true, 000° magnetic, +37.2° high")
    found = json.loads(run(*MAST, *short, "--target", "polaris", "--json")[1])
    assert found["line_ups"] == [] and found["nearest"]["apart_deg"] == pytest.approx(62.9, abs=0.5)
    south = ("--bearing", "180", "--altitude", "20", "--target", "rigil kentaurus")
    _, out, _ = run("lineups", DEMO, "lime-quarry", *south, *short)
    assert out.splitlines()[-1] == "no line-up within 1.00°; it is never in sight"


def test_what_skyline_or_horizon_hides_is_marked(run: Run) -> None:
    low = ("--bearing", "300", "--altitude", "3.5")
    _, out, _ = run("lineups", DEMO, "lime-quarry", *low, *SPAN)
    asked, mind, heads, *rows = out.splitlines()
    assert mind == (
        "mind: the measured skyline there stands at +4.0°, higher than the direction: "
        "what lines up exactly is behind the skyline"
    )
    hidden = [row.endswith("  behind the skyline") for row in rows]
    assert len(rows) == 5 and 0 < sum(hidden) < 5
    found = json.loads(run("lineups", DEMO, "lime-quarry", *low, *SPAN, "--json")[1])
    assert [row["hidden"] == "behind the skyline" for row in found["line_ups"]] == hidden
    # The moon's upper edge counts, and a twentieth of a degree that nobody sees: see the needs of a shot.
    over = [row["altitude_deg"] + 0.26 + 0.05 - row["horizon_deg"] for row in found["line_ups"]]
    assert [value < 0 for value in over] == hidden
    level = ("--bearing", "97", "--altitude", "-1")
    _, out, _ = run("lineups", DEMO, "white-pan", *level, *SPAN)
    assert "the horizon there stands at 0.0°, higher than the direction" in out
    assert out.splitlines()[-1].endswith("  below the horizon")


@pytest.mark.parametrize(
    ("distance_m", "top_deg", "eye_m", "hidden"),
    [
        # Over the sea an eye at 2 m sees 5.6 km far, one at 100 m 39 km: 1.17 nautical miles times the root
        # of the feet (Bowditch, American Practical Navigator, 2002, chapter 22); 14 km lie in between.
        (14_000.0, -0.06, 2.0, True),
        (14_000.0, 0.1, 2.0, False),
        (3_000.0, -0.06, 2.0, False),
        (14_000.0, -0.06, 100.0, False),
        (None, -0.06, 2.0, False),
    ],
)
def test_a_landmark_beyond_the_curve_of_the_earth_is_told_to_be_hidden(
    demo: Catalog, distance_m: float | None, top_deg: float, eye_m: float, hidden: bool
) -> None:
    place = {**demo.brief("moonrise")["place"], "elevation_m": eye_m, "horizon": [], "sea_horizon_m": eye_m}
    told = doubts(place, Mark("the rail", 90.0, top_deg, distance_m))
    assert any("curve of the Earth" in doubt for doubt in told) == hidden


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
        (
            ("--target", "foo"),
            "'galactic core', a planet such as 'jupiter' or a bright star such as 'antares'",
        ),
        (("--target", "South Pole"), "the south pole, which stands still; right: a body that moves"),
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
        ("2027-12-31", "2027-11-01", "--to 2027-11-01 comes before --from 2027-12-31; right: a later --to"),
        ("2027-01-01", "2030-12-31", "1461 days; right: at most 1095 at once"),
        (
            "9999-12-20",
            "9999-12-31",
            "--from 9999-12-20: the ephemeris runs from 1900 to 2052; right: a date",
        ),
        ("2052-12-20", "2053-01-31", "--to 2053-01-31: the ephemeris runs from"),
        ("1899-01-01", "1899-02-01", "the ephemeris runs from"),
    ],
)
def test_a_span_that_nothing_covers_is_wrong_use(run: Run, first: str, last: str, told: str) -> None:
    status, _, err = run(*MAST, "--from", first, "--to", last)
    assert status == 2 and told in err


def test_without_a_span_it_is_a_year_from_today(run: Run) -> None:
    found = json.loads(run(*MAST, "--json")[1])
    first, last = (date.fromisoformat(found[key]) for key in ("from", "to"))
    assert (last - first).days == 364 and abs((first - date.today()).days) <= 1


def test_a_star_is_in_sight_only_while_bright_stars_are_out(run: Run) -> None:
    """Sirius comes nearest to the mast as it sets: in daylight, at that time of the year."""
    span = ("--from", "2027-11-01", "--to", "2027-11-03", "--target", "sirius", "--json")
    near = json.loads(run(*MAST, *span)[1])["nearest"]
    assert near["sun_altitude_deg"] < -6 and near["hidden"] is None
    for seen in ("moon", "sun"):
        near = json.loads(run(*MAST, *span[:4], "--target", seen, "--within", "0.01", "--json")[1])["nearest"]
        assert near["hidden"] is None
    assert near["sun_altitude_deg"] > 0


def test_what_lines_up_by_day_and_shows_only_in_the_dark_is_marked(run: Run) -> None:
    direction = ("--bearing", "180", "--altitude", "36", "--within", "2", "--target", "sirius")
    south = ("lineups", DEMO, "lime-quarry", *direction)
    found = json.loads(run(*south, "--from", "2027-01-10", "--to", "2027-12-20", "--json")[1])
    marked = [row["hidden"] for row in found["line_ups"]]
    assert {"too light to see it", None} == set(marked)
    for row, mark in zip(found["line_ups"], marked, strict=True):
        assert (mark is not None) == (row["sun_altitude_deg"] >= -6)
    table = run(*south, "--from", "2027-07-10", "--to", "2027-07-11")[1]
    assert table.splitlines()[-1].endswith("  too light to see it")


def test_no_figure_is_minus_nothing(run: Run) -> None:
    """A level horizon without a dip, and a direction typed so."""
    typed = ("--bearing", "97", "--altitude", "-0.0", "--target", "sun", "--json")
    span = ("--from", "2027-09-10", "--to", "2027-10-10")
    out = run("lineups", DEMO, "white-pan", *typed, *span)[1]
    assert json.loads(out)["line_ups"] != [] and "-0.0," not in out and "-0.0\n" not in out
