"""The codes that a page shows, as another phone's camera sees them."""

from __future__ import annotations

import io

import zxingcpp
from PIL import Image
from playwright.sync_api import Locator, Page, expect


def address_in(page: Page, code: Locator) -> str:
    """The address in a code on the screen, the same in a picture of it in each theme."""
    expect(code.locator("svg")).to_be_visible()
    read = set()
    for theme in ("day", "dark", "night"):
        page.locator(f"[data-set-theme={theme}]").evaluate("(button) => button.click()")
        (found,) = zxingcpp.read_barcodes(Image.open(io.BytesIO(code.screenshot())))
        read.add(found.text)
    (address,) = read
    return address
