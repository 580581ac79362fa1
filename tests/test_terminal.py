"""What reaches a terminal moves no cursor and turns no writing, and the plan's page lines up."""

from __future__ import annotations

import unicodedata

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fieldsheet.terminal import plain


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
