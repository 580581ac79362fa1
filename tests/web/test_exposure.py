"""The section on exposure: made on the phone, and shifted there by a click."""

from __future__ import annotations

import re
from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, Page, expect

from tests.web.host import Host
from tests.web.soon import soon
from tests.web.watch import Watch


@pytest.fixture(scope="module")
def opened(chromium: Browser, demo_site: dict[str, bytes]) -> Iterator[Page]:
    """The page with both its sections open."""
    host = Host()
    host.sites["/fs/saltings/"] = demo_site
    context = chromium.new_context(viewport={"width": 360, "height": 740}, is_mobile=True, has_touch=True)
    watch = Watch(context, f"127.0.0.1:{host.port}")
    page = context.new_page()
    page.goto(host.url("/fs/saltings/shots/slipway/"))
    for section in ("exposure", "dew"):
        page.locator(f"#{section} > summary").tap()
    expect(page.locator("#night")).to_be_enabled()
    yield page
    context.close()
    host.kill()
    assert watch.complaints == []


@pytest.fixture
def page(opened: Page) -> Iterator[Page]:
    """The same as printed, whatever was asked of it before."""
    yield opened
    if opened.locator("#changed").is_visible():
        opened.locator("#printed").click()


def test_it_is_empty_until_it_is_opened(demo_site: dict[str, bytes]) -> None:
    assert (
        b'<details id="exposure"><summary>Exposure</summary></details>'
        in demo_site["shots/slipway/index.html"]
    )
    assert b'id="exposure"' not in demo_site["shots/clouds/index.html"]


def test_lines_picture_and_bands_are_those_of_the_sheet(page: Page) -> None:
    lines = page.locator("#exposure .pairs tr")
    expect(lines.first).to_contain_text("f/2.8 · 1/2000 s · ISO 100")
    expect(page.locator("#exposure svg path")).to_have_count(3)
    rows = page.locator("#exposure .clicks tbody tr")
    assert rows.count() >= 10
    expect(rows.nth(1)).to_contain_text("stay")
    expect(rows.last).to_contain_text("f/2.8 · 13 s · ISO 3200")
    wide = page.evaluate("document.documentElement.scrollWidth")
    assert wide <= 360
    for box in page.locator("#exposure .shift button").all():
        assert (box.bounding_box() or {"height": 0})["height"] >= 44


def test_a_click_ahead_or_behind_shifts_the_rest_and_goes_back(page: Page) -> None:
    brighter, darker = page.locator("#exposure .shift button").all()
    expect(brighter).to_be_enabled()
    brighter.tap()
    first = page.locator("#exposure .pairs tr")
    expect(first.first).to_contain_text("+0.33 stops")
    expect(page.locator("#exposure .pairs")).to_contain_text("1/1600 s")
    expect(page.locator("#changed-what")).to_have_text("Not the printed exposure.")
    expect(page.locator("#exposure .clicks .differs").first).to_be_visible()
    darker.click()
    expect(first.first).to_contain_text("1/2000 s")
    expect(page.locator("#changed")).to_be_hidden()
    darker.click()
    expect(first.first).to_contain_text(re.compile("−0.33 stops"))


def test_what_the_camera_reads_is_held_against_the_plan_and_taken_along(page: Page) -> None:
    """At frame 500 the ramp stands at 13 s and climbs by ISO; two clicks of ISO are two thirds of a stop."""
    frame, said = page.locator("#exposure input"), page.locator("#exposure [role=status]")
    expect(said).to_contain_text("0.00 stops against f/2.8 · 1/2000 s · ISO 100, planned at frame 1")
    frame.fill("500")
    frame.blur()
    expect(said).to_contain_text("0.00 stops against f/2.8 · 13 s")
    expect(said).to_contain_text("planned at frame 500; clicks since frame 1")
    planned = re.search(r"ISO (\d+), planned", said.inner_text())
    assert planned is not None
    isos = page.locator("#exposure select").nth(2)
    marks = isos.locator("option").all_inner_texts()
    isos.select_option(marks[marks.index(planned[1]) + 2])
    expect(said).to_contain_text("+0.67 stops against")
    take = page.get_by_role("button", name="Shift the rest by that")
    expect(take).to_be_enabled()
    assert (take.bounding_box() or {"height": 0})["height"] >= 44
    take.tap()
    expect(page.locator("#exposure .pairs tr").first).to_contain_text("+0.67 stops")
    expect(said).to_contain_text("0.00 stops against")


def test_before_there_is_a_sky_the_camera_is_compared_but_nothing_shifted(page: Page) -> None:
    """What a page does on its way to its sky, or without one."""
    found = page.evaluate(
        """async () => {
          const {makeReads} = await import('/app/shown/reads.js');
          const {carriedPlan} = await import('/app/shown/carried.js');
          const plan = await carriedPlan(document.getElementById('plan').textContent);
          const kept = [];
          const reads = makeReads(() => ({plan}), () => true, (reading) => kept.push(reading));
          reads.show();
          const [, fields, said, take] = reads.nodes;
          const shutter = fields.querySelectorAll('select')[1];
          shutter.value = '1/1000';
          shutter.dispatchEvent(new Event('change'));
          const was = [said.textContent, take.disabled];
          take.click();
          reads.allow(true);
          take.click();
          return [...was, kept];
        }"""
    )
    assert found[0].startswith("+1.00 stops against") and found[1] is True
    assert [(one["frame"], one["shutter"]) for one in found[2]] == [(1, "1/1000")], (
        "what was taken along is kept"
    )


def test_the_chart_has_light_target_and_steps_against_time(page: Page) -> None:
    chart = page.locator("#exposure svg")
    expect(chart).to_contain_text("19:36 · frame 1")
    expect(chart).to_contain_text("frame 753")
    paths = chart.locator("path")
    steps = paths.nth(2).get_attribute("d") or ""
    assert steps.count("H") == 59 + 1, "a step a click, and on to the end"

    def drawn() -> list[str | None]:
        return [path.get_attribute("d") for path in paths.all()]

    before = drawn()
    page.locator("#later").tap()
    expect(page.locator("#changed")).to_be_visible()
    expect(chart).to_contain_text("frame 1")
    soon(page, lambda: drawn() != before, True)  # another night, another light


def test_dew_is_told_from_the_air_on_site(page: Page) -> None:
    expect(page.locator("#dew table")).to_contain_text("heater on from frame 1, 19:36")
    said, fields = page.locator("#dew [role=status]"), page.locator("#dew input").all()
    for typed, told in (
        (("20", "12", "", ""), "not before the air is down to 17 °C"),
        (("20", "12", "", "1,5"), re.compile("likely from [0-9:]{5} on, when the air is down to 17 °C")),
        (("20", "", "85", ""), "likely now"),
        (("20", "21", "", ""), "up to the air's own temperature"),
        (("20", "12", "60", ""), "One of dew point and humidity"),
        (("", "12", "", ""), re.compile("^$")),
    ):
        for field, text in zip(fields, typed, strict=True):
            field.fill(text)
        expect(said).to_have_text(told) if typed[0] == "" else expect(said).to_contain_text(told)
    assert page.evaluate("document.documentElement.scrollWidth") <= 360
