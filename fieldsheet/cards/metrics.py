"""The card's two weights of Fira Sans, from its font package: their files, and how wide their text is."""

from __future__ import annotations

import unicodedata
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache, lru_cache
from pathlib import Path

from fieldsheet.sheet.glue import held
from fieldsheet.sheet.strip_sides import Measure, wrap

FILES = {400: "FiraSans-Regular.ttf", 600: "FiraSans-SemiBold.ttf"}
"""CSS weight -> file name in the font package."""

_PT = 25.4 / 72


@dataclass(frozen=True)
class _Face:
    units: int
    advances: dict[int, int]
    tabular: dict[int, int]
    unknown: int


def font_file(weight: int) -> Path:
    """The font file of a weight, 400 or 600."""
    import fontpkg_fira_sans

    return Path(fontpkg_fira_sans.__file__).parent / "files" / FILES[weight]


@cache
def measure(points: float, tabular: bool) -> Measure:
    """Measures text of this size: `(text, semibold) -> mm`. Sums advances: kerning only makes text narrower.

    A character that the face lacks counts as the widest of all, for another font will draw it.
    """

    @lru_cache(16384)
    def width(text: str, bold: bool) -> float:
        face = _face(600 if bold else 400)
        table = face.tabular if tabular else face.advances
        wide = (table.get(ord(char), 0 if _unseen(char) else face.unknown) for char in text)
        return sum(wide) * points * _PT / face.units

    return width


def _unseen(sign: str) -> bool:
    """Whether a sign steers how others are set, and has no shape."""
    return unicodedata.category(sign) == "Cf"


@cache
def _face(weight: int) -> _Face:
    from fontTools.ttLib import TTFont

    with TTFont(font_file(weight), lazy=True) as font:
        names = font.getBestCmap()
        advances = {code: font["hmtx"][name][0] for code, name in names.items()}
        tables = font["GSUB"].table
        swaps: dict[str, str] = {}
        for record in tables.FeatureList.FeatureRecord:
            if record.FeatureTag == "tnum":
                for index in record.Feature.LookupListIndex:
                    for part in tables.LookupList.Lookup[index].SubTable:
                        swaps.update(getattr(part, "ExtSubTable", part).mapping)
        tabular = {code: font["hmtx"][swaps.get(name, name)][0] for code, name in names.items()}
        return _Face(font["head"].unitsPerEm, advances, tabular, max(advances.values()))


def lacking(text: str) -> list[str]:
    """The characters of `text` that paper's typeface cannot draw, each once, in order of code point."""
    return sorted(
        {
            sign
            for sign in text
            if not (sign.isspace() or _unseen(sign))
            and any(ord(sign) not in _face(weight).advances for weight in FILES)
        }
    )


_SPARE = 0.2


@lru_cache(4096)
def lines(text: str, room: float, points: float, bold: bool = False) -> int:
    """Lines that `text` takes at most in `room` mm; the page may break at more places, never at fewer.

    It is printed `held`, as all is.
    """
    return max(1, len(wrap(held(text), bold, measure(points, True), room - _SPARE)))


def width(text: str, points: float, bold: bool = False) -> float:
    """Width of `text` on one line, in mm, with a hair to spare."""
    return measure(points, True)(text, bold) + _SPARE


def in_rows(widths: Sequence[float], room: float, air: float) -> list[list[int]]:
    """Which cells stand in which row: as few rows as `room` mm allows, with `air` between cells."""
    rows: list[list[int]] = [[]]
    for n, wide in enumerate(widths):
        if rows[-1] and sum(widths[m] + air for m in rows[-1]) + wide > room:
            rows.append([])
        rows[-1].append(n)
    return rows
