"""A site as bytes alone, for tests that look into it."""

from __future__ import annotations

from collections.abc import Mapping

from fieldsheet.site.content import Content, bytes_of


def in_memory(files: Mapping[str, Content]) -> dict[str, bytes]:
    """Path -> bytes of every file, also of those that the site only knows where to read."""
    return {path: bytes_of(content) for path, content in files.items()}
