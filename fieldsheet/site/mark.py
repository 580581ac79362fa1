"""Which pages and scripts are of one make: a mark that stands in both (app/shell.js holds them together)."""

from __future__ import annotations

import hashlib
from pathlib import Path

TABLES = Path(__file__).parents[1]
WRITTEN = (".j2", ".js", ".css")
LONG = 8


def mark_of(folder: Path) -> str:
    """A short hash of the templates in `folder`, the phone's modules among them, and of all tables."""
    total = hashlib.sha256()
    templates = (path for path in folder.rglob("*") if path.suffix in WRITTEN)
    for path in (*sorted(templates), *sorted(TABLES.rglob("*.json"))):
        data = path.read_bytes()
        total.update(f"{path.name}\n{len(data)}\n".encode() + data)
    return total.hexdigest()[:LONG]
