"""Every test of the cards fails if the renderer had anything to say."""

from __future__ import annotations

import logging
from collections.abc import Iterator

import pytest


class Said(logging.Handler):
    """Keeps what a logger said at warning level or above."""

    def __init__(self) -> None:
        super().__init__(logging.WARNING)
        self.lines: list[str] = []

    def emit(self, record: logging.LogRecord) -> None:
        self.lines.append(record.getMessage())


@pytest.fixture(scope="session", autouse=True)
def ear() -> Iterator[Said]:
    """Listens from before the first card: cards shared by several tests are made outside any of them."""
    handler = Said()
    loggers = [logging.getLogger(name) for name in ("weasyprint", "fontTools")]
    for logger in loggers:
        logger.addHandler(handler)
    yield handler
    for logger in loggers:
        logger.removeHandler(handler)


@pytest.fixture(autouse=True)
def said(ear: Said) -> Iterator[list[str]]:
    yield ear.lines
    heard = list(ear.lines)
    ear.lines.clear()
    assert heard == []
