"""The code on a screen: its modules are those that one independent library draws and another one reads."""

from __future__ import annotations

import random
from typing import Any

import numpy as np
import zxingcpp
from playwright.sync_api import Page
from qrcode.constants import ERROR_CORRECT_M
from qrcode.main import QRCode
from qrcode.util import MODE_8BIT_BYTE, MODE_NUMBER, QRData

LARGEST = 23
# ISO/IEC 18004, table 7: digits that versions hold at level M in numeric mode alone.
ISO_M_DIGITS = {1: 34, 2: 63, 7: 293, 10: 513, 23: 2059}


DRAW = """async (jobs) => {
  const {codeOf, digitsWithin} = await import("/app/codes/qr.js");
  return jobs.map(([address, digits, version, mask]) => {
    const cut = digits.slice(0, digitsWithin(address, version));
    const rows = codeOf(address, cut, ...(mask === null ? [] : [version, mask]));
    return [cut, rows.map((row) => row.map(Number).join(""))];
  });
}"""


def library_rows(address: str, digits: str, version: int, mask: int) -> list[str]:
    code = QRCode(version=version, error_correction=ERROR_CORRECT_M, border=0, mask_pattern=mask)
    code.add_data(QRData(address.encode(), mode=MODE_8BIT_BYTE))
    code.add_data(QRData(digits.encode(), mode=MODE_NUMBER))
    code.make(fit=False)
    return ["".join(str(int(bool(dark))) for dark in row) for row in code.modules]


def read(rows: list[str], pixels: int = 3) -> Any:
    """What the other library reads in a picture of the code within its quiet zone."""
    dark = np.array([[sign == "1" for sign in row] for row in rows])
    picture = np.where(np.pad(dark, 4), 0, 255).astype(np.uint8)
    (found,) = zxingcpp.read_barcodes(np.kron(picture, np.ones((pixels, pixels), np.uint8)))
    return found


def test_every_version_and_mask_is_drawn_as_the_library_draws_it_and_read_back(pure: Page) -> None:
    dice = random.Random(7)
    jobs: list[tuple[str, str, int, int]] = []
    for version in range(1, LARGEST + 1):
        address = "h:/" if version < 3 else "https://example.org/fs/#t="[: 4 * version]
        count = dice.choice([3000, 3000, dice.randint(1, 6 * version)])
        jobs.append((address, "".join(dice.choices("0123456789", k=count)), version, version % 8))
    assert {job[3] for job in jobs} == set(range(8))
    for (address, _, version, mask), (digits, rows) in zip(jobs, pure.evaluate(DRAW, jobs), strict=True):
        assert rows == library_rows(address, digits, version, mask), (version, mask)
        found = read(rows)
        assert (found.text, found.ec_level) == (address + digits, "M"), version


def test_the_smallest_version_is_taken_and_its_mask_is_one_that_reads(pure: Page) -> None:
    dice = random.Random(3)
    address = "http://127.0.0.1:8000/fs/saltings/shots/slipway/#t="
    jobs = [(address, "".join(dice.choices("0123456789", k=3000)), version, None) for version in (9, 23)]
    for (_, _, version, _), (digits, rows) in zip(jobs, pure.evaluate(DRAW, jobs), strict=True):
        assert len(rows) == 17 + 4 * version
        assert read(rows).text == address + digits


def test_capacities_are_those_of_the_standard(pure: Page) -> None:
    """The library's own table has the bits of each version; an empty address costs its head alone."""
    rooms = pure.evaluate(
        """async (versions) => {
          const {digitsWithin} = await import("/app/codes/qr.js");
          return versions.map((version) => digitsWithin("", version)); }""",
        list(ISO_M_DIGITS),
    )
    for (version, most), room in zip(ISO_M_DIGITS.items(), rooms, strict=True):
        head = 12 if version < 10 else 20  # mode and length of the bytes, here none
        assert 0 <= most - room - head * 3 // 10 <= 1, version
    refused = pure.evaluate(
        """async () => {
          const {LARGEST, codeOf, digitsWithin} = await import("/app/codes/qr.js");
          const room = digitsWithin("a", LARGEST);
          const side = codeOf("a", "7".repeat(room)).length;
          try { codeOf("a", "7".repeat(room + 1)); return [side, "drawn"]; }
          catch (error) { return [side, error.name]; } }"""
    )
    assert refused == [17 + 4 * LARGEST, "RangeError"]
