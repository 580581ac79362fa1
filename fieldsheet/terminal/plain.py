"""Text for a terminal: nothing that could move its cursor, and stand-ins for the signs that it lacks."""

from __future__ import annotations

import codecs
import re
import unicodedata

# Control sequences (ECMA-48) go whole, so that their parameters do not stay behind as text: CSI, then the
# strings (OSC, DCS, SOS, PM, APC), then those of two characters.
_SEQUENCE = re.compile(
    "(?:\x1b\\[|\x9b)[0-?]*[ -/]*[@-~]?"
    "|(?:\x1b[\\]PX^_]|[\x90\x98\x9d\x9e\x9f])[^\x07\x1b\x9c]*(?:\x07|\x1b\\\\|\x9c)?"
    "|\x1b[ -/]*[0-~]?"
)
STAND_INS = "fieldsheet.stand-ins"
"""The error handler of an encoding that lacks some of our signs: a lost minus would be another number."""
_STANDS_IN = {
    **dict.fromkeys("\u2212–‐", "-"),
    **dict.fromkeys("│╷╵", "|"),
    **dict.fromkeys("├┬┤", "+"),
    **dict.fromkeys("″“”", '"'),
    **dict.fromkeys("′‘’", "'"),
    **dict(zip("─·░▒▓█×\u00a0", "-.:+%#x ", strict=True)),
    "°": " deg",
    "…": "...",
}


def plain(text: str) -> str:
    """The text with line breaks and tabs as its only controls: no escapes, no changes of direction."""
    kept = _SEQUENCE.sub("", text)
    return "".join(
        sign for sign in kept if sign in "\n\t" or unicodedata.category(sign) not in ("Cc", "Cf", "Cs")
    )


def stand_in(sign: str) -> str:
    """What is shown for a sign that an encoding lacks."""
    return _STANDS_IN.get(sign, "?")


def _stand_in(error: UnicodeError) -> tuple[str, int]:
    if not isinstance(error, UnicodeEncodeError):
        raise error
    lacking = error.object[error.start : error.end]
    return "".join(map(stand_in, lacking)), error.end


codecs.register_error(STAND_INS, _stand_in)
