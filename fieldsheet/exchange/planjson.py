"""A plan as JSON for other programs, and the schema of it (JSON Schema, draft 2020-12)."""

from __future__ import annotations

import json
from collections.abc import Mapping
from importlib.resources import files
from typing import Any


def plan_json(plan: Mapping[str, Any]) -> str:
    """The whole plan, in signs that every program reads. Raises ValueError for numbers that JSON has not."""
    return json.dumps(plan, ensure_ascii=True, allow_nan=False, indent=1)


def plan_file(plan: Mapping[str, Any]) -> bytes:
    """The same as a file."""
    return (plan_json(plan) + "\n").encode()


def plan_schema() -> str:
    """What a plan of version 1 holds.

    Other keys may stand beside those of the schema: a later program adds some without a new version.
    """
    return files(__package__).joinpath("plan.schema.json").read_text("utf-8")


def schema_file() -> bytes:
    """The same as a file."""
    return plan_schema().encode()
