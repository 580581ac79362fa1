"""The nights around a shot, computed on the phone: a row each, and a tap turns the page."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from shutil import copytree
from typing import Any

import pytest
from playwright.sync_api import BrowserContext, Page, expect

from fieldsheet.catalog.read import Catalog, read_catalog
from fieldsheet.plan.civil import day_number, iso_date
from fieldsheet.plan.problem import PlanProblem
from fieldsheet.press import plan_catalog, plan_shot, press
from fieldsheet.sheet.sheet import make_sheet
from fieldsheet.sheet.words import say
from fieldsheet.sky.sky import Sky
from tests.web.host import Host

HERE = "/fs/saltings/"
NEEDS = '[needs]\nweekdays = ["Sat"]\ncore_usable_h_min = 5.0\n'


def _open(page: Page, host: Host, shot: str) -> None:
    page.goto(host.url(f"{HERE}shots/{shot}/"))
    expect(page.locator("#night")).to_be_enabled()
    page.locator("#others summary").tap()
    expect(page.locator(".nights span:last-child, .nights strong:last-child")).to_have_count(
        45, timeout=30_000
    )


def _rows(page: Page) -> list[list[str]]:
    """The lines of every row."""
    return page.eval_on_selector_all(
        ".nights button", "(all) => all.map((row) => [...row.children].map((line) => line.textContent))"
    )


def _nights(printed: str) -> list[str]:
    return [iso_date(day_number(printed) + days) for days in range(-14, 31)]


def _core(plan: dict[str, Any], sheet: dict[str, Any]) -> str:
    """The core's line is the sheet's own, without its rise and set where it can be used."""
    moves, *usable = sheet["sky_lines"][1]["text"].split("; ")
    if plan["sky"]["usable"]:
        return "; ".join(usable)
    highest = [move for move in moves.split(", ") if move.startswith("highest")]
    return "; ".join(["not usable", *highest])


def _expected(brief: dict[str, Any], sky: Sky, night: str, printed: str) -> list[str]:
    """A row by the Python core."""
    marks = ["printed"] if night == printed else []
    try:
        plan = plan_shot(brief, sky, {"night": night})
    except PlanProblem as problem:
        why = say(f"{problem.id}.found", problem.args_, brief["place"]["zone"]["spans"])
        return [*marks, f"no plan: {why}"]
    sheet = make_sheet(plan)
    unmet = [need["text"] for need in sheet["needs"] if not need["met"]]
    needs = unmet or (["all needs met"] if sheet["needs"] else [])
    moon = f"Moon: {sheet['sky_lines'][0]['text']}"
    return [*marks, sheet["span"], moon, f"Core: {_core(plan, sheet)}", *needs]


@pytest.fixture(scope="module")
def catalog(tmp_path_factory: pytest.TempPathFactory, one_shot: Path) -> Catalog:
    """The demo's shot with needs, and the same from moonrise on, which does not come every night."""
    folder = Path(copytree(one_shot, tmp_path_factory.mktemp("needs") / "catalog"))
    shot = folder / "shots" / "slipway.toml"
    before, after = shot.read_text("utf-8").split("[needs]\n")
    keyframes = after[after.index("[[keyframe]]") :]
    shot.write_text(before + NEEDS + keyframes, "utf-8")
    late = (before + keyframes).replace('start = "sunset - 1h15m"', 'start = "moonrise"')
    late = late.replace('end = "astronomical dusk + 40m"', 'duration = "2h"')
    late = late.replace("night = 2027-06-05", "night = 2027-06-20")
    (folder / "shots" / "late.toml").write_text(late.replace("Slipway: dusk", "Late: dusk"), "utf-8")
    return read_catalog(folder)


@pytest.fixture(scope="module")
def site(catalog: Catalog) -> dict[str, bytes]:
    return press(catalog, plan_catalog(catalog))


@pytest.fixture
def page(host: Host, phone: BrowserContext, site: dict[str, bytes]) -> Iterator[Page]:
    host.sites[HERE] = site
    yield phone.new_page()


@pytest.mark.parametrize("shot", ["slipway", "late"])
def test_every_row_says_what_the_python_core_says_of_that_night(
    page: Page, host: Host, catalog: Catalog, sky: Sky, shot: str
) -> None:
    _open(page, host, shot)
    brief = catalog.brief(shot)
    printed = brief["night"]["date"]
    expected = [_expected(brief, sky, night, printed) for night in _nights(printed)]
    rows = _rows(page)
    assert [row[1:] for row in rows] == expected
    assert rows[14][0] == make_sheet(plan_shot(brief, sky, {}))["night"]
    last = [row[-1] for row in rows]
    if shot == "slipway":
        assert "all needs met" in last and sum("not met" in text for text in last) > 20
    else:
        assert 0 < sum(text.startswith("no plan: ") for text in last) < 20


def test_rows_are_made_when_they_are_asked_for_and_are_targets_for_a_glove(page: Page, host: Host) -> None:
    page.goto(host.url(f"{HERE}shots/slipway/"))
    expect(page.locator("#night")).to_be_enabled()
    assert [len(row) for row in _rows(page)] == [1] * 45
    expect(page.locator(".nights")).to_be_hidden()
    _open(page, host, "slipway")
    assert page.evaluate("document.documentElement.scrollWidth") == 360
    heights = page.eval_on_selector_all(".nights button", "(all) => all.map((row) => row.offsetHeight)")
    assert min(heights) >= 64 and page.locator("#others summary").bounding_box()["height"] >= 64
    expect(page.locator(".nights .mark")).to_have_count(1)
    expect(page.locator(".nights [aria-pressed=true]")).to_contain_text("Sat 5 June 2027")
    expect(page.locator(".nights [aria-pressed=true]")).to_be_in_viewport()


def test_a_tap_on_a_night_turns_the_whole_page_and_one_tap_turns_it_back(
    page: Page, host: Host, catalog: Catalog, sky: Sky
) -> None:
    _open(page, host, "slipway")
    other = make_sheet(plan_shot(catalog.brief("slipway"), sky, {"night": "2027-06-12"}))
    page.locator(".nights button", has_text="Sat 12 June").tap()
    expect(page.locator("#others")).not_to_have_attribute("open", "")
    expect(page.locator("#changed")).to_contain_text("Not the printed night.")
    expect(page.locator("#changed")).to_be_in_viewport()
    expect(page.locator(".figures [data-v='numbers.first_frame']")).to_contain_text(
        other["numbers"]["first_frame"]
    )
    expect(page.locator(".axes [data-v='keyframes.0.axes.pan']")).to_contain_text(
        other["keyframes"][0]["axes"]["pan"]
    )
    strip = page.locator("#strip").inner_text()
    assert all(moment["clock"] in strip for moment in other["strip"]["moments"])
    page.locator("#others summary").tap()
    expect(page.locator(".nights [aria-pressed=true]")).to_contain_text("Sat 12 June 2027")
    expect(page.locator(".nights .mark").locator("xpath=..")).to_contain_text("Sat 5 June 2027")
    page.locator("#printed").tap()
    expect(page.locator("#changed")).to_be_hidden()
    expect(page.locator(".nights [aria-pressed=true]")).to_contain_text("Sat 5 June 2027")


def test_a_night_without_a_plan_is_refused_at_the_top_of_the_page(page: Page, host: Host) -> None:
    _open(page, host, "late")
    shown = page.locator(".figures [data-v='numbers.first_frame']").inner_text()
    page.locator(".nights button", has_text="no plan").first.tap()
    expect(page.locator("#refused")).to_contain_text("No plan for that night")
    expect(page.locator("#refused")).to_be_in_viewport()
    expect(page.locator(".figures [data-v='numbers.first_frame']")).to_have_text(shown)


def test_a_night_chosen_during_a_take_goes_with_it(page: Page, host: Host) -> None:
    page.goto(host.url(f"{HERE}shots/slipway/"))
    expect(page.locator("#night")).to_be_enabled()
    page.locator(".item", has_text="Cap off").first.tap()
    expect(page.locator("#end-take")).to_be_visible()
    page.locator("#others summary").tap()
    page.locator(".nights button", has_text="Sat 12 June").tap()
    expect(page.locator("#changed")).to_be_visible()
    page.wait_for_timeout(200)
    page.reload()
    expect(page.locator("#changed")).to_contain_text("Not the printed night.")
    expect(page.locator(".date b")).to_contain_text("Sat 12 June 2027")


def test_the_nights_are_computed_with_the_server_gone(page: Page, host: Host) -> None:
    page.goto(host.url(f"{HERE}shots/slipway/"))
    expect(page.locator("#offline")).to_have_attribute("data-stored", "ready")
    host.kill()
    _open(page, host, "slipway")
    assert min(len(row) for row in _rows(page)) >= 4
    host.start()
