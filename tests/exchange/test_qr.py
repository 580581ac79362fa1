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
    Symbol,
    draw_code,
    link_code,
    plan_code,
    read_from,
    text_code,
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
WIDE, NEAR = 93.0, 15.0
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
    modules = link_code(address(most), WIDE, NEAR).modules
    assert (len(modules), {len(row) for row in modules}) == (17 + 4 * version, {17 + 4 * version})
    if version < len(Q_BYTES):
        assert len(link_code(address(most + 1), WIDE, NEAR).modules) == 21 + 4 * version


@pytest.mark.parametrize("length", [20, 21, 60, 61, 75, 108, 177, 292])
def test_an_independent_decoder_reads_the_address_at_level_q(length: int) -> None:
    (code,) = zxingcpp.read_barcodes(picture(link_code(address(length), WIDE, NEAR).modules))
    assert code.text == address(length)
    assert code.ec_level == "Q"
    assert code.bytes == address(length).encode("ascii")


def test_an_address_too_long_for_the_printed_width_is_refused_in_words() -> None:
    assert link_code(address(60), 22.5, 100.0).module_mm == MODULE_MM
    with pytest.raises(ValueError, match="61 bytes long; a code 22.5 mm wide holds 60: shorten base_url"):
        link_code(address(61), 22.5, NEAR)
    with pytest.raises(ValueError, match="1664 bytes long"):
        link_code(address(1664), 500.0, NEAR)
    with pytest.raises(ValueError, match="a code 5 mm wide holds 0"):
        link_code(address(20), 5.0, NEAR)


def test_an_address_that_is_not_ascii_is_refused() -> None:
    with pytest.raises(ValueError, match="plain ASCII"):
        link_code("https://example.org/pôr-do-sol", WIDE, NEAR)


@pytest.mark.parametrize(
    ("bytes_", "read_cm", "module_mm"),
    # 60 bytes: 37 modules; 151: 57; 1663: 177. A tenth of the distance, or half a millimetre at 30 cm.
    [
        (60, 15, 0.5),
        (60, 30, 30 / 37),
        (60, 60, 60 / 37),
        (151, 15, 0.5),
        (151, 30, 30 / 57),
        (151, 60, 60 / 57),
        (1663, 15, 0.5),
        (1663, 30, 0.5),
        (1663, 60, 1.0),
        (1663, 100, 5 / 3),
    ],
)
def test_the_modules_follow_from_the_distance(bytes_: int, read_cm: float, module_mm: float) -> None:
    made = link_code(address(bytes_), 500.0, read_cm)
    across = len(made.modules)
    assert made.module_mm == pytest.approx(module_mm)
    assert made.width_mm == pytest.approx((across + 8) * module_mm)
    assert across * made.module_mm >= read_cm - 1e-9
    assert made.module_mm / read_cm >= 0.5 / 30 - 1e-9
    assert made.read_cm >= read_cm
    narrow = link_code(address(bytes_), made.width_mm * 0.9, read_cm) if module_mm > 0.56 else None
    if narrow:
        assert narrow.width_mm == pytest.approx(made.width_mm * 0.9)
        assert read_cm * 0.9 - 1 < narrow.read_cm <= read_cm * 0.9 + 1e-6


def test_a_symbol_is_as_wide_as_in_the_worked_example() -> None:
    """Version 3, four dots of 400 dpi a module: 7.366 mm, 9.398 mm with its quiet zone (qrcode.com)."""
    symbol = Symbol(((True,) * 29,) * 29, 4 * 25.4 / 400)
    assert symbol.module_mm == pytest.approx(0.254)
    assert symbol.width_mm == pytest.approx(9.398)
    assert symbol.width_mm - 2 * symbol.quiet_mm == pytest.approx(7.366)


def test_the_drawing_has_its_modules_and_the_quiet_zone() -> None:
    made = link_code(address(60), WIDE, 30.0)
    modules = made.modules
    svg = ElementTree.fromstring(draw_code(made, "opens <this> plan", 1.5))
    assert svg.attrib["width"] == svg.attrib["height"] == f"{45 * 30 / 37 / 1.5:.2f}mm"
    path = svg.find("{http://www.w3.org/2000/svg}path")
    assert path is not None and path.attrib["transform"] == f"scale({30 / 37 / 1.5:.6f})"
    dark = set()
    for run in path.attrib["d"].split("z")[:-1]:
        start, rest = run[1:].split("h", 1)
        left, top = (int(part) for part in start.split(" "))
        dark |= {(left + n - QUIET, top - QUIET) for n in range(int(rest.split("v")[0]))}
    assert dark == {(x, y) for y, row in enumerate(modules) for x, on in enumerate(row) if on}


def test_a_drawing_tells_from_how_far_it_is_read_and_no_title_pretends_to() -> None:
    near, far = (link_code(address(60), WIDE, cm) for cm in (30.0, 45.0))
    drawn = "".join(draw_code(one, 'data-read-cm="99"') for one in (near, far))
    assert read_from(drawn) == [near.read_cm, far.read_cm] == [30, 45]


# ISO/IEC 18004, table 7: data capacity in numeric mode at level Q, by version.
ISO_Q_DIGITS = {1: 27, 2: 48, 7: 207, 9: 312, 10: 364, 26: 1804, 27: 1933, 40: 3993}


@pytest.mark.parametrize(("version", "most"), ISO_Q_DIGITS.items())
def test_digits_fill_a_version_as_the_standard_has_it(version: int, most: int) -> None:
    """An address of n bytes in its own segment takes 8n bits, and 12 or 20 for its head."""
    address = "h:/"
    bits = 8 * len(address) + (12 if version < 10 else 20)
    digits = "1234567890" * 400
    fits = next(n for n in range(most, 0, -1) if -(-10 * n // 3) + bits <= -(-10 * most // 3))
    made = plan_code(address, digits[:fits], 500.0, NEAR)
    assert made is not None and len(made.modules) == 17 + 4 * version
    (code,) = zxingcpp.read_barcodes(picture(made.modules))
    assert (code.text, code.ec_level) == (address + digits[:fits], "Q")
    following = plan_code(address, digits[: fits + 3], 500.0, NEAR)
    across = None if following is None else len(following.modules)
    assert across == (None if version == 40 else 21 + 4 * version)


def test_a_code_that_is_too_wide_is_none_and_is_not_drawn_smaller() -> None:
    made = plan_code("https://example.org/open/#p=", "7" * 1600, 70.0, NEAR)
    assert made is not None and made.width_mm <= 70 and made.module_mm == MODULE_MM
    assert plan_code("https://example.org/open/#p=", "7" * 1600, made.width_mm - 0.1, NEAR) is None
    assert text_code("x" * 1700, 500.0, NEAR) is None


def test_a_text_is_read_as_it_was_written() -> None:
    text = "K1 10:20 S 0 mm P +63.7 deg\nGro\u00dfe Mauer \u96e8"
    made = text_code(text, 90.0, NEAR)
    assert made is not None
    (code,) = zxingcpp.read_barcodes(picture(made.modules))
    assert code.text == text
