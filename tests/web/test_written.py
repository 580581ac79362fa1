"""What is written in on the phone: blanks of the checklist, what the rig shows, photos of the live view."""

from __future__ import annotations

import io
from collections.abc import Iterator
from typing import Any

import pytest
from PIL import Image
from playwright.sync_api import BrowserContext, FilePayload, Locator, Page, expect

from tests.web.host import Host
from tests.web.pagelog import events, payloads
from tests.web.soon import drawn, kept, soon

HERE = "/fs/saltings/"
SHOT = HERE + "shots/slipway/"
SETTING_UP = "2027-06-05T18:36:00+01:00"
SIZE = "(canvas) => [canvas.width, canvas.height]"


@pytest.fixture
def page(demo_host: Host, kept_phone: BrowserContext) -> Iterator[Page]:
    page = kept_phone.new_page()
    page.goto(demo_host.url(SHOT))
    expect(page.locator("#night")).to_be_enabled()
    yield page


def written(page: Page, kind: str, count: int = 1) -> list[dict[str, Any]]:
    """The payloads of a kind, once there are `count`; the page writes while the test reads."""

    soon(page, lambda: len(payloads(page, kind)) >= count, True)
    return payloads(page, kind)


def blank(page: Page, name: str) -> Locator:
    return page.locator(".item", has_text=name).locator(".field input")


def test_a_blank_is_written_in_kept_and_shown_again(page: Page) -> None:
    field = blank(page, "Clock: camera")
    assert field.get_attribute("inputmode") == "decimal"
    field.fill("-0.8")
    field.blur()
    item = (
        page.locator(".item", has_text="Clock: camera").locator("input[data-item]").get_attribute("data-item")
    )
    assert written(page, "field") == [{"item": item, "value": "-0.8"}]
    blank(page, "Frame 1 will be").fill("4711")
    blank(page, "Frame 1 will be").blur()
    written(page, "field", 2)
    page.reload()
    expect(field).to_have_value("-0.8")
    expect(blank(page, "Frame 1 will be")).to_have_value("4711")
    expect(page.locator("#end-take")).to_be_visible()


def test_a_take_carries_the_words_of_its_items(page: Page) -> None:
    page.locator(".item", has_text="Cap off").first.tap()
    (begun,) = written(page, "take")
    (tick,) = written(page, "tick")
    assert begun["plan"]["items"][tick["item"]] == "Camera battery fresh, cap off"
    assert len(begun["plan"]["items"]) == page.locator("input[data-item]").count()
    assert {"brief", "keyframes", "window"} <= begun["plan"].keys()


def keyframe(page: Page, key: str) -> Locator:
    return page.locator(".keyframes > li", has=page.locator(f".mark:text-is('{key}')"))


@pytest.mark.parametrize(
    ("typed", "kept"),
    [("1058", "1058"), ("-84.9", "\u221284.9"), ("+63,7", "+63.7"), ("", "")],
)
def test_what_the_rig_shows_is_kept_as_a_number(page: Page, typed: str, kept: str) -> None:
    field = keyframe(page, "K3").get_by_label("K3: pan as the rig shows it")
    field.fill("7")
    field.blur()
    field.fill(typed)
    field.blur()
    assert written(page, "as-set", 2)[1] == {"keyframe": 2, "axis": "pan", "value": kept}
    page.reload()
    expect(page.locator("#night")).to_be_enabled()
    expect(field).to_have_value(kept)


@pytest.mark.parametrize("typed", ["left a bit", "12.5.1", "1e9", "--3", "12345678"])
def test_what_is_no_number_is_refused_in_words_and_not_kept(page: Page, typed: str) -> None:
    field = keyframe(page, "K1").get_by_label("K1: slide as the rig shows it")
    field.fill(typed)
    field.blur()
    expect(keyframe(page, "K1").get_by_role("alert")).to_contain_text(f'Not kept: "{typed}" is not a number')
    expect(field).to_have_value(typed)
    assert events(page) == []
    field.fill("40")
    field.blur()
    expect(keyframe(page, "K1").get_by_role("alert")).to_be_hidden()
    assert written(page, "as-set") == [{"keyframe": 0, "axis": "slide", "value": "40"}]


def test_stored_is_the_tick_of_the_checklist_and_opens_when_the_settings_change(page: Page) -> None:
    stored = keyframe(page, "K3").locator(".item", has_text="K3 END stored")
    assert page.locator(".item", has_text="K3 END stored").count() == 1
    stored.tap()
    expect(stored.locator("input")).to_be_checked()
    (tick,) = written(page, "tick")
    assert tick["value"] == "S 1060 mm · P \u221284.9° · T +2.9°"
    page.locator("#later").tap()
    expect(stored.locator("input")).not_to_be_checked()
    expect(stored).to_contain_text("was S 1060 mm · P −84.9° · T +2.9°, now S")


def picture(width: int, height: int, colour: str = "teal") -> FilePayload:
    out = io.BytesIO()
    Image.new("RGB", (width, height), colour).save(out, "JPEG")
    return {"name": "live.jpg", "mimeType": "image/jpeg", "buffer": out.getvalue()}


def camera(page: Page, key: str) -> Locator:
    return keyframe(page, key).get_by_label(f"{key}: photo of the live view")


@pytest.mark.parametrize(
    ("size", "shown"),
    [((4000, 3000), [1280, 960]), ((1500, 3000), [640, 1280]), ((300, 200), [300, 200])],
)
def test_a_photo_is_drawn_down_kept_with_the_take_and_shown_again(
    page: Page, size: tuple[int, int], shown: list[int]
) -> None:
    assert camera(page, "K2").get_attribute("capture") == "environment"
    camera(page, "K2").set_input_files(picture(*size))
    canvas = keyframe(page, "K2").locator("canvas")
    expect(canvas).to_be_visible()
    assert canvas.evaluate(SIZE) == shown
    page.reload()
    expect(canvas).to_be_visible()
    assert canvas.evaluate(SIZE) == shown
    assert keyframe(page, "K1").locator("canvas").is_visible() is False
    (kept,) = written(page, "photo")
    assert kept["keyframe"] == 1 and 0 < kept["bytes"] < 300_000


def test_the_last_photo_of_a_keyframe_stands_and_an_ended_take_shows_none(page: Page) -> None:
    canvas = keyframe(page, "K1").locator("canvas")
    for width in (300, 400):
        camera(page, "K1").set_input_files(picture(width, 200))
        expect(canvas).to_have_attribute("width", str(width))
    page.reload()
    expect(canvas).to_have_attribute("width", "400")
    page.locator("#end-take").tap()
    page.locator("#end-take").click()
    expect(canvas).to_be_hidden()


def test_at_night_a_photo_is_red_and_black(page: Page) -> None:
    camera(page, "K1").set_input_files(picture(400, 300, "white"))
    canvas = keyframe(page, "K1").locator("canvas")
    expect(canvas).to_be_visible()
    page.get_by_role("button", name="Night", exact=True).tap()
    drawn(page)
    seen = Image.open(io.BytesIO(keyframe(page, "K1").locator(".photo").screenshot())).convert("RGB")
    assert [band.getextrema() for band in seen.split()[1:]] == [(0, 0), (0, 0)]


def test_a_file_that_is_no_picture_is_refused_in_words(page: Page) -> None:
    camera(page, "K1").set_input_files(
        {"name": "a.jpg", "mimeType": "image/jpeg", "buffer": b"not a picture"}
    )
    expect(keyframe(page, "K1").get_by_role("alert")).to_contain_text("cannot draw that file as a picture")
    assert events(page) == []


@pytest.mark.parametrize("part", ["IDBObjectStore.prototype.put", "IDBFactory.prototype.open"])
def test_a_photo_without_room_is_said_and_not_logged_and_is_kept_once_there_is_room(
    page: Page, part: str
) -> None:
    refuse = f"{part} = () => {{ throw new DOMException('', 'QuotaExceededError'); }};"
    page.evaluate(f"() => {{ window.whole = {part}; {refuse} }}")
    camera(page, "K1").set_input_files(picture(300, 200))
    expect(keyframe(page, "K1").get_by_role("alert")).to_contain_text("this phone's storage is full")
    page.evaluate(f"() => {{ {part} = window.whole; }}")
    kept(page, "take")
    camera(page, "K1").set_input_files(picture(300, 200))
    expect(keyframe(page, "K1").locator("canvas")).to_be_visible()
    kept(page, "take", "photo")


@pytest.mark.parametrize(
    ("now", "k1"),
    [
        pytest.param(SETTING_UP, "now: sun 8° left, 12° above its place", id="an hour before"),
        pytest.param("2027-06-05T15:00:00+01:00", "", id="too early"),
        pytest.param("2027-06-05T19:40:00+01:00", "", id="rolling"),
    ],
)
def test_while_keyframes_are_set_each_says_how_far_the_sky_has_still_to_turn(
    host: Host, phone: BrowserContext, demo_site: dict[str, bytes], now: str, k1: str
) -> None:
    host.sites[HERE] = demo_site
    page = phone.new_page()
    page.clock.set_fixed_time(now)
    page.goto(host.url(SHOT))
    expect(page.locator("#night")).to_be_enabled()
    live = keyframe(page, "K1").locator(".live")
    expect(live).to_have_text(k1)
    assert live.is_visible() is (k1 != "")
    assert keyframe(page, "K2").locator(".live").is_visible() is False, "a bearing does not move"
