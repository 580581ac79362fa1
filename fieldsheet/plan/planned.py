"""What the warnings look at, and the shape of a warning.  Twin: app/core/planned.js."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from .anchors import Night
from .keyframes import Setting
from .move import Path, Stage
from .timing import Timing

Caution = dict[str, Any]


@dataclass(frozen=True)
class Placed:
    """A shot on a night as far as sky, place and the reach of its axes can forbid it; limited as planned."""

    brief: dict[str, Any]
    night: Night
    timing: Timing
    settings: list[Setting]
    limited: list[dict[str, Any]]


@dataclass(frozen=True)
class Planned(Placed):
    """A planned shot: found are (ms UTC, name) of the events, what follows as the plan holds it.

    swap is the person's own; the supplies of power have used_wh at every frame.
    """

    path: Path
    stages: list[Stage]
    budget: dict[str, Any]
    found: list[tuple[int, str]]
    swap: dict[str, Any] | None
    needs: list[dict[str, Any]]
    grazes: list[dict[str, Any]]
    picture: dict[str, Any]
    look: dict[str, Any] | None
    power: dict[str, Any]
    storage: dict[str, Any] | None
    exposure: dict[str, Any] | None
    meant: list[dict[str, Any] | None]


def caution(level: str, id: str, args: dict[str, Any]) -> Caution:
    """A warning of a level ("no-go" or "mind"), by the id of its words and their arguments."""
    return {"level": level, "id": "warning." + id, "args": args}
