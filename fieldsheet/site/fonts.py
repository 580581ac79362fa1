"""The typeface on the screen: two weights of Fira Sans, cut down to the signs the pages use.

Source of the fonts: the PyPI package fontpkg-fira-sans (SIL Open Font License 1.1, kept in the subset's name table).
"""

from __future__ import annotations

import functools
import io
from pathlib import Path

import fontpkg_fira_sans
from fontTools import subset
from fontTools.ttLib import TTFont

FOLDER = Path(fontpkg_fira_sans.__file__).parent / "files"
WEIGHTS = {"fira-sans-400.woff2": "FiraSans-Regular.ttf", "fira-sans-600.woff2": "FiraSans-SemiBold.ttf"}
# Basic Latin, Latin-1, Latin Extended-A, the comma-below letters of Romanian, then the signs of our own sheets.
LATIN = [*range(0x20, 0x7F), *range(0xA0, 0x180), *range(0x218, 0x21C)]
SIGNS = "−×°→·…–—“”‘’µ½±≤≥‹›"
# Tabular figures, kerning, accents that combine. No ligatures: "fi" in a keyed-in value must stay two letters.
FEATURES = ["tnum", "kern", "ccmp", "locl", "mark", "mkmk"]


@functools.cache
def screen_fonts() -> dict[str, bytes]:
    """File name -> woff2 bytes of each weight. The same bytes for the same versions of package and fontTools."""
    return {name: _cut(FOLDER / source) for name, source in WEIGHTS.items()}


def missing_glyphs(text: str) -> list[str]:
    """The characters of `text` that the screen fonts cannot draw, each once, in order of code point.

    Spaces and line breaks need no glyph. An empty list means that the whole text is drawn in our own typeface.
    """
    return sorted({sign for sign in text if not sign.isspace() and ord(sign) not in _drawn()})


@functools.cache
def _drawn() -> frozenset[int]:
    """Code points that every weight draws."""
    maps = [set(TTFont(io.BytesIO(data)).getBestCmap()) for data in screen_fonts().values()]
    return frozenset(set.intersection(*maps))


def _cut(source: Path) -> bytes:
    options = subset.Options(layout_features=FEATURES, flavor="woff2", hinting=False, recalc_timestamp=False)
    font = TTFont(source, recalcTimestamp=False)
    cutter = subset.Subsetter(options)
    cutter.populate(unicodes=LATIN, text=SIGNS)
    cutter.subset(font)
    font.flavor = "woff2"
    out = io.BytesIO()
    font.save(out)
    return out.getvalue()
