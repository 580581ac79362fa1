"""Pan is zeroed without a compass: the phone lists what is up, with the same numbers as the Python core."""

from __future__ import annotations

import base64
import copy
import json
import re
import zlib
from datetime import UTC, datetime
from math import floor
from random import Random
from typing import Any

import pytest
from playwright.sync_api import BrowserContext, Page, expect

from fieldsheet.plan.anchors import Night, night_of, site_of
from fieldsheet.plan.seen import is_seen, seen_deg, stars_out
from fieldsheet.sheet.words import bearing, body_word, fixed, signed
from fieldsheet.site.build import STARS as STARS_MODULE
from fieldsheet.site.build import TABLES
from fieldsheet.site.pages import packed_json
from fieldsheet.sky.bodies import PLANETS, STARS
from fieldsheet.sky.moon import moon_light
from fieldsheet.sky.ridge import skyline_deg
from fieldsheet.sky.sky import Sky
from tests.long import tries
from tests.site.sample import changed, sample_packs
from tests.web.host import Host

HERE = "/fs/saltings/"
NIGHT = "2027-06-05T23:10:00+01:00"
BY_DAY = "2027-06-05T18:36:00+01:00"
CAUTION = "Never look at the sun through lens or viewfinder: cap on, turn by its shadow."


@pytest.fixture
def page(demo_host: Host, kept_phone: BrowserContext) -> Page:
    return kept_phone.new_page()


@pytest.fixture
def lone(host: Host, phone: BrowserContext, demo_site: dict[str, bytes]) -> Page:
    """On a phone with a host of its own."""
    host.sites[HERE] = demo_site
    return phone.new_page()


def _open(page: Page, host: Host, at: str, shot: str = "slipway") -> None:
    page.clock.install(time=at)
    page.goto(host.url(f"{HERE}shots/{shot}/"))
    expect(page.locator("#night")).to_be_enabled()
    page.locator("#zero summary").tap()
    expect(page.locator("#zero [role=status]")).not_to_be_empty()


LISTED = """(box) => [
  box.querySelector('[role=status]').textContent,
  [...box.querySelectorAll('.lights > li')].map((row) => [...row.children].map((one) => one.textContent)),
]"""


def _listed(page: Page) -> tuple[str, list[tuple[str, str, str]]]:
    """What is said, and of every light listed at that moment name, reading of pan and the line below."""
    said, rows = page.locator("#zero").evaluate(LISTED)
    return said, [tuple(row) for row in rows]


def _rows(page: Page) -> list[tuple[str, str, str]]:
    return _listed(page)[1]


def _tenths(degrees: float) -> str:
    return f"{fixed(degrees % 360, 1).zfill(5)}°".replace("360.0", "000.0")


LIGHTS = """async ({cases, packs}) => {
  const [{lightsAt}, {readPack}, {makeSky}] = await Promise.all(
    ['shown/zeroing', 'core/pack', 'core/sky'].map((name) => import(`/app/${name}.js`)));
  const bytes = (text) => Uint8Array.from(atob(text), (sign) => sign.charCodeAt(0)).buffer;
  const sky = makeSky(packs.map((text) => readPack(bytes(text))));
  return cases.map(({brief, t_s}) => lightsAt(brief, sky, t_s));
}"""


def _lights(brief: dict[str, Any], sky: Sky, t_s: float) -> dict[str, tuple[float, float, float | None]]:
    """By the Python core: body -> azimuth, altitude, pan [deg]."""
    night = Night(sky, site_of(brief["place"]), (), (), 0, "night", 0, 0)
    dark = stars_out(night, t_s)
    found = {}
    for body in ("sun", "moon", *PLANETS, *STARS):
        azimuth, altitude = seen_deg(night, body, t_s)
        hidden = bool(night.site.ridge) and altitude <= float(skyline_deg(night.site.ridge, azimuth))
        thin = body == "moon" and moon_light(sky, t_s)[0] < 0.05
        if hidden or thin or not is_seen(body, altitude, dark):
            continue
        axis = brief["rig"]["axes"]["pan"]
        turned = (azimuth - brief["zero_bearing_deg"]) % 360
        settings = [floor((turned + turn) / axis["step"] + 0.5) * axis["step"] for turn in (-720, -360, 0)]
        inside = [pan for pan in settings if axis["min"] <= pan <= axis["max"]]
        found[body] = (azimuth, altitude, min(inside, key=abs) if inside else None)
    return found


def test_the_numbers_are_the_python_core_s_at_any_place_pan_and_skyline(
    page: Page, demo_host: Host, demo_brief: dict[str, Any], sky: Sky
) -> None:
    rng = Random(20270605)
    cases: list[dict[str, Any]] = []
    for number in range(tries(60)):
        brief = copy.deepcopy(demo_brief)
        place, axis = brief["place"], brief["rig"]["axes"]["pan"]
        place["latitude_deg"], place["longitude_deg"] = rng.uniform(-80, 80), rng.uniform(-180, 180)
        place["declination"] = rng.choice([None, {"deg": rng.uniform(-25, 25), "weak": False}])
        place["horizon"] = [[0.0, 3.0], [80.0, 30.0], [200.0, 0.0], [300.0, 15.0]] if number % 2 else []
        brief["zero_bearing_deg"] = rng.uniform(0, 360)
        axis["min"], axis["max"], axis["step"] = rng.choice([(-90, 90, 0.1), (-200, 200, 0.5), (0, 350, 1)])
        cases.append({"brief": brief, "t_s": rng.uniform(1_799_000_000, 1_828_000_000)})
    page.goto(demo_host.url(HERE))
    packs = [base64.b64encode(pack).decode() for pack in sample_packs().values()]
    got = page.evaluate(LIGHTS, {"cases": cases, "packs": packs})
    beyond = 0
    for case, lights in zip(cases, got, strict=True):
        expected = _lights(case["brief"], sky, case["t_s"])
        assert {light["body"] for light in lights} == expected.keys()
        declination = case["brief"]["place"]["declination"]
        for light in lights:
            azimuth, altitude, pan = expected[light["body"]]
            assert light["azimuth_deg"] == pytest.approx(azimuth, abs=1e-6)
            assert light["altitude_deg"] == pytest.approx(altitude, abs=1e-6)
            assert light["pan_deg"] == (None if pan is None else pytest.approx(pan, abs=1e-6))
            beyond += pan is None
            if declination is None:
                assert light["magnetic_deg"] is None
            else:
                magnetic = (azimuth - declination["deg"]) % 360
                assert light["magnetic_deg"] == pytest.approx(magnetic, abs=1e-6)
    assert beyond > 50 and sum(len(lights) > 8 for lights in got) > 10


def _expected(brief: dict[str, Any], night: Night, t_s: float) -> dict[str, tuple[str, str]]:
    """The same by the Python core: body's name -> reading and line; what is no use to zero on is left out."""
    found = {}
    dark = stars_out(night, t_s)
    for body in ("sun", "moon", *PLANETS, *STARS):
        azimuth, altitude = seen_deg(night, body, t_s)
        if not is_seen(body, altitude, dark) or (body == "moon" and moon_light(night.sky, t_s)[0] < 0.05):
            continue
        pan = (azimuth - brief["zero_bearing_deg"] + 180) % 360 - 180
        limits = brief["rig"]["axes"]["pan"]
        if altitude > 65 or not limits["min"] <= round(pan, 1) <= limits["max"]:
            continue
        magnetic = bearing(azimuth - brief["place"]["declination"]["deg"])
        line = f"{_tenths(azimuth)} true, {magnetic} mag · {fixed(altitude, 1)}° high"
        found[body_word(body)] = (f"pan {signed(pan, 1)}°", line)
    return found


@pytest.mark.parametrize(("at", "least"), [(NIGHT, 8), (BY_DAY, 1)])
def test_the_list_is_the_python_core_s_best_first_and_then_brightest(
    page: Page, demo_host: Host, demo_brief: dict[str, Any], sky: Sky, at: str, least: int
) -> None:
    _open(page, demo_host, at)
    said, rows = _listed(page)
    found = re.search(r"\d\d:\d\d:\d\d", said)
    assert found and said.startswith("As of Sat 5 June 2027, ")
    shown = datetime.fromisoformat(f"2027-06-05T{found[0]}+01:00").astimezone(UTC).timestamp()
    expected = _expected(demo_brief, night_of(demo_brief, sky, demo_brief["night"]), shown)
    assert {name: (reading, line) for name, reading, line in rows} == expected
    assert len(rows) >= least
    if at == BY_DAY:
        assert [name for name, _, _ in rows] == ["sun"]
        return
    heights = [float(line.split("· ")[1].split("°")[0]) for _, _, line in rows]
    best = [15 <= height <= 50 for height in heights]
    assert best == sorted(best, reverse=True) and 2 < sum(best) < len(best)
    stars = {row["name"]: row["magnitude"] for row in _catalogue()}
    for half in (rows[: sum(best)], rows[sum(best) :]):
        magnitudes = [stars[name] for name, _, _ in half if name in stars]
        assert magnitudes == sorted(magnitudes) and magnitudes


CHOSEN = """async (lights) => {
  const {toZeroOn} = await import('/app/shown/zeroing.js');
  const light = ([body, altitude_deg, pan_deg]) => ({body, altitude_deg, pan_deg});
  const {lights: chosen, why} = toZeroOn(lights.map(light));
  return [chosen.map(({body}) => body), why];
}"""


@pytest.mark.parametrize(
    ("lights", "chosen", "why"),
    [
        (
            [["a", 5, 1], ["b", 30, 2], ["c", 60, 3], ["d", 15, 4], ["e", 50, 5]],
            ["b", "d", "e", "a", "c"],
            "",
        ),
        ([["a", 65, 1], ["b", 65.1, 2]], ["a"], ""),
        ([["a", 30, None], ["b", 60, 2]], ["b"], ""),
        ([["a", 30, None], ["b", 5, None]], [], "all that is up lies beyond pan's reach"),
        ([["a", 70, 1], ["b", 89, None]], [], "all that is up stands above 65°, too steep for a bearing"),
        ([["a", 70, 1], ["b", 20, None]], [], "all that is up stands too steep or lies beyond pan's reach"),
        ([], [], "nothing bright enough is up"),
    ],
)
def test_what_is_no_use_to_zero_on_is_left_out_and_an_empty_list_says_why(
    page: Page, demo_host: Host, lights: list[Any], chosen: list[str], why: str
) -> None:
    page.goto(demo_host.url(HERE))
    assert page.evaluate(CHOSEN, lights) == [chosen, why]


def test_lights_beyond_the_reach_of_pan_are_said_to_be(
    lone: Page, host: Host, demo_site: dict[str, bytes]
) -> None:
    """By day there is the sun alone, and this pan cannot turn to it."""
    path = "shots/slipway/index.html"
    packed = re.search(rb'id="plan"[^>]*>([^<]+)', demo_site[path])
    assert packed
    plan = json.loads(zlib.decompress(base64.b64decode(packed[1])))
    plan["brief"]["rig"]["axes"]["pan"] |= {"min": -20.0, "max": 20.0}
    host.sites[HERE] = changed(demo_site, path, packed[1], packed_json(plan).encode())
    _open(lone, host, BY_DAY)
    expect(lone.locator("#zero [role=status]")).to_contain_text("all that is up lies beyond pan's reach.")
    assert _rows(lone) == []


def test_the_list_stands_right_below_the_item_that_needs_it(page: Page, demo_host: Host) -> None:
    for shot in ("slipway", "clouds", "moonrise", "pole-circle"):
        page.goto(demo_host.url(f"{HERE}shots/{shot}/"))
        expect(page.locator("#night")).to_be_enabled()
        expect(page.locator("#zero")).to_have_count(1)
        above = page.locator("ul.items:has(+ #zero) > li").last
        expect(above).to_contain_text(re.compile("pan 0 looks at", re.I))
        item, summary = above.bounding_box(), page.locator("#zero summary").bounding_box()
        assert item and summary and 0 <= summary["y"] - item["y"] - item["height"] < 4
        rows = page.locator("#check ul.items")
        assert rows.count() == rows.locator("xpath=self::*[li]").count(), "no list is empty"


def _catalogue() -> list[dict[str, Any]]:
    """Name and magnitude of the stars as the sky's own table has them."""
    return list(json.loads(TABLES[STARS_MODULE][1].read_text("utf-8")).values())


def test_the_caution_about_the_sun_stands_above_the_list(page: Page, demo_host: Host) -> None:
    _open(page, demo_host, BY_DAY)
    caution = page.locator("#zero").get_by_text(CAUTION)
    expect(caution).to_be_visible()
    above, listed = caution.bounding_box(), page.locator(".lights").bounding_box()
    assert above and listed and above["y"] + above["height"] <= listed["y"]


def test_the_list_follows_the_clock_and_stands_still_at_a_chosen_moment(page: Page, demo_host: Host) -> None:
    _open(page, demo_host, NIGHT)
    before = _rows(page)
    page.clock.run_for(120_000)
    after = _rows(page)
    assert [name for name, _, _ in before] == [name for name, _, _ in after] and before != after
    field = page.locator("#zero-at")
    field.fill("0.30")  # after midnight of that night
    field.blur()
    expect(page.locator("#zero [role=status]")).to_have_text("As of Sun 6 June 2027, 00:30:")
    chosen = _rows(page)
    page.clock.run_for(120_000)
    assert _rows(page) == chosen != after
    field.fill("half past")
    field.blur()
    expect(page.locator("#zero [role=status]")).to_have_text("Not a clock time: write 21:40.")
    assert _rows(page) == []
    page.locator("#zero button").tap()
    expect(page.locator("#zero [role=status]")).to_contain_text(
        re.compile("As of Sat 5 June 2027, 23:1[4-9]")
    )
    assert _rows(page) != []


def test_a_moment_beyond_the_sky_is_said_and_one_of_the_night_can_be_given(
    page: Page, demo_host: Host
) -> None:
    _open(page, demo_host, "2031-01-01T20:00:00Z")
    expect(page.get_by_placeholder("21:40")).to_be_visible()
    page.locator("[data-set-theme=night]").tap()
    color = page.locator("#zero-at").evaluate("(input) => getComputedStyle(input, '::placeholder').color")
    assert re.fullmatch(r"rgb\(\d+, 0, 0\)", color), "at night nothing but red"
    said = page.locator("#zero [role=status]")
    expect(said).to_contain_text("does not reach this moment")
    page.locator("#zero-at").fill("23:10")
    page.locator("#zero-at").blur()
    expect(said).to_have_text("As of Sat 5 June 2027, 23:10:")
    assert len(_rows(page)) > 5


def test_it_works_with_the_server_gone(lone: Page, host: Host) -> None:
    lone.goto(host.url(f"{HERE}shots/slipway/"))
    expect(lone.locator("#offline")).to_have_attribute("data-stored", "ready")
    host.kill()
    _open(lone, host, NIGHT)
    assert len(_rows(lone)) > 5
    host.start()


def test_a_rig_without_pan_has_no_such_list(page: Page, demo_host: Host, demo_site: dict[str, bytes]) -> None:
    shots = {path: data for path, data in demo_site.items() if path.startswith("shots/")}
    without = [path for path, data in shots.items() if b'data-v="keyframes.0.axes.pan"' not in data]
    assert 0 < len(without) < len(shots)
    for path in without:
        assert b'id="zero"' not in shots[path]
        page.goto(demo_host.url(HERE + path.removesuffix("index.html")))
        expect(page.locator("#night")).to_be_enabled()
