"""Cards of every size: nothing is cut, covered or too near an edge, whatever the shot; read from the PDF."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
import pypdfium2
import pytest
from fontTools.ttLib import TTFont
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st

from fieldsheet.cards.cards import card_html
from fieldsheet.cards.metrics import font_file
from fieldsheet.cards.render import pdf_of
from fieldsheet.cards.sizes import HOLE_AT, HOLE_FREE, Paper, card_of
from tests.cards.cases import Sheet
from tests.cards.pdf import MM, Char, chars, codes, picture
from tests.cards.sample import LINK, crowded, moment
from tests.cards.sample_list import item, section
from tests.long import tries

PAPERS = {
    "A6, hole": card_of("A6", hole="left"),
    "A4": card_of("A4"),
    "4x6 in, wide seal, hole": card_of("4x6 in", 7.0, "right", True),
}
"""A6 as it comes is what all other tests of cards are of."""

TITLES = (
    ("From the old slipway over the breakwater to the core above the far headland and its lights, " * 2)[:-2],
    "От старого слипа через волнорез к ядру над дальним мысом",
    "Από τη παλιά γλίστρα ως τον μακρινό φάρο",
    "من الرصيف القديم فوق كاسر الأمواج إلى قلب المجرة",
    "מהמזח הישן מעל שובר הגלים אל לב הגלקסיה",
    "古い船台から防波堤を越えて遠い岬の上の銀河の中心まで" * 3,
    "पुरानी ढलान से दूर की चट्टान तक",
    "จากท่าเรือเก่าไปยังประภาคารไกล",
    "Night 🌌 over the harbour 🌙📷",
    "Breakwaterslipwaylighthouse" * 5,
)
"""Long, in other scripts, from right to left, with emoji, without a break; all invented."""

OURS = TTFont(font_file(400)).getBestCmap()


@pytest.fixture
def boxed(said: list[str]) -> Iterator[list[str]]:
    """What the renderer says of characters that no font here has; it says nothing else."""
    yield said
    assert all(line.startswith(".notdef glyph") for line in said)
    said.clear()


@dataclass(frozen=True)
class Printed:
    """The cards of a shot on a paper, and the characters for which they show a box."""

    paper: Paper
    document: pypdfium2.PdfDocument
    boxes: frozenset[str]


def printed(sheet: Sheet, paper: Paper, said: list[str]) -> Printed:
    """Each side has become one page."""
    html = card_html(sheet, LINK, paper)
    document = pypdfium2.PdfDocument(pdf_of(html))
    assert html.count('<section class="side">') == len(document)
    boxes = {chr(int(code, 16)) for line in said for code in re.findall(r"U\+([0-9A-F]+)", line)}
    return Printed(paper, document, frozenset(boxes))


@st.composite
def shots(draw: st.DrawFn) -> Sheet:
    """A shot with everything, up to 12 keyframes, up to 40 items in a section, and words of any script."""
    sheet = crowded()
    said = st.sampled_from(TITLES)
    lines = st.lists(said.map(lambda text: text[:120]), max_size=3)
    sheet |= {"title": draw(said), "place": draw(said)[:60]}
    for name in ("abort", "notes", "hazards", "access"):
        sheet[name] += draw(lines)
    with_keys(sheet, draw(st.integers(0, 12)), draw(said)[:90])
    jobs = [item(draw(said)[:100], n % 2 == 0, draw(said)[:60]) for n in range(draw(st.integers(1, 40)))]
    sheet["checklist"] = [sheet["checklist"][-1], section("program", draw(said)[:60], "operator", *jobs)]
    sheet["warnings"] = [
        {"level": level, "word": "Mind", "head": one, "sum": one, "fix": ""}
        for level in ("no-go", "mind")
        for one in draw(lines)
    ]
    return sheet


def with_keys(sheet: Sheet, count: int, sighting: str) -> None:
    """Gives the shot so many keyframes, alike but for their names and frames."""
    frames = [1 + 765 * n // max(1, count - 1) for n in range(count)]
    alike = sheet["keyframes"][0] | {"name": "BETWEEN", "sighting": sighting}
    sheet["keyframes"] = [
        alike | {"key": f"K{n + 1}", "on_rig": str(n + 1), "frame": str(frame)}
        for n, frame in enumerate(frames)
    ]
    sheet["set_order"] = list(range(count))
    kept = [one for one in sheet["strip"]["moments"] if one["kind"] != "keyframe"]
    sheet["strip"]["moments"] = kept + [
        moment("hand", "keyframe", frame, f"K{n + 1}", "21:25", "BETWEEN") for n, frame in enumerate(frames)
    ]


def worst() -> Sheet:
    """Twelve keyframes, forty items in a section, a title of 180 characters, all scripts."""
    sheet = crowded()
    sheet["title"] = TITLES[0]
    with_keys(sheet, 12, "End of the breakwater in the middle, waterline on the lower third")
    jobs = [item(TITLES[n % len(TITLES)][:120], n % 2 == 0, value="18 s" * (n % 3 == 0)) for n in range(40)]
    sheet["checklist"] = [sheet["checklist"][-1], section("program", "Forty jobs", "operator", *jobs)]
    sheet["notes"] = [text[:120] for text in TITLES]
    return sheet


def assert_clear(cards: Printed) -> None:
    """Every text of every page lies within what is not sealed, and none covers another.

    The box that stands for what no font here has is higher than any letter: it may touch the line above it.
    So may, by a hair, letters of other fonts.
    """
    paper, (width, height) = cards.paper, cards.paper.page
    for number, page in enumerate(cards.document):
        assert (page.get_width() * MM, page.get_height() * MM) == pytest.approx(paper.page, abs=0.1)
        found = chars(cards.document, number)
        edges = np.array([(c.left, c.right, c.top, c.bottom) for c in found]).reshape(-1, 4)
        left, right, top, bottom = edges.T
        outside = (left < paper.seal) | (right > width - paper.seal)
        outside |= (top < paper.seal) | (bottom > height - paper.seal)
        assert [found[n] for n in np.flatnonzero(outside)] == []
        wide = np.minimum.outer(right, right) - np.maximum.outer(left, left)
        high = np.minimum.outer(bottom, bottom) - np.maximum.outer(top, top)
        letters = np.array([c.char not in cards.boxes for c in found], dtype=bool)
        ours = np.array([ord(c.char[0]) in OURS for c in found], dtype=bool)
        hair = np.where(np.logical_and.outer(ours, ours), 0.06, 0.35) * paper.scale
        covers = (wide > 0.4 * paper.scale) & (high > hair) & np.logical_and.outer(letters, letters)
        assert [(found[a], found[b]) for a, b in np.argwhere(np.triu(covers, 1))] == []


@pytest.mark.parametrize("name", PAPERS)
def test_twelve_keyframes_and_forty_items_have_their_places(name: str, boxed: list[str]) -> None:
    cards = printed(worst(), PAPERS[name], boxed)
    assert_clear(cards)
    dpi = int(150 / cards.paper.scale)
    assert sum(len(codes(cards.document, n, dpi)) for n in range(len(cards.document))) == 1
    assert_large_enough(cards, name.startswith(("A6", "4x6")))
    if cards.paper.hole != "none":
        assert_hole_is_free(cards)


@settings(
    max_examples=tries(3),
    deadline=None,
    suppress_health_check=list(HealthCheck),
    # Each takes seconds: one that fails is told as it is.
    phases=(Phase.explicit, Phase.generate),
)
@given(shots(), st.sampled_from([*PAPERS.values(), card_of("A5"), card_of("letter")]))
def test_nothing_is_cut_or_covered_whatever_the_shot(boxed: list[str], sheet: Sheet, paper: Paper) -> None:
    assert_clear(printed(sheet, paper, boxed))


def assert_large_enough(cards: Printed, pocket: bool) -> None:
    """CAP 676, Issue 3 (2006): body 12 pt, 10 at the least; headings 14, 12 at the least.

    Degani 1992 (NASA CR-177605), rule 7: an x-height of 0.10 in. Both by way of reviews of them. A6 and
    4x6 in keep no more than the 10 pt.
    """
    sides = [
        [char for char in chars(cards.document, number) if ord(char.char[0]) in OURS]
        for number in range(len(cards.document))
    ]
    least = min(char.points for side in sides for char in side)
    x_height = min(char.bottom - char.top for side in sides for char in side if char.char in "vwz") / 25.4
    headings = [_points(side, "Fortyjobs") for side in sides if "Fortyjobs" in _said(side)]
    assert least >= (9.99 if pocket else 12)
    # The heading itself, and where it is said again over what goes on.
    assert max(headings) >= (11.4 if pocket else 14) and min(headings) >= (9.99 if pocket else 12)
    assert x_height >= (0.07 if pocket else 0.10)


def _points(side: Sequence[Char], text: str) -> float:
    """The size in which a text is set on a side, where it stands first."""
    return side[_said(side).index(text)].points


def _said(side: Sequence[Char]) -> str:
    return "".join(char.char[0] for char in side)


def assert_hole_is_free(cards: Printed) -> None:
    """In the middle of the short edge, on a back at the end where the front's hole comes out."""
    paper, dpi = cards.paper, 100
    for number in range(len(cards.document)):
        at_left = (paper.hole == "left") != (paper.mirrored and number % 2 == 1)
        image = np.asarray(picture(cards.document, number, dpi))
        y, x = (np.indices(image.shape) + 0.5) / dpi * 25.4
        middle = HOLE_AT if at_left else paper.page[0] - HOLE_AT
        free = np.hypot(x - middle, y - paper.page[1] / 2) < HOLE_FREE
        assert image[free].min() == 255
        assert image.min() == 0


@pytest.mark.parametrize(
    ("size", "width", "height"),
    [
        ("A4", 297, 210),
        ("A5", 210, 297 // 2),
        ("A6", 297 // 2, 210 // 2),
        ("letter", 11 * 25.4, 8.5 * 25.4),
        ("4x6 in", 6 * 25.4, 4 * 25.4),
    ],
)
def test_pages_have_the_sizes_of_their_standards(size: str, width: float, height: float) -> None:
    """ISO 216: from A4 on each has half of the one before, rounded down; letter is 8.5 x 11 in."""
    assert card_of(size).page == pytest.approx((width, height))
