"""The nights around a shot, computed on the phone: a line each; unfolded, it turns the page."""

from __future__ import annotations

import re
from collections.abc import Iterator
from itertools import pairwise
from pathlib import Path
from shutil import copytree
from typing import Any

import pytest
from playwright.sync_api import Browser, BrowserContext, Locator, Page, expect

from fieldsheet.catalog.read import Catalog, read_catalog
from fieldsheet.plan.civil import day_number, iso_date
from fieldsheet.plan.problem import PlanProblem
from fieldsheet.press import plan_catalog, plan_shot, press
from fieldsheet.sheet.sheet import make_sheet
from fieldsheet.sheet.words import clock, day_text, fixed, say
from fieldsheet.sky.sky import Sky
from tests.in_memory import in_memory
from tests.web.conftest import new_phone
from tests.web.host import Host
from tests.web.soon import kept
from tests.web.watch import Watch

HERE = "/fs/saltings/"
# Of the place: they hang on the tide, and stop every night that has none.
LIMITS = re.compile(r"^(turn_back|check_in) = .*$", re.M)
NEEDS = """[needs]
weekdays = ["Sat"]
core_usable_h_min = 5.0
[[needs.event]]
event = "high tide"
between = ["12:00", "11:59"]
"""


def _open(page: Page, host: Host, shot: str) -> None:
    page.goto(host.url(f"{HERE}shots/{shot}/"))
    expect(page.locator("#night")).to_be_enabled()
    page.locator("#others > summary").tap()
    expect(page.locator(".nights small")).to_have_count(45, timeout=30_000)


ROWS = """(all) => all.map((row) => ({
  mark: row.querySelector('summary').dataset.mark ?? '',
  line: [...row.querySelector('summary').children].map((part) => part.textContent),
  more: [...row.querySelectorAll('p')].map((part) => [part.dataset.mark ?? '', part.textContent]),
  turns: row.querySelectorAll('button').length,
}))"""


def _rows(page: Page) -> list[dict[str, Any]]:
    """Every row: its mark, the parts of its line, what unfolds with marks, and its buttons."""
    return list(page.eval_on_selector_all(".nights details", ROWS))


def _row(page: Page, text: str) -> Locator:
    return page.locator(".nights details", has_text=text)


def _turn_to(page: Page, text: str) -> None:
    """Once it is computed: then nothing is put in its place any more."""
    expect(_row(page, text).locator("button")).to_have_count(1)
    _row(page, text).locator("summary").tap()
    _row(page, text).get_by_role("button", name="Turn to this night").tap()


def _nights(printed: str) -> list[str]:
    return [iso_date(day_number(printed) + days) for days in range(-14, 31)]


def _moon(plan: dict[str, Any], spans: Any) -> str:
    """How much is lit; whether she is up at the start, or what she does during the shot."""
    moon, window = plan["sky"]["moon"], plan["window"]
    start, end = window["start"]["utc_ms"], window["end"]["utc_ms"]
    edges = sorted((moon[key]["utc_ms"], key) for key in ("rise", "set") if moon[key])
    during = [f"{key}s {clock(ms, spans)}" for ms, key in edges if start <= ms < end]
    is_up = moon["up"]
    for ms, key in reversed(edges):
        is_up = key == "set" if ms >= start else is_up
    for ms, key in edges:
        is_up = key == "rise" if ms < start else is_up
    stands = ", ".join(during) or ("up" if is_up else "down")
    return f"moon {fixed(moon['lit'] * 100, 0)} %, {stands}"


def _few(need: dict[str, Any], spans: Any) -> str:
    """What is asked in a few words; clock times are given in seconds."""
    args = dict(need["args"])
    for key in {"first", "last"} & args.keys():
        args[key] = f"{args[key] // 3600:02d}:{args[key] % 3600 // 60:02d}"
    return say(need["id"].replace("need.", "few."), args, spans)


MARKS = {True: "good", False: "fails", None: "open"}


def _expected(brief: dict[str, Any], sky: Sky, night: str, printed: str) -> dict[str, Any]:
    """A row by the Python core."""
    spans = brief["place"]["zone"]["spans"]
    date = day_text(day_number(night)).rpartition(" ")[0]
    head = [date, *(["printed"] if night == printed else [])]
    try:
        plan = plan_shot(brief, sky, {"night": night})
    except PlanProblem as problem:
        why = say(f"{problem.id}.found", problem.args_, spans)
        row = {"mark": "none", "line": [*head, f"no plan: {why}"], "turns": 0}
        return {**row, "more": [["", f"No plan: {why}."]]}
    sheet = make_sheet(plan)
    met = [need["met"] for need in sheet["needs"]]
    stops = [warning for warning in sheet["warnings"] if warning["level"] == "no-go"]
    mark = MARKS[False if False in met else None if None in met else True] if met else ""
    said = [
        f"{words}: {'; '.join(names)}"
        for verdict, words in ((False, "fails"), (None, "not known"))
        if (names := [_few(need, spans) for need in plan["needs"] if need["met"] is verdict])
    ]
    needs = ["all needs met"] if mark == "good" else said
    others = f" and {len(stops) - 1} more" if len(stops) > 1 else ""
    stop = [f"no go: {stops[0]['head']}{others}"] if stops else []
    mark = "fails" if stops else mark
    few = " · ".join([*stop, _moon(plan, spans), *needs])
    ends = [clock(plan["window"][end]["utc_ms"], spans) for end in ("start", "end")]
    sky_lines = [f"{line['name']}: {line['text']}" for line in sheet["sky_lines"][:2]]
    more = [["", text] for text in (sheet["span"], *sky_lines)]
    more += [["fails", f"No go: {stop['head']}. {stop['sum']}"] for stop in stops]
    more += [[MARKS[need["met"]], need["text"]] for need in sheet["needs"]]
    return {"mark": mark, "line": [*head, "–".join(ends), few], "more": more, "turns": 1}


@pytest.fixture(scope="module")
def catalog(tmp_path_factory: pytest.TempPathFactory, one_shot: Path) -> Catalog:
    """The demo's shot with needs, and the same from moonrise on, which does not come every night."""
    folder = Path(copytree(one_shot, tmp_path_factory.mktemp("needs") / "catalog"))
    place = folder / "places" / "gull-point.toml"
    place.write_text(LIMITS.sub("", place.read_text("utf-8")), "utf-8")
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
    return in_memory(press(catalog, plan_catalog(catalog)))


@pytest.fixture
def page(host: Host, phone: BrowserContext, site: dict[str, bytes]) -> Iterator[Page]:
    host.sites[HERE] = site
    yield phone.new_page()


@pytest.fixture(scope="module")
def opened(chromium: Browser, site: dict[str, bytes]) -> Iterator[dict[str, Page]]:
    """The nights of both shots, computed with the server gone; to be read, not to be turned."""
    host, phone = Host(), new_phone(chromium)
    host.sites[HERE] = site
    watch = Watch(phone, f"127.0.0.1:{host.port}")
    stored = phone.new_page()
    stored.goto(host.url(HERE))
    expect(stored.locator("#offline")).to_have_attribute("data-stored", "ready")
    host.kill()
    pages = {shot: phone.new_page() for shot in ("slipway", "late")}
    for shot, page in pages.items():
        _open(page, host, shot)
    assert watch.complaints == []
    yield pages
    phone.close()


@pytest.mark.parametrize("shot", ["slipway", "late"])
def test_with_the_server_gone_every_row_says_what_the_python_core_says_of_that_night(
    opened: dict[str, Page], catalog: Catalog, sky: Sky, shot: str
) -> None:
    brief = catalog.brief(shot)
    printed = brief["night"]["date"]
    rows = _rows(opened[shot])
    assert rows == [_expected(brief, sky, night, printed) for night in _nights(printed)]
    marks = {row["mark"] for row in rows}
    assert marks == ({"good", "fails", "open"} if shot == "slipway" else {"", "fails", "none"})


MARK = """(row) => { const style = getComputedStyle(row.querySelector('summary'), '::before');
  return [style.backgroundColor !== 'rgba(0, 0, 0, 0)', parseFloat(style.borderLeftWidth) > 4]; }"""


def test_marks_differ_in_shape_in_every_theme(opened: dict[str, Page]) -> None:
    page = opened["slipway"]
    marks = [row["mark"] for row in _rows(page)]
    for theme in ("day", "dark", "night"):
        page.locator(f"[data-set-theme={theme}]").tap()
        shapes = {
            mark: page.locator(".nights details").nth(marks.index(mark)).evaluate(MARK)
            for mark in ("good", "fails", "open")
        }
        assert shapes == {"good": [True, False], "fails": [False, False], "open": [False, True]}


def test_rows_are_made_when_they_are_asked_for_a_line_each_and_targets_for_a_glove(
    page: Page, host: Host
) -> None:
    page.goto(host.url(f"{HERE}shots/slipway/"))
    expect(page.locator("#night")).to_be_enabled()
    assert _rows(page) == []
    _open(page, host, "slipway")
    assert page.evaluate("document.documentElement.scrollWidth") == 360
    heights = page.eval_on_selector_all(
        ".nights summary",
        """(all) => {
          for (const row of all) row.parentNode.style.contentVisibility = 'visible';
          return all.map((row) => row.getBoundingClientRect().height);
        }""",
    )
    assert min(heights) >= 54 and sum(heights) <= 6 * 740, "six screens of nights, not ten"
    head = page.locator("#others > summary").bounding_box()
    assert head and head["height"] >= 64
    expect(page.locator(".nights .mark")).to_have_count(1)
    expect(page.locator(".nights [aria-current]")).to_contain_text("Sat 5 June")
    expect(page.locator(".nights [aria-current]")).to_be_in_viewport()


TASKS = """() => {
  window.turn = 0;
  window.drawn = [];
  const {port1, port2} = new MessageChannel();
  port1.onmessage = () => { turn += 1; port2.postMessage(0); };
  port2.postMessage(0);
  new MutationObserver(() => drawn.push(turn)).observe(
    document.getElementById('others'), {childList: true, subtree: true});
}"""


def test_between_two_nights_the_page_answers(page: Page, host: Host) -> None:
    """No task holds more than the computing, or the drawing, of one night: other tasks come in between."""
    page.goto(host.url(f"{HERE}shots/slipway/"))
    expect(page.locator("#night")).to_be_enabled()
    page.evaluate(TASKS)
    page.locator("#others > summary").tap()
    expect(page.locator(".nights small")).to_have_count(45, timeout=30_000)
    drawn = page.evaluate("drawn")
    assert len(drawn) == 46, "the rows at once, then each by itself"
    assert all(later - earlier >= 2 for earlier, later in pairwise(drawn))


def test_a_tap_on_a_night_turns_the_whole_page_and_one_tap_turns_it_back(
    page: Page, host: Host, catalog: Catalog, sky: Sky
) -> None:
    _open(page, host, "slipway")
    other = make_sheet(plan_shot(catalog.brief("slipway"), sky, {"night": "2027-06-12"}))
    _turn_to(page, "Sat 12 June")
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
    page.locator("#others > summary").tap()
    shown = page.locator(".nights [aria-current]")
    expect(shown.locator("summary")).to_contain_text("Sat 12 June")
    shown.locator("summary").tap()
    expect(shown.locator("button")).to_be_hidden()
    expect(page.locator(".nights .mark").locator("xpath=..")).to_contain_text("Sat 5 June")
    page.locator("#printed").click()
    expect(page.locator("#changed")).to_be_hidden()
    expect(shown.locator("summary")).to_contain_text("Sat 5 June")


def test_a_night_without_a_plan_says_why_and_cannot_be_turned_to(opened: dict[str, Page]) -> None:
    row = _row(opened["late"], "no plan").first
    row.locator("summary").tap()
    expect(row.locator("p")).to_contain_text("No plan: ")
    expect(row.locator("button")).to_have_count(0)


def test_a_night_chosen_during_a_take_goes_with_it(page: Page, host: Host) -> None:
    page.goto(host.url(f"{HERE}shots/slipway/"))
    expect(page.locator("#night")).to_be_enabled()
    page.locator(".item", has_text="Cap off").first.tap()
    expect(page.locator("#end-take")).to_be_visible()
    page.locator("#others > summary").tap()
    _turn_to(page, "Sat 12 June")
    expect(page.locator("#changed")).to_be_visible()
    kept(page, "take", "tick", "changes")
    page.reload()
    expect(page.locator("#changed")).to_contain_text("Not the printed night.")
    expect(page.locator(".date b")).to_contain_text("Sat 12 June 2027")


CUT = """(all) => all.filter((line) => line.scrollWidth > line.clientWidth
  || line.scrollHeight > line.clientHeight + 1).map((line) => line.textContent)"""


def test_no_line_of_the_demo_s_nights_is_cut_and_a_no_go_comes_first(
    phone: BrowserContext, host: Host, demo_site: dict[str, bytes]
) -> None:
    host.sites[HERE] = demo_site
    page = phone.new_page()
    _open(page, host, "slipway")
    assert page.eval_on_selector_all(".nights small", CUT) == []
    line = _row(page, "Sat 19 June").locator("summary")
    expect(line).to_have_attribute("data-mark", "fails")
    expect(line.locator("small")).to_have_text(
        "no go: No time known this night: turn back and 1 more · moon 99 %, rises 21:45 · "
        "fails: core usable 1 h 30 min; moon down; moon at most 40 %"
    )
    expect(_row(page, "Sat 19 June").locator("p[data-mark=fails]").nth(1)).to_contain_text(
        "No go: No time known this night: check in. "
    )
    # The needs of that night are met, and still its tides are not known.
    line = _row(page, "Wed 30 June").locator("summary")
    expect(line.locator("small")).to_contain_text("all needs met")
