"""What reaches a terminal moves no cursor, turns no writing, and keeps within its width."""

from __future__ import annotations

import io
import os
import re
import shutil
import sys
import unicodedata
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fieldsheet.catalog.read import Catalog
from fieldsheet.catalog.taken import defaults_by_file
from fieldsheet.press import Planned
from fieldsheet.terminal.fold import NARROWEST, cells, fold, labelled, table, width
from fieldsheet.terminal.page import plan_page
from fieldsheet.terminal.plain import STAND_INS, plain
from fieldsheet.terminal.strip import SHADES, run_strip


@pytest.mark.parametrize(
    ("text", "shown"),
    [
        ("sunset − 1h15m · 225°", "sunset − 1h15m · 225°"),
        ("two\nlines\tand a tab", "two\nlines\tand a tab"),
        ("\x1b[31mred\x1b[0m", "red"),
        ("\x1b[2J\x1b[1;1Hgone", "gone"),
        ("\x9b31mred", "red"),
        ("\x1b]0;new title\x07text", "text"),
        ("\x1b]8;;https://elsewhere.invalid\x1b\\link\x1b]8;;\x1b\\", "link"),
        ("\x1bPq#0;2\x1b\\sixel", "sixel"),
        ("\x1b(0qqq", "qqq"),
        ("over\rwritten\x08\x7f", "overwritten"),
        ("a\u202eb\u2066c\u200bd", "abcd"),
        ("\x1b", ""),
        ("\x1b[", ""),
        ("\x1b]unfinished", ""),
        ("lone \ud800 half", "lone  half"),
    ],
)
def test_escapes_go_whole_and_words_stay(text: str, shown: str) -> None:
    assert plain(text) == shown


@given(st.text(st.characters(codec=None) | st.sampled_from("\x1b[]m;\x9b\x07\\P"), max_size=40))
def test_whatever_comes_nothing_but_text_lines_and_tabs_goes(text: str) -> None:
    shown = plain(text)
    assert all(sign in "\n\t" or unicodedata.category(sign) not in ("Cc", "Cf", "Cs") for sign in shown)
    assert plain(shown) == shown


@given(st.text(st.characters(categories=("L", "N", "P", "S", "Zs")), max_size=40))
def test_text_without_controls_is_left_as_it_is(text: str) -> None:
    assert plain(text) == text


# --- signs that a terminal's encoding lacks --------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "encoding", "shown"),
    [
        ("P \u221284.9°", "cp1252", b"P -84.9\xb0"),
        ("P \u221284.9° · 22–23", "ascii", b"P -84.9 deg . 22-23"),
        ("├─┬┤·░▒▓█│╷╵", "ascii", b"+-++.:+%#|||"),
        ("\u6f6e", "ascii", b"?"),
        ("lone \ud800", "utf-8", b"lone ?"),
    ],
)
def test_a_sign_that_is_lacking_has_a_stand_in_that_is_no_other_number(
    text: str, encoding: str, shown: bytes
) -> None:
    assert text.encode(encoding, STAND_INS) == shown


# --- lines ------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("encoding", "wide"), [("utf-8", 10), ("latin-1", 12), ("ascii", 15)])
def test_a_stand_in_counts_with_the_columns_that_it_takes(
    monkeypatch: pytest.MonkeyPatch, encoding: str, wide: int
) -> None:
    monkeypatch.setattr(sys, "stdout", io.TextIOWrapper(io.BytesIO(), encoding))
    text = "P \u221284.9° …"
    assert cells(text) == wide == len(text.encode(encoding, STAND_INS).decode(encoding))


_text = st.text(st.characters(categories=("L", "N", "P", "S", "Zs", "Mn")), max_size=60)


@pytest.mark.parametrize(
    ("text", "room", "lines"),
    [
        ("one two three", 8, ["one two", "  three"]),
        ("battery 12.0 of 15.5 Wh at 13 °C", 30, ["battery 12.0 of 15.5 Wh at", "  13 °C"]),
        ("heater on from frame 1, 19:36", 22, ["heater on from", "  frame 1, 19:36"]),
        ("abcdefghij", 4, ["ab", "  cd", "  ef", "  gh", "  ij"]),
        ("潮潮潮", 4, ["潮", "  潮", "  潮"]),
        ("", 4, [""]),
    ],
)
def test_words_are_folded_with_their_units_behind_a_hanging_indent(
    text: str, room: int, lines: list[str]
) -> None:
    assert fold(text, room, "  ") == lines


@given(_text, st.integers(8, 60))
def test_folding_loses_no_letter_and_keeps_within_the_room(text: str, room: int) -> None:
    lines = fold(text, room, "    ")
    assert all(cells(line) <= room for line in lines)
    assert "".join("".join(lines).split()) == "".join(text.split())


@given(st.lists(st.lists(_text, min_size=3, max_size=3), max_size=4), st.integers(NARROWEST, 100))
def test_tables_keep_within_the_room_and_say_every_cell(rows: list[list[str]], room: int) -> None:
    for lines in (table(rows, room), labelled([("label", rows)], room)):
        assert all(cells(line) <= room for line in lines)
        told = "".join("".join(lines).split())
        assert sorted(told.removeprefix("label")) == sorted("".join("".join(map("".join, rows)).split()))


@pytest.mark.parametrize(
    ("looked_at", "columns", "wide"),
    [(False, 200, 80), (True, 97, 97), (True, 200, 120), (True, 20, NARROWEST)],
)
def test_a_line_is_as_wide_as_the_terminal_and_80_where_nobody_looks_on(
    monkeypatch: pytest.MonkeyPatch, looked_at: bool, columns: int, wide: int
) -> None:
    monkeypatch.setattr(sys.stdout, "isatty", lambda: looked_at, raising=False)
    size = os.terminal_size((columns, 24))
    monkeypatch.setattr(shutil, "get_terminal_size", lambda fallback: size)
    assert width() == wide


# --- the page ---------------------------------------------------------------------------------------------


@pytest.mark.parametrize("room", [NARROWEST, 80, 120])
def test_the_page_of_every_shot_keeps_within_the_width_and_says_the_same(
    demo: Catalog, demo_planned: Planned, room: int
) -> None:
    for shot_id, sheet in demo_planned.sheets.items():
        defaults = defaults_by_file(demo, shot_id)
        page = plan_page(sheet, defaults, room=room)
        assert max(map(cells, page.splitlines())) <= room
        words = "".join(page.split())
        for line in (*sheet["picture"], *sheet["power"], *sheet["sky_lines"]):
            assert "".join(line["text"].split()) in words
        assert all("".join(key.split()) in words for taken in defaults.values() for key, _ in taken)


_moments = st.lists(
    st.fixed_dictionaries(
        {
            "side": st.sampled_from(["sky", "hand"]),
            "frame": st.floats(1, 750),
            "label": st.sampled_from(["sunset", "core usable", "K1", "nautical"]),
            "detail": st.sampled_from(["", "START"]),
            "clock": st.just("21:40"),
        }
    ),
    max_size=14,
)


@given(_moments, st.integers(NARROWEST, 118), st.integers(1, 750))
def test_on_the_strip_no_label_meets_another_or_its_leader(
    moments: list[dict[str, Any]], room: int, frames: int
) -> None:
    tones = [n / 47 for n in range(48)]
    strip = {"frames": frames, "ruler": [100, 200], "tones": tones, "moments": moments}
    rolling = [{"clock": "21:00", "frame": "50"}, {"clock": "21:30", "frame": "150"}]
    lines = run_strip({"strip": strip, "rolling": rolling}, room)
    assert max(map(len, lines)) <= room
    light = next(n for n, line in enumerate(lines) if line.startswith(SHADES[0]))
    for side, rows in (("sky", lines[:light][::-1]), ("hand", lines[light + 4 :])):
        own = [one for one in moments if one["side"] == side]
        said = [f"{one['label']}{one['detail'] and ' START'} 21:40" for one in own]
        told = [text for row in rows for text in re.split("[╷│╵]", row) if text.strip()]
        assert sorted(map(str.strip, told)) == sorted(said)
        # Between each label and the strip its leader runs on.
        for nearer, row in zip(rows, rows[1:], strict=False):
            assert all(nearer[n] in "╷│╵" for n, sign in enumerate(row) if sign in "╷│╵")
