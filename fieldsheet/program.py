"""What this program is made of, as one hash: what it made is as good as new while that is the same."""

from __future__ import annotations

import hashlib
import sys
from importlib.metadata import distributions
from pathlib import Path

from fieldsheet.templates import templates

PACKAGE = Path(__file__).parent


def program_hash() -> str:
    """Sources, templates, tables, every library with its version, and Python."""
    total = hashlib.sha256(f"{sys.version}\n".encode())
    for library in sorted(f"{one.name} {one.version}" for one in distributions()):
        total.update(f"{library}\n".encode())
    for folder in (PACKAGE, templates()):
        for path in sorted(folder.rglob("*")):
            if path.is_file() and "__pycache__" not in path.parts:
                data = path.read_bytes()
                total.update(f"{path.relative_to(folder)}\n{len(data)}\n".encode() + data)
    return total.hexdigest()
