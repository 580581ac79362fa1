"""The columns of a table of shots: the keys of a shot's file, dotted, with positions in lists from 1.

Every key that holds one value at the top of a file has its column, always and in the same order; a key in a
table or a list has one where any shot gives it.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from functools import lru_cache
from types import UnionType
from typing import Annotated, Any, Union, get_args, get_origin

from pydantic import BaseModel, WithJsonSchema

from fieldsheet.catalog import values
from fieldsheet.catalog.draft import keys_of
from fieldsheet.catalog.models.shot import Shot
from fieldsheet.catalog.models.table import table_in

Path = tuple[str | int, ...]
"""Keys and positions (from 0) that lead to a value."""
ID = "id"
MOST_IN_A_LIST = 50
# Written as one number, or as a table of the two ends.
_NUMBER_OR_ENDS = ("hold_frames", "ease_frames")

# Columns of a table whose answers are kept: each is asked once a row.
_MANY = 10_000


def name_of(path: Path) -> str:
    """The column of a path: "keyframe.1.at" for the first of them."""
    return ".".join(str(part + 1) if isinstance(part, int) else part for part in path)


def path_of(name: str) -> Path | None:
    """The path of a column; None where a shot's file has no such key."""
    path: list[str | int] = []
    here: Any = Shot
    parts = name.split(".")
    while parts and here is not None:
        if get_origin(_bare(here)) is dict:  # the user's own name, dots and all
            parts = [".".join(parts)]
        part: str | int = parts.pop(0)
        if get_origin(_bare(here)) is list:
            part = _position(str(part))
        path.append(part)
        here = _under(here, part)
    return None if here is None or parts else tuple(path)


def usual() -> list[Path]:
    """The columns that are always there."""
    fields = Shot.model_fields.items()
    return [(field.alias or name,) for name, field in fields if _holds_one(name, field.annotation)]


def in_order(paths: Iterable[Path]) -> list[Path]:
    """Columns as the keys of a file are told, tables after the values of their own table."""
    return sorted(set(paths), key=_rank)


def flat(table: Mapping[str, Any]) -> dict[Path, Any]:
    """The single values of a file's values, by path; an empty table or list says nothing."""
    return dict(_leaves((), dict(table)))


def nested(leaves: Mapping[Path, Any]) -> dict[str, Any]:
    """What flat took apart; positions that were left out are closed up.

    Raises KeyError with the path of a value that stands where another one has a table.
    """
    root: dict[str | int, Any] = {}
    for path in in_order(leaves):
        here = root
        for depth, part in enumerate(path[:-1], start=1):
            here = here.setdefault(part, {})
            if not isinstance(here, dict):
                raise KeyError(path[:depth])
        if path[-1] in here:
            raise KeyError(path)
        here[path[-1]] = leaves[path]
    closed: dict[str, Any] = _closed(root)
    return closed


@lru_cache(_MANY)
def is_wording(path: Path) -> bool:
    """Whether a path holds words or a name, so that what looks like a number there is none."""
    here: Any = Shot
    for part in path:
        here = _under(here, part)
    return any(kind in (*_notes(values.Text), *_notes(values.Stem)) for kind in _notes(here))


def _position(text: str) -> int:
    """The position, from 0, that a column counts from 1; -1 for what is none."""
    is_one = text.isascii() and text.isdigit() and len(text) <= 2 and 1 <= int(text) <= MOST_IN_A_LIST
    return int(text) - 1 if is_one else -1


def _under(kind: Any, part: str | int) -> Any:
    """What stands in a table, a free table or a list under a key or a position."""
    kind = _bare(kind)
    if get_origin(kind) is list:
        return get_args(kind)[0] if isinstance(part, int) and part >= 0 else None
    if get_origin(kind) is dict:
        inner = get_args(kind)[1]
        return inner if part and inner is not Any else None
    if not (isinstance(kind, type) and issubclass(kind, BaseModel)):
        return None
    fields = kind.model_fields.items()
    field = next((field for name, field in fields if (field.alias or name) == part), None)
    return field and Annotated[(field.annotation, *field.metadata, None)]


def _notes(kind: Any) -> list[WithJsonSchema]:
    """What a type says that a file holds there."""
    if get_origin(kind) in (Union, UnionType):
        return [note for part in get_args(kind) for note in _notes(part)]
    own = [note for note in getattr(kind, "__metadata__", ()) if isinstance(note, WithJsonSchema)]
    return [*own, *_notes(get_args(kind)[0])] if get_origin(kind) is Annotated else own


def _bare(kind: Any) -> Any:
    """A type without what may be None and without its notes."""
    if get_origin(kind) is Annotated:
        return _bare(get_args(kind)[0])
    if get_origin(kind) in (Union, UnionType):
        return next(_bare(part) for part in get_args(kind) if part is not type(None))
    return kind


def _holds_one(name: str, annotation: Any) -> bool:
    kind = _bare(annotation)
    # A moment is kept as a table, but written as one text.
    one_text = get_origin(kind) is dict and get_args(kind)[1] is Any
    is_table = table_in(kind) is not None or get_origin(kind) in (list, dict)
    return name in _NUMBER_OR_ENDS or one_text or not is_table


@lru_cache(_MANY)
def _rank(path: Path) -> tuple[Any, ...]:
    here: Any = Shot
    ranks = []
    for depth, part in enumerate(path):
        table = table_in(here)
        keys = keys_of(table) if table else []
        place = part if isinstance(part, int) else keys.index(part) if part in keys else len(keys)
        ranks.append((depth < len(path) - 1 and depth == 0, place, str(part)))
        here = _under(here, part)
    return tuple(ranks)


def _leaves(path: Path, value: Any) -> Iterator[tuple[Path, Any]]:
    if isinstance(value, dict):
        for key, inner in value.items():
            yield from _leaves((*path, key), inner)
    elif isinstance(value, list):
        for index, inner in enumerate(value):
            yield from _leaves((*path, index), inner)
    else:
        yield path, value


def _closed(value: Any) -> Any:
    """Tables whose keys are positions become lists."""
    if not isinstance(value, dict):
        return value
    if value and all(isinstance(key, int) for key in value):
        return [_closed(value[key]) for key in sorted(value)]
    return {key: _closed(inner) for key, inner in value.items()}
