"""The sheet of a date, the kit list and the file of everything, on both papers, read by other libraries."""

from __future__ import annotations

import ctypes
import subprocess
from dataclasses import dataclass, replace
from functools import cache
from pathlib import Path
from typing import Any

import pypdfium2
import pypdfium2.raw as raw
import pytest

from fieldsheet.cards.day import day_html
from fieldsheet.cards.everything import everything_html
from fieldsheet.cards.kit import Kit, kit_html, kit_said
from fieldsheet.cards.render import pdf_of
from fieldsheet.cards.sizes import sheet_of
from fieldsheet.catalog.powered import charging_of
from fieldsheet.catalog.read import Catalog
from fieldsheet.press import plan_shot
from fieldsheet.sheet.across.between import between_of
from fieldsheet.sheet.across.day import DayView, day_view
from fieldsheet.sheet.across.kit import kit_of
from fieldsheet.sheet.across.lanes import Lane
from fieldsheet.sheet.across.night import Moment
from fieldsheet.sheet.across.shots import nights_of, shots_of
from fieldsheet.sheet.across.totals import totals_of
from fieldsheet.sheet.sheet import make_sheet
from fieldsheet.sky.sky import Sky
from tests.cards.pdf import Char, chars

# ISO 216: A4 is 210 by 297 mm; letter is 8.5 by 11 in.
PAPERS = {"A4": (210.0, 297.0), "letter": (215.9, 279.4)}
MM = 25.4 / 72
# Two share a date, the third has another.
SHOTS = ("slipway", "pole-circle", "clouds")
EDGE = 9.5
"""The margins are 12 and 10 mm; a letter may reach a little over its line."""


@dataclass(frozen=True)
class Said:
    """Shots of the demo, across."""

    days: list[DayView]
    kit: Kit


@pytest.fixture(scope="module")
def said(demo: Catalog, sky: Sky) -> Said:
    plans = {shot_id: plan_shot(demo.brief(shot_id), sky, {}) for shot_id in SHOTS}
    shots = shots_of(plans, {shot_id: make_sheet(plan) for shot_id, plan in plans.items()})
    nights = nights_of(shots)
    days = [day_view(night, {night.date: ["A clash of two"]}, sky) for night in nights]
    between = between_of(shots, charging_of(demo.head))
    return Said(days, kit_said(len(shots), kit_of(shots), totals_of(nights), between))


@pytest.fixture(scope="module")
def whole(said: Said, demo: Catalog, tmp_path_factory: pytest.TempPathFactory) -> Path:
    codes = {shot_id: (f"https://example.org/{shot_id}/", None) for shot_id in SHOTS}
    path = tmp_path_factory.mktemp("whole") / "everything.pdf"
    path.write_bytes(pdf_of(everything_html(demo.title, said.days, codes, said.kit, sheet_of("letter"))))
    return path


@pytest.fixture(scope="module")
def crowd(said: Said, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A day with twenty-four people, one of them with a name as long as a catalog lets it be."""
    day = said.days[0]
    long = "Wilhelmina " * 10
    lanes = [Lane(long if n == 20 else f"Person {n}", day.lanes[n % 3].stints * 2) for n in range(24)]
    path = tmp_path_factory.mktemp("crowd") / "day.pdf"
    path.write_bytes(pdf_of(day_html("Many hands", replace(day, lanes=tuple(lanes)), sheet_of("A4"))))
    return path


@cache
def document(path: Path) -> pypdfium2.PdfDocument:
    return pypdfium2.PdfDocument(path)


def run(*command: str | Path) -> str:
    return subprocess.run(command, check=True, capture_output=True, text=True).stdout


def printed(html: str) -> pypdfium2.PdfDocument:
    return pypdfium2.PdfDocument(pdf_of(html))


def squeezed(found: pypdfium2.PdfDocument, number: int) -> str:
    return "".join(found[number].get_textpage().get_text_range().split())


def outside(found: pypdfium2.PdfDocument, foot: float = EDGE) -> list[tuple[int, Char]]:
    """Characters that come nearer to an edge of their page than the margins."""
    out = []
    for number in range(len(found)):
        wide, high = (length * MM for length in found[number].get_size())
        for char in chars(found, number):
            kept = char.left >= EDGE and char.right <= wide - EDGE
            if not (kept and char.top >= EDGE and char.bottom <= high - foot):
                out.append((number, char))
    return out


def overprinted(found: pypdfium2.PdfDocument) -> list[tuple[Char, Char]]:
    """Characters whose ink lies in each other."""
    out = []
    for number in range(len(found)):
        near = sorted(chars(found, number), key=lambda char: char.top)
        for n, one in enumerate(near):
            for other in near[n + 1 :]:
                if other.top >= one.bottom:
                    break
                across = min(one.right, other.right) - max(one.left, other.left)
                down = min(one.bottom, other.bottom) - max(one.top, other.top)
                if across > 0.3 and down > 0.3:
                    out.append((one, other))
    return out


@pytest.mark.parametrize(("kind", "size"), [("day", "A4"), ("kit", "letter")])
def test_a_sheet_has_its_size_and_nothing_outside_or_upon_each_other(
    kind: str, size: str, said: Said, demo: Catalog
) -> None:
    paper = sheet_of(size)
    day, kit = said.days[0], said.kit
    of_day = kind == "day"
    found = printed(day_html(demo.title, day, paper) if of_day else kit_html(demo.title, kit, paper))
    for page in found:
        assert [length * MM for length in page.get_size()] == pytest.approx(PAPERS[size], abs=0.1)
    assert outside(found) == []
    assert overprinted(found) == []


def test_a_crowd_goes_on_over_pages_under_the_hours_again(crowd: Path) -> None:
    found = document(crowd)
    assert len(found) > 2 and outside(found) == [] and overprinted(found) == []
    assert all("17:0018:00" in squeezed(found, number) for number in range(len(found) - 2))
    text = "".join(squeezed(found, number) for number in range(len(found)))
    assert all(f"Person{n}" in text for n in range(24) if n != 20) and "Wilhelmina" in text


def test_the_day_sheet_opens_with_the_clash_and_says_who_stands_where(said: Said, demo: Catalog) -> None:
    """At 21:30 two are on the slipway with frames running, one is at the same place setting up."""
    found = printed(day_html(demo.title, said.days[0], sheet_of("A4")))
    text = squeezed(found, 0)
    order = [text.index(part) for part in ("Clash:Aclashoftwo", "Whoiswhere", "Osk", "Maren", "Bytheclock")]
    assert order == sorted(order)
    at = {words: _place(found, words) for words in ("21:00", "22:00")}
    middle = (at["21:00"] + at["22:00"]) / 2
    image = found[0].render(scale=150 / 72).to_pil().convert("L")
    bars = {who: _row_of(found, who) + 5.6 for who in ("Osk", "Runa", "Maren")}
    dark = {who: image.getpixel((int(middle / 25.4 * 150), int(y / 25.4 * 150))) for who, y in bars.items()}
    assert dark["Osk"] < 60 and dark["Runa"] < 60 and dark["Maren"] > 200


def _found(found: pypdfium2.PdfDocument, words: str) -> list[Char]:
    row = chars(found, 0)
    at = "".join(char.char for char in row).index(words)
    return list(row[at : at + len(words)])


def _place(found: pypdfium2.PdfDocument, words: str) -> float:
    """The middle of words on the first page, mm from its left."""
    some = _found(found, words)
    return (some[0].left + some[-1].right) / 2


def _row_of(found: pypdfium2.PdfDocument, words: str) -> float:
    return _found(found, words)[0].top


def test_the_kit_list_has_a_box_for_each_thing_once_and_tells_what_falls_short(
    said: Said, demo: Catalog
) -> None:
    found = printed(kit_html(demo.title, said.kit, sheet_of("A4")))
    text = "".join(squeezed(found, number) for number in range(len(found)))
    for row in said.kit.rows:
        assert "".join(f"{row.text}".split()) in text
    for total in (*said.kit.between, *(one for _, some in said.kit.by_night for one in some)):
        assert "".join(total.text.split()) in text


def test_the_file_of_everything_is_sound_tagged_titled_in_a_language_and_carries_its_fonts(
    whole: Path, demo: Catalog
) -> None:
    assert "No syntax or stream encoding errors found" in run("qpdf", "--check", whole)
    fonts = [line.split() for line in run("pdffonts", whole).splitlines()[2:]]
    assert {(font[0].split("+")[1], *font[-5:-2]) for font in fonts} == {
        ("Fira-Sans", "yes", "yes", "yes"),
        ("Fira-Sans-Semi-Bold", "yes", "yes", "yes"),
    }
    facts = run("pdfinfo", whole)
    assert "Tagged:          yes" in facts and f"Title:           {demo.title}: everything\n" in facts
    unpacked = run_bytes("qpdf", "--qdf", "--object-streams=disable", str(whole), "-")
    assert b"/Lang (en)" in unpacked and b"pdfuaid:part" in unpacked


def run_bytes(*command: str) -> bytes:
    return subprocess.run(command, check=True, capture_output=True).stdout


def test_everything_stands_on_letter_inside_its_margins(whole: Path) -> None:
    found = document(whole)
    for page in found:
        assert [length * MM for length in page.get_size()] == pytest.approx(PAPERS["letter"], abs=0.1)
    # The numbers of the pages stand in the lower margin.
    assert outside(found, foot=3.0) == []


def test_no_line_of_a_full_page_goes_over_to_the_next(said: Said, demo: Catalog) -> None:
    """With an hour more from date to date, rows fill their columns to the brim in other ways."""
    day = said.days[0]
    night = replace(day.night, night=replace(day.night.night, entries=()))
    hours = [Moment(n, f"hour {n}", "due", "", "", "sky") for n in range(76)]
    days = [replace(day, night=replace(night, moments=hours[:n])) for n in range(74, 77)]
    found = printed(everything_html(demo.title, days, {}, said.kit, sheet_of("letter")))
    assert overprinted(found) == []


def test_the_bookmarks_follow_the_nights_and_lead_to_them(whole: Path, said: Said) -> None:
    found = document(whole)
    marks = [mark for mark in found.get_toc() if mark.level == 0]
    nights = [day.night.night.title for day in said.days]
    assert [mark.get_title() for mark in marks[1:]] == [*nights, "Kit"]
    for mark in marks:
        assert "".join(mark.get_title().split()) in squeezed(found, mark.get_dest().get_index())
    shots = [mark.get_title() for mark in found.get_toc() if mark.level == 1 and "rig" in mark.get_title()]
    assert len(shots) == len(SHOTS)


def test_the_contents_link_every_part_by_the_number_printed_on_it(whole: Path, said: Said) -> None:
    found = document(whole)
    listed = list(dict.fromkeys(links_of(found[0])))
    assert len(listed) == len(said.days) + len(SHOTS) + 1
    contents = squeezed(found, 0)
    for page in listed:
        number = str(page + 1)
        assert number in contents and squeezed(found, page).endswith(number)
    titles = [shot.sheet["title"] for day in said.days for shot in day.night.night.entries]
    places = [contents.index("".join(title.split())) for title in titles]
    assert places == sorted(places)


def links_of(page: Any) -> list[int]:
    """The pages that a page's links lead to, in their order."""
    out, at, link = [], ctypes.c_int(0), raw.FPDF_LINK()
    while raw.FPDFLink_Enumerate(page.raw, ctypes.byref(at), ctypes.byref(link)):
        dest = raw.FPDFLink_GetDest(page.pdf.raw, link)
        out.append(raw.FPDFDest_GetDestPageIndex(page.pdf.raw, dest))
    return out
