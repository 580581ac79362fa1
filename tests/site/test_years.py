"""The page of a year: every night drawn once, the good ones listed, nothing of it carried by the phone."""

from __future__ import annotations

import copy
from typing import Any

import pytest

from fieldsheet.catalog.read import Catalog
from fieldsheet.press import plan_shot
from fieldsheet.sheet.sheet import make_sheet
from fieldsheet.site.build import build_site
from fieldsheet.site.entries import SiteShot, entries_of
from fieldsheet.site.version import version_list
from fieldsheet.site.years import ROW_NIGHTS, WIDTH, YearView, year_views
from fieldsheet.sky.sky import Sky
from tests.site.sample import sample_packs


@pytest.fixture(scope="module")
def shots(demo: Catalog, sky: Sky) -> list[SiteShot]:
    """One shot with needs, one that some nights cannot be planned for, one without needs."""
    plans = [plan_shot(demo.brief(shot_id), sky, {}) for shot_id in ("slipway", "moonrise", "hoist")]
    return [{"plan": plan, "sheet": make_sheet(plan)} for plan in plans]


@pytest.fixture(scope="module")
def views(shots: list[SiteShot], sky: Sky) -> dict[str, YearView]:
    return {entry.id: view for entry, view in year_views(entries_of(shots, {}, {}), sky)}


def test_only_shots_with_needs_have_a_year(views: dict[str, YearView]) -> None:
    assert views.keys() == {"slipway", "moonrise"}


def test_every_night_of_the_year_has_its_own_mark_inside_the_drawing(views: dict[str, YearView]) -> None:
    for view in views.values():
        marks = [mark for month in view.months for mark in month.marks]
        assert len(marks) == len({(mark.x, mark.y) for mark in marks}) == len(view.nights.lines) == 365
        assert all(0 <= mark.x <= WIDTH - view.mark and mark.y + view.mark <= view.height for mark in marks)
        assert max(len([m for m in marks if m.y == mark.y]) for mark in marks) <= ROW_NIGHTS


def test_marks_say_what_the_lines_say(views: dict[str, YearView]) -> None:
    seen = set()
    for view in views.values():
        marks = [mark for month in view.months for mark in month.marks]
        for mark, line in zip(marks, view.nights.lines, strict=True):
            seen.add(mark.kind)
            assert (mark.kind == "good") == line.good
            assert (mark.kind == "none") == bool(line.why)
            assert mark.bar == pytest.approx(line.lit * view.mark)
            if mark.kind == "good":
                assert mark.text == str(int(line.date[-2:]))
            elif mark.kind == "near":
                assert (mark.text,) == line.unmet
    assert seen == {"good", "near", "fails", "none"}


def test_reasons_count_every_failure(views: dict[str, YearView]) -> None:
    view = views["moonrise"]
    fails = sum(len(line.unmet) or bool(line.why) for line in view.nights.lines)
    assert sum(count for _, count, _ in view.nights.reasons) == fails
    single = sum(len(line.unmet) == 1 or bool(line.why) for line in view.nights.lines)
    assert sum(alone for _, _, alone in view.nights.reasons) == single


def test_pages_of_years_are_linked_and_not_carried(shots: list[SiteShot]) -> None:
    files = build_site("Saltings", "saltings", shots, sample_packs())
    years = {path for path in files if path.startswith("years/")}
    assert years == {"years/year.css", "years/slipway/index.html", "years/moonrise/index.html"}
    assert b"../../years/slipway/" in files["shots/slipway/index.html"]
    assert b"years/" not in files["shots/hoist/index.html"]
    listed = version_list(files)
    assert not years & (listed["files"].keys() | listed["cards"].keys())
    assert b" style=" not in files["years/slipway/index.html"]


def test_a_site_without_needs_has_no_years(shots: list[SiteShot]) -> None:
    bare: list[SiteShot] = copy.deepcopy(shots[2:])
    assert not [path for path in build_site("Saltings", "saltings", bare, sample_packs()) if "years/" in path]


def test_a_title_is_text_on_the_page(shots: list[SiteShot]) -> None:
    one: Any = copy.deepcopy(shots[0])
    one["sheet"]["title"] = "<b>& co"
    page = build_site("Saltings", "saltings", [one], sample_packs())["years/slipway/index.html"]
    assert b"<b>& co" not in page and b"&lt;b&gt;&amp; co" in page
