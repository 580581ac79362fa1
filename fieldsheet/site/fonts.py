"""The typeface on the screen: two weights of Fira Sans, cut down to the signs the pages use.

Source of the fonts: the Python package fontpkg-fira-sans, SIL Open Font License 1.1. Its section 2 lets a
copy carry notice and licence in the fields of the font, so those names stay in the subset.
"""

from __future__ import annotations

import functools
import io
import unicodedata
from pathlib import Path

import fontpkg_fira_sans
from fontTools.ttLib import TTFont

from .content import bytes_of
from .kept import Keep

FOLDER = Path(fontpkg_fira_sans.__file__).parent / "files"
WEIGHTS = {"fira-sans-400.woff2": "FiraSans-Regular.ttf", "fira-sans-600.woff2": "FiraSans-SemiBold.ttf"}
# Basic Latin, Latin-1, Latin Extended-A, the comma-below letters of Romanian; then the signs we write.
LATIN = [*range(0x20, 0x7F), *range(0xA0, 0x180), *range(0x218, 0x21C)]
SIGNS = "−×°→·…–—“”‘’µ½±≤≥‹›"
# Tabular figures, accents that combine. No ligatures: what is keyed in is read letter by letter. No kerning:
# at the sizes of the pages it is hardly seen, and it would be over a quarter of the fonts' bytes.
NAMES = [0, 1, 2, 3, 4, 5, 6, 13, 14]  # OpenType name table: 0 notice, 1-6 what it is called, 13-14 licence
FEATURES = ["tnum", "ccmp", "locl", "mark", "mkmk"]


_known: dict[str, bytes] = {}


def recall_fonts(keep: Keep) -> None:
    """Cuts none of them again in this process that was kept; `keep` has to be one that is trusted."""
    for name in WEIGHTS:
        _known[name] = kept_font(name, keep)


def kept_font(name: str, keep: Keep) -> bytes:
    """`screen_font`, which takes a second, unless it was kept."""
    return bytes_of(keep(f"type {name}", functools.partial(screen_font, name)))


def screen_font(name: str) -> bytes:
    """The woff2 bytes of one of WEIGHTS; the same for the same versions of package and fontTools."""
    if name not in _known:
        _known[name] = _cut(FOLDER / WEIGHTS[name])
    return _known[name]


def missing_glyphs(text: str) -> list[str]:
    """The characters of `text` that the screen fonts cannot draw, each once, in order of code point.

    Spaces, line breaks and what only steers other signs need no glyph. An empty list: the whole text is drawn
    in our own typeface.
    """
    shown = (sign for sign in set(text) if not sign.isspace() and unicodedata.category(sign) != "Cf")
    return sorted(sign for sign in shown if ord(sign) not in _drawn())


@functools.cache
def _drawn() -> frozenset[int]:
    """Code points that every weight draws: of those that it is cut down to."""
    asked = {*LATIN, *map(ord, SIGNS)}
    for source in WEIGHTS.values():
        with TTFont(FOLDER / source, lazy=True) as font:
            asked &= set(font.getBestCmap())
    return frozenset(asked)


def _cut(source: Path) -> bytes:
    # A fifth of what a build loads; almost every one has its fonts from the one before.
    from fontTools import subset

    options = subset.Options(
        layout_features=FEATURES, name_IDs=NAMES, flavor="woff2", hinting=False, recalc_timestamp=False
    )
    font = TTFont(source, recalcTimestamp=False)
    cutter = subset.Subsetter(options)
    cutter.populate(unicodes=LATIN, text=SIGNS)
    cutter.subset(font)
    font.flavor = "woff2"
    out = io.BytesIO()
    font.save(out)
    return out.getvalue()
