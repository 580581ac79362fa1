"""Frame 1 has fired: the moment to the second, and what it and the first file's number say of the counts."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from playwright.sync_api import Browser, BrowserContext, Page, expect

from tests.long import tries
from tests.web.host import Host

SHOT = "/fs/saltings/shots/slipway/"
LATE = "2027-06-05T19:41:23.700+01:00"  # 5 min 23.7 s after the plan
NOW = "#fired button:has-text('Frame 1 fired now')"
UNDO = "#fired button:has-text('Undo')"


@pytest.fixture
def page(demo_host: Host, kept_phone: BrowserContext) -> Iterator[Page]:
    shown = kept_phone.new_page()
    shown.clock.set_fixed_time(LATE)
    shown.goto(demo_host.url(SHOT))
    expect(shown.locator("#night")).to_be_enabled()
    yield shown


def _counts(page: Page) -> list[list[str]]:
    rows: list[list[str]] = page.locator("#rolling tr").evaluate_all(
        "(rows) => rows.map((row) => [...row.cells].map((cell) => cell.textContent))"
    )
    return rows


def _counts_first(page: Page, *texts: str) -> None:
    """The page follows what it reads of the log as soon as it has planned anew."""
    aside = r"( \(changed, printed: .+\))?"  # heard only
    cells = [re.compile(rf"^{re.escape(text)}{aside}$") for text in texts]
    expect(page.locator("#rolling tr").first.locator("> *")).to_have_text(cells)


def _file_field(page: Page) -> Any:
    return page.locator(f"#i{page.locator('#fired').get_attribute('data-file')} input[type=text]")


def _type_file(page: Page, text: str) -> None:
    _file_field(page).fill(text)
    _file_field(page).blur()


def test_one_tap_keeps_the_start_to_the_second_and_the_counts_follow_it(page: Page) -> None:
    _counts_first(page, "20:00", "81", "+80")
    before = _counts(page)
    row = page.locator(".item", has_text="Frame 1 has fired")
    assert row.locator("input[type=text]").count() == 0, "the button is the place to write it"
    page.locator(NOW).tap()
    expect(page.locator("#fired strong")).to_have_text("Frame 1 fired 19:41:23")
    # 18 min 37 s after it, at 18 s a frame, 62 frames have gone.
    _counts_first(page, "20:00", "63", "+62")
    page.reload()
    expect(page.locator("#fired strong")).to_have_text("Frame 1 fired 19:41:23")
    _counts_first(page, "20:00", "63", "+62")
    expect(page.locator("#rolling .differs").first).to_be_visible()
    page.locator(UNDO).click()
    expect(page.locator(NOW)).to_be_visible()
    expect(page.locator("#fired strong")).to_be_hidden()
    expect(page.locator("#rolling .differs")).to_have_count(0)
    assert _counts(page) == before


def test_a_second_tap_of_a_glove_does_not_take_the_start_back(page: Page) -> None:
    box = page.locator(NOW).bounding_box()
    assert box
    page.locator(NOW).click()
    expect(page.locator(UNDO)).to_be_visible()
    undo = page.locator(UNDO).bounding_box()
    assert undo and undo["x"] >= box["x"] + box["width"]


def test_the_first_file_typed_in_gives_each_file_number_and_marks_none_as_changed(page: Page) -> None:
    _type_file(page, "9950")
    expect(page.locator("#rolling td").nth(1)).to_have_text("0031")  # 9950 + 80 is past 9999
    expect(page.locator("#rolling .differs")).to_have_count(0)
    _type_file(page, "IMG 9950")
    expect(page.locator("#rolling td").nth(1)).to_have_text("+80")


def test_a_start_that_was_missed_is_set_by_hand_and_no_other_moment(page: Page) -> None:
    fold = page.locator("#fired details")
    fold.locator("summary").tap()
    for typed in ("19:41:24", "25:00", "soon", ""):  # the clock shows 19:41:23
        fold.locator("input").fill(typed)
        fold.locator("button").click()
        expect(fold.locator("[role=alert]")).to_have_text(
            "Not kept: type an earlier moment tonight, such as 19:36:05."
        )
    fold.locator("input").fill("19:37:09")
    fold.locator("button").click()
    expect(page.locator("#fired strong")).to_have_text("Frame 1 fired 19:37:09")
    _counts_first(page, "20:00", "77", "+76")


def test_an_ended_take_forgets_the_start(page: Page) -> None:
    page.locator(NOW).tap()
    expect(page.locator(UNDO)).to_be_visible()
    for _ in range(2):
        page.locator("#end-take").click()
    expect(page.locator(NOW)).to_be_visible()
    _counts_first(page, "20:00", "81", "+80")


@pytest.fixture(scope="module")
def pure(chromium: Browser, demo_host: Host) -> Iterator[Page]:
    """A page for the functions that touch no store."""
    context = chromium.new_context(service_workers="block")
    shown = context.new_page()
    shown.goto(demo_host.url("/app/takes/fired.js"))
    yield shown
    context.close()


FILE = "async ([files, frame]) => (await import('/app/takes/fired.js')).fileNumber(files, frame)"


@settings(max_examples=tries(60))
@given(st.integers(1, 9999), st.integers(0, 700), st.integers(1, 30_000), st.sampled_from([999, 9999]))
def test_file_numbers_are_counted_up_and_begin_at_one_again(
    pure: Page, first: int, before: int, frame: int, roll: int
) -> None:
    """Counted one by one, as a camera does."""
    found = pure.evaluate(FILE, [{"first": f"{first:04d}", "before": before, "roll": roll}, frame])
    if first > roll:
        assert found == ""
        return
    number = first
    for _ in range(before + frame - 1):
        number = 1 if number == roll else number + 1
    assert found == f"{number:04d}"


@pytest.mark.parametrize("typed", ["", "0", "0000", "IMG 12", "1.5", "-3", "10000", "1e3"])
def test_what_is_no_number_of_this_camera_gives_no_file_number(pure: Page, typed: str) -> None:
    assert pure.evaluate(FILE, [{"first": typed, "before": 0, "roll": 9999}, 5]) == ""


MOMENTS = """async ([all, spans, now_ms]) => {
  const {earlierMoment} = await import('/app/takes/fired.js');
  return all.map((typed) => earlierMoment(typed, spans, now_ms));
}"""


def test_a_clock_time_is_the_last_one_that_went_by_before_noon_or_after_midnight(pure: Page) -> None:
    half_past_midnight_ms = 1_812_238_200_000 + 400  # at an hour east
    hour_ms = 3_600_000
    back_ms = {
        "00:30": 0, "00:30:00": 0, "0:29:10": 50_000, "23:30": hour_ms, "2330": hour_ms,
        "23.30.30": hour_ms - 30_000, "12:31": 12 * hour_ms - 60_000, "12:30": None,
        "00:31": None, "24:00": None, "23:60": None, "23": None,
        "23:30:61": None, "233": None,
    }  # fmt: skip
    found = pure.evaluate(MOMENTS, [list(back_ms), [[0, 3600, "X"]], half_past_midnight_ms])
    expected = [None if back is None else 1_812_238_200_000 - back for back in back_ms.values()]
    assert dict(zip(back_ms, found, strict=True)) == dict(zip(back_ms, expected, strict=True))


CLOCK = "async ([ms, spans]) => (await import('/app/takes/fired.js')).clockToSecond(ms, spans)"


@pytest.mark.parametrize(
    ("utc_ms", "offset_s", "text"),
    [
        (1812220560000, 3600, "19:36:00"),
        (1812220560999, 3600, "19:36:00"),
        (1812240000000, 3600, "01:00:00"),
        (1812240000000, -39600, "13:00:00"),
    ],
)
def test_the_clock_to_the_second_is_the_place_s(pure: Page, utc_ms: int, offset_s: int, text: str) -> None:
    assert pure.evaluate(CLOCK, [utc_ms, [[0, offset_s, "X"]]]) == text
