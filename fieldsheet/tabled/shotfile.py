"""A shot's file as text: a new one written whole, or lines of an old one changed and nothing else in it."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterator, Mapping
from decimal import Decimal
from typing import Any

from fieldsheet.catalog.keylines import key_lines
from fieldsheet.catalog.literal import key_of, literal
from fieldsheet.catalog.words import Wrong
from fieldsheet.tabled.columns import Path, flat, name_of

# A key and its value alone on a line: what stands before the value, the value, what stands after it.
_LINE = re.compile(
    r"""(?P<before>[ \t]*[^=#\[{]*?=[ \t]*)"""
    r"""(?P<value>"(?:[^"\\]|\\.)*"|'[^']*'|[^\s"'#\[{,]+)"""
    r"""(?P<after>[ \t]*(?:\#.*)?)""",
    re.VERBOSE,
)
_SHORT = 2  # a table of so few values stands on the line of its key


def shot_text(values: Mapping[str, Any]) -> str:
    """A whole file of a shot's values: single values and lists first, then the tables."""
    return "\n".join([*_simple(values), *_tables((), values)]) + "\n"


def changed_text(text: str, changes: Mapping[Path, Any]) -> str:
    """The text with other values at these paths, None for a key that goes; all other lines stay as they are.

    Raises Wrong for a key that does not stand alone on a line, and for a new one inside a table.
    """
    ending = "\r\n" if "\r\n" in text else "\n"
    lines = text.removeprefix("\ufeff").replace("\r\n", "\n").split("\n")
    places = key_lines("\n".join(lines)).lines
    added, gone = [], set()
    for path, value in changes.items():
        if path in places:
            at = places[path] - 1
            if value is None:
                _parts_of(lines[at], path)
                gone.add(at)
            else:
                before, after = _parts_of(lines[at], path)
                lines[at] = before + literal(value) + after
        elif len(path) == 1:
            added.append(f"{path[0]} = {literal(value)}")
        else:
            raise Wrong(f"{name_of(path)}, which the file does not give yet", "to write it there by hand")
    first = next((n for n, line in enumerate(lines) if line.lstrip().startswith("[")), len(lines))
    end = _after_last_key(lines, first)
    kept = [line for n, line in enumerate(lines[:end]) if n not in gone]
    rest = [line for n, line in enumerate(lines[end:], start=end) if n not in gone]
    bom = "\ufeff" if text.startswith("\ufeff") else ""
    return bom + ending.join([*kept, *added, *rest])


def says(text: str, wanted: Mapping[Path, Any]) -> bool:
    """Whether a file's text gives these values and no others."""
    try:
        values = tomllib.loads(text.removeprefix("\ufeff").replace("\r\n", "\n"), parse_float=Decimal)
    except tomllib.TOMLDecodeError:
        return False
    return flat(values) == dict(wanted)


def _after_last_key(lines: list[str], first: int) -> int:
    """The line after the last key at the top of a file whose first table begins on line `first`."""
    keys = [n for n, line in enumerate(lines[:first]) if line.strip() and not line.lstrip().startswith("#")]
    return keys[-1] + 1 if keys else 0


def _parts_of(line: str, path: Path) -> tuple[str, str]:
    match = _LINE.fullmatch(line)
    if match is None:
        raise Wrong(f"{name_of(path)}, which shares its line with others", "to change it there by hand")
    return match["before"], match["after"]


def _is_short(value: Any) -> bool:
    """Whether a value stands on its key's line."""
    if isinstance(value, dict):
        return len(value) <= _SHORT and not any(isinstance(inner, dict | list) for inner in value.values())
    return not (isinstance(value, list) and any(isinstance(inner, dict) for inner in value))


def _simple(values: Mapping[str, Any]) -> Iterator[str]:
    yield from (f"{key_of(key)} = {literal(value)}" for key, value in values.items() if _is_short(value))


def _tables(path: tuple[str, ...], values: Mapping[str, Any]) -> Iterator[str]:
    for key, value in values.items():
        if _is_short(value):
            continue
        place = (*path, key_of(key))
        named = ".".join(place)
        if isinstance(value, dict):
            yield from ("", f"[{named}]", *_simple(value), *_tables(place, value))
        else:
            for table in value:
                yield from ("", f"[[{named}]]", *(f"{key_of(k)} = {literal(v)}" for k, v in table.items()))
