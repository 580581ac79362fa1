"""The section that shows what is in the frame: the sheet's own lines, and a drawing of each keyframe's."""

from __future__ import annotations

import pytest
from playwright.sync_api import BrowserContext, Page, expect

from fieldsheet.catalog.read import Catalog
from fieldsheet.press import plan_shot
from fieldsheet.sheet.sheet import make_sheet
from fieldsheet.sky.sky import Sky
from tests.web.host import Host

HERE = "/fs/saltings/"
SIDES = """(drawing) => {
  const outer = drawing.getBoundingClientRect();
  const marks = [...drawing.querySelectorAll('polyline, rect, circle, path, text')];
  return [outer.width, outer.height, Math.max(...marks.map((mark) => {
    const box = mark.getBoundingClientRect();
    return Math.max(outer.left - box.left, box.right - outer.right, outer.top - box.top,
      box.bottom - outer.bottom);
  }))];
}"""


@pytest.fixture
def page(kept_phone: BrowserContext) -> Page:
    return kept_phone.new_page()


def _open(page: Page, demo_host: Host, shot: str) -> None:
    page.goto(demo_host.url(f"{HERE}shots/{shot}/"))
    expect(page.locator("#night")).to_be_enabled()
    page.locator("#frame > summary").tap()
    expect(page.locator("#frame table")).to_be_visible()


def _lines(page: Page) -> list[list[str]]:
    rows = "(all) => all.map((row) => [...row.children].map((cell) => cell.textContent))"
    lines: list[list[str]] = page.eval_on_selector_all("#frame tr", rows)
    return lines


@pytest.mark.parametrize(("shot", "drawings"), [("moonrise", 3), ("hoist", 2), ("stone-saw", 2)])
def test_the_section_says_what_the_sheet_says_and_draws_every_keyframe(
    page: Page, demo_host: Host, demo: Catalog, sky: Sky, shot: str, drawings: int
) -> None:
    sheet = make_sheet(plan_shot(demo.brief(shot), sky, {}))
    _open(page, demo_host, shot)
    assert _lines(page) == [[row["name"], row["text"]] for row in sheet["picture"]]
    captions = page.locator("#frame figcaption").all_text_contents()
    expected = [
        f"{row['key']} {row['name']}, {row['clock']}, frame {row['frame']}" for row in sheet["keyframes"]
    ]
    assert captions == (expected or ["First frame, 07:45", "Last frame, 11:45, frame 2400"])
    assert len(captions) == drawings
    for drawing, view in zip(page.locator("#frame svg").all(), sheet["views"], strict=True):
        width, height, over = drawing.evaluate(SIDES)
        assert width / height == pytest.approx(view["aspect"], rel=0.02)
        assert over < 8, "a mark at the edge may reach out of the frame by its own size, no farther"
        words = drawing.locator("text").all_text_contents()
        assert words == [body["name"] for body in view["bodies"] if body["name"]]


def test_another_night_draws_another_sky_and_marks_what_differs(page: Page, demo_host: Host) -> None:
    _open(page, demo_host, "moonrise")
    moon = page.locator("#frame svg", has_text="moon")
    expect(moon).to_have_count(2)
    expect(page.locator("#better")).to_be_visible()
    before = _lines(page)
    page.locator("#later").tap()
    expect(page.locator("#frame td.differs").first).to_be_visible()
    assert _lines(page) != before
    expect(page.locator("#better")).to_be_hidden()  # it is of the printed night
    page.locator("#printed").click()
    expect(page.locator("#frame td.differs")).to_have_count(0)


def test_the_moons_lit_part_is_turned_to_the_sun(page: Page, demo_host: Host) -> None:
    """At the salt the sun has set behind: its direction in the frame is down and a little to the left."""
    _open(page, demo_host, "moonrise")
    turned = page.locator("#frame svg path.full").first.get_attribute("transform") or ""
    assert float(turned.removeprefix("rotate(").removesuffix(")")) == pytest.approx(105, abs=2)
