"""What people write, for the formats of other programs: as it is, but for signs that these cannot hold.

XML 1.0 (section 2.2, Char) and the TEXT of RFC 5545 (section 3.3.11) leave out most controls; halves of a
pair of UTF-16 are no text in UTF-8.  Signs that turn the writing around would turn what stands behind them.
"""

from __future__ import annotations

import re

_LINE_ENDS = re.compile("\r\n|[\r\x85\u2028\u2029]")
_UNHELD = re.compile("[\x00-\x08\x0b-\x1f\x7f-\x9f\u202a-\u202e\u2066-\u2069\ud800-\udfff\ufffe\uffff]")


def foreign_text(text: str) -> str:
    """The same with "\\n" for every end of a line, and without what no format holds."""
    return _UNHELD.sub("", _LINE_ENDS.sub("\n", text))


def foreign_line(text: str) -> str:
    """The same in one line."""
    return " ".join(foreign_text(text).split())
