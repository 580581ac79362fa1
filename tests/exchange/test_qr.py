"""The link code: capacities from the standard, and what an independent decoder reads."""

from __future__ import annotations

from xml.etree import ElementTree

import pytest
import zxingcpp
from PIL import Image

from fieldsheet.exchange.qr import (
    MODULE_MM,
    Q_BYTES,
    QUIET,
    Modules,
    draw_code,
    link_code,
    plan_code,
    text_code,
    width_mm,
)

# ISO/IEC 18004, table 7: data capacity in byte mode at level Q, by version.
ISO_Q_BYTES = {
    1: 11,
    2: 20,
    3: 32,
    4: 46,
    5: 60,
    6: 74,
    7: 86,
    8: 108,
    9: 130,
    10: 151,
    15: 292,
    20: 482,
    25: 715,
    30: 982,
    40: 1663,
}
WIDE = 93.0
HTTPS = "https://example.org/"


def address(length: int) -> str:
    return (HTTPS + "a-b/#r=K3F7Q2" * 130)[:length]


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
    with pytest.raises(ValueError, match="1664 bytes long"):
        link_code(address(1664), 500.0)
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


# ISO/IEC 18004, table 7: data capacity in numeric mode at level Q, by version.
ISO_Q_DIGITS = {1: 27, 2: 48, 7: 207, 9: 312, 10: 364, 26: 1804, 27: 1933, 40: 3993}


@pytest.mark.parametrize(("version", "most"), ISO_Q_DIGITS.items())
def test_digits_fill_a_version_as_the_standard_has_it(version: int, most: int) -> None:
    """An address of n bytes in its own segment takes 8n bits, and 12 or 20 for its head."""
    address = "h:/"
    bits = 8 * len(address) + (12 if version < 10 else 20)
    digits = "1234567890" * 400
    fits = next(n for n in range(most, 0, -1) if -(-10 * n // 3) + bits <= -(-10 * most // 3))
    made = plan_code(address, digits[:fits], 500.0)
    assert made is not None and made[1] == version
    (code,) = zxingcpp.read_barcodes(picture(made[0]))
    assert (code.text, code.ec_level) == (address + digits[:fits], "Q")
    following = plan_code(address, digits[: fits + 3], 500.0)
    assert (None if following is None else following[1]) == (None if version == 40 else version + 1)


def test_a_code_that_is_too_wide_is_none_and_is_not_drawn_smaller() -> None:
    made = plan_code("https://example.org/open/#p=", "7" * 1600, 70.0)
    assert made is not None and width_mm(made[1]) <= 70
    assert plan_code("https://example.org/open/#p=", "7" * 1600, width_mm(made[1]) - 0.1) is None
    assert text_code("x" * 1700, 500.0) is None


def test_a_text_is_read_as_it_was_written() -> None:
    text = "K1 10:20 S 0 mm P +63.7 deg\nGro\u00dfe Mauer \u96e8"
    made = text_code(text, 90.0)
    assert made is not None
    (code,) = zxingcpp.read_barcodes(picture(made[0]))
    assert code.text == text
