"""The layout of cards and large sheets, without drawing them: no two things want the same place."""

from __future__ import annotations

from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st

from fieldsheet.cards.card import card_sides
from fieldsheet.cards.large import large_sides
from fieldsheet.cards.sides import Side, height_of
from fieldsheet.cards.sizes import CARD, SECTION_GAP, SHEET, Paper
from tests.cards.sample import LINK, crowded, moment
from tests.cards.sample_list import item
from tests.long import tries

words = st.integers(1, 14).map(
    lambda n: " ".join(["seated", "by", "hand", "locked"][m % 4] for m in range(n))
)
names = st.sampled_from(["gate", "turn back", "a long name for an act", "swap by torch light"])
lists = st.lists(words, max_size=9)
rows = st.lists(st.builds(lambda label: {"label": label, "clock": "20:06"}, words), max_size=7)
items = st.builds(
    item,
    words,
    st.booleans(),
    st.one_of(st.just(""), words),
    st.sampled_from(["", "18 s", "frames 121–301, 20:06–21:00"]),
    st.sampled_from(["", "", "s", "file number"]),
)


@st.composite
def sheets(draw: st.DrawFn) -> dict[str, Any]:
    sheet = crowded()
    for name in ("abort", "hazards", "access", "notes"):
        sheet[name] = draw(lists)
    sheet |= {"deadlines": draw(rows), "limits": draw(rows), "permit": draw(st.one_of(st.just(""), words))}
    for section in sheet["checklist"]:
        section["items"] = draw(st.lists(items, min_size=1, max_size=7))
    level = st.sampled_from(["no-go", "mind"])
    sheet["warnings"] = [
        {"level": draw(level), "word": "No go", "head": head, "sum": head, "fix": ""} for head in draw(lists)
    ]
    sheet["keyframes"] = [
        sheet["keyframes"][n % 3] | {"key": f"K{n + 1}", "waits": draw(st.one_of(st.just(""), words))}
        for n in range(draw(st.integers(0, 7)))
    ]
    sheet["set_order"] = list(range(len(sheet["keyframes"])))
    sheet["rolling"] *= draw(st.integers(0, 3))
    sheet["strip"]["moments"] += [
        moment("hand", "act", 100.0 * n, label, "21:00")
        for n, label in enumerate(draw(st.lists(names, max_size=4)))
    ]
    return sheet


def assert_fits(side: Side, paper: Paper) -> None:
    foot = side.foot.height + SECTION_GAP if side.foot else 0.0
    high = [height_of(column) for column in side.columns] or [0.0]
    assert height_of(side.stack) <= side.top + 1e-6 or not side.columns
    assert max(side.top, height_of(side.stack)) + high[0] + foot <= paper.height + 1e-6
    under = side.code.height if side.code else 0.0
    assert max(side.top, height_of(side.stack)) + high[-1] + under + foot <= paper.height + 1e-6


@settings(max_examples=tries(25))
@given(sheets())
def test_everything_on_a_card_has_a_place_of_its_own(sheet: dict[str, Any]) -> None:
    sides = card_sides(sheet, LINK, CARD)
    for side in sides:
        assert_fits(side, CARD)
    assert_whole(sides, sheet)


@settings(max_examples=tries(12))
@given(sheets())
def test_everything_on_a_large_sheet_has_a_place_of_its_own(sheet: dict[str, Any]) -> None:
    sides = large_sides(sheet, LINK, SHEET)
    for side in sides:
        assert_fits(side, SHEET)
    assert_whole(sides, sheet)


def assert_whole(sides: list[Side], sheet: dict[str, Any]) -> None:
    kinds = [piece.kind for side in sides for stack in (side.stack, *side.columns) for piece in stack]
    assert sum(side.code is not None for side in sides) == 1
    assert kinds.count("item") == sum(len(section["items"]) for section in sheet["checklist"])
    assert kinds.count("key") == len(sheet["keyframes"])
    assert kinds.count("warning") == len(sheet["warnings"])
    assert kinds.count("log") == len(sheet["rolling"])
    assert kinds.count("due") == bool(sheet["deadlines"])
    assert kinds.count("strip") + sum(side.foot is not None for side in sides) == 1
