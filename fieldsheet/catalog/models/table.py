"""What the models of all files share.

A field's description says what would be right; it is what a user reads when something else was found.
Only keys that the plan, the page or the card use are here: an accepted key that does nothing is a lie.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, ClassVar, get_args, get_origin

from pydantic import BaseModel, ConfigDict

TITLE = "a text in quotes of 1 to 120 characters"
LINES = "a list of at most 20 texts, each of 1 to 120 characters"
BEARING = "degrees clockwise from true north, 0 to below 360"
ALTITUDE = "degrees above the level horizon, -90 to 90"
YES_NO = "true or false"


class Table(BaseModel):
    """A TOML table: no key that it does not know, no text where a number belongs."""

    model_config = ConfigDict(extra="forbid", strict=True)
    # Of a table that also takes names of the user's own: what stands under these.
    others: ClassVar[type[BaseModel] | None] = None


def table_in(annotation: Any) -> type[BaseModel] | None:
    """The table that a type is, or holds in a list or instead of something else; None where it holds none."""
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return annotation
    return next((found for part in get_args(annotation) if (found := table_in(part))), None)


def is_list(annotation: Any) -> bool:
    """Whether a type is a list, or may be one."""
    return get_origin(annotation) is list or any(is_list(part) for part in get_args(annotation))


def tables_under(table: type[BaseModel]) -> Iterator[type[BaseModel]]:
    """A table and all that may stand in it, each once, in the order of the keys."""
    seen: dict[type[BaseModel], None] = {}

    def walk(here: type[BaseModel]) -> None:
        if here not in seen:
            seen[here] = None
            held = [table_in(field.annotation) for field in here.model_fields.values()]
            for inner in filter(None, [*held, getattr(here, "others", None)]):
                walk(inner)

    walk(table)
    return iter(seen)
