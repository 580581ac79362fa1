"""A sky file that is missing or damaged: the printed plan stands, and the page says what it cannot do."""

from __future__ import annotations

from typing import Any

import pytest
from playwright.sync_api import BrowserContext, Page, expect

from fieldsheet.sheet.sheet import make_sheet
from tests.skies import fit_year
from tests.web.host import Host

HERE = "/fs/saltings/"
SHOT = HERE + "shots/slipway/"
BOTH = "The sky files of 2027, 2028 are damaged"


def _damaged(pack: bytes) -> bytes:
    """One bit of it is another."""
    middle = len(pack) // 2
    return pack[:middle] + bytes([pack[middle] ^ 1]) + pack[middle + 1 :]


@pytest.fixture
def opened(host: Host, bare_phone: BrowserContext, demo_site: dict[str, bytes]) -> Any:
    """Opens the shot's page of a site with other sky files, held to no fault of its script."""
    faults: list[str] = []

    def open_page(changes: dict[str, bytes | None], at: str = "2027-06-05T18:36:00+01:00") -> Page:
        files = {**demo_site, **changes}
        host.sites[HERE] = {path: data for path, data in files.items() if data is not None}
        page = bare_phone.new_page()
        page.on("pageerror", lambda error: faults.append(str(error)))
        page.clock.install(time=at)
        page.goto(host.url(SHOT))
        return page

    yield open_page
    assert faults == []


def _keeps_the_printed_plan(page: Page, demo_plan: dict[str, Any]) -> None:
    sheet = make_sheet(demo_plan)
    for name in ("first_frame", "frames", "interval"):
        expect(page.locator(f".figures [data-v='numbers.{name}']")).to_have_text(sheet["numbers"][name])
    expect(page.locator("#changed")).to_be_hidden()
    strip = page.locator("#strip").inner_text()
    assert all(moment["clock"] in strip for moment in sheet["strip"]["moments"])


def test_without_any_sound_sky_file_the_printed_night_stands(
    opened: Any, demo_site: dict[str, bytes], demo_plan: dict[str, Any]
) -> None:
    packs = [path for path in demo_site if path.startswith("sky/")]
    assert len(packs) == 2
    cut, flipped = demo_site[packs[0]][:1000], _damaged(demo_site[packs[1]])
    page = opened({packs[0]: cut, packs[1]: flipped})
    expect(page.locator("#lost")).to_have_text(f"{BOTH}: the printed night only.")
    _keeps_the_printed_plan(page, demo_plan)
    for control in ("#night", "#earlier", "#later", "#spot button >> nth=0"):
        expect(page.locator(control)).to_be_disabled()
    page.locator("#others summary").tap()
    expect(page.locator("#others > p")).to_have_text(f"{BOTH}: no other night can be computed.")
    expect(page.locator(".nights details")).to_have_count(0)
    page.locator("#zero summary").tap()
    expect(page.locator("#zero [role=status]")).to_have_text(
        f"{BOTH}: nothing can be computed for this night."
    )
    _keeps_the_printed_plan(page, demo_plan)
    page.clock.run_for(60_000)
    page.locator(".item", has_text="Cap off").first.tap()
    expect(page.locator("#end-take")).to_be_visible()


def test_one_damaged_year_costs_the_nights_of_that_year(
    opened: Any, demo_site: dict[str, bytes], demo_plan: dict[str, Any]
) -> None:
    page = opened({"sky/2028.pack": _damaged(demo_site["sky/2028.pack"])})
    expect(page.locator("#lost")).to_have_text(
        "The sky file of 2028 is damaged: no plan for nights that need it."
    )
    _keeps_the_printed_plan(page, demo_plan)
    page.locator("#later").tap()
    expect(page.locator("#changed")).to_contain_text("Not the printed night.")
    page.locator("#printed").click()
    _keeps_the_printed_plan(page, demo_plan)


def test_without_the_printed_year_s_file_the_page_keeps_the_print_and_refuses_other_nights_in_words(
    opened: Any, demo_plan: dict[str, Any]
) -> None:
    page = opened({"sky/2027.pack": None})
    expect(page.locator("#lost")).to_contain_text("The sky file of 2027 is not on this phone")
    _keeps_the_printed_plan(page, demo_plan)
    page.clock.run_for(60_000)  # four hours before frame 1 the page would say how far the sky has to turn
    expect(page.locator(".live").first).to_be_hidden()
    page.locator("#later").tap()
    expect(page.locator("#refused")).to_contain_text("No plan for that night:")
    _keeps_the_printed_plan(page, demo_plan)
    page.locator("#spot summary").tap()
    page.locator("#spot input").first.fill("37.2")
    page.locator("#spot").get_by_role("button", name="Compute for this spot").tap()
    expect(page.locator("#spot [role=status]")).to_have_text("No plan there: see above.")
    expect(page.locator("#refused")).to_contain_text("No plan for that spot:")
    lack = "The sky file of 2027 is not on this phone"
    page.locator("#others summary").tap()
    expect(page.locator("#others > p")).to_have_text(f"{lack}: no other night can be computed.")
    expect(page.locator(".nights details")).to_have_count(0)
    page.locator("#zero summary").tap()
    for typed in ("", "23:10", "x"):
        page.locator("#zero-at").fill(typed)
        page.locator("#zero-at").blur()
        expect(page.locator("#zero [role=status]")).to_have_text(
            f"{lack}: nothing can be computed for this night."
        )
    _keeps_the_printed_plan(page, demo_plan)


def test_without_the_table_of_tides_no_other_night_is_computed(
    opened: Any, demo_plan: dict[str, Any]
) -> None:
    page = opened({"tides/gull-point.json": None})
    expect(page.locator("#lost")).to_contain_text("The table of tides is not on this phone")
    _keeps_the_printed_plan(page, demo_plan)
    expect(page.locator("#later")).to_be_disabled()
    page.locator("#others summary").tap()
    expect(page.locator("#others > p")).to_contain_text("The table of tides is not on this phone: no other")
    page.locator("#zero summary").tap()  # what stands in the sky hangs on no tide
    expect(page.locator("#zero [role=status]")).to_contain_text("As of Sat 5 June 2027, 18:36")


def test_nights_that_one_lost_year_costs_have_no_rows_and_one_line(
    opened: Any, demo_site: dict[str, bytes]
) -> None:
    page = opened({"sky/2027.pack": demo_site["sky/2028.pack"], "sky/2028.pack": None})
    expect(page.locator("#lost")).to_contain_text("The sky file of 2028 is not on this phone")
    page.locator("#others summary").tap()
    expect(page.locator("#others > p")).to_contain_text("no other night can be computed")
    expect(page.locator(".nights details")).to_have_count(0)


def test_a_gap_between_the_years_is_no_fault_of_the_page(
    opened: Any, demo_site: dict[str, bytes], demo_plan: dict[str, Any]
) -> None:
    """Of three years the middle one is lost: the page goes on with the printed night's own."""
    html = demo_site["shots/slipway/index.html"]
    years = b'data-years="2027 2028"'
    assert years in html
    page = opened(
        {
            "shots/slipway/index.html": html.replace(years, b'data-years="2027 2028 2029"'),
            "sky/2028.pack": _damaged(demo_site["sky/2028.pack"]),
            "sky/2029.pack": fit_year(2029),
        }
    )
    expect(page.locator("#lost")).to_contain_text("The sky file of 2028 is damaged")
    page.locator("#later").tap()
    expect(page.locator("#changed")).to_contain_text("Not the printed night.")
    page.locator("#printed").click()
    _keeps_the_printed_plan(page, demo_plan)
