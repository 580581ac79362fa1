"""The large sheet and the cards of many shots as files: sound, tagged, with a bookmark for each shot."""

from __future__ import annotations

import subprocess
from pathlib import Path
from typing import Any

import pypdfium2
import pytest
import zxingcpp

from fieldsheet.cards.cards import COMBINED_MOST
from fieldsheet.sheet.glue import NBSP
from tests.cards.cases import everything, still, stopped
from tests.cards.pdf import MM, card_pdf, chars, combined_pdf, made, picture, sheet_pdf
from tests.cards.sample import LINK, sample

Shots = list[tuple[dict[str, Any], str]]


@pytest.fixture(scope="module")
def shots() -> Shots:
    """Three shots of one catalog; the second has an odd number of sides."""
    out: Shots = []
    for n, change in enumerate((everything, still, stopped)):
        sheet = sample()
        change(sheet)
        sheet |= {"title": f"Shot {n}", "letter": "ABC"[n], "revision": f"K3F7Q{n}"}
        out.append((sheet, f"https://sheets.example.org/slipway/shots/shot-{n}/#r=K3F7Q{n}"))
    return out


@pytest.fixture(scope="module")
def combined(shots: Shots, tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("combined") / "cards.pdf"
    path.write_bytes(combined_pdf("Slipway nights", shots))
    return path


@pytest.fixture(scope="module")
def large(tmp_path_factory: pytest.TempPathFactory) -> Path:
    sheet = sample()
    everything(sheet)
    path = tmp_path_factory.mktemp("large") / "sheet.pdf"
    path.write_bytes(sheet_pdf(sheet, LINK))
    return path


def run(*command: str | Path) -> str:
    return subprocess.run(command, check=True, capture_output=True, text=True).stdout


@pytest.mark.parametrize("name", ["combined", "large"])
def test_the_file_is_sound_tagged_in_a_language_and_carries_its_fonts(
    name: str, request: pytest.FixtureRequest
) -> None:
    path = request.getfixturevalue(name)
    assert "No syntax or stream encoding errors found" in run("qpdf", "--check", path)
    fonts = [line.split() for line in run("pdffonts", path).splitlines()[2:]]
    assert {(font[0].split("+")[1], *font[-5:-2]) for font in fonts} == {
        ("Fira-Sans", "yes", "yes", "yes"),
        ("Fira-Sans-Semi-Bold", "yes", "yes", "yes"),
    }
    assert "Tagged:          yes" in run("pdfinfo", path)
    unpacked = subprocess.run(
        ["qpdf", "--qdf", "--object-streams=disable", path, "-"], check=True, capture_output=True
    ).stdout
    assert b"/Lang (en)" in unpacked and b"pdfuaid:part" in unpacked


def test_titles_say_what_the_files_are(combined: Path, large: Path) -> None:
    assert "Title:           Slipway nights: cards\n" in run("pdfinfo", combined)
    facts = run("pdfinfo", large)
    assert "Title:           Slipway: dusk to the core, Sat 5 June 2027: sheet for rig A, rev" in facts


def test_every_shot_has_its_bookmark_at_its_front(combined: Path) -> None:
    document = pypdfium2.PdfDocument(combined)
    marks = [mark for mark in document.get_toc() if mark.level == 0]
    assert [mark.get_title() for mark in marks] == [
        f"Sat 5 June 2027: Shot {n}, rig {letter}" for n, letter in enumerate("ABC")
    ]
    for n, mark in enumerate(marks):
        index = mark.get_dest().get_index()
        page = document[index].get_textpage().get_text_range().replace(NBSP, " ")
        assert f"Shot {n}" in page and "pan zero" in page and index % 2 == 0


def test_double_sided_print_keeps_the_shots_apart(combined: Path, shots: Shots) -> None:
    document = pypdfium2.PdfDocument(combined)
    alone = [len(made(card_pdf, *shot)) for shot in shots]
    assert any(count % 2 for count in alone)
    assert len(document) == sum(count + count % 2 for count in alone)
    for page in document:
        assert page.get_width() * MM == pytest.approx(148, abs=0.1)
    for n, (sheet, _) in enumerate(shots):
        first = sum(count + count % 2 for count in alone[:n])
        for number in range(first, first + alone[n]):
            side = "".join(char.char for char in chars(document, number))
            assert sheet["revision"] in side or number == first + 1


def test_every_code_of_the_combined_file_opens_its_own_shot(combined: Path, shots: Shots) -> None:
    document = pypdfium2.PdfDocument(combined)
    codes = [
        code.text
        for number in range(len(document))
        for code in zxingcpp.read_barcodes(picture(document, number, 150))
    ]
    assert codes == [link for _, link in shots]


def test_pages_of_a_large_sheet_are_numbered_and_named(large: Path) -> None:
    document = pypdfium2.PdfDocument(large)
    count = len(document)
    assert 2 <= count <= 3
    for n, page in enumerate(document):
        text = "".join(page.get_textpage().get_text_range().split())
        assert f"K3F7Q2page{n + 1}of{count}" in text and "Slipway:dusktothecore" in text


def test_a_large_sheet_opens_with_what_stops_the_shot() -> None:
    sheet = sample()
    stopped(sheet)
    found = chars(made(sheet_pdf, sheet), 0)
    said = "".join(char.char for char in found)
    order = ["Nogo:Theint", "Nogo:K3", "Mind:The", "Stopif:", "leave16:40", "K3END"]
    order += ["firstframe", "sunset20:45"]
    tops = [found[said.index(text)].top for text in order]
    assert tops == sorted(tops)


@pytest.mark.parametrize("count", [0, COMBINED_MOST + 1])
def test_a_combined_file_of_too_many_shots_or_none_is_refused_in_words(count: int) -> None:
    with pytest.raises(ValueError, match=f"{count} shots in one file of cards; right: 1 to {COMBINED_MOST}"):
        combined_pdf("Season", [(sample(), LINK)] * count)
