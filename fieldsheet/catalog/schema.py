"""The files of a catalog as JSON Schema, draft 2020-12: what editors complete and check them by.

It is made from the models, and says of a file what an editor sees: TOML's dates are texts of the form date.
It refuses nothing that the reader takes; the reader refuses more, since it looks at keys and files together.
"""

from __future__ import annotations

import json
from decimal import Decimal
from fractions import Fraction
from typing import Any

from pydantic import BaseModel
from pydantic.fields import FieldInfo
from pydantic.json_schema import GenerateJsonSchema, JsonSchemaValue
from pydantic_core import core_schema

from .document import MODELS
from .meaning import left_out, meaning, purpose
from .models.table import tables_under
from .valuekinds import KINDS
from .values import VALUE

DIALECT = "https://json-schema.org/draft/2020-12/schema"
DEFS = "#/$defs/"
# What pydantic calls bounds where a value is checked before it is a number.
_BOUNDS = {"ge": "minimum", "gt": "exclusiveMinimum", "le": "maximum", "lt": "exclusiveMaximum"}


class _OfToml(GenerateJsonSchema):
    """What stands in a file: numbers are numbers, and a key that is left out is not null."""

    def decimal_schema(self, schema: core_schema.DecimalSchema) -> JsonSchemaValue:
        """A number within its bounds, never a text."""
        return {"type": "number", **{name: value for name, value in schema.items() if name in _BOUNDS}}

    def nullable_schema(self, schema: core_schema.NullableSchema) -> JsonSchemaValue:
        """TOML has no null."""
        return self.generate_inner(schema["schema"])

    def field_title_should_be_set(self, schema: Any) -> bool:
        """A key is called as it is written."""
        return False

    def encode_default(self, dft: Any) -> Any:
        """Plain numbers."""
        return _plain(dft)


def file_schema(kind: str) -> dict[str, Any]:
    """The schema of a kind of file: "catalog", "place", "rig", "camera" or "shot"."""
    model = MODELS[kind]
    made = model.model_json_schema(by_alias=True, schema_generator=_OfToml)
    found: dict[str, Any] = {**made.pop("$defs", {}), model.__name__: made}
    tables = {
        table.__name__: _table(found[table.__name__], table)
        for table in tables_under(model)
        if table.__name__ in found
    }
    whole = tables.pop(model.__name__)
    used = _kinds_in([whole, tables])
    head = {"$schema": DIALECT, "$id": f"urn:fieldsheet:{kind}", "title": f"fieldsheet {kind}"}
    return {**head, **whole, "$defs": {**tables, **{name: KINDS[name] for name in KINDS if name in used}}}


def schema_text(kind: str) -> str:
    """The same as text."""
    return json.dumps(file_schema(kind), ensure_ascii=True, allow_nan=False, indent=1) + "\n"


def keys_file(kind: str) -> bytes:
    """The same as a file."""
    return schema_text(kind).encode()


def explained(table: type[BaseModel], field: FieldInfo, key: str) -> str:
    """What a key means, and what holds where it is left out."""
    default = left_out(field)
    return f"{meaning(table, key)} Left out: {default}." if default else meaning(table, key)


def _table(made: dict[str, Any], table: type[BaseModel]) -> dict[str, Any]:
    """A table as pydantic has it, in our words."""
    fields = {field.alias or name: field for name, field in table.model_fields.items()}
    keys = {
        key: {"description": explained(table, fields[key], key), **_without_words(value)}
        for key, value in made["properties"].items()
    }
    rest = {key: _tidy(made[key]) for key in made if key not in ("title", "description", "properties")}
    return {"description": purpose(table), **rest, "properties": keys}


def _without_words(schema: dict[str, Any]) -> dict[str, Any]:
    """What may stand under a key, without what the model says of it to those who wrote something else."""
    told = ("description", "default") if schema.get("default", "") is None else ("description",)
    tidied: dict[str, Any] = _tidy({key: value for key, value in schema.items() if key not in told})
    ref = tidied.pop("$ref", None)
    # Editors of an older draft read nothing beside a bare $ref.
    return {"allOf": [{"$ref": ref}], **tidied} if ref else tidied


def _tidy(schema: Any) -> Any:
    """Bounds under their own names, and kinds of values where they stand for all."""
    if isinstance(schema, list):
        return [_tidy(part) for part in schema]
    if not isinstance(schema, dict):
        return _plain(schema)
    tidied = {_BOUNDS.get(key, key): _tidy(value) for key, value in schema.items()}
    kind = tidied.pop(VALUE, None)
    return {"$ref": f"{DEFS}{kind}", **tidied} if kind else tidied


def _kinds_in(schema: Any) -> set[str]:
    parts = schema.values() if isinstance(schema, dict) else schema if isinstance(schema, list) else ()
    ref = schema.get("$ref", "") if isinstance(schema, dict) else ""
    return {str(ref).removeprefix(DEFS)}.union(*(_kinds_in(part) for part in parts))


def _plain(value: Any) -> Any:
    """Numbers as JSON has them, whole ones whole."""
    if isinstance(value, list | tuple):
        return [_plain(part) for part in value]
    if isinstance(value, Decimal | Fraction | float):
        return int(value) if value == int(value) else float(value)
    return value
