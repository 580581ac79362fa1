"""What may stand under a key, in plain words: "number, degrees, −90 to 90"."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from .literal import literal
from .schema import DEFS
from .units import in_words
from .valuekinds import KINDS
from .words import one_of

_NAMES = {"number": "number", "integer": "whole number", "boolean": "true or false", "string": "text"}
_MORE_UNITS = {"c": "°C", "hpa": "hectopascals", "pct": "percent", "px": "pixels", "ev": "stops"}
_HOURS = "_h_min"


def type_words(schema: Mapping[str, Any], key: str) -> str:
    """The type of a key in words; schema: that of the key in its file's schema."""
    for joint in ("allOf", "anyOf"):
        if joint in schema:
            return " or ".join(type_words(part, key) for part in schema[joint])
    if "$ref" in schema:
        name = schema["$ref"].removeprefix(DEFS)
        return str(KINDS[name]["title"]) if name in KINDS else "table"
    if "enum" in schema:
        return one_of([literal(word) for word in schema["enum"]])
    if schema["type"] == "array":
        return _list(schema, key)
    if schema["type"] == "object":
        return f"table of names, each with: {type_words(schema['additionalProperties'], key)}"
    unit = _unit(key) if schema["type"] == "number" else None
    return ", ".join(part for part in (_NAMES[schema["type"]], unit, _bounds(schema)) if part)


def _unit(key: str) -> str | None:
    if key.endswith(_HOURS):
        return "hours"
    stem, _, last = key.rpartition("_")
    return in_words(key) or (_MORE_UNITS.get(last) if stem else None)


def _list(schema: Mapping[str, Any], key: str) -> str:
    items, least, most = schema["items"], schema.get("minItems"), schema.get("maxItems")
    count = f" of {least}" if least and least == most else f" of at most {most}" if most else ""
    if "prefixItems" in items:
        return f"list{count} pairs, [{', '.join(_bounds(part) for part in items['prefixItems'])}]"
    said = type_words(items, key)
    return f"tables, at most {most}" if said == "table" else f"list{count}, each: {said}"


def _bounds(schema: Mapping[str, Any]) -> str:
    """The range, "" where there is none; ends that do not count are said to."""
    low, high = schema.get("minimum"), schema.get("maximum")
    above, below = schema.get("exclusiveMinimum"), schema.get("exclusiveMaximum")
    first = f"above {_number(above)}" if above is not None else _number(low)
    last = f"below {_number(below)}" if below is not None else _number(high)
    return " to ".join(end for end in (first, last) if end)


def _number(value: Any) -> str:
    return "" if value is None else str(value).replace("-", "\u2212")
