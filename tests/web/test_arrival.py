"""The order of a shot's page: what is needed on arriving first, what is to be minded before the deed."""

from __future__ import annotations

from itertools import pairwise
from typing import Any

import pytest
from playwright.sync_api import BrowserContext, Locator, Page, expect

from fieldsheet.catalog.read import Catalog
from fieldsheet.press import Planned, plan_shot
from fieldsheet.sheet.sheet import make_sheet
from fieldsheet.sky.sky import Sky
from tests.web.host import Host


@pytest.fixture(scope="module")
def sheets(demo_planned: Planned) -> dict[str, dict[str, Any]]:
    return demo_planned.sheets


@pytest.fixture
def at(demo_host: Host, kept_phone: BrowserContext) -> Any:
    """Opens the page of a shot."""

    def open_page(shot: str) -> Page:
        page = kept_phone.new_page()
        page.goto(demo_host.url(f"/fs/saltings/shots/{shot}/"))
        expect(page.locator("#night")).to_be_enabled()
        return page

    return open_page


def _text(page: Page) -> str:
    """The words of the page in the order in which they stand."""
    return " ".join(page.locator("main").inner_text().split())


@pytest.mark.parametrize("shot", ["slipway", "hoist", "stone-saw"])
def test_way_in_position_permit_and_notes_are_one_tap_away_between_limits_and_numbers(
    at: Any, sheets: dict[str, dict[str, Any]], shot: str
) -> None:
    """On arriving they come first; once read they would push what is keyed in off the screen all night."""
    sheet = sheets[shot]
    page = at(shot)
    told = [*sheet["access"], sheet["position"], sheet["permit"], sheet["stays"], *sheet["notes"]]
    told += [f"{member['role']} {member['who']}" for member in sheet["crew"]]
    assert len(told) >= 5
    expect(page.locator(".arrive dl")).to_be_hidden()
    summary = page.locator(".arrive summary")
    box = summary.bounding_box()
    assert box and box["height"] >= 64
    summary.tap()
    expect(page.locator(".arrive dl")).to_be_visible()
    text = _text(page)
    low, high = text.index(sheet["limits"][-1]["label"]), text.index(sheet["labels"]["first_frame"])
    for line in filter(None, told):
        assert low < text.index(line) < high, line


ARRIVAL = {"way in": "access", "permit": "permit", "notes": "notes"}


@pytest.mark.parametrize("shot", ["slipway", "hoist", "stone-saw"])
def test_the_folded_part_names_what_is_in_it(at: Any, sheets: dict[str, dict[str, Any]], shot: str) -> None:
    summary = at(shot).locator(".arrive summary").inner_text().lower()
    assert "position" in summary
    for word, key in ARRIVAL.items():
        assert (word in summary) == bool(sheets[shot][key]), word


@pytest.mark.parametrize("shot", ["slipway", "moonrise", "pole-circle", "stone-saw"])
def test_what_stops_the_shot_and_what_is_keyed_in_stand_on_the_first_screen(
    at: Any, sheets: dict[str, dict[str, Any]], shot: str
) -> None:
    """The two that are looked up in a hurry at night: nothing is scrolled for, above the bar at the thumb."""
    page = at(shot)
    if sheets[shot]["warnings"]:
        pytest.skip("a warning comes before all else")
    bar = page.locator(".jump").bounding_box()
    assert bar and page.evaluate("scrollY") == 0
    places = [page.get_by_text(line, exact=True).first for line in sheets[shot]["abort"]]
    names = [name for name in ("interval", "gap", "frames") if name in sheets[shot]["program"]]
    places += [page.locator(f".figures [data-v='numbers.{name}']") for name in ("first_frame", *names)]
    assert len(places) >= 3
    for place in places:
        box = place.bounding_box()
        assert box and box["y"] >= 0 and box["y"] + box["height"] <= bar["y"], place


TURN = "(input, night) => { input.value = night; input.dispatchEvent(new Event('change')); }"


def _top_and_bottom(place: Locator) -> tuple[float, float]:
    box = place.bounding_box()
    assert box
    return box["y"], box["y"] + box["height"]


@pytest.mark.parametrize("shot", ["slipway", "clouds"])
def test_on_a_turned_night_with_three_warnings_the_first_numbers_stand_on_the_first_screen(
    at: Any, shot: str
) -> None:
    """Under the title the banner, then warnings: folded, a no-go in full; then what stops it."""
    page = at(shot)
    page.locator("#night").evaluate(TURN, "2027-07-01")
    expect(page.locator("#changed")).to_be_visible()
    expect(page.locator("#warnings > details")).to_have_count(3)
    page.evaluate("scrollTo(0, 0)")
    order = [
        page.locator(place) for place in ("header", "#changed", "#warnings", ".warning:has-text('Stop if')")
    ]
    order.append(page.locator(".figures [data-v='numbers.first_frame']"))
    places = [_top_and_bottom(place) for place in order]
    assert all(above[1] <= below[0] for above, below in pairwise(places))
    assert places[1][0] - places[0][1] <= 20, "directly under the title"
    assert places[-1][1] <= _top_and_bottom(page.locator(".jump"))[0]
    lines = page.locator("#warnings summary")
    for line in page.locator("#warnings .no-go summary").all():
        assert line.evaluate("(line) => line.scrollWidth <= line.clientWidth")
    assert page.locator("#warnings .no-go").count() == 2
    assert min(box[1] - box[0] for box in map(_top_and_bottom, lines.all())) >= 40
    more = page.locator("#warnings > details").first.locator("p")
    expect(more.first).to_be_hidden()
    lines.first.tap()
    for text in more.all():
        expect(text).to_be_visible()
    page.evaluate("document.dispatchEvent(new Event('visibilitychange'))")  # the take is read again
    page.wait_for_timeout(200)
    expect(more.first).to_be_visible()


def test_what_is_to_be_minded_is_gathered_in_a_row_that_opens_to_all_of_it(
    at: Any, demo: Catalog, sky: Sky
) -> None:
    """Five minds and two no-gos: what is keyed in stays on the first screen."""
    page = at("slipway")
    page.locator("#night").evaluate(TURN, "2027-06-19")
    warnings = make_sheet(plan_shot(demo.brief("slipway"), sky, {"night": "2027-06-19"}))["warnings"]
    minds = [warning for warning in warnings if warning["level"] == "mind"]
    assert len(minds) >= 5 and len(warnings) - len(minds) == 2
    row = page.locator("#warnings > .minds")
    expect(row.locator("summary")).to_have_text(f"{len(minds)} to mind: tides, moon, core, needs")
    expect(page.locator("#warnings > details")).to_have_count(3)
    page.evaluate("scrollTo(0, 0)")
    bar = _top_and_bottom(page.locator(".jump"))[0]
    for name in ("first_frame", "last_closes"):
        assert _top_and_bottom(page.locator(f".figures [data-v='numbers.{name}']"))[1] <= bar
    for line in page.locator("#warnings summary").all():
        assert line.evaluate("(line) => line.scrollWidth <= line.clientWidth")
    row.locator("summary").tap()
    texts = [text for warning in minds for text in (warning["head"], warning["sum"], warning["fix"])]
    expect(row.locator("p")).to_have_text(texts)


def test_a_warning_that_is_alone_stands_unfolded(at: Any) -> None:
    page = at("clouds")
    page.locator("#night").evaluate(TURN, "2027-06-06")
    warning = page.locator("#warnings > details")
    expect(warning).to_have_count(1)
    expect(warning.locator("p").last).to_be_visible()


@pytest.mark.parametrize("shot", ["slipway", "hoist", "pole-circle", "stone-saw"])
def test_how_the_rig_stands_and_the_order_of_setting_come_before_the_first_keyframe(
    at: Any, sheets: dict[str, dict[str, Any]], shot: str
) -> None:
    sheet = sheets[shot]
    page = at(shot)
    stand, note = page.locator(".stand"), page.locator("[data-v=set_note]")
    expect(stand).to_contain_text(f"{sheet['zero_label']} {sheet['pan_zero']}")
    expect(stand).to_contain_text(sheet["zero_sighting"])
    expect(note).to_have_text(sheet["set_note"])
    expect(note).to_be_visible()
    section = page.locator("section:has(.stand)")
    keyframes = section.locator("[data-keyframe]")
    assert keyframes.count() == len(sheet["keyframes"])
    if sheet["keyframes"]:
        first = section.locator(".keyframes").bounding_box()
        assert first and all(place.bounding_box()["y"] < first["y"] for place in (stand, note))
        items = [row for part in sheet["checklist"] if part["name"] == "keyframes" for row in part["items"]]
        is_stored = [row["path"].endswith(".line") for row in items]
        for row in items[: is_stored.index(True)]:
            assert page.locator(f"#i{row['id']}").bounding_box()["y"] < first["y"]


@pytest.mark.parametrize(("shot", "keyed"), [("slipway", "interval"), ("hoist", "gap")])
def test_shutter_and_the_interval_start_to_start_are_among_the_numbers(
    at: Any, sheets: dict[str, dict[str, Any]], shot: str, keyed: str
) -> None:
    numbers = sheets[shot]["numbers"]
    page = at(shot)
    for name in ("interval", "shutter"):
        place = page.locator(f"[data-v='numbers.{name}']")
        expect(place.first).to_have_text(numbers[name])
        expect(place.first).to_be_visible()
    expect(page.locator(f".figures [data-v='numbers.{keyed}']")).to_have_text(numbers[keyed])


@pytest.mark.parametrize(("shot", "heading"), [("slipway", "Tonight"), ("stone-saw", "The day")])
def test_a_shot_by_day_is_not_told_tonight(at: Any, shot: str, heading: str) -> None:
    page = at(shot)
    expect(page.locator("#tonight")).to_have_text(heading)
    expect(page.locator("nav a[href='#tonight']")).to_have_text(heading)
