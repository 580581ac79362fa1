"""A code drawn in letters, read back by an independent decoder from what the letters look like."""

from __future__ import annotations

import pytest
import zxingcpp
from PIL import Image, ImageOps

from fieldsheet.exchange.blocks import code_lines

# Upper and lower half of a letter: inked or not. Source: Unicode, Block Elements.
INKED = {"█": (1, 1), "▀": (1, 0), "▄": (0, 1), " ": (0, 0)}
ADDRESSES = ["http://10.0.0.2:80/", "http://192.168.100.200:65535/files/everything.html"]


def picture(lines: list[str], dark_letters: bool) -> Image.Image:
    """The lines as a terminal shows them, in black and white."""
    rows = [[INKED[letter][half] for letter in line] for line in lines for half in (0, 1)]
    image = Image.new("L", (len(rows[0]), len(rows)))
    image.putdata([255 * ink for row in rows for ink in row])
    shown = ImageOps.invert(image) if dark_letters else image
    return shown.resize((4 * image.width, 4 * image.height), Image.Resampling.NEAREST)


@pytest.mark.parametrize("on_light", [False, True])
@pytest.mark.parametrize("address", ADDRESSES)
def test_a_decoder_reads_the_address_in_both_colours(address: str, on_light: bool) -> None:
    lines = code_lines(address, on_light)
    found = zxingcpp.read_barcodes(picture(lines, on_light), try_invert=False, try_downscale=False)
    assert [code.text for code in found] == [address]
    # ISO/IEC 18004: a quiet zone of four light modules all around; and it fits a window of 80 by 24.
    light = " " if on_light else "█"
    assert {line[:4] + line[-4:] for line in lines} == {light * 8}
    assert {letter for line in (*lines[:2], lines[-1]) for letter in line} == {light}
    assert len(lines) <= 24 and len(lines[0]) <= 80
