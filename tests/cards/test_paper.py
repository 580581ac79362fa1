"""Cards and large sheets alike: nothing is cut, covered, too small, too near the edge, or left out."""

from __future__ import annotations

import copy
from collections.abc import Callable, Iterator
from dataclasses import dataclass

import numpy as np
import pypdfium2
import pytest

from fieldsheet.cards.cards import card_html, sheet_html
from fieldsheet.cards.sizes import CARD, SHEET, Paper
from fieldsheet.sheet.strip_marks import named
from tests.cards import cases
from tests.cards.cases import CASES, Sheet
from tests.cards.pdf import MM, card_pdf, chars, codes, inks, made, opened, picture, sheet_pdf, words
from tests.cards.sample import LINK, sample

ALLOWANCE_MM = 0.05
EDGES_MM = {"card": 5.0, "sheet": 9.7}
LARGE = [
    cases.plain,
    cases.five_long_keys,
    cases.many_items,
    cases.everything,
    cases.still,
    cases.many_aborts,
    cases.ramped,
]


FULL_BACKS = (
    *("many_times", "five_axes", "five_keys", "five_long_keys", "long_words"),
    *("unbroken", "many_aborts"),
)
"""Cases whose front goes on on the back, or whose limits or strip leave the code no corner there."""


@dataclass(frozen=True)
class Printed:
    """A sheet and what was printed of it, on which paper."""

    name: str
    paper: Paper
    sheet: Sheet
    html: str
    document: pypdfium2.PdfDocument


Case = tuple[Paper, Callable[[Sheet], None]]


def _name(case: Case) -> str:
    return f"{case[0].name}-{case[1].__name__}"


@pytest.fixture(scope="module", params=[*((CARD, c) for c in CASES), *((SHEET, c) for c in LARGE)], ids=_name)
def printed(request: pytest.FixtureRequest) -> Printed:
    paper, change = request.param
    sheet = copy.deepcopy(sample())
    change(sheet)
    html, pdf = (card_html, card_pdf) if paper == CARD else (sheet_html, sheet_pdf)
    return Printed(change.__name__, paper, sheet, html(sheet, LINK), made(pdf, sheet))


def test_every_side_has_the_size_of_its_paper(printed: Printed) -> None:
    if printed.paper == CARD:
        assert len(printed.document) == cases.SIDES.get(printed.name, len(printed.document)) >= 2
    for page in printed.document:
        size = page.get_width() * MM, page.get_height() * MM
        assert size == pytest.approx(printed.paper.page, abs=0.1)


def test_every_side_is_one_page(printed: Printed) -> None:
    """What the flow measured is what the renderer took; else a side would break over two pages."""
    assert printed.html.count('<section class="side">') == len(printed.document)


def test_nothing_is_smaller_than_ten_point(printed: Printed) -> None:
    """CAP 676, Issue 3 (2006), emergency checklists: body 12 pt, 10 at the least, judged at some 600 mm.

    The value by way of reviews of it; the document itself was not seen.
    """
    for number in range(len(printed.document)):
        assert min(char.points for char in chars(printed.document, number)) >= 9.99


def test_no_text_reaches_the_edge(printed: Printed) -> None:
    edge, (width, height) = EDGES_MM[printed.paper.name], printed.paper.page
    for number in range(len(printed.document)):
        for char in chars(printed.document, number):
            assert char.left >= edge and char.right <= width - edge, char
            assert char.top >= edge and char.bottom <= height - edge, char


def test_no_ink_reaches_the_edge(printed: Printed) -> None:
    for number in range(len(printed.document)):
        image = picture(printed.document, number, 100)
        inset = int(5.0 / 25.4 * 100)
        middle = image.crop((inset, inset, image.width - inset, image.height - inset))
        image.paste(255, (inset, inset, inset + middle.width, inset + middle.height))
        assert image.getextrema() == (255, 255)
        assert middle.getextrema()[0] == 0


def test_red_lamp_and_copier_take_nothing_away(printed: Printed) -> None:
    """No ink is a colour, and text is black on white or white on black. Common practice, no source."""
    for number in range(len(printed.document)):
        assert inks(printed.document, number) <= {(0, 0, 0), (255, 255, 255)}
        pixels = printed.document[number].render(scale=0.5).to_numpy().astype(int)
        assert np.ptp(pixels[..., :3], axis=2).max() == 0


def test_no_text_covers_another(printed: Printed) -> None:
    """Ink boxes of any two characters are apart, but for the hair by which neighbours are kerned."""
    for number in range(len(printed.document)):
        found = chars(printed.document, number)
        left, right, top, bottom = np.array([(c.left, c.right, c.top, c.bottom) for c in found]).T
        wide = np.minimum.outer(right, right) - np.maximum.outer(left, left)
        high = np.minimum.outer(bottom, bottom) - np.maximum.outer(top, top)
        pairs = np.argwhere(np.triu((wide > 0.4) & (high > ALLOWANCE_MM), 1))
        assert [(found[a], found[b]) for a, b in pairs] == []


def test_no_text_covers_the_code(printed: Printed) -> None:
    """Its clear zone included: else it might not be read."""
    for number in range(len(printed.document)):
        for code in codes(printed.document, number, 150):
            corners = code.position.top_left, code.position.bottom_right
            x0, y0, x1, y1 = (n / 150 * 25.4 for one in corners for n in (one.x, one.y))
            for char in chars(printed.document, number):
                clear = 1.8
                beside = char.right < x0 - clear or char.left > x1 + clear
                assert beside or char.bottom < y0 - clear or char.top > y1 + clear, char


@pytest.mark.parametrize("dpi", [300, 150])
def test_one_code_opens_this_revision(printed: Printed, dpi: int) -> None:
    """An independent decoder, on the clean page. On cards it is on the first back, if that has any room."""
    found = [
        (number, code.text)
        for number in range(len(printed.document))
        for code in codes(printed.document, number, dpi)
    ]
    ((number, text),) = found
    if printed.paper == CARD:
        assert number == 1 or printed.name in FULL_BACKS
    assert text == LINK and text.endswith("#r=" + printed.sheet["revision"])
    assert "opensthisplan" in words(printed.document)


def test_a_tap_on_the_code_opens_on_a_screen_what_it_opens_from_paper(printed: Printed) -> None:
    for number in range(len(printed.document)):
        found = codes(printed.document, number, 150)
        links = opened(printed.document, number)
        assert [address for address, _ in links] == [code.text for code in found]
        for code, (_, (left, top, right, bottom)) in zip(found, links, strict=True):
            corner, other = code.position.top_left, code.position.bottom_right
            assert left < corner.x / 150 * 25.4 < other.x / 150 * 25.4 < right
            assert top < corner.y / 150 * 25.4 < other.y / 150 * 25.4 < bottom


def test_every_text_of_the_sheet_is_printed(printed: Printed) -> None:
    said = words(printed.document)
    for text in _texts(printed.sheet, printed.paper):
        assert "".join(text.split()) in said, text


def _texts(sheet: Sheet, paper: Paper) -> Iterator[str]:
    named = ("letter", "title", "place", "when", "span", "zero_label", "pan_zero", "zero_magnetic")
    rail = "rail_short" if paper == CARD else "rail"
    yield from (sheet[key] for key in (*named, rail, "set_note", "permit", "stays", "position"))
    # On a card the strip has the swap in its own words; how wide the lens sees is for a front with room; how
    # the move will look is for the desk.
    apart = {"interval", "dwell", "frames", "hold", "ease", "gap"}
    desk = {"swap", "view", "top_speed", "joins", "pace", "change", "blur"} if paper == CARD else set()
    for name in {*sheet["numbers"]} - apart - desk:
        yield sheet["numbers"][name]
    for name in sheet["program"]:
        yield sheet["labels"][name] + sheet["numbers"][name]
    for name in ("abort", "notes", "hazards", "access"):
        yield from sheet[name]
    yield from (one["label"] + one["clock"] for one in sheet["deadlines"])
    yield from (one["clock"] + one["label"] for one in sheet["limits"])
    yield from (f"{one['role']}: {one['who']}" for one in sheet["crew"])
    yield from (one["name"] + one["text"] for one in sheet["sky_lines"])
    yield from (one["name"] + one["text"] for one in sheet["power"] if one["brief"] or paper == SHEET)
    yield from (one["clock"] + one["frame"] + one["file"] for one in sheet["rolling"])
    for axis in sheet["axes"]:
        yield f"{axis['letter']} {axis['unit']}"
    yield from _keyframe_texts(sheet, paper)
    for one in sheet["strip"]["moments"]:
        yield from (one["label"].removesuffix(" from").removesuffix(" until"), one["clock"], one["detail"])
    yield from (str(number) for number in sheet["strip"]["ruler"])
    yield from _list_texts(sheet)
    for warning in sheet["warnings"]:
        yield from (warning["head"], warning["sum"], warning["fix"])
    if paper == SHEET:
        yield from (one["name"] + one["text"] for one in (*sheet["arch_lines"], *sheet["dew"]))
        yield from (sheet["rig"], sheet["camera"])
        yield from (one["name"] + one["clock"] + "·" + one["frame"] for one in _outside(sheet))
        yield from _framed(sheet)
        yield from (one["name"] + one["verdict"] for one in sheet["needs"])


def _outside(sheet: Sheet) -> list[dict[str, str]]:
    """The events that no frame belongs to."""
    return [one for one in sheet["sky"] if not one["frame"].startswith("frame ")]


def _framed(sheet: Sheet) -> Iterator[str]:
    """Every event of the shot with its frame, at its label; or in the line below, which has frames alone."""
    labelled, below = named(sheet["strip"]["moments"], sheet["hangs_on"])
    yield from (f"{one['label']}{one['clock']}frame{int(one['frame'])}" for one in labelled)
    yield from (f"{int(one['frame'])}{one['label']}{one['clock']}" for one in below)


def _keyframe_texts(sheet: Sheet, paper: Paper) -> Iterator[str]:
    for key in sheet["keyframes"]:
        yield from (f"{key['key']}{key['name']}", f"on rig: {key['on_rig']}", f"frame {key['frame']}")
        yield from (key["clock"], *key["axes"].values(), key["sighting"], key["waits"])
        if paper == SHEET:
            yield from (key["approach"], key["aim"], key["also"])


def _list_texts(sheet: Sheet) -> Iterator[str]:
    for section in sheet["checklist"]:
        yield from (section["title"], section["role"])
        yield section["manner"] if section["part"] == 1 else ""
        for each in section["items"]:
            yield from (each["text"], each["note"], each["role"])
            yield from () if each["path"].endswith(".line") else (each["value"], each["blank"])
