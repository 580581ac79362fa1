"""Why a warning or a problem is told: how it is worked out, and what the files say that it comes from."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from typing import Any

from fieldsheet.catalog.read import Catalog
from fieldsheet.catalog.taken import defaults_taken
from fieldsheet.problems import spoken_key
from fieldsheet.sheet.why import ASSUMED, WHY
from fieldsheet.sheet.words import WORDS
from fieldsheet.terminal.fold import Part

OPEN = "…"
_SLOT = re.compile(r"\{[^}]*\}")
_GAPS = re.compile(rf"{OPEN}(?: {OPEN})+")
_FILES = {"place": "places/", "rig": "rigs/", "camera": "cameras/", "catalog": "catalog.toml"}


def explained(catalog: Catalog, shot_id: str, warning: Mapping[str, Any]) -> list[Part]:
    """What is behind a warning of a plan, with the figures of the shot's own files."""
    why = WHY[warning["id"]]
    taken = dict(defaults_taken(catalog, shot_id))
    keys = dict.fromkeys(_keys(catalog, shot_id, warning))
    return [
        ("worked out", [[why.worked]]),
        ("from", [_source(catalog, shot_id, key, taken) for key in keys]),
        ("quiet when", [[why.quiet]]),
        ("its name", [[short_name(warning["id"])]]),
    ]


def explained_alone(id: str) -> list[Part]:
    """The same of any id, without a shot: what it says, with its figures left open, and the keys by file."""
    why = WHY[id]
    parts = ("head", "sum", "fix") if id.startswith("warning.") else ("found", "right")
    by_file: dict[str, list[str]] = {}
    for key in why.keys:
        kind, _, rest = key.partition(".")
        file, shown = (_FILES[kind], rest) if kind in _FILES else ("shots/", key)
        by_file.setdefault(file, []).append(shown.replace(".N", ""))
    return [
        ("says", [[_SLOT.sub(OPEN, WORDS[f"{id}.{part}"])] for part in parts]),
        ("worked out", [[why.worked]]),
        ("from", [[file, ", ".join(dict.fromkeys(keys))] for file, keys in by_file.items()]),
        ("quiet when", [[why.quiet]]),
    ]


def short_name(id: str) -> str:
    """The name by which an id is asked for: "interval-short"."""
    return id.partition(".")[2]


def named(asked: str) -> list[str]:
    """The ids that a name means: the one so called, or all whose names hold it."""
    exact = [id for id in WHY if asked in (id, short_name(id))]
    return exact or [id for id in WHY if asked in id]


def all_names() -> Iterator[tuple[str, str]]:
    """(name, what it says) of every id, figures left open."""
    for id in WHY:
        parts = ("head",) if id.startswith("warning.") else ("found", "right")
        said = "; right: ".join(_SLOT.sub(OPEN, WORDS[f"{id}.{part}"]) for part in parts)
        yield short_name(id), _GAPS.sub(OPEN, said)


def _keys(catalog: Catalog, shot_id: str, warning: Mapping[str, Any]) -> list[str]:
    """The keys that a warning comes from, as locate knows them; of what is assumed those that are marked."""
    if warning["id"] == ASSUMED:
        return [one.key for one in catalog.assumed(shot_id)]
    index = warning["args"].get("number", 1) - 1
    keys = WHY[warning["id"]].keys
    return [catalog.as_written(shot_id, key.replace(".N", f".{index}")) for key in keys]


def _source(catalog: Catalog, shot_id: str, key: str, taken: Mapping[str, str]) -> tuple[str, str]:
    """Where a key stands and what it says; of one that is not written, what is taken for it."""
    file, line = catalog.locate(shot_id, key)
    kind, _, rest = key.partition(".")
    own = spoken_key(rest if kind in _FILES else key)
    said = catalog.said(shot_id, key)
    if said:
        return f"{file}:{line}", f"{own} = {said}"
    if said is not None:
        return f"{file}:{line}" if line > 1 else file, f"[{own}]"
    default = taken.get(key if kind in _FILES else f"shot.{key}")
    return file, f"{own}: not given{'' if default is None else f', taken as {default}'}"
