"""The page of a year: every night drawn once, the good ones listed, nothing of it carried by the phone."""

from __future__ import annotations

import copy
import json
from collections.abc import Callable
from datetime import date
from typing import Any

import pytest

from fieldsheet.catalog.read import Catalog
from fieldsheet.plan.nights import search
from fieldsheet.press import plan_shot
from fieldsheet.sheet.sheet import make_sheet
from fieldsheet.site.build import build_site
from fieldsheet.site.content import bytes_of
from fieldsheet.site.entries import SiteShot, entries_of
from fieldsheet.site.version import version_list
from fieldsheet.site.years import MOONS, Day, YearView, year_rows, year_view
from fieldsheet.sky.pack import read_pack
from fieldsheet.sky.sky import Sky
from tests.in_memory import in_memory
from tests.site.sample import sample_packs

DAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
MOST_BYTES = 25_000  # of a page


@pytest.fixture(scope="module")
def shots(demo: Catalog, sky: Sky) -> list[SiteShot]:
    """One shot with needs, one that some nights cannot be planned for, one without needs."""
    plans = [plan_shot(demo.brief(shot_id), sky, {}) for shot_id in ("slipway", "moonrise", "hoist")]
    return [{"plan": plan, "sheet": make_sheet(plan)} for plan in plans]


@pytest.fixture(scope="module")
def views(shots: list[SiteShot], sky: Sky) -> dict[str, YearView]:
    found = year_rows(entries_of(shots, ()), sky)
    return {entry.id: year_view(entry.plan["brief"], json.loads(rows)) for entry, rows in found}


def test_only_shots_with_needs_have_a_year(views: dict[str, YearView]) -> None:
    assert views.keys() == {"slipway", "moonrise"}


def test_a_year_is_twelve_whole_months_from_that_of_its_night(views: dict[str, YearView]) -> None:
    view = views["slipway"]
    assert (view.first, view.last) == ("Tue 1 June 2027", "Wed 31 May 2028")
    assert (view.nights.lines[0].date, view.nights.lines[-1].date) == ("2027-06-01", "2028-05-31")
    assert len(view.months) == 12


def test_a_year_begins_where_the_sky_does(shots: list[SiteShot], packs: dict[int, bytes]) -> None:
    early: Any = copy.deepcopy(shots[:1])
    early[0]["plan"]["window"]["night"] = "2027-01-20"
    sky = Sky([read_pack(packs[year]) for year in (2027, 2028)])
    ((entry, rows),) = year_rows(entries_of(early, ()), sky)
    view = year_view(entry.plan["brief"], json.loads(rows))
    assert (view.first, view.last) == ("Mon 4 January 2027", "Fri 31 December 2027")
    assert view.nights.count("none") == 0


def days_of(view: YearView) -> list[Day]:
    return [day for month in view.months for week in month.weeks for day in week if day is not None]


def test_every_night_of_the_year_stands_once_in_its_month_under_its_weekday(
    views: dict[str, YearView],
) -> None:
    for view in views.values():
        assert [month.name for month in view.months] == list(
            dict.fromkeys(x.month for x in view.nights.lines)
        )
        lines = iter(view.nights.lines)
        for month in view.months:
            assert all(len(week) == 7 for week in month.weeks)
            for week in month.weeks:
                for weekday, day in zip(DAYS, week, strict=True):
                    if day is not None:
                        line = next(lines)
                        assert line.month == month.name and line.day == f"{weekday} {day.number}"
        assert next(lines, None) is None


LETTERS: list[Callable[..., str]] = [
    lambda: "",
    lambda a: a,
    lambda a, b: f"{a} {b}",
    lambda a, b, c: f"{a} {b} {c}",
    lambda a, b, *_: f"{a} {b} +2",
    lambda a, b, *_: f"{a} {b} +3",
]


def test_days_say_what_the_lines_say(views: dict[str, YearView]) -> None:
    seen = set()
    for view in views.values():
        for day, line in zip(days_of(view), view.nights.lines, strict=True):
            seen.add(day.kind)
            assert (day.kind == "good") == (line.verdict == "good")
            assert (day.kind == "none") == (line.verdict == "none")
            assert day.moon / MOONS == pytest.approx(line.lit, abs=0.5 / MOONS)
            lacks = LETTERS[len(line.unmet)](*line.unmet) or ("!" if line.why else "")
            assert day.letters == ("×" if day.kind == "none" else lacks)
    assert seen == {"good", "near", "fails", "none"}


def test_a_night_of_which_not_all_is_known_is_open(demo: Catalog, sky: Sky) -> None:
    """Of the tides of the year three days are typed in."""
    brief = demo.brief("slipway")
    brief["needs"] += [{"kind": "event-between", "event": "low tide", "between": [72_000, 84_600]}]
    view = year_view(brief, search(brief, sky, date(2027, 6, 1), date(2027, 6, 30)))
    by_number = {day.number: day for day in days_of(view)}
    assert (by_number[30].kind, by_number[30].letters) == ("open", "f?")
    assert (by_number[27].kind, by_number[27].letters) == ("near", "c f?")
    assert view.nights.count("open") > 0


def test_reasons_count_every_failure(views: dict[str, YearView]) -> None:
    view = views["moonrise"]
    faults = [len(line.unmet) + bool(line.why) for line in view.nights.lines]
    assert sum(one.nights for one in view.nights.reasons) == sum(faults)
    assert sum(one.alone for one in view.nights.reasons) == faults.count(1)


def test_pages_of_years_are_linked_and_not_carried(shots: list[SiteShot]) -> None:
    files = in_memory(build_site("Saltings", "saltings", shots, sample_packs()))
    years = {path for path in files if path.startswith("years/")}
    assert years == {"years/year.css", "years/slipway/index.html", "years/moonrise/index.html"}
    assert b"../../years/slipway/" in files["shots/slipway/index.html"]
    assert b"years/" not in files["shots/hoist/index.html"]
    listed = version_list(files)
    assert not years & (listed["files"].keys() | listed["cards"].keys())
    for path in years:
        assert b" style=" not in files[path] and len(files[path]) < MOST_BYTES
    page = files["years/slipway/index.html"].decode()
    assert (
        page.index("Good nights")
        < page.index("Every night of the year")
        < page.index("What keeps the others")
    )


def test_a_site_without_needs_has_no_years(shots: list[SiteShot]) -> None:
    bare: list[SiteShot] = copy.deepcopy(shots[2:])
    assert not [path for path in build_site("Saltings", "saltings", bare, sample_packs()) if "years/" in path]


def test_a_title_is_text_on_the_page(shots: list[SiteShot]) -> None:
    one: Any = copy.deepcopy(shots[0])
    one["sheet"]["title"] = "<b>& co"
    page = bytes_of(build_site("Saltings", "saltings", [one], sample_packs())["years/slipway/index.html"])
    assert b"<b>& co" not in page and b"&lt;b&gt;&amp; co" in page
