"""The reference of a kind of file as a page for the terminal, 80 columns wide."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from textwrap import fill
from typing import Any

from .reference import file_reference, value_kinds

WIDTH = 80
_KEY, _TEXT = "  ", "      "


def key_page(kind: str) -> str:
    """Every key of a kind of file, table by table, and the kinds of values that they name."""
    said = file_reference(kind)
    parts = [said["file"]]
    for table in said["tables"]:
        head = f"{table['name']}\n" if table["name"] else ""
        parts.append(head + _filled(table["about"], ""))
        parts += ["\n".join(_key(key)) for key in table["keys"]]
    named = " ".join(key["type"] for table in said["tables"] for key in table["keys"])
    kinds = [one for one in value_kinds() if one["name"] in named]
    return "\n\n".join([*parts, "Kinds of values", *("\n".join(_kind(one)) for one in kinds)])


def _key(key: Mapping[str, Any]) -> Iterator[str]:
    holds = (
        "; must be given" if key["required"] else f"; left out: {key['left_out']}" if key["left_out"] else ""
    )
    head = f"{key['key']}: {key['type']}{holds}"
    yield fill(head, WIDTH, initial_indent=_KEY, subsequent_indent=_TEXT, break_on_hyphens=False)
    yield _filled(key["about"])
    if key["example"]:
        yield f"{_TEXT}{key['example']}"


def _kind(kind: Mapping[str, Any]) -> Iterator[str]:
    yield f"{_KEY}{kind['name']}"
    yield _filled(kind["about"])
    yield _filled("   ".join(kind["examples"]))


def _filled(text: str, inset: str = _TEXT) -> str:
    return fill(text, WIDTH, initial_indent=inset, subsequent_indent=inset, break_on_hyphens=False)
