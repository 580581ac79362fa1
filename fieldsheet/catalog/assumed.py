"""What the files of a shot still assume: the keys marked so by a comment, and what of them comes first.

A mark stands where the value stands, so that there is one place to edit: who has measured writes the value
and takes the comment away.  Nothing of ours rewrites a file without its comments.
"""

from __future__ import annotations

from collections.abc import Container, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from ..isolated import isolated
from ..problems import spoken_key
from .document import Document
from .idle import idle_keys
from .models.camera import Camera
from .models.head import CatalogFile
from .models.rig import Rig
from .models.shot import Shot
from .speech import concerns
from .words import Loc, dotted

MOST_NAMED = 4
# What of catalog.toml stands in plans; the rest is the whole catalog's: its names, its address, its paper.
_IN_PLANS = ("roles", "house")
MINUS = "\u2212"
# By its last key, what costs a night first where the guess was wrong: frames smeared or missed, an axis at
# its stop, a supply that dies, a full card (common practice, no source).
_COSTLIEST = (
    *("settle_s", "ready_s", "release_lag_s", "speed_max", "acceleration_max", "max", "min", "wrap_deg"),
    *("capacity_mah", "efficiency", "electronics_w", "holding_w", "capacity_wh", "frame_wh", "idle_w"),
    *("moving_wh_per_m", "moving_wh_per_deg", "incline_factor", "longest_shutter_s", "card_gb", "file_mb"),
)
_SIGNS = {
    "s": " s",
    "min": " min",
    "m": " m",
    "mm": " mm",
    "deg": "°",
    "kg": " kg",
    "px": " px",
    "c": " °C",
    "w": " W",
    "wh": " Wh",
    "v": " V",
    "mah": " mAh",
    "mb": " MB",
    "gb": " GB",
}
_EACH = {"m": "metre", "deg": "degree"}
_OF_AXES = {"mm": " mm", "deg": "°", "turns": " turns", "percent": " %"}
_PER = {"speed_max": " a second", "acceleration_max": " a second, each second"}


@dataclass(frozen=True)
class Assumed:
    """A marked key as locate knows it, where it stands, its value as written, and both as people say them.

    own_key: as its file has it, tables of a list counting from 1.
    """

    key: str
    own_key: str
    file: str
    line: int
    value: str
    said: str


@dataclass(frozen=True)
class Marks:
    """The marked lines of a file, each list in order.

    read: of values that some shot's plan stands on; unread: of those that no shot reads; stray: of marks
    behind no value.
    """

    read: list[int]
    unread: list[int]
    stray: list[int]


def assumed_in(
    documents: Mapping[str, Document], shot: Shot, rig: Rig, camera: Camera, head: CatalogFile
) -> list[Assumed]:
    """The marked keys that a shot's plan stands on, that first which can cost it.

    documents: its files by kind, the catalog's own among them.
    """
    idle = idle_keys(shot, rig, camera)
    marked = [
        (kind, document, loc)
        for kind, document in documents.items()
        for loc in _marked(document)
        if dotted((kind, *loc)) not in idle and (kind != "catalog" or _in_plan(loc, shot, head))
    ]
    return [_assumed(*one) for one in sorted(marked, key=lambda one: _rank(one[2]))]


def assumed_of_all(document: Document) -> list[Assumed]:
    """The marked keys of catalog.toml that are no shot's, by line: what site and paper stand on."""
    return [_assumed("catalog", document, loc) for loc in _marked(document) if loc[0] not in _IN_PLANS]


def briefly(assumed: Sequence[Assumed]) -> dict[str, Any] | None:
    """How many there are, and the first few in words, as a brief carries them; None where there are none."""
    if not assumed:
        return None
    return {"count": len(assumed), "first": ", ".join(isolated(one.said) for one in assumed[:MOST_NAMED])}


def marks_of(document: Document, read: Container[tuple[str, int]]) -> Marks:
    """What is marked in a file, but for what is the whole catalog's.

    read: (file, line) of what some shot reads.
    """
    shared = [one.line for one in assumed_of_all(document)] if document.kind == "catalog" else []
    lines = [line for line in map(document.lines.of, _marked(document)) if line not in shared]
    return Marks(
        [line for line in lines if (document.file, line) in read],
        [line for line in lines if (document.file, line) not in read],
        document.lines.stray,
    )


def _marked(document: Document) -> list[Loc]:
    return sorted(document.lines.assumed, key=document.lines.of)


def _in_plan(loc: Loc, shot: Shot, head: CatalogFile) -> bool:
    """Whether a key of catalog.toml stands in the plan of that shot."""
    if loc[0] == "house" and len(loc) > 1:
        return concerns(head.house[int(loc[1])], shot)
    return loc[0] in _IN_PLANS


def _rank(loc: Loc) -> int:
    return _COSTLIEST.index(loc[-1]) if loc[-1] in _COSTLIEST else len(_COSTLIEST)


def _assumed(kind: str, document: Document, loc: Loc) -> Assumed:
    key = dotted(loc if kind == "shot" else (kind, *loc))
    value = document.said(loc) or ""
    said = f"{_name(kind, loc)} {_figure(document, loc)}".strip()
    return Assumed(key, spoken_key(dotted(loc)), document.file, document.lines.of(loc), value, said)


def _figure(document: Document, loc: Loc) -> str:
    """A value with its unit; "" for a table, and for pairs, which a few words do not hold."""
    written, value = document.written_at(loc), document.said(loc) or ""
    parts = written if isinstance(written, list) else [written]
    if any(isinstance(part, list | dict) for part in parts):
        return ""
    if any(isinstance(part, str) for part in parts):
        return value
    signed = MINUS + value[1:] if value.startswith("-") else value
    return f"{signed}{_sign(document, loc)}"


def _name(kind: str, loc: Loc) -> str:
    """What a value is called: "settle", "slide speed", "camera ready", "pack 1 capacity"."""
    counted = (str(part + 1) if isinstance(part, int) else part for part in loc)
    parts = [part for part in counted if part not in ("axis", "power")]
    *tables, last = parts or [str(loc[-1])]
    own = last.removesuffix("_max") if last in _PER else _parted(last)[0]
    return " ".join([*(["camera"] if kind == "camera" else []), *tables, own]).replace("_", " ")


def _sign(document: Document, loc: Loc) -> str:
    """The unit that is written behind a value, with the blank before it."""
    last = str(loc[-1])
    if loc[0] == "axis" and len(loc) == 3 and not _parted(last)[1]:
        return _OF_AXES.get(document.written_at(("axis", loc[1], "unit")) or "", "") + _PER.get(last, "")
    stem, per, each = last.partition("_per_")
    return _SIGNS.get(_parted(stem)[1], "") + (f" per {_EACH.get(each, each)}" if per else "")


def _parted(key: str) -> tuple[str, str]:
    """A key without its unit, and the unit; "" where it has none."""
    stem, _, unit = key.partition("_per_")[0].rpartition("_")
    return (stem, unit) if stem and unit in _SIGNS else (key, "")
