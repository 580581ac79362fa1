"""The PDF as a file: sound, tagged, the same every time, made from the sheet and two fonts only."""

from __future__ import annotations

import shutil
import subprocess
import sys
from pathlib import Path

import pypdfium2
import pytest
import zxingcpp

from fieldsheet.cards.cards import card_html
from fieldsheet.cards.render import font_bytes
from tests.cards.pdf import card_pdf, picture, words
from tests.cards.sample import LINK, sample

ROOT = Path(__file__).parents[2]


@pytest.fixture(scope="module")
def plain_pdf(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("card") / "card.pdf"
    path.write_bytes(card_pdf(sample(), LINK))
    return path


def test_the_code_is_a_tenth_of_the_distance_wide_in_a_clear_zone_of_four(plain_pdf: Path) -> None:
    dpi = 600
    document = pypdfium2.PdfDocument(plain_pdf)
    image = picture(document, 1, dpi)
    (code,) = zxingcpp.read_barcodes(image)
    corners = code.position
    x0, y0, x1, y1 = (
        n / dpi * 25.4
        for n in (corners.top_left.x, corners.top_left.y, corners.bottom_right.x, corners.bottom_right.y)
    )
    assert x1 - x0 == pytest.approx(30, abs=0.2)
    assert x1 <= 148 - 4 and y1 <= 105 - 4
    zone = 4 * 30 / 41 - 0.2
    around = [int(n * dpi / 25.4) for n in (x0 - zone, y0 - zone, x1 + zone, y1 + zone)]
    cleared = image.crop((around[0], around[1], around[2], around[3]))
    inside = int(zone * dpi / 25.4) - 2
    cleared.paste(255, (inside, inside, cleared.width - inside, cleared.height - inside))
    assert cleared.getextrema() == (255, 255)


def test_the_file_is_sound_tagged_titled_and_carries_its_fonts(plain_pdf: Path) -> None:
    def run(*command: str) -> str:
        return subprocess.run([*command, str(plain_pdf)], check=True, capture_output=True, text=True).stdout

    assert "No syntax or stream encoding errors found" in run("qpdf", "--check")
    fonts = [line.split() for line in run("pdffonts").splitlines()[2:]]
    assert {(font[0].split("+")[1], *font[-5:-2]) for font in fonts} == {
        ("Fira-Sans", "yes", "yes", "yes"),
        ("Fira-Sans-Semi-Bold", "yes", "yes", "yes"),
    }
    facts = run("pdfinfo")
    assert "Tagged:          yes" in facts
    assert (
        "Title:           Slipway: dusk to the core, Sat 5 June 2027: card for rig A, revision K3F7Q2"
        in facts
    )
    assert "CreationDate" not in facts and "ModDate" not in facts
    unpacked = subprocess.run(
        ["qpdf", "--qdf", "--object-streams=disable", str(plain_pdf), "-"], check=True, capture_output=True
    ).stdout
    assert b"/Lang (en)" in unpacked and b"/Alt (code that opens this plan, revision K3F7Q2)" in unpacked


def test_markup_in_a_sheet_stays_text() -> None:
    sheet = sample()
    sheet["title"] = "<b>Dusk</b> & </script>"
    sheet["strip"]["moments"][0]["label"] = "<g>sun"
    html = card_html(sheet, LINK)
    assert "<b>Dusk" not in html and "<g>sun" not in html
    printed = words(pypdfium2.PdfDocument(card_pdf(sheet, LINK)))
    assert "<b>Dusk</b>&</script>" in printed and "<g>sun20:45" in printed


def test_the_renderer_may_open_the_cards_fonts_and_nothing_else(tmp_path: Path, said: list[str]) -> None:
    secret = tmp_path / "secret.ttf"
    shutil.copy(Path(__file__), secret)
    for url in (
        secret.as_uri(),
        "https://example.org/FiraSans-Regular.ttf",
        "card-font:FiraSans-Thin.ttf",
        "card-font:../LICENSE",
    ):
        with pytest.raises(ValueError, match="its own fonts only"):
            font_bytes(url)
    assert font_bytes("card-font:FiraSans-Regular.ttf")[:4] == b"\0\1\0\0"


def test_what_the_renderer_says_is_heard(said: list[str]) -> None:
    from weasyprint import HTML

    HTML(string="<p style='colour: red'>x</p>").write_pdf()
    assert any("colour" in line for line in said)
    said.clear()


def test_a_machine_without_pango_is_told_so_in_words() -> None:
    """The renderer's import fails as it does where the library is missing: with an OSError."""
    code = (
        "import sys\n"
        "class NoPango:\n"
        "    def find_spec(self, name, path=None, target=None):\n"
        "        if name == 'weasyprint': raise OSError('cannot load library libgobject-2.0-0')\n"
        "sys.meta_path.insert(0, NoPango())\n"
        "from fieldsheet.cards.render import PangoMissing, check_renderer, pdf_of\n"
        "for call in (check_renderer, lambda: pdf_of('')):\n"
        "    try: call()\n"
        "    except PangoMissing as missing: print(missing)\n"
    )
    run = subprocess.run([sys.executable, "-c", code], check=True, capture_output=True, text=True, cwd=ROOT)
    assert run.stdout == "cards need the system library Pango (on Debian: libpangoft2-1.0-0)\n" * 2


def test_the_package_is_imported_without_the_renderer() -> None:
    code = "import sys, fieldsheet.cards.cards; print('weasyprint' in sys.modules)"
    run = subprocess.run([sys.executable, "-c", code], check=True, capture_output=True, text=True, cwd=ROOT)
    assert run.stdout == "False\n"


def test_what_sets_the_text_is_known_before_the_renderer_is_loaded() -> None:
    from weasyprint.text.ffi import pango

    code = (
        "import sys\n"
        "from fieldsheet.cards.render import check_renderer, text_setter\n"
        "check_renderer()\n"
        "print(text_setter(), 'weasyprint' in sys.modules)\n"
    )
    run = subprocess.run([sys.executable, "-c", code], check=True, capture_output=True, text=True, cwd=ROOT)
    assert run.stdout == f"{pango.pango_version()} False\n"
