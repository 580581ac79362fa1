"""Every key that a catalog may hold, in words: for the guide, and for `fieldsheet schema KIND --text`."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from pydantic import BaseModel

from .document import MODELS
from .examples import EACH, TablePath, example, is_inline
from .files import CATALOG_FILE, FOLDERS
from .literal import literal
from .meaning import left_out, meaning, purpose
from .models.table import is_list, table_in
from .schema import file_schema
from .typewords import type_words
from .valuekinds import KINDS

NAME = "NAME"  # of the user's own, as in [axis.NAME]


def reference() -> list[dict[str, Any]]:
    """The kinds of file, as JSON values; see `file_reference`."""
    return [file_reference(kind) for kind in MODELS]


def file_reference(kind: str) -> dict[str, Any]:
    """A kind of file: {"kind", "file": "shots/*.toml", "about", "tables"}, the file itself the first table.

    A table: {"name": "[rail]", "" for the file itself, "about", "keys"}; a key: {"key", "type", "required",
    "left_out", "about", "example"}.  left_out is what holds where the key is left out, as TOML with a word on
    when, "" where nothing does or where `about` says it; example is a line of the demo, "" where it has none.
    """
    folders = {each: f"{name}/*.toml" for name, each in FOLDERS.items()}
    schema, model = file_schema(kind), MODELS[kind]
    shown = {model.__name__: schema, **schema["$defs"]}
    tables = [_table(kind, shown, table, path, name) for name, path, table in _tables(kind, model)]
    return {
        "kind": kind,
        "file": folders.get(kind, CATALOG_FILE),
        "about": purpose(model),
        "tables": tables,
    }


def value_kinds() -> list[dict[str, Any]]:
    """The kinds of values that are a key's type: {"name", "about", "examples": as they are written}."""
    return [
        {
            "name": kind["title"],
            "about": kind["description"],
            "examples": [str(one) if name == "date" else literal(one) for one in kind["examples"]],
        }
        for name, kind in KINDS.items()
    ]


def _table(
    kind: str, schemas: dict[str, Any], table: type[BaseModel], path: TablePath, name: str
) -> dict[str, Any]:
    schema = schemas[table.__name__]
    fields = {field.alias or key: field for key, field in table.model_fields.items()}
    keys = [
        {
            "key": key,
            "type": type_words(schema["properties"][key], key),
            "required": field.is_required(),
            "left_out": left_out(field),
            "about": meaning(table, key),
            "example": ""
            if _is_headed(table_in(field.annotation), kind, (*path, key))
            else example(kind, path, key),
        }
        for key, field in fields.items()
    ]
    return {"name": name, "about": purpose(table), "keys": keys}


def _is_headed(table: type[BaseModel] | None, kind: str, path: TablePath) -> bool:
    """Whether a key holds tables that stand under headings of their own."""
    return table is not None and not is_inline(kind, path)


def _tables(
    kind: str, model: type[BaseModel], path: TablePath = (), name: str = ""
) -> Iterator[tuple[str, TablePath, type[BaseModel]]]:
    """A table and those in it, each with its heading and where it stands."""
    yield name, path, model
    told: list[type[BaseModel]] = []
    for attribute, field in model.model_fields.items():
        key, inner = field.alias or attribute, table_in(field.annotation)
        if inner is None or inner in told:
            continue
        told.append(inner)
        alike = [
            other.alias or each
            for each, other in model.model_fields.items()
            if table_in(other.annotation) is inner
        ]
        many = is_list(field.annotation)
        below = (*path, key, EACH) if many else (*path, key)
        yield from _tables(kind, inner, below, _heading(kind, (*path, key), alike, many, name))
    others: type[BaseModel] | None = getattr(model, "others", None)
    if others is not None:
        known = frozenset(model.model_fields)
        yield from _tables(kind, others, (*path, known), f"[{_dotted(path)}.{NAME}]")


def _heading(kind: str, path: TablePath, alike: list[str], many: bool, above: str) -> str:
    """ "[rail]", "[[keyframe]]", or "aim = { … } in [[keyframe]]"; alike: the keys that hold such a table."""
    if is_inline(kind, path):
        return f"{' and '.join(alike)} = {{ … }}{f' in {above}' if above else ''}"
    return f"[[{_dotted(path)}]]" if many else f"[{_dotted(path)}]"


def _dotted(path: TablePath) -> str:
    return ".".join(part for part in path if isinstance(part, str) and part != EACH)
