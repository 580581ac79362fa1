"""The guide: true to what computes the plans, small, and the same on every page."""

from __future__ import annotations

import re
import shlex
from itertools import pairwise
from math import atan, atan2, cos, degrees, log, log2, pi, radians, sin, sqrt, tan
from pathlib import Path

import pytest
from pygeomag import GeoMag
from scipy.interpolate import PchipInterpolator

from fieldsheet.catalog.defaults import COLD, LONGER_SHUTTERS_S
from fieldsheet.catalog.landmarks import REFRACTION_K
from fieldsheet.catalog.magnetic import BLACKOUT_NT, CAUTION_NT
from fieldsheet.catalog.models.exposure import SKIES
from fieldsheet.plan.dew import HUMID_PCT, SPREAD_C
from fieldsheet.plan.flicker import SEEN
from fieldsheet.plan.ownrig import LONGEST_SHADOW_M
from fieldsheet.plan.schedule import LEAST_PACE, SHARES
from fieldsheet.plan.spot import DECLINATION_M
from fieldsheet.sheet.glue import glued
from fieldsheet.sheet.words import MINUS, fixed
from fieldsheet.site.guide import CHAPTERS, GUIDE
from fieldsheet.site.worked import worked
from fieldsheet.sky.ephemeris import YEARS
from fieldsheet.sky.illuminance import LX_AT_EV_0, STARLIGHT_LX
from fieldsheet.templates import templates
from tests.commands import Run
from tests.site.sample import sample_site

MOST_BYTES = 167_000
START = (templates() / "guide" / "start.html.j2").read_text("utf-8")


def refraction(h: float) -> float:
    return 1.02 / tan(radians(h + 10.3 / (h + 5.11)))


def log_lx(row: tuple[float, float, float, float], altitude: float) -> float:
    return sum(value * (altitude / 90) ** power for power, value in enumerate(row))


def magnus(t: float) -> float:
    return 17.62 * t / (243.12 + t)


GROUND = 6371.0e3 / (1 - 0.13)
VIEW = degrees(2 * atan(18 / 24))
DUSK = 10 ** log_lx((2.70, 12.17, -431.69, -1899.83), -6)
NIGHT = 10 ** log_lx((13.84, 262.72, 1447.42, 2797.93), -18)
MOON = 10 ** log_lx((-1.95, 4.06, -4.24, 1.56), 60)
TRAIL_MM = 1_296_000 / 86164.0905 * cos(radians(29)) * 20 * 24 / 206264.8
RATED = 13_400 * 3.7 / 1000
RULE = (16.9 * 2.8 + 0.10 * 24 + 13.7 * 4.35) / 24
DEW = log(0.82) + magnus(13)
WAY = 1000 / (752 - 40 - 1 + 1)


def stands(metres: float, up: float) -> float:
    angle = metres / GROUND
    here = 100.0
    far = GROUND + here + up
    return degrees(atan2(up - far * 2 * sin(angle / 2) ** 2, far * sin(angle)))


# What each formula gives as the chapter prints it, worked out here a second time; where a handbook says it,
# that value (published). With the decimals that are shown.
EXPECTED = [
    ("sunset_deg", -50 / 60, 3),  # published: US Naval Observatory
    ("moonset_deg", -34 / 60, 3),
    ("dip_deg", 1.76 / 60 * sqrt(14), 3),
    ("sunset_sea_deg", -50 / 60 - 1.76 / 60 * sqrt(14), 3),
    ("refraction_0", refraction(0), 1),
    ("refraction_10", refraction(10), 1),
    ("air_factor", 990 / 1010 * 283 / 268, 3),
    ("refraction_cold", refraction(0) * 990 / 1010 * 283 / 268, 1),
    ("sunk_deg", stands(10_000, 0), 3),
    ("sunk_m", 6.828, 1),  # (1 - k) d^2 / 2 R, the surveyors' rule
    ("mast_deg", stands(4600, 355), 1),
    ("frames", (3 * 3600 + 46 * 60) // 18, 0),
    ("clip", 753 / 25, 1),
    ("way_21", WAY * 20 * 20 / 80, 1),
    ("way_41", WAY * (40 - 20), 1),
    ("way_377", 500.0, 1),
    ("short_move", 2 * sqrt(1.4 / 20), 2),
    ("long_move", 1060 / 12 + 12 / 20, 1),
    ("view", 73.740, 1),  # published: tables of angles of view, 24 mm
    ("fisheye", degrees(2 * 18 / 10), 0),
    ("width_s", VIEW / (0.2 * 25), 1),
    ("blur", radians(0.2) * 0.5 * 24 / 36 * 3840, 1),
    ("shutter_angle", 180.0, 0),
    ("roll", -1.0, 1),
    ("shift", degrees(atan(1.2 / 10)), 1),
    ("trail_um", 1000 * TRAIL_MM, 1),
    ("trail_px", TRAIL_MM / 0.00435, 2),
    ("trail_clip_px", TRAIL_MM / 36 * 3840, 2),
    ("rule_500", 500 / 24, 1),
    ("rule_pixel", RULE, 2),
    ("dusk_lx", DUSK + 0.002, 2),  # published: 3.4 lx at the end of civil twilight (AMS Glossary)
    ("dusk_ev", log2((DUSK + 0.002) / 2.5), 1),
    ("night_lx", NIGHT + 0.002, 4),
    ("night_ev", log2((NIGHT + 0.002) / 2.5), 1),
    ("moon_lx", MOON, 2),
    ("moon_ev", log2(MOON / 2.5), 1),
    ("ripple_60", 100 * abs(sin(pi * 100 / 60)) / (pi * 100 / 60), 0),
    ("ripple_50", 0.0, 0),
    ("rated", RATED, 1),
    ("warm", RATED * 0.85 * 0.8, 1),
    ("lift", 5 * 9.80665 / 3600, 4),
    ("dew_point", 243.12 * DEW / (17.62 - DEW), 1),
    ("spread", 13 - 243.12 * DEW / (17.62 - DEW), 1),
]


@pytest.fixture(scope="module")
def pages() -> dict[str, str]:
    return {
        path: data.decode()
        for path, data in sample_site().items()
        if path.startswith(GUIDE) and path.endswith(".html")
    }


def number_in(text: str) -> float:
    """The first number of a text, whatever stands before and after it."""
    found = re.search(r"[-+]?[0-9]+(\.[0-9]+)?", text.replace(MINUS, "-"))
    assert found is not None, text
    return float(found[0])


@pytest.mark.parametrize(("name", "expected", "decimals"), EXPECTED, ids=[row[0] for row in EXPECTED])
def test_an_example_is_what_its_formula_gives(name: str, expected: float, decimals: int) -> None:
    assert number_in(worked()[name]) == pytest.approx(expected, abs=0.5000001 * 10**-decimals)


def test_examples_of_curves_are_those_of_another_library() -> None:
    smooth = PchipInterpolator([0, 0.5, 1], [0, 20, 100])
    cold = PchipInterpolator([-20, -10, 0, 20], [0.5, 0.7, 0.85, 1.0])
    assert number_in(worked()["smooth"]) == pytest.approx(float(smooth(0.25)), abs=0.005)
    assert number_in(worked()["frozen"]) == pytest.approx(RATED * 0.85 * 0.8 * float(cold(-5)), abs=0.05)


def test_the_example_of_an_aim_puts_its_target_where_it_says() -> None:
    """By the gnomonic projection (Snyder, Map Projections, 1987, eqs. 22-4 and 22-5)."""
    tilt, altitude = radians(number_in(worked()["tilt"])), radians(10)
    aside = radians(180 - number_in(worked()["aim"]))
    ahead = sin(tilt) * sin(altitude) + cos(tilt) * cos(altitude) * cos(aside)
    right = cos(altitude) * sin(aside) / ahead
    up = (cos(tilt) * sin(altitude) - sin(tilt) * cos(altitude) * cos(aside)) / ahead
    assert (right / (18 / 24), up / (20.25 / 48)) == pytest.approx((0.5, -0.5), abs=0.004)


def test_the_example_of_a_compass_is_the_models() -> None:
    model = GeoMag(coefficients_file="wmm/WMM_2025.COF")
    found = model.calculate(glat=37.08, glon=-8.67, alt=0.006, time=2027 + 155 / 365).d
    assert number_in(worked()["declination"]) == pytest.approx(found, abs=0.051)
    assert number_in(worked()["magnetic"]) == pytest.approx(225 - found, abs=0.51)


def test_the_examples_of_frames_and_clicks() -> None:
    said = worked()
    assert (said["middle"], said["last"]) == ("1 h 52 min 30 s", "3 h 45 min 36 s")  # 375 and 752 times 18 s
    # f/2.8 is the ninth third of a stop from 1, 1/2000 s the 33rd below a second, ISO 3200 the 15th over 100.
    assert (said["bright_ev"], said["dark_ev"]) == ("14.0", MINUS + "5.7")
    assert said["clicks"] == str((9 + 33) - (9 - 11 - 15))


def test_every_example_is_checked_and_shown() -> None:
    elsewhere = {"smooth", "frozen", "aim", "tilt", "declination", "magnetic", "middle", "last"}
    elsewhere |= {"bright_ev", "dark_ev", "clicks"}
    assert set(worked()) == {name for name, _, _ in EXPECTED} | elsewhere
    chapter = (templates() / "guide" / "computing.html.j2").read_text("utf-8")
    assert set(re.findall(r"{{ (\w+) }}", chapter)) - {"root", "name", "lowest", "value"} == set(worked())


def test_figures_that_stand_in_the_text_are_the_programs(pages: dict[str, str]) -> None:
    shares = {name: f"{fixed(100 * share, 0)} %" for name, share in SHARES}
    first, last = YEARS
    cold = {float(at): f"{float(left):g}" for at, left in COLD}
    said = [
        f"years {first} to {last}",
        f"level with {shares['level']} to go, the last keyframe stored with {shares['stored']}",
        f"focus looked at again with {shares['focus']}, go or no go with {shares['go']}",
        f"≥ {LEAST_PACE[0] / LEAST_PACE[1]:g} <i>i</i>",
        f"over {BLACKOUT_NT:.0f} nT; under {CAUTION_NT:.0f} nT",
        f"a spot within {DECLINATION_M / 1000:.0f} km",
        f"<i>k</i> = {REFRACTION_K:g}",
        f"up to {LONGEST_SHADOW_M:.0f} m",
        f"Stars and airglow add {STARLIGHT_LX:g} lx",
        f"log<sub>2</sub>(<i>E</i> / {LX_AT_EV_0:g} lx)",
        f"More than {100 * SEEN:.0f} % is minded",
        f"less than {SPREAD_C:.0f} °C, or above {HUMID_PCT:.0f} %",
        f"1.0, {cold[0.0]}, {cold[-10.0]} and {cold[-20.0]} are left at 20, 0, −10 and −20 °C",
        " and ".join(f"{to}" for to in LONGER_SHUTTERS_S.values()),
    ]
    chapter = pages[f"{GUIDE}computing/index.html"]
    assert [text for text in said if glued(text) not in chapter] == []
    divisors = [f"{value:g}" for name, value in SKIES.items() if name != "clear"]
    assert f"by {divisors[0]}, {divisors[1]} or {divisors[2]} (thin, mean, dark)" in chapter


def test_the_example_of_a_first_shot_is_what_is_printed(
    run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    example = re.search(r"(fieldsheet new nights --place.*?)\n\n(.*?)\{% endcall", START, re.DOTALL)
    assert example is not None
    typed, shown = example.groups()
    status, out, err = run(*shlex.split(typed.replace("\\\n", ""))[1:])
    assert (status, err) == (0, "")
    assert out.strip() == shown.strip()


def test_a_figure_stays_with_its_unit_but_in_what_is_typed(pages: dict[str, str]) -> None:
    read = typed = ""
    for page in pages.values():
        examples = re.findall(r"<(pre|code|dt)\b(.*?)(?=</\1>|<dd\b)", page, re.DOTALL)
        typed += "".join(text for _, text in examples)
        read += re.sub(r"<(pre|code|dt)\b.*?(?=</\1>|<dd\b)", "", page, flags=re.DOTALL)
    assert not re.findall(r"\d (?:s|mm|m|km|min|h|%|°C|Wh|lx|px|frames)\b", re.sub("<[^>]*>", "", read))
    assert "\u00a0" in read and "\u00a0" not in typed


def test_the_guide_is_small_and_needs_nothing_but_the_pages_own_frame(pages: dict[str, str]) -> None:
    sizes = {path: len(data) for path, data in sample_site().items() if path.startswith(GUIDE)}
    print(f"guide {sum(sizes.values())} bytes in {len(sizes)} files, largest {max(sizes.values())}")
    assert sum(sizes.values()) <= MOST_BYTES
    for page in pages.values():
        assert (
            re.findall(r'<script src="[./]+app/(.*?)">', page) == ["theme.js"] and page.count("<script") == 1
        )
        assert " style=" not in page and "<style" not in page


def test_every_chapter_is_listed_and_leads_to_the_next(pages: dict[str, str]) -> None:
    assert set(pages) == {f"{GUIDE}index.html", *(chapter.path for chapter in CHAPTERS)}
    for before, after in pairwise(CHAPTERS):
        assert f"Next: {after.title}" in pages[before.path]
    for chapter in CHAPTERS:
        assert f"<strong>{chapter.title}</strong><i>{chapter.about}</i>" in pages[f"{GUIDE}index.html"]


def test_links_into_a_chapter_lead_to_a_heading(pages: dict[str, str]) -> None:
    for page in pages.values():
        for path, id in re.findall(r'href="?([^"#>]*)#([^">]+)', page):
            target = page if not path else pages[path.removeprefix("../../") + "index.html"]
            assert re.search(rf'id="?{id}[">]', target)


def test_words_of_the_house_stay_out(pages: dict[str, str]) -> None:
    house = re.compile(r"run strip|sky pack|\bbrief\b|carry code|pocket file", re.IGNORECASE)
    assert {path: house.findall(page) for path, page in pages.items() if house.search(page)} == {}
