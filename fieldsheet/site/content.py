"""The bytes of a file of a site: in memory, or on the disk, where they are kept from build to build."""

from __future__ import annotations

import hashlib
from collections.abc import Callable
from dataclasses import dataclass


@dataclass(frozen=True)
class Held:
    """Bytes on the disk: how many, their SHA-256, and how they are read.

    read raises OSError, with the path in it, where they are others by now.
    """

    size: int
    sha256: bytes
    read: Callable[[], bytes]


Content = bytes | Held


def bytes_of(content: Content) -> bytes:
    """All of it in memory; raises OSError as Held.read."""
    return content if isinstance(content, bytes) else content.read()


def size_of(content: Content) -> int:
    """How many bytes it has."""
    return len(content) if isinstance(content, bytes) else content.size


def sum_of(content: Content) -> bytes:
    """Its SHA-256."""
    return hashlib.sha256(content).digest() if isinstance(content, bytes) else content.sha256
