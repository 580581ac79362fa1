"""What the warnings look at, and the shape of a warning.  Twin: app/core/planned.js."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from .anchors import Night
from .keyframes import Setting
from .move import Path
from .timing import Timing

Caution = dict[str, Any]


@dataclass(frozen=True)
class Planned:
    """A planned shot: found are (ms UTC, name) of the events, the last three as the plan holds them."""

    brief: dict[str, Any]
    night: Night
    timing: Timing
    settings: list[Setting]
    path: Path
    steps: dict[str, dict[str, float]]
    budget: dict[str, Any]
    found: list[tuple[int, str]]
    swap: dict[str, Any] | None
    limited: list[dict[str, Any]]
    needs: list[dict[str, Any]]
    grazes: list[dict[str, Any]]


def caution(level: str, id: str, args: dict[str, Any]) -> Caution:
    """A warning of a level ("no-go" or "mind"), by the id of its words and their arguments."""
    return {"level": level, "id": "warning." + id, "args": args}
