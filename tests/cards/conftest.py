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


@pytest.fixture(autouse=True)
def said() -> Iterator[list[str]]:
    handler = Said()
    loggers = [logging.getLogger(name) for name in ("weasyprint", "fontTools")]
    for logger in loggers:
        logger.addHandler(handler)
    yield handler.lines
    for logger in loggers:
        logger.removeHandler(handler)
    assert handler.lines == []
