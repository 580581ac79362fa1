"""The bytes of one TOML file -> its values and the line of each key, or what keeps it from being read.

The text is bounded before tomllib sees it, and its values are screened after: no control characters, no
characters that turn the direction of writing, no number beyond all measure.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterator
from dataclasses import dataclass, field
from decimal import Decimal, InvalidOperation
from typing import Any

from .keylines import DEEPEST, KeyLines, key_lines
from .units import written_amount
from .words import Loc, show

MOST_BYTES = 256 * 1024
LONGEST_LINE = 2000
MOST_SHOWN = 10
LARGEST_NUMBER = 10**12
FINEST_NUMBER = -12

# Unicode's directional formatting characters (UAX 9) and its two line separators.
_DIRECTION = "\u061c\u200e\u200f\u202a-\u202e\u2066-\u2069"
_UNSEEN = re.compile(f"[\x00-\x08\x0b-\x1f\x7f-\x9f{_DIRECTION}\u2028\u2029\ufeff]")
_UNSEEN_IN_VALUE = re.compile(f"[\x00-\x1f\x7f-\x9f{_DIRECTION}\u2028\u2029\ufeff]")
_LINE_END = re.compile("\r\n|\n|\r")
_POSITION = re.compile(r" \(at (?:line (\d+), column (\d+)|end of document)\)$")

_AFTER_VALUES = ("Expected newline", "Expected '=' after a key", "Unclosed")
_BARE_CLOCK = re.compile(r"[\[,][ \t]*[0-9]{1,2}:[0-9]{2}[ \t]*[\],]")
_PLAIN_WORDS = {
    "Invalid statement": (
        "a line that is no key, no [table] and no comment",
        'a line such as key = "value"',
    ),
    "Expected newline or end of document after a statement": (
        "something after the end of the value",
        'one key = value on a line; texts, clock times and offsets in quotes: "16:20"',
    ),
    "Found invalid character": ("an invisible character in a comment", "the comment without it"),
    "Expected ']' at the end of a table declaration": (
        "a [table] without its ]",
        "[table] alone on its line",
    ),
    "Expected ']]' at the end of an array declaration": (
        "a [[table]] without its ]]",
        "[[table]] alone on its line",
    ),
    "Expected '=' after a key in a key/value pair": ("a key without =", 'key = "value"'),
    "Invalid initial character for a key part": (
        "a key that is missing or begins with an odd character",
        "a key of letters, digits, _ and -",
    ),
    "Unclosed array": ("a list without its comma or its ]", "[1, 2, 3]"),
    "Unclosed inline table": (
        "a { } broken over lines, or without a comma or its }",
        "{ x = 0, y = 1 } on one line",
    ),
    "Duplicate inline table key": ("a key given twice inside { }", "each key once"),
    "Cannot overwrite a value": ("a key or table that is already there", "each key once"),
    "Cannot declare": ("a [table] that is already there", "each [table] once"),
    "Cannot mutate immutable namespace": (
        "an addition to a list or a { } that is already complete",
        "all of it in one place",
    ),
    "Cannot redefine namespace": ("a table that is already there", "each table once"),
    "Unescaped '\\' in a string": ("a lone \\ in quotes", "\\\\ , or single quotes around the text"),
    "Invalid hex value": ("a \\u without its digits", "\\u and four digits 0-9, a-f"),
    "Escaped character is not": ("a \\u that stands for no character", "the character itself"),
    "Unterminated string": ("a text without its closing quote", 'quotes at both ends: "text"'),
    "Illegal character": ("a text without its closing quote on its line", 'quotes at both ends: "text"'),
    "Expected": ("a text without its closing quote", "quotes at both ends: 'text'"),
    "Invalid date or datetime": ("a date that is in no calendar", "a date such as 2027-06-05"),
    "Invalid value": (
        "no value that can be read",
        'a number, a date such as 2027-06-05, true, false, or "text in quotes"',
    ),
}


@dataclass(frozen=True)
class Fault:
    """A problem inside one file, as yet without the file's name."""

    line: int | None
    loc: Loc
    found: str
    right: str


@dataclass
class Scanned:
    """values is None where the text could not be read at all; values that were refused are None in it."""

    values: dict[str, Any] | None = None
    lines: KeyLines = field(default_factory=KeyLines)
    faults: list[Fault] = field(default_factory=list)


def scan(data: bytes) -> Scanned:
    """Reads one TOML file; never raises."""
    if len(data) > MOST_BYTES:
        return _refused([too_large(len(data))])
    try:
        text = data.decode("utf-8")
    except UnicodeDecodeError as error:
        return _refused([_not_utf8(data, error)])
    faults = list(_text_faults(text.removeprefix("\ufeff")))
    if faults:
        return _refused(faults[:MOST_SHOWN])
    return _parsed(text.removeprefix("\ufeff").replace("\r\n", "\n"))


_UTF_16 = Fault(1, (), "text saved as UTF-16", "the file saved as UTF-8")


def too_large(size: int) -> Fault:
    """The fault of a file of that many bytes."""
    return Fault(None, (), f"a file of {-(-size // 1024)} KB", f"at most {MOST_BYTES // 1024} KB")


def _refused(faults: list[Fault]) -> Scanned:
    return Scanned(faults=faults)


def _not_utf8(data: bytes, error: UnicodeDecodeError) -> Fault:
    if data[:2] in (b"\xff\xfe", b"\xfe\xff"):
        return _UTF_16
    line = len(_LINE_END.findall(data[: error.start].decode("latin-1"))) + 1
    return Fault(line, (), f"a byte that is not UTF-8 (0x{data[error.start]:02x})", "the file saved as UTF-8")


def _text_faults(text: str) -> Iterator[Fault]:
    """Lines are counted as editors count them: CR and LF, LF, or CR alone, which TOML does not know."""
    if text[:4].count("\0") >= 2:
        yield _UTF_16
        return
    alone = re.search("\r(?!\n)", text)
    if alone:
        first = len(_LINE_END.findall(text, 0, alone.end()))
        yield Fault(first, (), "a line end of CR alone (U+000D)", "the file saved with LF, or CR and LF")
    for number, line in enumerate(_LINE_END.split(text), 1):
        if len(line) > LONGEST_LINE:
            yield Fault(number, (), f"a line of {len(line)} characters", f"at most {LONGEST_LINE} characters")
        unseen = _UNSEEN.search(line)
        if unseen:
            yield Fault(number, (), _named(unseen[0]), "the line without it")


def _named(char: str) -> str:
    kind = "a line break" if char in "\n\r" else "an invisible character"
    return f"{kind} (U+{ord(char):04X})"


def _parsed(text: str) -> Scanned:
    lines = key_lines(text)
    if lines.too_much:
        line, much = lines.too_much
        return Scanned(None, lines, [Fault(line, (), much.found, much.right)])
    if lines.stopped_at is not None:
        # Beyond this line nothing is bounded; what is wrong is wrong before its end.
        text = "\n".join(text.split("\n")[: lines.stopped_at])
    try:
        values = tomllib.loads(text, parse_float=_decimal)
    except (ValueError, RecursionError) as error:
        return Scanned(None, lines, [_syntax_fault(error, lines, text)])
    if lines.stopped_at is not None:
        return Scanned(None, lines, [Fault(lines.stopped_at, (), *_PLAIN_WORDS["Invalid statement"])])
    faults: list[Fault] = []
    return Scanned(_screened(values, (), lines, faults), lines, faults)


def _decimal(text: str) -> Decimal:
    try:
        return Decimal(text)
    except InvalidOperation:
        return Decimal("Infinity")


def _syntax_fault(error: Exception, lines: KeyLines, text: str) -> Fault:
    if isinstance(error, RecursionError):
        return Fault(lines.stopped_at, (), "brackets nested too deep", f"at most {DEEPEST} deep")
    message = str(error)
    position = _POSITION.search(message)
    line = int(position[1]) if position and position[1] else _last_line(text)
    if line in lines.doubles:
        loc, first = lines.doubles[line]
        return Fault(line, loc, f"a second time what line {first} says", "each key once")
    amount = _amount(message, position, text)
    if amount:
        return Fault(line, (), *amount)
    if message.startswith("Unclosed array") and _BARE_CLOCK.search(text.split("\n")[line - 1]):
        return Fault(line, (), "a clock time without quotes", "['03:12', '15:40']")
    for start, (found, right) in _PLAIN_WORDS.items():
        if message.startswith(start):
            return Fault(line, (), found, right)
    return Fault(line, (), *_PLAIN_WORDS["Invalid value"])


def _amount(message: str, position: re.Match[str] | None, text: str) -> tuple[str, str] | None:
    """What is said where a number is followed by its unit, or has a decimal comma."""
    if position is None or position[1] is None or not message.startswith(_AFTER_VALUES):
        return None
    line = text.split("\n")[int(position[1]) - 1]
    return written_amount(line, int(position[2]) - 1, in_list=message.startswith("Unclosed array"))


def _last_line(text: str) -> int:
    return text.rstrip("\n").count("\n") + 1


def _screened(value: Any, loc: Loc, lines: KeyLines, faults: list[Fault]) -> Any:
    """The value with every part that may not stand replaced by None, and a fault for each."""
    if isinstance(value, dict):
        return {key: _screened(part, (*loc, key), lines, faults) for key, part in value.items()}
    if isinstance(value, list):
        return [_screened(part, (*loc, index), lines, faults) for index, part in enumerate(value)]
    fault = _value_fault(value)
    if fault is None:
        return value
    faults.append(Fault(lines.of(loc), loc, *fault))
    return None


def _value_fault(value: Any) -> tuple[str, str] | None:
    if isinstance(value, str):
        unseen = _UNSEEN_IN_VALUE.search(value)
        return (f"{_named(unseen[0])} in the text", "one line of plain text") if unseen else None
    if isinstance(value, int | Decimal) and not isinstance(value, bool):
        return None if _is_sane(value) else (show(value), "a number of ordinary size")
    return None


def _is_sane(number: int | Decimal) -> bool:
    if isinstance(number, int):
        return abs(number) <= LARGEST_NUMBER
    if not number.is_finite():
        return False
    exponent = number.as_tuple().exponent
    return isinstance(exponent, int) and exponent >= FINEST_NUMBER and number.adjusted() <= 12
