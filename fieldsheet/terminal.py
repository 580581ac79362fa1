"""What the terminal shows: text without anything that could move its cursor, and the sheet of one shot."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable, Mapping, Sequence
from typing import Any

# Control sequences (ECMA-48) go whole, so that their parameters do not stay behind as text: CSI, then the
# strings (OSC, DCS, SOS, PM, APC), then those of two characters.
_SEQUENCE = re.compile(
    "(?:\x1b\\[|\x9b)[0-?]*[ -/]*[@-~]?"
    "|(?:\x1b[\\]PX^_]|[\x90\x98\x9d\x9e\x9f])[^\x07\x1b\x9c]*(?:\x07|\x1b\\\\|\x9c)?"
    "|\x1b[ -/]*[0-~]?"
)
INDENT = "  "


def plain(text: str) -> str:
    """The text with line breaks and tabs as its only controls: no escapes, no changes of direction."""
    kept = _SEQUENCE.sub("", text)
    return "".join(
        sign for sign in kept if sign in "\n\t" or unicodedata.category(sign) not in ("Cc", "Cf", "Cs")
    )


def plan_page(sheet: Mapping[str, Any], defaults: Sequence[tuple[str, str]]) -> str:
    """A Sheet as lines of text; defaults are (key, value) of what the files left open."""
    parts = [
        _head(sheet),
        _section("Warnings", [line for lines in warning_blocks(sheet) for line in lines]),
        *(_section(told["head"], _ways(told)) for told in (sheet["late"], sheet["recovery"]) if told),
        _section("Numbers", _numbers(sheet)),
        _section("In one interval", _table([line["name"], line["text"]] for line in sheet["interval_lines"])),
        _section("Keyframes", _keyframes(sheet)),
        _section("Less drift, to compare", _table([one["name"], one["text"]] for one in sheet["better"])),
        _section("Exposure", _exposure(sheet)),
        _section("By the clock, back from frame 1", _clocks(sheet)),
        _section("Sky", _sky(sheet)),
        _section("In the frame", _table([line["name"], line["text"]] for line in sheet["picture"])),
        _section("Power and storage", _table([one["name"], one["text"]] for one in sheet["power"])),
        _section("Air and dew", _table([one["name"], one["text"]] for one in sheet["dew"])),
        _section("Needs", _table([need["name"], need["verdict"]] for need in sheet["needs"])),
        _section("Crew", _table([one["role"], one["who"]] for one in sheet["crew"])),
        _section("Place", _place(sheet)),
        _section("Mind", sheet["hazards"]),
        _section("Stop if", sheet["abort"]),
        _section("Notes", sheet["notes"]),
        _section("Taken as given, since the files do not say", _table(defaults)),
    ]
    return plain("\n".join(line for part in parts for line in part))


def _head(sheet: Mapping[str, Any]) -> list[str]:
    changed = " · changed" if sheet["changed"] else ""
    return [
        f"{sheet['letter']}  {sheet['title']}",
        f"{sheet['place']} · {sheet['when']} · {sheet['span']}",
        f"{sheet['rig']} · {sheet['camera']} · revision {sheet['revision']}{changed}",
    ]


def _section(title: str, lines: Iterable[str]) -> list[str]:
    indented = [INDENT + line for line in lines]
    return ["", title, *indented] if indented else []


def _table(rows: Iterable[Sequence[str]]) -> list[str]:
    """Rows with their columns lined up."""
    rows = list(rows)
    widths = [max(map(len, column)) for column in zip(*rows, strict=True)]
    return ["  ".join(map(str.ljust, row, widths)).rstrip() for row in rows]


def _numbers(sheet: Mapping[str, Any]) -> list[str]:
    figures = [(sheet["labels"][name], figure) for name, figure in sheet["numbers"].items() if figure]
    rail = [("stands", sheet["rail"])] if sheet["rail"] else []
    return _table([*figures, (sheet["zero_label"], _zero(sheet)), *rail])


def _zero(sheet: Mapping[str, Any]) -> str:
    return " · ".join(text for text in (sheet["zero_both"], sheet["zero_sighting"]) if text)


def _place(sheet: Mapping[str, Any]) -> list[str]:
    """Where it is, how to get there, what it asks for."""
    named = (("permit", sheet["permit"]), ("stays with the rig", sheet["stays"]))
    ways = (("way in", line) for line in sheet["access"])
    return _table([("position", sheet["position"]), *(row for row in named if row[1]), *ways])


def _clocks(sheet: Mapping[str, Any]) -> list[str]:
    """Deadlines before frame 1, then what the place sets."""
    return _table([row["label"], row["clock"]] for row in (*sheet["deadlines"], *sheet["limits"]))


def _sky(sheet: Mapping[str, Any]) -> list[str]:
    events = _table([event["name"], event["clock"], event["frame"]] for event in sheet["sky"])
    lines = [*sheet["sky_lines"], *sheet["arch_lines"]]
    return [*events, *_table([line["name"], line["text"]] for line in lines)]


def _keyframes(sheet: Mapping[str, Any]) -> list[str]:
    frames = sheet["keyframes"]
    rows = _table(
        [
            frame["key"],
            frame["name"],
            f"frame {frame['frame']}",
            frame["clock"],
            frame["line"],
            f"rig {frame['on_rig']}",
        ]
        for frame in frames
    )
    lines = []
    for row, frame in zip(rows, frames, strict=True):
        more = [frame[key] for key in ("approach", "there", "aim", "sighting", "waits", "also") if frame[key]]
        lines += [row, *(INDENT * 2 + text for text in more)]
    return [*lines, sheet["set_note"]]


def _ways(told: Mapping[str, Any]) -> list[str]:
    """What to do first, then each way to go on: its figures, and what its keyframes are set to."""
    lines = [*_table([line["name"], line["text"]] for line in told["lines"]), *told["steps"]]
    for option in told["options"]:
        table = _table([line["name"], line["text"]] for line in option["lines"])
        lines += [option["head"], *(INDENT + line for line in [option["why"], *table] if line)]
        keys = ("key", "name", "clock", "line", "keyed")
        rows = _table(
            [*(frame[key] for key in keys[:2]), f"frame {frame['frame']}", *(frame[key] for key in keys[2:])]
            + [f"rig {frame['on_rig']}"]
            for frame in option["keyframes"]
        )
        for row, frame in zip(rows, option["keyframes"], strict=True):
            more = [frame[key] for key in ("off", "aimed") if frame[key]]
            lines += [INDENT + row, *(INDENT * 3 + text for text in more)]
    return lines


def _exposure(sheet: Mapping[str, Any]) -> list[str]:
    """What is set at frame 1 and what is to be known of it, then a row a band."""
    exposure = sheet["exposure"]
    if exposure is None:
        return []
    keys = ("frames", "clock", "total", "does", "reads", "spare")
    names = ("frames", "from", "total", "turn", "then reads", "spare")
    bands = ([band[key] for key in keys] for band in exposure["bands"])
    lines = _table([line["name"], line["text"]] for line in exposure["lines"])
    return [*lines, *_table([names, *bands])]


def warning_blocks(sheet: Mapping[str, Any]) -> list[list[str]]:
    """Three lines for each warning of a sheet: what breaks, the sum that shows it, what mends it."""
    return [
        [f"{warning['word']}: {warning['head']}", INDENT + warning["sum"], INDENT + warning["fix"]]
        for warning in sheet["warnings"]
    ]
