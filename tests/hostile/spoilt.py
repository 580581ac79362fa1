"""Files of a sound catalog, spoilt: as by a slip of the hand, a bad card or a bad will."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from typing import Any

from hypothesis import strategies as st

# What somebody could put where another value belongs.
VALUES = [
    "0", "-1", "0.0", "-0.0", "1e999", "-1e999", "1e308", "5e-324", "1e12", "9" * 400, "0x" + "f" * 300,
    "1_000", "nan", "-nan", "inf", "-inf", "true", '""', '"x"', '"sunset"', '"sunset - 9999h"',
    '"sunset + 1e9m"', '"99:99"', '"frame 0"', '"frame 99999999999999999999"', '"-1%"', '"1e400%"', '"1/0"',
    '"0/0"', '"1/1e400"', "[]", "{}", "[[]]", "[{}]", "[0, 0]", "[[0, 0], [0, 0]]", "[nan, inf]",
    "[[1e308, -1e308]]", "{ x = {} }", '{ "" = "" }', "2027-06-05", "0001-01-01", "9999-12-31",
    "2027-02-30", "2027-06-05T10:00:00Z", "2027-06-05T24:00:00+99:99", "10:00:60", "23:59:59.999999999",
    '"\\u0000"', '"\\ud800"', '"\\U00110000"', '"\\u202e"', "'''\n'''", '"""\\\n"""', "[" * 17 + "]" * 17,
    "{a=" * 17 + "1" + "}" * 17, "a" + ".a" * 40, '"' + "x" * 1990 + '"', "'", "'x", "16:20",
    '"galactic core"', '"first-to-last"', '["frames", "frames"]',
    "{ bearing_deg = 1e300, altitude_deg = 91 }",
]  # fmt: skip
KEYS = [
    "", "=", "x", "[x]", "[[x]]", "[keyframe]", "[[keyframe]]", "[rail]", "[axis.pan]", "[axis]",
    "[axis.'']", "night", "start", "end", "interval_s", "frames", "place", "rig", "camera", "a" + ".a" * 40,
    "'\\'", '"\\u0000"', "[" * 30, "[a" + ".a" * 900 + "]", "# \u202e", "\x00", "\r", "\ufeff", "[[phase]]",
    "[[needs.moon]]", "[power]",
]  # fmt: skip

Edit = tuple[str, int, int, Any]


def _flip(data: bytes, at: int, other: int, _: Any) -> bytes:
    at %= len(data) or 1
    return data[:at] + bytes(byte ^ (1 << other % 8) for byte in data[at : at + 1]) + data[at + 1 :]


def _cut(data: bytes, at: int, other: int, _: Any) -> bytes:
    first, last = sorted((at % (len(data) + 1), other % (len(data) + 1)))
    return data[:first] + data[last:]


def _put(data: bytes, at: int, _: int, what: Any) -> bytes:
    at %= len(data) + 1
    return data[:at] + str(what).encode("utf-8", "surrogatepass") + data[at:]


def _of_lines(change: Callable[[list[str], int, int, Any], None]) -> Callable[[bytes, int, int, Any], bytes]:
    def changed(data: bytes, at: int, other: int, what: Any) -> bytes:
        lines = data.decode("utf-8", "surrogateescape").split("\n")
        change(lines, at % len(lines), other % len(lines), what)
        return "\n".join(lines).encode("utf-8", "surrogatepass" if _lone(lines) else "surrogateescape")

    return changed


def _lone(lines: Sequence[str]) -> bool:
    """Whether half a pair stands in it that is no byte of the file."""
    return any("\ud800" <= sign < "\udc80" for line in lines for sign in line)


def _drop(lines: list[str], at: int, _: int, __: Any) -> None:
    del lines[at]


def _double(lines: list[str], at: int, other: int, _: Any) -> None:
    lines.insert(other, lines[at])


def _swap(lines: list[str], at: int, other: int, _: Any) -> None:
    lines[at], lines[other] = lines[other], lines[at]


def _value(lines: list[str], at: int, _: int, what: Any) -> None:
    """Another value for a key of the file: at counts the lines that have one."""
    of_keys = [number for number, line in enumerate(lines) if "=" in line and not line.startswith("#")]
    number = of_keys[at % len(of_keys)] if of_keys else at
    key = lines[number].partition("=")[0]
    lines[number] = f"{key}= {what}"


def _number(lines: list[str], at: int, other: int, what: Any) -> None:
    """Another value for one of the numbers inside a value."""
    of_numbers = [number for number, line in enumerate(lines) if re.search(r"=.*\d", line.partition("#")[0])]
    number = of_numbers[at % len(of_numbers)] if of_numbers else at
    found = list(re.finditer(r"-?\d+(\.\d+)?", lines[number]))
    if found:
        spot = found[other % len(found)]
        lines[number] = lines[number][: spot.start()] + str(what) + lines[number][spot.end() :]


def _key(lines: list[str], at: int, _: int, what: Any) -> None:
    head, equals, value = lines[at].partition("=")
    lines[at] = f"{what} {equals}{value}" if equals else str(what)


def _insert(lines: list[str], at: int, _: int, what: Any) -> None:
    lines.insert(at, str(what))


EDITS: dict[str, Callable[[bytes, int, int, Any], bytes]] = {
    "flip": _flip,
    "cut": _cut,
    "put": _put,
    "drop": _of_lines(_drop),
    "double": _of_lines(_double),
    "swap": _of_lines(_swap),
    "value": _of_lines(_value),
    "number": _of_lines(_number),
    "key": _of_lines(_key),
    "insert": _of_lines(_insert),
}

_numbers = st.one_of(
    st.integers(-10, 400),
    st.integers(-(10**14), 10**14),
    st.floats(-1e7, 1e7, allow_nan=False),
    st.sampled_from([0.001, 0.5, 89.999, 90, 180, 359.99, 360, 1e-12, 1e-13, 10**12, 86_400, 2_000_000]),
)
_written: st.SearchStrategy[Any] = st.one_of(
    st.sampled_from(VALUES), _numbers, st.text(max_size=12).map(lambda text: f'"{text}"')
)
_at = st.integers(0, 10_000)
edits: st.SearchStrategy[list[Edit]] = st.lists(
    st.one_of(
        st.tuples(st.sampled_from(["value", "value", "put"]), _at, _at, _written),
        st.tuples(st.just("number"), _at, _at, _numbers),
        st.tuples(st.just("number"), _at, _at, _numbers),
        st.tuples(st.sampled_from(["key", "insert"]), _at, _at, st.sampled_from(KEYS)),
        st.tuples(st.sampled_from(["flip", "cut", "drop", "double", "swap"]), _at, _at, st.none()),
    ),
    min_size=1,
    max_size=3,
)


def spoilt(data: bytes, changes: Sequence[Edit]) -> bytes:
    """The file after these edits, one after the other."""
    for name, at, other, what in changes:
        data = EDITS[name](data, at, other, what)
    return data
