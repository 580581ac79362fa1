"""How the demo writes a key: the examples of the reference."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator
from decimal import Decimal
from functools import cache
from pathlib import Path
from typing import Any

from .files import CATALOG_FILE, FOLDERS
from .literal import literal

DEMO = Path(__file__).resolve().parents[1] / "demo"
# In a path, stands for every table of a list.
EACH = "*"
MOST_ITEMS = 3
LONGEST = 76

# A set in it stands for every name but these.
TablePath = tuple[str | frozenset[str], ...]


def example(kind: str, path: TablePath, key: str) -> str:
    """A line of the demo with a key of the table at a path, long lists cut; "" where it has none."""
    for _, values in _demo(kind):
        for table in _at(values, path):
            if key in table:
                return _line(key, table[key])
    return ""


def is_inline(kind: str, path: TablePath) -> bool:
    """Whether the demo writes the table at a path on one line, as key = { ... }."""
    *above, key = path
    written = [
        text for text, values in _demo(kind) if any(key in table for table in _at(values, tuple(above)))
    ]
    return any(f"\n{key} = {{" in text for text in written)


@cache
def _demo(kind: str) -> list[tuple[str, dict[str, Any]]]:
    """The demo's files of a kind, each as text and as values."""
    folders = {each: name for name, each in FOLDERS.items()}
    found = sorted((DEMO / folders[kind]).glob("*.toml")) if kind in folders else [DEMO / CATALOG_FILE]
    texts = [file.read_text("utf-8") for file in found]
    return [(text, tomllib.loads(text, parse_float=Decimal)) for text in texts]


def _at(table: Any, path: TablePath) -> Iterator[dict[str, Any]]:
    """The tables at a path."""
    if not path:
        yield from [table] if isinstance(table, dict) else []
        return
    for part in _inside(table, path[0]):
        yield from _at(part, path[1:])


def _inside(table: Any, step: str | frozenset[str]) -> list[Any]:
    """What one step of a path leads to."""
    if step == EACH:
        return table if isinstance(table, list) else []
    if not isinstance(table, dict):
        return []
    if isinstance(step, str):
        return [table[step]] if step in table else []
    return [part for name, part in table.items() if name not in step]


def _line(key: str, value: Any) -> str:
    """A line of TOML; of what is long the first items, which are enough to see how it is written."""
    if isinstance(value, list) and value and isinstance(value[0], list):
        value = value[:MOST_ITEMS]
    line = f"{key} = {literal(value)}"
    if len(line) <= LONGEST or not isinstance(value, list | dict) or len(value) < 2:
        return line
    return _line(key, value[:-1] if isinstance(value, list) else dict(list(value.items())[:-1]))
