"""Modules and styles as the phone carries them: without comments and indentation, else unchanged.

The phone's store is counted in raw bytes, and a third of what is written for people to read is comment.
"""

from __future__ import annotations

import re

# A type that is written before an expression; nothing that runs looks like it.
_CAST = re.compile(r"/\*\* @type [^*]*\*/ ?")


def lean(source: str) -> bytes:
    """Raises ValueError for a text that is quoted over several lines, in which blanks would count."""
    kept, in_comment = [], False
    for number, line in enumerate(source.splitlines(), start=1):
        text = _CAST.sub("", line).strip()
        if text.count("`") % 2:
            raise ValueError(f"line {number}: a text quoted over several lines")
        if in_comment or text.startswith("/*"):
            in_comment = "*/" not in text
            text = "" if in_comment else text.partition("*/")[2].strip()
        if text and not text.startswith("//"):
            kept.append(text)
    return ("\n".join(kept) + "\n").encode()
