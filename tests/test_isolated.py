"""Texts that run from the right: held apart in a brief, as they were written everywhere else."""

from __future__ import annotations

import json
import re
import shutil
from pathlib import Path
from typing import Any

import pypdfium2
import pytest
from hypothesis import given
from hypothesis import strategies as st

from fieldsheet.cards.render import pdf_of
from fieldsheet.catalog.read import read_catalog
from fieldsheet.checklists.row import must
from fieldsheet.exchange.plaintext import plain_text
from fieldsheet.isolated import FIRST_STRONG, POP, bare, isolated
from fieldsheet.press import plan_catalog
from fieldsheet.products import Job, products_of
from fieldsheet.site.fonts import missing_glyphs
from fieldsheet.terminal.plain import plain
from tests.cards.pdf import chars
from tests.commands import edit
from tests.hostile.marked import Marked

NAME = "\u05de\u05d2\u05d3\u05dc\u05d5\u05e8"  # Hebrew: lighthouse
LIGHTHOUSE = f"{NAME} 12"
TOWER = "\u0628\u0631\u062c"  # Arabic


@pytest.mark.parametrize(
    ("text", "held"),
    [
        (LIGHTHOUSE, True),
        (f"north of {TOWER}, 4 m", True),
        ("\u0661\u0662", True),  # Arabic-Indic digits alone draw what follows them along (AN, rule N1)
        ("Molo 12 · 19:40", False),
        ("Мост 12", False),
        ("橋 12", False),
        ("−12°", False),
        ("", False),
    ],
)
def test_what_runs_from_the_right_is_held_apart_and_nothing_else(text: str, held: bool) -> None:
    assert isolated(text) == (f"{FIRST_STRONG}{text}{POP}" if held else text)


def json_values() -> st.SearchStrategy[object]:
    leaves = st.none() | st.booleans() | st.integers() | st.text("a1 \u05d0\u0628\u0661", max_size=4)
    return st.recursive(leaves, lambda parts: st.lists(parts) | st.dictionaries(st.text("ab"), parts))


@given(json_values())
def test_a_value_keeps_all_but_these_signs(value: object) -> None:
    held = json.dumps(isolated(value), ensure_ascii=False)
    assert json.loads(bare(held)) == value
    assert held.count(FIRST_STRONG) == held.count(POP)


def test_the_sheet_has_them_and_texts_for_other_programs_do_not(one_shot: Path, tmp_path: Path) -> None:
    folder = Path(shutil.copytree(one_shot, tmp_path / "catalog"))
    shot = folder / "shots" / "slipway.toml"
    title = next(line for line in shot.read_text("utf-8").splitlines() if line.startswith("title"))
    edit(shot, title, f'title = "{LIGHTHOUSE}"')
    sheet = plan_catalog(read_catalog(folder)).sheets["slipway"]
    assert sheet["title"] == f"{FIRST_STRONG}{LIGHTHOUSE}{POP}"
    assert plain(sheet["title"]) == LIGHTHOUSE
    assert plain_text(sheet).startswith(f"{LIGHTHOUSE}, rig")
    assert set(missing_glyphs(sheet["title"])) == set(LIGHTHOUSE) - set(" 12")


def test_an_item_about_such_a_text_has_the_same_name_with_and_without_the_signs() -> None:
    """So that ticks of older sheets stay where they are."""
    bare, held = (must("tethered", text, "lead").item("rig") for text in (LIGHTHOUSE, isolated(LIGHTHOUSE)))
    assert held["id"] == bare["id"]


class FromTheRight(Marked):
    """Each text but the catalog's title is the same name with a number of its own."""

    def _text(self, name: str) -> str:
        text = "Season" if name == "catalog:title" else f"{NAME} {1000 + len(self.told)}"
        self.told[text] = name
        return text


def test_every_text_of_a_catalog_is_held_apart_wherever_it_stands_on_sheet_and_paper(
    one_shot: Path, tmp_path: Path
) -> None:
    """But for the lanes of a day, whose labels are cut."""
    folder = Path(shutil.copytree(one_shot, tmp_path / "catalog"))
    FromTheRight().catalog(folder)
    catalog = read_catalog(folder)
    planned = plan_catalog(catalog)
    typed: dict[str, Any] = dict.fromkeys(type(catalog.head.print).model_fields)
    paper = [one for one in products_of(Job(catalog, planned, False, typed)) if one.is_paper]
    written = {one.path: str(one.laid_out()) for one in paper if "/days/" not in one.path}
    written["sheets"] = json.dumps(planned.sheets, ensure_ascii=False)
    assert len(written) > 3
    for path, text in written.items():
        bare, count = re.subn(rf"{FIRST_STRONG}{NAME} \d+{POP}", "", text)
        assert count > 3 and NAME not in bare, path


@pytest.mark.parametrize("number", ["32", "7"])
def test_the_renderer_of_paper_draws_what_follows_on_the_right(number: str, said: list[str]) -> None:
    """By where the PDF's characters stand."""
    page = (
        f"<!doctype html><html lang=en><title>x</title><p>pack {isolated(LIGHTHOUSE)} {number} of 47 Wh</p>"
    )
    drawn = chars(pypdfium2.PdfDocument(pdf_of(page)), 0)
    said.clear()  # on signs that a typeface lacks
    digits = "".join(one.char for one in sorted(drawn, key=lambda one: one.left) if one.char.isdigit())
    assert digits == f"12{number}47"
