"""Commands run inside a test: what they give back, and files to spoil."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

SHOT = "slipway"
# What `fieldsheet new` needs at the least, and a night.
HILL = ("--place", "Crow Hill, north", "--lat", "37.08", "--lon", "-8.67", "--night", "2027-06-05")

Run = Callable[..., tuple[int, str, str]]
"""Runs a command in this process: (exit status, standard output, standard error)."""


def edit(path: Path, old: str, new: str) -> int:
    """Replaces the first `old`; returns the number of its line."""
    text = path.read_text("utf-8")
    assert old in text
    path.write_text(text.replace(old, new, 1), "utf-8")
    return text[: text.index(old)].count("\n") + 1
