"""The link code: capacities from the standard, and what an independent decoder reads."""

from __future__ import annotations

from xml.etree import ElementTree

import pytest
import zxingcpp
from PIL import Image

from fieldsheet.exchange.qr import MODULE_MM, Q_BYTES, QUIET, Modules, draw_code, link_code, width_mm

# ISO/IEC 18004, table 7: data capacity in byte mode at level Q, by version.
ISO_Q_BYTES = {1: 11, 2: 20, 3: 32, 4: 46, 5: 60, 6: 74, 7: 86, 8: 108, 9: 130, 10: 151, 15: 292}
WIDE = 60.0
HTTPS = "https://example.org/"


def address(length: int) -> str:
    return (HTTPS + "a-b/#r=K3F7Q2" * 40)[:length]


def picture(modules: Modules) -> Image.Image:
    """The modules, four pixels each, in their quiet zone."""
    size = len(modules) + 2 * QUIET
    image = Image.new("L", (size, size), 255)
    for y, row in enumerate(modules):
        for x, dark in enumerate(row):
            image.putpixel((x + QUIET, y + QUIET), 0 if dark else 255)
    return image.resize((4 * size, 4 * size), Image.Resampling.NEAREST)


@pytest.mark.parametrize(("version", "most"), ISO_Q_BYTES.items())
def test_the_smallest_version_that_holds_the_address_is_taken(version: int, most: int) -> None:
    assert Q_BYTES[version - 1] == most
    modules, got = link_code(address(most), WIDE)
    assert (got, len(modules), {len(row) for row in modules}) == (
        version,
        17 + 4 * version,
        {17 + 4 * version},
    )
    if version < len(Q_BYTES):
        assert link_code(address(most + 1), WIDE)[1] == version + 1


@pytest.mark.parametrize("length", [20, 21, 60, 61, 75, 108, 177, 292])
def test_an_independent_decoder_reads_the_address_at_level_q(length: int) -> None:
    modules, version = link_code(address(length), WIDE)
    (code,) = zxingcpp.read_barcodes(picture(modules))
    assert code.text == address(length)
    assert code.ec_level == "Q"
    assert code.bytes == address(length).encode("ascii")


def test_an_address_too_long_for_the_printed_width_is_refused_in_words() -> None:
    assert link_code(address(60), 22.5)[1] == 5
    with pytest.raises(ValueError, match="61 bytes long; a code 22.5 mm wide holds 60: shorten base_url"):
        link_code(address(61), 22.5)
    with pytest.raises(ValueError, match="293 bytes long"):
        link_code(address(293), 500.0)
    with pytest.raises(ValueError, match="a code 5 mm wide holds 0"):
        link_code(address(20), 5.0)


def test_an_address_that_is_not_ascii_is_refused() -> None:
    with pytest.raises(ValueError, match="plain ASCII"):
        link_code("https://example.org/pôr-do-sol", WIDE)


def test_the_drawing_has_half_millimetre_modules_and_the_quiet_zone() -> None:
    modules, version = link_code(address(60), WIDE)
    svg = ElementTree.fromstring(draw_code(modules, "opens <this> plan"))
    side = width_mm(version)
    assert side == (37 + 8) * 0.5
    assert svg.attrib["width"] == svg.attrib["height"] == "22.50mm"
    path = svg.find("{http://www.w3.org/2000/svg}path")
    assert path is not None
    dark = set()
    for run in path.attrib["d"].split("z")[:-1]:
        start, rest = run[1:].split("h", 1)
        left, top = (float(part) for part in start.split(" "))
        width = float(rest.split("v")[0])
        dark |= {
            ((left + n * MODULE_MM) / MODULE_MM - QUIET, top / MODULE_MM - QUIET)
            for n in range(round(width / MODULE_MM))
        }
    assert dark == {(x, y) for y, row in enumerate(modules) for x, on in enumerate(row) if on}
