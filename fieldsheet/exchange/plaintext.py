"""What is set and keyed in, as a text of few words, for a phone that has nothing but a camera.

Letters are ASCII where the sheet's own words allow it: what reads a code may take them for another alphabet.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from ..isolated import bare

Sheet = Mapping[str, Any]

PLAIN = {
    **dict.fromkeys("\u00a0\u2009", " "),
    "\u2212": "-",
    "\u2013": " to ",
    "\u00b0": " deg",
    "\u00b7": ",",
}
FIGURES = ("first_frame", "latest_start", "last_closes", "swap", "shutter")


def plain_text(sheet: Sheet) -> str:
    """Lines of a shot: what it is, its numbers, its keyframes, when to stop, what it warns of."""
    text = bare("\n".join(line for line in _lines(sheet) if line))
    for sign, plain in PLAIN.items():
        text = text.replace(sign, plain)
    return text


def _lines(sheet: Sheet) -> Iterator[str]:
    numbers, labels = sheet["numbers"], sheet["labels"]
    yield f"{sheet['title']}, rig {sheet['letter']}"
    yield f"{sheet['when']}, {sheet['span']}, revision {sheet['revision']}"
    yield f"{sheet['place']}, {sheet['position']}"
    yield from (f"{labels[name]}: {numbers[name]}" for name in FIGURES if numbers[name])
    yield ", ".join(f"{labels[name]} {numbers[name]}" for name in sheet["program"] if numbers[name])
    yield f"{sheet['zero_label']}: {sheet['zero_looks']}" if sheet["zero_looks"] else ""
    yield sheet["rail_short"] or ""
    if sheet["exposure"]:
        yield f"exposure at frame 1: {sheet['exposure']['start']}"
    yield sheet["set_note"] if sheet["keyframes"] else ""
    for key in sheet["keyframes"]:
        yield f"{key['key']} {key['clock']} frame {key['frame']}: {key['line']}"
    yield from (f"{one['label']}: {one['clock']}" for one in sheet["limits"])
    yield from (f"{one['word']}: {one['head']}" for one in sheet["warnings"])
    yield from (f"stop: {line}" for line in sheet["abort"])
