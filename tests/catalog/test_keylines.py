"""The line of every key, in every way of writing one."""

from __future__ import annotations

import tomllib
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fieldsheet.catalog.keylines import key_lines
from fieldsheet.catalog.words import Loc

WRITTEN = "\n".join(
    [
        '# a = "a comment is no key"',
        'a = "x # no comment, \\" ] } ="   # a comment',
        "'b.c' = 'single \\'",
        '"d\\u0065" = 1979-05-27 07:32:00',
        "f . g = true",
        'f.h = """',
        'three = "',
        'lines """',
        "i = '''",
        "[not.a.table]",
        "'''",
        "j = [1, [2,",
        "  3], # a comment ]",
        '  { k = 4, l.m = [ "5" ] },',
        "]",
        "",
        "[n]",
        "o = 1",
        '[n . "p"]',
        'q = { r = 1, s = { t = "}" } }',
        "[[u]]",
        "v = 1",
        "[[u]]",
        "v = 2",
        "[u.w]",
        "x = 3",
        "[[u.y]]",
        "z = 4",
        "[[u.y]]",
        "z = 5",
    ]
)

LINES: dict[Loc, int] = {
    ("a",): 2,
    ("b.c",): 3,
    ("de",): 4,
    ("f",): 5,
    ("f", "g"): 5,
    ("f", "h"): 6,
    ("i",): 9,
    ("j",): 12,
    ("j", 0): 12,
    ("j", 1, 1): 13,
    ("j", 2, "k"): 14,
    ("j", 2, "l", "m"): 14,
    ("j", 2, "l", "m", 0): 14,
    ("n",): 17,
    ("n", "o"): 18,
    ("n", "p"): 19,
    ("n", "p", "q", "s", "t"): 20,
    ("u",): 21,
    ("u", 0): 21,
    ("u", 0, "v"): 22,
    ("u", 1): 23,
    ("u", 1, "v"): 24,
    ("u", 1, "w"): 25,
    ("u", 1, "w", "x"): 26,
    ("u", 1, "y", 0, "z"): 28,
    ("u", 1, "y", 1): 29,
    ("u", 1, "y", 1, "z"): 30,
}


@pytest.mark.parametrize(("loc", "line"), LINES.items(), ids=str)
def test_the_line_of_a_key(loc: Loc, line: int) -> None:
    assert key_lines(WRITTEN).lines[loc] == line


def test_what_is_not_written_takes_its_nearest_parent_or_line_1() -> None:
    found = key_lines(WRITTEN)
    assert found.of(("u", 1, "y", 1, "nowhere", 7)) == 29
    assert found.of(("nowhere",)) == 1


def test_every_value_that_tomllib_finds_has_a_line() -> None:
    found = key_lines(WRITTEN)
    assert found.stopped_at is None
    assert set(paths(tomllib.loads(WRITTEN))) <= set(found.lines)


def paths(value: Any, loc: Loc = ()) -> list[Loc]:
    parts: list[tuple[str | int, Any]] = []
    if isinstance(value, dict):
        parts = list(value.items())
    elif isinstance(value, list):
        parts = list(enumerate(value))
    return [path for key, part in parts for path in [(*loc, key), *paths(part, (*loc, key))]]


keys = st.from_regex(r"[a-z]{1,3}", fullmatch=True)
leaves = st.integers(-5, 5).map(str) | st.sampled_from(
    ['"x]"', "'#'", "true", "1.5", '""', '"""\nq"""', "''"]
)
values = st.recursive(
    leaves,
    lambda inner: (
        st.lists(inner, max_size=3).map(lambda items: "[\n" + ",\n".join(items) + "]")
        | st.dictionaries(keys, inner.filter(lambda text: "\n" not in text), max_size=3).map(
            lambda table: "{" + ", ".join(f"{key} = {value}" for key, value in table.items()) + "}"
        )
    ),
    max_leaves=6,
)


@given(st.dictionaries(keys, values, max_size=5))
def test_lines_agree_with_a_text_written_key_by_key(table: dict[str, str]) -> None:
    text, expected = "", {}
    for key, value in table.items():
        expected[key] = text.count("\n") + 1
        text += f"{key} = {value}\n"
    found = key_lines(text)
    assert {key: found.lines[(key,)] for key in table} == expected
    assert set(paths(tomllib.loads(text))) == set(found.lines)


@given(st.text(alphabet="ab.=[]{}\"'\\#,\n 0", max_size=50))
def test_where_tomllib_reads_on_so_does_the_reader_of_lines(text: str) -> None:
    try:
        parsed = tomllib.loads(text)
    except tomllib.TOMLDecodeError:
        return
    found = key_lines(text)
    assert found.stopped_at is None
    assert found.too_much is not None or set(paths(parsed)) <= set(found.lines)
