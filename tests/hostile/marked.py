"""A catalog in which every text that a person can write is hostile; the texts are found in the models."""

from __future__ import annotations

import datetime
import json
import tomllib
from collections.abc import Iterator
from decimal import Decimal
from pathlib import Path
from typing import Any

from fieldsheet.catalog.document import MODELS
from fieldsheet.catalog.files import FOLDERS
from fieldsheet.catalog.values import MOST_MARKS, VALUE

# What a page, a template, a style or a table would take for its own.
ATTACK = "</script><img src=x onerror=alert(1)> \"'{{7*7}} &lt;"
# Each behind the one above, in turn: writing from the right, pictures of several signs, the highest pile of
# marks that is taken, and a word that no line holds.
STRANGE = [
    "\u05e9\u05dc\u05d5\u05dd 12 (\u0628) \u0645\u0631\u062d\u0628\u0627",
    "\U0001f30c\U0001f469\u200d\U0001f52c\U0001f1f5\U0001f1f9\ufe0f",
    "Z" + "\u030c" * MOST_MARKS,
    "W" * 55,
]
EVERY = "*"
"""In a path: each of a list, or each key of a table whose keys are free."""
Path_ = tuple[str, ...]


def texts_of(kind: str) -> list[Path_]:
    """The paths of all free texts in a file of this kind."""
    schema = MODELS[kind].model_json_schema()
    return list(_texts(schema, schema.get("$defs", {}), ()))


def _texts(node: dict[str, Any], known: dict[str, Any], path: Path_) -> Iterator[Path_]:
    if "$ref" in node:
        yield from _texts(known[node["$ref"].rpartition("/")[2]], known, path)
    if node.get(VALUE) == "text":
        yield path
    for option in node.get("anyOf", ()):
        yield from _texts(option, known, path)
    for key, part in node.get("properties", {}).items():
        yield from _texts(part, known, (*path, key))
    for key in ("items", "additionalProperties"):
        if isinstance(node.get(key), dict):
            yield from _texts(node[key], known, (*path, EVERY))


class Marked:
    """Fills the texts of a catalog; told: each text with where it stands."""

    def __init__(self) -> None:
        self.told: dict[str, str] = {}

    def catalog(self, folder: Path) -> None:
        """Writes the files of a catalog anew, with all texts replaced, and those added that were left out."""
        paths = [("catalog", folder / "catalog.toml")]
        paths += [(kind, path) for name, kind in FOLDERS.items() for path in (folder / name).iterdir()]
        for kind, path in paths:
            values = tomllib.loads(path.read_text("utf-8"), parse_float=Decimal)
            for text in texts_of(kind):
                self._fill(values, text, f"{kind}:{'.'.join(text)}")
            path.write_text("".join(f"{key} = {toml(value)}\n" for key, value in values.items()), "utf-8")

    def _fill(self, table: Any, path: Path_, name: str) -> None:
        key, rest = path[0], path[1:]
        if key == EVERY:
            for at in range(len(table)) if isinstance(table, list) else list(table):
                if rest:
                    self._fill(table[at], rest, name)
                else:
                    table[at] = self._text(name)
        elif not rest:
            table[key] = self._text(name)
        elif rest == (EVERY,) and not table.get(key):
            table[key] = [self._text(name)]
        elif key in table:
            self._fill(table[key], rest, name)

    def _text(self, name: str) -> str:
        """It begins as a formula does, and with a number of its own."""
        number = len(self.told)
        text = f"=q{number}q{ATTACK}{STRANGE[number % len(STRANGE)]}"
        self.told[text] = name
        return text


def toml(value: Any) -> str:
    """A value of TOML on lines of its own where it is long."""
    if isinstance(value, dict):
        return "{ " + ", ".join(f"{json.dumps(key)} = {toml(part)}" for key, part in value.items()) + " }"
    if isinstance(value, list):
        return "[" + ",\n".join(map(toml, value)) + "]"
    if isinstance(value, datetime.date):
        return value.isoformat()
    return str(value) if isinstance(value, Decimal) else json.dumps(value, ensure_ascii=False)
