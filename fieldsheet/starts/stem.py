"""The name of a file from the title in it."""

from __future__ import annotations

import re
import unicodedata

from fieldsheet.catalog.files import DEVICE
from fieldsheet.catalog.values import TAKEN_STEMS

LONGEST_STEM = 41


def stem(title: str, kind: str) -> str:
    """The name of a file without .toml: that of 'Crow Hill, north' is crow-hill-north.

    Accents are left off, letters that are not Latin too; where nothing is left it is my-<kind>.
    """
    letters = unicodedata.normalize("NFKD", title.casefold())
    words = re.findall("[a-z0-9]+", "".join(sign for sign in letters if not unicodedata.combining(sign)))
    name = "-".join(words)[:LONGEST_STEM].strip("-") or f"my-{kind}"
    return f"{name}-1" if name in TAKEN_STEMS or DEVICE.fullmatch(name) else name
