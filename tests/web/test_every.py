"""Every frame of a shot: a table made when it is opened, and a file that equals the desk's byte for byte."""

from __future__ import annotations

from pathlib import Path
from shutil import copytree
from typing import Any

import pytest
from playwright.sync_api import BrowserContext, Locator, Page, expect

from fieldsheet.catalog.read import read_catalog
from fieldsheet.exchange.frames import frames_csv
from fieldsheet.press import plan_catalog, press
from tests.commands import Run
from tests.in_memory import in_memory
from tests.web.host import Host

HERE = "/fs/saltings/"


@pytest.fixture(scope="session")
def smooth_catalog(one_shot: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The dusk shot with 2,000 frames and more, a middle keyframe on an event, joined smooth, with a lift."""
    folder = Path(copytree(one_shot, tmp_path_factory.mktemp("every") / "catalog"))
    rig, shot = folder / "rigs" / "rail-and-head.toml", folder / "shots" / "slipway.toml"
    lift = '[axis.lift]\nunit = "mm"\nmin = 0\nmax = 400\nspeed_max = 30\n\n[axis.pan]'
    changed = rig.read_text("utf-8").replace("[axis.pan]", lift).replace("settle_s = 1.0", "settle_s = 0.5")
    rig.write_text('joins = "smooth"\n' + changed, "utf-8")
    text = shot.read_text("utf-8").replace("interval_s = 18 ", "interval_s = 6 ")
    text = text.replace("interval_s = 18\n", "interval_s = 6\n").replace(
        "longest_shutter_s = 13", "longest_shutter_s = 3"
    )
    text = text.replace('at = "halfway"', 'at = "civil dusk"')
    for number, slide in enumerate((0, 530, 1060)):
        text = text.replace(
            f"slide_mm = {slide}\n", f"slide_mm = {slide}\naxes = {{ lift = {90 * number} }}\n"
        )
    shot.write_text(
        text[: text.index("[exposure]")] + text[text.index("[needs]") :] if "[exposure]" in text else text
    )
    return folder


@pytest.fixture(scope="module")
def smooth_site(smooth_catalog: Path) -> dict[str, bytes]:
    catalog = read_catalog(smooth_catalog)
    return in_memory(press(catalog, plan_catalog(catalog)))


@pytest.fixture
def page(host: Host, phone: BrowserContext, smooth_site: dict[str, bytes]) -> Page:
    host.sites[HERE] = smooth_site
    return phone.new_page()


def _open(page: Page, host: Host) -> None:
    page.goto(host.url(f"{HERE}shots/slipway/"))
    expect(page.locator("#night")).to_be_enabled()
    page.locator("#frames > summary").tap()


def _cells(page: Page, row: int) -> Locator:
    return page.locator(".every tr").nth(row).locator("th, td")


def _begins(page: Page, row: int, *texts: str) -> None:
    """The first cells of a row."""
    for at, text in enumerate(texts):
        expect(_cells(page, row).nth(at)).to_have_text(text, use_inner_text=True)


def _saved(page: Page) -> tuple[str, bytes]:
    with page.expect_download() as download:
        page.get_by_role("button", name="Save all as CSV").tap()
    return download.value.suggested_filename, Path(download.value.path()).read_bytes()


def test_the_file_of_phone_and_desk_are_the_same_bytes(
    page: Page, host: Host, smooth_catalog: Path, run: Run
) -> None:
    status, desk, _ = run("frames", smooth_catalog, "slipway")
    assert status == 0
    _open(page, host)
    assert _saved(page) == ("slipway-2027-06-05.csv", desk.encode())
    lines = desk.split("\r\n")
    assert lines[0] == (
        "frame,time,slide_mm,pan_deg,tilt_deg,lift_mm,step_slide_mm,step_pan_deg,step_tilt_deg,step_lift_mm"
    )
    assert lines[1].startswith("1,2027-06-05T19:36:00.000+01:00,0.0000,63.7000,")
    assert len(lines) == 2263 and lines[-1] == ""
    status, desk, _ = run("frames", smooth_catalog, "slipway", "--night", "2027-06-06")
    page.locator("#later").tap()
    expect(page.locator("#changed")).to_be_visible()
    assert _saved(page) == ("slipway-2027-06-06.csv", desk.encode())


def test_each_row_has_its_clock_each_axis_and_what_it_moved(page: Page, host: Host) -> None:
    _open(page, host)
    first = ["1", "19:36:00", "0.0\n0.00", "+63.70\n0.000", "+26.40\n0.000", "0.0\n0.00"]
    expect(_cells(page, 0)).to_have_text(["frame", "clock", "S mm", "P °", "T °", "L mm"])
    expect(_cells(page, 1)).to_have_text(first, use_inner_text=True)
    expect(page.locator(".every tr")).to_have_count(41)
    expect(page.get_by_role("button", name="Earlier frames")).to_be_disabled()
    page.get_by_role("button", name="Later frames").tap()
    _begins(page, 1, "41", "19:40:00")
    page.get_by_label("from frame").fill("99999")
    page.get_by_label("from frame").press("Enter")
    _begins(page, 40, "2261", "23:22:00", "1060.0\n+0.01")
    expect(page.get_by_role("button", name="Later frames")).to_be_disabled()


COUNTED = """() => {
  window.breaths = 0;
  window.MessageChannel = class extends MessageChannel {
    constructor() {
      super();
      window.breaths += 1;
    }
  };
}"""


def test_the_file_is_written_in_many_short_tasks(page: Page, host: Host) -> None:
    """2,261 frames, 250 at a time: in between the page answers. Timing belongs to the benchmarks."""
    _open(page, host)
    page.evaluate(COUNTED)
    _saved(page)
    assert page.evaluate("window.breaths") == 10


TURNED = """() => {
  window.MessageChannel = class extends MessageChannel {
    constructor() {
      super();
      if (!window.turned) document.getElementById("later").click();
      window.turned = true;
    }
  };
}"""


def test_a_file_is_of_the_night_that_was_asked_for_though_the_page_is_turned_meanwhile(
    page: Page, host: Host, smooth_catalog: Path, run: Run
) -> None:
    _, desk, _ = run("frames", smooth_catalog, "slipway")
    _open(page, host)
    page.evaluate(TURNED)
    assert _saved(page) == ("slipway-2027-06-05.csv", desk.encode())
    expect(page.locator("#changed")).to_be_visible()


def test_the_bar_of_an_interval_says_what_camera_and_rig_take(page: Page, host: Host) -> None:
    page.goto(host.url(f"{HERE}shots/slipway/"))
    bar = page.locator("#interval .bar")
    expect(bar).to_have_attribute("role", "img")
    label = bar.get_attribute("aria-label") or ""
    assert "lag 0.1 s, shutter 3 s, ready again 0.4 s" in label and "settle 0.5 s" in label
    assert "worst: at frame " in label and " of 6 s" in label
    blocks: list[Any] = bar.locator("rect").evaluate_all(
        "(all) => all.map((one) => [one.getAttribute('class'), Number(one.getAttribute('width'))])"
    )
    shutter = next(width for kind, width in blocks if kind == "busy")
    assert shutter == pytest.approx(340 * 3 / 6)


def test_every_frame_is_a_plain_function_of_the_plan(smooth_catalog: Path) -> None:
    """The first step is 0, and steps add up to the way, as far as four decimals do."""
    catalog = read_catalog(smooth_catalog)
    rows = [
        line.split(",") for line in frames_csv(plan_catalog(catalog).plans["slipway"]).split("\r\n")[1:-1]
    ]
    assert [float(row[6]) for row in rows[:1]] == [0.0]
    assert sum(float(row[6]) for row in rows) == pytest.approx(1060, abs=0.2)
