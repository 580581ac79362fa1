"""The texts of a page that are bound to its sheet."""

from __future__ import annotations

from typing import Any

from playwright.sync_api import Page


def bound_texts(page: Page) -> dict[str, str]:
    """Every bound text of the page by its path, without the words for those who hear the page."""
    texts: dict[str, str] = page.evaluate(
        """() => Object.fromEntries([...document.querySelectorAll('[data-v]')].map((place) =>
             [place.dataset.v, place.childNodes[0]?.textContent ?? '']))"""
    )
    return texts


def text_at(sheet: dict[str, Any], path: str) -> str:
    """What a sheet has at a dotted path."""
    part: Any = sheet
    for key in path.split("."):
        part = part[int(key)] if isinstance(part, list) else part[key]
    return str(part)
