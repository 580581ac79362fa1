"""Bounds on the bytes of a file, and what is said about a text that is no TOML."""

from __future__ import annotations

import time
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fieldsheet.catalog.scan import LONGEST_LINE, MOST_BYTES, scan


def told(data: bytes | str) -> list[tuple[int | None, str, str]]:
    scanned = scan(data if isinstance(data, bytes) else data.encode("utf-8"))
    assert scanned.values is None or not scanned.faults or None in walked(scanned.values)
    return [(fault.line, fault.found, fault.right) for fault in scanned.faults]


def walked(value: object) -> list[object]:
    if isinstance(value, dict):
        return [leaf for part in value.values() for leaf in walked(part)]
    if isinstance(value, list):
        return [leaf for part in value for leaf in walked(part)]
    return [value]


def test_decimals_stay_exact() -> None:
    scanned = scan(b"interval_s = 0.1\nframes = 3\n")
    assert scanned.values == {"interval_s": Decimal("0.1"), "frames": 3}
    assert not scanned.faults


@pytest.mark.parametrize(
    "data", [b"\xef\xbb\xbfa = 1\r\nb = 2\r\n", b"a = 1\nb = 2", b"a = 1\nb = 2 # end\n\n\n"]
)
def test_line_ends_and_a_byte_order_mark_do_not_matter(data: bytes) -> None:
    scanned = scan(data)
    assert scanned.values == {"a": 1, "b": 2}
    assert [scanned.lines.of(("a",)), scanned.lines.of(("b",))] == [1, 2]


CR_ALONE = ("a line end of CR alone (U+000D)", "the file saved with LF, or CR and LF")
NOT_TEXT = [
    (b"a = 1\nb = '\xe9'\n", (2, "a byte that is not UTF-8 (0xe9)", "the file saved as UTF-8")),
    ("a = 1".encode("utf-16"), (1, "text saved as UTF-16", "the file saved as UTF-8")),
    (b"a = 1\n\x00", (2, "an invisible character (U+0000)", "the line without it")),
    (b"a\0 \0=\0 \0001\0", (1, "text saved as UTF-16", "the file saved as UTF-8")),
    (b"\0a\0 \0=\0 \0001", (1, "text saved as UTF-16", "the file saved as UTF-8")),
    (b"a = 1\r\nb = '\xe9'\r\n", (2, "a byte that is not UTF-8 (0xe9)", "the file saved as UTF-8")),
    (b"a = 1\rb = 2\rc = '\xe9'\r", (3, "a byte that is not UTF-8 (0xe9)", "the file saved as UTF-8")),
    (b"a = 1\rb = 2", (1, *CR_ALONE)),
    (b"a = 1\r\nb = 2\r\r\nc = 3\r\n", (2, *CR_ALONE)),
    ("# \u202e", (1, "an invisible character (U+202E)", "the line without it")),
    ("a = '\u2028'", (1, "an invisible character (U+2028)", "the line without it")),
    ("a = 1\n\ufeffb = 2", (2, "an invisible character (U+FEFF)", "the line without it")),
    ("#" * 2001, (1, "a line of 2001 characters", "at most 2000 characters")),
    (b"#" + b"\n" * MOST_BYTES, (None, "a file of 257 KB", "at most 256 KB")),
    ("\na = " + "[" * 500 + "]" * 500, (2, "brackets or dots nested more than 16 deep", "at most 16 deep")),
    ("a = " + "[\n" * 17, (17, "brackets or dots nested more than 16 deep", "at most 16 deep")),
    ("a = " + "{ b = " * 40, (1, "brackets or dots nested more than 16 deep", "at most 16 deep")),
    (".".join("a" * 900) + " = 1", (1, "brackets or dots nested more than 16 deep", "at most 16 deep")),
    ("[" + ".".join("a" * 17) + "]", (1, "brackets or dots nested more than 16 deep", "at most 16 deep")),
    ("\n" + "a" * 121 + " = 1", (2, "a key of 121 characters", "a key of at most 120 characters")),
    ('"' + "a" * 400 + '" = 1', (1, "a key of 402 characters", "a key of at most 120 characters")),
]


@pytest.mark.parametrize(("data", "fault"), NOT_TEXT)
def test_a_text_beyond_the_bounds_is_not_parsed(
    data: bytes | str, fault: tuple[int | None, str, str]
) -> None:
    assert told(data) == [fault]


@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"])
def test_lines_are_counted_as_an_editor_counts_them(end: str) -> None:
    lines = ["a = 1", "# \x07", 'b = """', "still b", '"""', "c = \x1b"]
    found = told(end.join(lines))
    assert [line for line, what, _ in found if "invisible" in what] == [2, 6]
    assert len(found) == 2 + (end == "\r")


@pytest.mark.parametrize("end", ["\n", "\r\n"])
def test_a_slip_is_told_at_its_line_whatever_ends_the_lines(end: str) -> None:
    assert [line for line, _, _ in told(end.join(["a = 1", "", "a = 2", ""]))] == [3]
    assert [line for line, _, _ in told(end.join(["\ufeffa = 1", "b = 16:20"]))] == [2]


def test_every_breach_is_told_with_its_line() -> None:
    long_line = "#" + "x" * LONGEST_LINE
    assert [line for line, _, _ in told(f"a = 1\n{long_line}\n# \x07\n{long_line}\x1b\n")] == [2, 3, 4, 4]


QUOTES = 'quotes at both ends: "text"'
ONE_VALUE = 'one key = value on a line; texts, clock times and offsets in quotes: "16:20"'
ANY_VALUE = 'a number, a date such as 2027-06-05, true, false, or "text in quotes"'
NOT_TOML = [
    ("a = 1\nwhat is this", (2, "a key without =", 'key = "value"')),
    ("a = 1\n= 2", (2, "a line that is no key, no [table] and no comment", 'a line such as key = "value"')),
    ("a = 16:20", (1, "something after the end of the value", ONE_VALUE)),
    ("a = 1 b = 2", (1, "something after the end of the value", ONE_VALUE)),
    ("a = sunset", (1, "no value that can be read", ANY_VALUE)),
    ("a =\nb = 2", (1, "no value that can be read", ANY_VALUE)),
    ("a = 2027-02-30", (1, "a date that is in no calendar", "a date such as 2027-06-05")),
    ('a = "x\nb = 2', (1, "a text without its closing quote", QUOTES)),
    ("a = 'x\nb = 2", (1, "a text without its closing quote", "quotes at both ends: 'text'")),
    ('b = 2\na = """x\ny', (2, "a text without its closing quote", QUOTES)),
    ('a = "C:\\temp\\x"', (1, "a lone \\ in quotes", "\\\\ , or single quotes around the text")),
    ('a = "\\u12"', (1, "a \\u without its digits", "\\u and four digits 0-9, a-f")),
    ('a = "\\ud800"', (1, "a \\u that stands for no character", "the character itself")),
    ("a = [1, 2\nb = 3", (2, "a list without its comma or its ]", "[1, 2, 3]")),
    (
        "a = { x = 1\n}",
        (1, "a { } broken over lines, or without a comma or its }", "{ x = 0, y = 1 } on one line"),
    ),
    ("a = { x = 1, x = 2 }", (1, "a key given twice inside { }", "each key once")),
    ("[a\nb = 1", (1, "a [table] without its ]", "[table] alone on its line")),
    ("[[a]\nb = 1", (1, "a [[table]] without its ]]", "[[table]] alone on its line")),
    ("a = 1\n\na = 2", (3, "a second time what line 1 says", "each key once")),
    ("[a]\n[b]\n[a]", (3, "a second time what line 1 says", "each key once")),
    ("a = 3\n[[a]]", (2, "a second time what line 1 says", "each key once")),
    ("a = [1]\n[[a]]", (2, "a second time what line 1 says", "each key once")),
    (
        "a = {}\na.b = 1",
        (2, "an addition to a list or a { } that is already complete", "all of it in one place"),
    ),
]


MM, OF_MM = "units belong in the key's name", "a number of millimetres: units belong in the key's name"
AMOUNTS = [
    ("slide_mm = 80cm", ("'80cm'", OF_MM)),
    ("slide_mm = 80 mm # travel", ("'80 mm'", f"80: {MM}")),
    ("interval_s = 18 s", ("'18 s'", f"18: {MM}")),
    ("interval_s = 1m30s", ("'1m30s'", f"a number of seconds: {MM}")),
    ("interval_s = 29,6", ("'29,6'", "29.6, with a decimal point")),
    ("interval_s = 29,6 s", ("'29,6 s'", f"29.6: {MM}")),
    ("longitude_deg = -8.67°", ("'-8.67°'", f"a number of degrees: {MM}")),
    ("fps = 25fps", ("'25fps'", f"25: {MM}")),
    ("speed_max = 14 mm/s", ("'14 mm/s'", f"14: {MM}")),
    ("frames = 1,000", ("'1,000'", "1000, or 1.000, with a decimal point")),
    ("rail = { bearing_deg = 120deg, incline_deg = 0 }", ("'120deg'", f"120: {MM}")),
    ("aim = { x = 0, y = -0,33 }", ("'-0,33'", "-0.33, with a decimal point")),
    ("aim = { y = 0,33, x = 0 }", ("'0,33'", "0.33, with a decimal point")),
    ("sensor_mm = [3.6cm, 2.4cm]", ("'3.6cm'", OF_MM)),
    ("sensor_mm = [36, 24 mm]", ("'24 mm'", f"24: {MM}")),
]


@pytest.mark.parametrize(("text", "said"), AMOUNTS)
def test_a_number_with_a_unit_or_a_comma_is_told_as_one(text: str, said: tuple[str, str]) -> None:
    assert told(f"a = 1\n{text}\nb = 2\n") == [(2, *said)]


@pytest.mark.parametrize(
    ("text", "found"),
    [
        # Texts that lack their quotes, and what has nothing to do with a number before it.
        ("duration = 90m", "something after the end of the value"),
        ("duration = 2h30m", "something after the end of the value"),
        ("at = 50%", "something after the end of the value"),
        ("longitude_deg = 8.67 W", "something after the end of the value"),
        ("frames = 1,234,567", "something after the end of the value"),
        ("a = [1,2", "a list without its comma or its ]"),
        ("a = { x = [1,2 }", "a list without its comma or its ]"),
        ("a = { x = 1", "a { } broken over lines, or without a comma or its }"),
        ("80cm", "a key without ="),
        ('a = "x, 80cm', "a text without its closing quote"),
    ],
)
def test_other_slips_keep_their_own_words(text: str, found: str) -> None:
    assert [fault[1] for fault in told(text)] == [found]


@pytest.mark.parametrize(("text", "fault"), NOT_TOML)
def test_what_is_no_toml_is_told_in_plain_words(text: str, fault: tuple[int, str, str]) -> None:
    assert told(text) == [fault]


NOT_VALUES = [
    ("a = nan", (1, "NaN", "a number of ordinary size")),
    ("a = -inf", (1, "-Infinity", "a number of ordinary size")),
    ("\na = 1e400", (2, "1E+400", "a number of ordinary size")),
    ("a = 1e99999999999999999999", (1, "Infinity", "a number of ordinary size")),
    ("a = 1e-400", (1, "1E-400", "a number of ordinary size")),
    (
        "a = 0x" + "f" * 1500,
        (1, "15134705823042370725134100673293919554234823566…", "a number of ordinary size"),
    ),
    ('a = [1,\n"\\u202e"]', (2, "an invisible character (U+202E) in the text", "one line of plain text")),
    ('a = """x\ny"""', (1, "a line break (U+000A) in the text", "one line of plain text")),
    ('a = "\\u001b[31m"', (1, "an invisible character (U+001B) in the text", "one line of plain text")),
]


@pytest.mark.parametrize(("text", "fault"), NOT_VALUES)
def test_values_that_may_not_stand_are_taken_out(text: str, fault: tuple[int, str, str]) -> None:
    assert told(text) == [fault]


def test_a_lined_text_without_line_breaks_is_fine() -> None:
    assert scan(b'a = """\\\n   folded \\\n   text"""').values == {"a": "folded text"}


@given(st.binary(max_size=300))
def test_any_bytes_are_read_or_refused(data: bytes) -> None:
    scanned = scan(data)
    assert scanned.values is not None or scanned.faults


@given(st.text(alphabet="ab.=[]{}\"'\\#,\n \t0", max_size=60))
def test_any_text_near_toml_is_read_or_refused(text: str) -> None:
    scanned = scan(text.encode("utf-8"))
    assert scanned.values is not None or scanned.faults
    assert all(fault.line is None or 1 <= fault.line <= text.count("\n") + 1 for fault in scanned.faults)


@pytest.mark.parametrize(
    "line",
    [
        ".".join(f"k{number}" for number in range(16)) + " = 1\n",
        "[[a]]\n",
        "[a.b.c.d.e.f.g.h]\n",
        'a = "' + "\\\\" * 900 + '"\n',
        "a = [" + "[]," * 600 + "]\n",
        "a = {" + "b.c.d = 1," * 190 + "}\n",
    ],
)
def test_a_full_file_is_judged_in_a_moment(line: str) -> None:
    data = (line * (MOST_BYTES // len(line))).encode("utf-8")
    begun = time.process_time()
    scan(data)
    assert time.process_time() - begun < 5
