"""The types of a plan for the check of the scripts, from the schema that is published: they cannot differ."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

HEAD = "// Made by build/js/plan_types.py from fieldsheet/exchange/plan.schema.json.\n"
PLAIN = {"integer": "number", "number": "number", "string": "string", "boolean": "boolean", "null": "null"}


def declarations(schema: dict[str, Any]) -> str:
    """The types of a schema's definitions and of what it describes (PlanFile), as TypeScript writes them."""
    parts = [f"type {name} = {typed(part)};\n" for name, part in schema["$defs"].items()]
    body = "".join(parts) + f"type PlanFile = {typed(schema)};\n"
    return f"{HEAD}declare namespace Filed {{\n{body}}}\n"


def typed(schema: dict[str, Any]) -> str:
    """The type of what fits a schema; unknown for one that says nothing."""
    if "$ref" in schema:
        return str(schema["$ref"]).removeprefix("#/$defs/")
    if "const" in schema:
        return json.dumps(schema["const"])
    if "enum" in schema:
        return " | ".join(map(json.dumps, schema["enum"]))
    if "anyOf" in schema:
        return " | ".join(map(typed, schema["anyOf"]))
    kinds = schema.get("type", [])
    return " | ".join(_of_kinds([kinds] if isinstance(kinds, str) else kinds, schema)) or "unknown"


def _of_kinds(kinds: list[str], schema: dict[str, Any]) -> Iterator[str]:
    for kind in kinds:
        if kind == "array":
            yield _array(schema)
        elif kind == "object":
            yield _object(schema)
        else:
            yield PLAIN[kind]


def _array(schema: dict[str, Any]) -> str:
    """As many as there must be, where that is one number."""
    item = f"({typed(schema['items'])})"
    least, most = schema.get("minItems"), schema.get("maxItems")
    return f"{item}[]" if least is None or least != most else f"[{', '.join([item] * least)}]"


def _object(schema: dict[str, Any]) -> str:
    if "properties" not in schema:
        more = schema.get("additionalProperties")
        return f"Record<string, {typed(more) if isinstance(more, dict) else 'unknown'}>"
    required = schema.get("required", [])
    keys = (
        f"{json.dumps(key)}{'' if key in required else '?'}: {typed(part)}"
        for key, part in schema["properties"].items()
    )
    return "{" + "; ".join(keys) + "}"


def write(schema: Path, declarations_file: Path) -> None:
    """Writes the types of a schema to a file."""
    declarations_file.parent.mkdir(parents=True, exist_ok=True)
    declarations_file.write_text(declarations(json.loads(schema.read_text("utf-8"))), "utf-8")
