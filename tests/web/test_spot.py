"""The spot stood on: the phone's position by a tap, or typed; the page turns to it and back."""

from __future__ import annotations

import json
from typing import Any

import pytest
from playwright.sync_api import BrowserContext, Locator, Page, expect

from fieldsheet.press import plan_shot
from fieldsheet.sheet.sheet import make_sheet
from fieldsheet.sheet.words import fixed
from fieldsheet.sky.sky import Sky
from tests.web.bound import bound_texts, text_at
from tests.web.host import Host
from tests.web.soon import kept
from tests.web.test_policy import headers_of

HERE = "/fs/saltings/"
SHOT = HERE + "shots/slipway/"
SPOT = {"latitude_deg": 37.2871, "longitude_deg": -8.4712, "elevation_m": 12.0}
FAR = {"latitude_deg": 38.6, "longitude_deg": -7.2, "elevation_m": 340.0}
ASKED = """(() => { window.asked = 0;
  const ask = navigator.geolocation.getCurrentPosition.bind(navigator.geolocation);
  navigator.geolocation.getCurrentPosition = (...all) => { window.asked += 1; ask(...all); }; })()"""
FAULT = """navigator.geolocation.getCurrentPosition = (_, fault) => setTimeout(() => fault({code: %d}));"""
NOT_SECURE = "Object.defineProperty(window, 'isSecureContext', {get: () => false});"


@pytest.fixture
def page(demo_host: Host, kept_phone: BrowserContext) -> Page:
    return kept_phone.new_page()


@pytest.fixture
def located(host: Host, phone: BrowserContext, demo_site: dict[str, bytes]) -> Page:
    """On a phone that tells its position, with a host of its own."""
    host.sites[HERE] = demo_site
    phone.grant_permissions(["geolocation"])
    return phone.new_page()


def _open(page: Page, host: Host) -> None:
    page.goto(host.url(SHOT))
    expect(page.locator("#night")).to_be_enabled()
    page.locator("#spot summary").tap()


def _tap(page: Page, name: str) -> None:
    page.locator("#spot").get_by_role("button", name=name).tap()


def _said(page: Page) -> Locator:
    return page.locator("#spot [role=status]")


def _type(page: Page, *texts: str) -> None:
    for field, text in zip(page.locator("#spot input").all(), texts, strict=True):
        field.fill(text)
    _tap(page, "Compute for this spot")


def _shows(page: Page, sheet: dict[str, Any], printed: dict[str, Any]) -> None:
    """Every bound text is the sheet's."""
    shown = bound_texts(page)
    expected = {path: text_at(sheet, path) or ("none" if text_at(printed, path) else "") for path in shown}
    assert expected == shown


def test_the_phone_s_position_is_asked_for_by_a_tap_alone_and_turns_the_whole_page(
    located: Page,
    host: Host,
    phone: BrowserContext,
    demo_site: dict[str, bytes],
    demo_brief: dict[str, Any],
    demo_plan: dict[str, Any],
    sky: Sky,
) -> None:
    phone.set_geolocation({"latitude": 37.287104, "longitude": -8.471197, "accuracy": 12})
    located.add_init_script(ASKED)
    host.headers = headers_of(demo_site)  # as a host that reads them: they must let the page ask
    _open(located, host)
    expect(_said(located)).to_have_text("")
    assert located.evaluate("asked") == 0
    printed = make_sheet(demo_plan)
    _shows(located, printed, printed)
    _tap(located, "Use the phone's position")
    expect(_said(located)).to_contain_text(
        "Computed for 37.28710 N, 8.47120 W, 29.0\u00a0km from the place; accurate to 12\u00a0m."
    )
    assert located.evaluate("asked") == 1
    plan = plan_shot(demo_brief, sky, {"spot": SPOT})
    _shows(located, make_sheet(plan), printed)
    expect(located.locator("#changed")).to_contain_text("Not the printed spot.")
    warning = make_sheet(plan)["warnings"]
    assert len(warning) == 1
    for text in (warning[0]["head"], warning[0]["sum"], warning[0]["fix"]):
        expect(located.locator("#warnings")).to_contain_text(text)
    located.locator("#printed").click()
    _shows(located, printed, printed)
    expect(located.locator("#warnings")).to_have_text("")
    expect(located.locator("#changed")).to_be_hidden()
    expect(_said(located)).to_have_text("")
    assert located.evaluate("asked") == 1


@pytest.mark.parametrize(
    ("fault", "words"),
    [
        (FAULT % 1, "The phone's position was refused."),
        (FAULT % 2, "The phone finds no position"),
        (FAULT % 3, "No position within 60 s"),
        (NOT_SECURE, "it wants https"),
    ],
)
def test_without_a_position_the_page_says_why_and_typing_is_the_other_way(
    page: Page, demo_host: Host, fault: str, words: str
) -> None:
    page.add_init_script(fault)
    _open(page, demo_host)
    _tap(page, "Use the phone's position")
    expect(_said(page)).to_contain_text(words)
    expect(_said(page)).to_contain_text("Or type it below.")
    expect(page.locator("#changed")).to_be_hidden()
    _type(page, "37.2871 N", "8.4712 W", "12")
    expect(_said(page)).to_contain_text("Computed for 37.28710 N, 8.47120 W")
    expect(page.locator("#changed")).to_be_visible()


def test_a_browser_that_refuses_is_told_in_words(page: Page, demo_host: Host) -> None:
    """Nobody granted anything: what this browser itself answers."""
    _open(page, demo_host)
    _tap(page, "Use the phone's position")
    expect(_said(page)).to_contain_text("was refused")


@pytest.mark.parametrize(
    "typed",
    [("37.2871 N", "8.4712 W", "12"), ("37,2871", "-8,4712", "12"), ("+37.2871°", "\u22128.4712", "12 ")],
)
def test_a_typed_position_is_read_in_more_than_one_way(
    page: Page,
    demo_host: Host,
    demo_brief: dict[str, Any],
    demo_plan: dict[str, Any],
    sky: Sky,
    typed: tuple[str, ...],
) -> None:
    _open(page, demo_host)
    _type(page, *typed)
    expect(page.locator("#changed")).to_be_visible()
    _shows(page, make_sheet(plan_shot(demo_brief, sky, {"spot": SPOT})), make_sheet(demo_plan))


@pytest.mark.parametrize(
    ("typed", "wrong"),
    [
        (("91", "8 W", "12"), "latitude"),
        (("37 E", "8 W", "12"), "latitude"),
        (("37", "-8 W", "12"), "longitude"),
        (("37", "", "a lot"), "longitude; elevation, m"),
        (("37.0.1", "181", "9001"), "latitude; longitude; elevation, m"),
    ],
)
def test_what_is_no_position_is_named_and_the_page_stays(
    page: Page, demo_host: Host, typed: tuple[str, ...], wrong: str
) -> None:
    _open(page, demo_host)
    _type(page, *typed)
    expect(_said(page)).to_contain_text(f"Not to be read: {wrong}. Write")
    assert page.locator("#spot [aria-invalid=true]").count() == wrong.count(";") + 1
    expect(page.locator("#changed")).to_be_hidden()


def test_spot_and_night_go_together_and_with_the_take(
    page: Page, demo_host: Host, demo_brief: dict[str, Any], demo_plan: dict[str, Any], sky: Sky
) -> None:
    page.goto(demo_host.url(SHOT))
    expect(page.locator("#night")).to_be_enabled()
    page.locator(".item", has_text="Cap off").first.tap()
    expect(page.locator("#end-take")).to_be_visible()
    page.locator("#spot summary").tap()
    _type(page, "38.6 N", "7.2 W", "340")
    page.locator("#later").tap()
    expect(page.locator("#changed")).to_contain_text("Not the printed night and spot.")
    both = {"night": "2027-06-06", "spot": FAR}
    printed = make_sheet(demo_plan)
    _shows(page, make_sheet(plan_shot(demo_brief, sky, both)), printed)
    kept(page, "take", "tick", "changes", "changes")
    page.reload()
    expect(page.locator("#changed")).to_contain_text("Not the printed night and spot.")
    _shows(page, make_sheet(plan_shot(demo_brief, sky, both)), printed)
    page.locator("#spot summary").tap()
    expect(page.locator("#spot input").first).to_have_value("38.60000 N")
    _tap(page, "Back to the place")
    expect(page.locator("#changed")).to_contain_text("Not the printed night.")
    _shows(page, make_sheet(plan_shot(demo_brief, sky, {"night": "2027-06-06"})), printed)


@pytest.mark.parametrize("typed", [("37.08 N", "8.67 W", "{}"), ("37.08004", "-8.66996", "{}.2")])
def test_the_place_s_own_position_is_no_change(
    page: Page, demo_host: Host, demo_brief: dict[str, Any], typed: tuple[str, ...]
) -> None:
    elevation = fixed(demo_brief["place"]["elevation_m"], 0)
    _open(page, demo_host)
    _type(page, *(text.format(elevation) for text in typed))
    expect(_said(page)).to_have_text("That is the place's own position, as printed.")
    expect(page.locator("#changed")).to_be_hidden()
    _type(page, "37.0802 N", "8.67 W", elevation)
    expect(page.locator("#changed")).to_contain_text("Not the printed spot.")
    _type(page, *(text.format(elevation) for text in typed))
    expect(page.locator("#changed")).to_be_hidden()
    expect(_said(page)).to_have_text("That is the place's own position, as printed.")


def test_at_the_place_the_phone_s_height_does_not_make_another_spot(
    page: Page, demo_host: Host, demo_brief: dict[str, Any]
) -> None:
    """A phone's height is good to some tens of metres; the catalog's is better."""
    place = demo_brief["place"]
    position = {"latitude": place["latitude_deg"], "longitude": place["longitude_deg"], "altitude": 61.0}
    page.add_init_script(
        "navigator.geolocation.getCurrentPosition = (found) => setTimeout(() => found({coords: "
        + json.dumps({**position, "accuracy": 9})
        + "}));"
    )
    _open(page, demo_host)
    _tap(page, "Use the phone's position")
    expect(_said(page)).to_have_text("That is the place's own position, as printed.")
    expect(page.locator("#changed")).to_be_hidden()


def test_it_works_with_the_server_gone(located: Page, host: Host, phone: BrowserContext) -> None:
    phone.set_geolocation({"latitude": 37.0833, "longitude": -8.6732, "accuracy": 2400})
    located.goto(host.url(SHOT))
    expect(located.locator("#offline")).to_have_attribute("data-stored", "ready")
    host.kill()
    _open(located, host)
    _tap(located, "Use the phone's position")
    expect(_said(located)).to_contain_text("accurate to 2.4\u00a0km, which is coarse: try again in the open.")
    expect(located.locator("#changed")).to_contain_text("Not the printed spot.")
    host.start()


def test_it_fits_the_screen_and_the_glove(page: Page, demo_host: Host) -> None:
    _open(page, demo_host)
    assert page.evaluate("document.documentElement.scrollWidth") == 360
    for place in page.locator("#spot :is(button, input, summary):visible").all():
        box = place.bounding_box()
        assert box and box["height"] >= 60 and box["width"] >= 60
