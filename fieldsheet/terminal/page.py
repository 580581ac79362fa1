"""The sheet of one shot as a page of a terminal."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from fieldsheet.problems import Problem
from fieldsheet.terminal.fold import INDENT, USUAL, fold, lined_up, table
from fieldsheet.terminal.plain import plain
from fieldsheet.terminal.strip import run_strip

Defaults = Mapping[str, Sequence[tuple[str, str]]]
"""By file, (key, value) of what it leaves open."""
Assumed = Sequence[tuple[str, str]]
"""(file and line, key and value) of what it gives without having measured it."""


def plan_page(sheet: Mapping[str, Any], defaults: Defaults, assumed: Assumed = (), room: int = USUAL) -> str:
    """A Sheet as lines of text of at most `room` columns."""
    inner = room - len(INDENT)
    parts = [
        _head(sheet, room),
        _section("Warnings", [line for one in sheet["warnings"] for line in warning_lines(one, inner)]),
        _section("From the first frame to the last", run_strip(sheet, inner)),
        *(_section(told["head"], _ways(told, inner)) for told in (sheet["late"], sheet["recovery"]) if told),
        _section("Numbers", table(_numbers(sheet), inner)),
        _section("In one interval", _pairs(sheet["interval_lines"], inner)),
        _section("Keyframes" if sheet["keyframes"] else "Framing", _keyframes(sheet, inner)),
        _section("Less drift, to compare", _pairs(sheet["better"], inner)),
        _section("Exposure", _exposure(sheet, inner)),
        _section("By the clock, back from frame 1", table(_clocks(sheet), inner)),
        _section("Sky", _sky(sheet, inner)),
        _section("In the frame", _pairs(sheet["picture"], inner)),
        _section("Power and storage", _pairs(sheet["power"], inner)),
        _section("Dew", _pairs(sheet["dew"], inner)),
        _section("Needs", table(([need["name"], need["verdict"]] for need in sheet["needs"]), inner)),
        _section("Crew", table(([one["role"], one["who"]] for one in sheet["crew"]), inner)),
        _section("Place", table(_place(sheet), inner)),
        _section("Mind", _folded(sheet["hazards"], inner)),
        _section("Stop if", _folded(sheet["abort"], inner)),
        _section("Notes", _folded(sheet["notes"], inner)),
        _section("Assumed, and still to be measured", table(assumed, inner)),
        _section("Taken, since the files do not say", _defaults(defaults, inner)),
    ]
    return plain("\n".join(line for part in parts for line in part))


def late_page(sheet: Mapping[str, Any], problem: Problem, room: int = USUAL) -> str:
    """A start that has no plan as the files have the shot: why, and the ways to go on from it."""
    inner, late = room - len(INDENT), sheet["late"]
    why = (f"{problem.found[:1].upper()}{problem.found[1:]}.", f"Right would be {problem.right}.")
    parts = [
        _head(sheet, room),
        _section("As it is planned it cannot start then", _folded(why, inner)),
        _section(f"{late['head']}. What can be done", _ways(late, inner)),
    ]
    return plain("\n".join(line for part in parts for line in part))


def warning_lines(warning: Mapping[str, str], room: int | None, at: str = "") -> list[str]:
    """The lines of a warning of a sheet: what breaks, the sum that shows it, what mends it.

    room: the columns to fold them to; without it each of the three is a line.  at: where it comes from.
    """
    head, more = f"{at}{warning['word']}: {warning['head']}", (warning["sum"], warning["fix"])
    if room is None:
        return [head, *(INDENT + text for text in more)]
    below = (INDENT + line for text in more for line in fold(text, room - len(INDENT), INDENT))
    return [*fold(head, room, INDENT * 2), *below]


def _head(sheet: Mapping[str, Any], room: int) -> list[str]:
    changed = " · changed" if sheet["changed"] else ""
    lines = [
        f"{sheet['place']} · {sheet['when']} · {sheet['span']}",
        f"{sheet['rig']} · {sheet['camera']} · revision {sheet['revision']}{changed}",
    ]
    return [*table([[sheet["letter"], sheet["title"]]], room), *_folded(lines, room)]


def _section(title: str, lines: Iterable[str]) -> list[str]:
    indented = [INDENT + line if line else "" for line in lines]
    return ["", title, *indented] if indented else []


def _folded(texts: Iterable[str], room: int) -> list[str]:
    return [line for text in texts for line in fold(text, room, INDENT)]


def _pairs(lines: Iterable[Mapping[str, str]], room: int) -> list[str]:
    return table(([line["name"], line["text"]] for line in lines), room)


def _numbers(sheet: Mapping[str, Any]) -> list[tuple[str, str]]:
    figures = [(sheet["labels"][name], figure) for name, figure in sheet["numbers"].items() if figure]
    rail = [("stands", sheet["rail"])] if sheet["rail"] else []
    return [*figures, (sheet["zero_label"], _zero(sheet)), *rail]


def _zero(sheet: Mapping[str, Any]) -> str:
    return " · ".join(text for text in (sheet["zero_both"], sheet["zero_sighting"]) if text)


def _place(sheet: Mapping[str, Any]) -> list[tuple[str, str]]:
    """Where it is, how to get there, what it asks for."""
    named = (("permit", sheet["permit"]), ("stays with the rig", sheet["stays"]))
    ways = (("way in", line) for line in sheet["access"])
    return [("position", sheet["position"]), *(row for row in named if row[1]), *ways]


def _clocks(sheet: Mapping[str, Any]) -> list[tuple[str, str]]:
    """Deadlines before frame 1, then what the place sets."""
    return [(row["label"], row["clock"]) for row in (*sheet["deadlines"], *sheet["limits"])]


def _sky(sheet: Mapping[str, Any], room: int) -> list[str]:
    events = table(([event["name"], event["clock"], event["frame"]] for event in sheet["sky"]), room)
    return [*events, *_pairs([*sheet["sky_lines"], *sheet["arch_lines"]], room)]


def _keyframes(sheet: Mapping[str, Any], room: int) -> list[str]:
    lines = []
    for frame in sheet["keyframes"]:
        more = [frame[key] for key in ("approach", "there", "aim", "sighting", "waits", "also") if frame[key]]
        lines.append((_keyframe(frame, "line"), more))
    return [*_with_more(lines, room, 4), *fold(sheet["set_note"], room, INDENT)]


def _keyframe(frame: Mapping[str, Any], *keys: str) -> list[str]:
    place = [frame["key"], frame["name"], f"frame {frame['frame']}", frame["clock"]]
    return [*place, *(frame[key] for key in keys), f"rig {frame['on_rig']}"]


def _with_more(rows: Sequence[tuple[list[str], list[str]]], room: int, under: int) -> list[str]:
    """Rows lined up, each with more lines under it."""
    lines = []
    heads = lined_up((row for row, _ in rows), room, under)
    for head, (_, more) in zip(heads, rows, strict=True):
        lines += head
        lines += [INDENT * 2 + line for text in more for line in fold(text, room - len(INDENT) * 2, INDENT)]
    return lines


def _ways(told: Mapping[str, Any], room: int) -> list[str]:
    """What to do first, then each way to go on: its figures, and what its keyframes are set to."""
    inner = room - len(INDENT)
    lines = [*_pairs(told["lines"], room), *_folded(told["steps"], room)]
    for option in told["options"]:
        why = fold(option["why"], inner, INDENT) if option["why"] else []
        rows = [
            (_keyframe(frame, "line", "keyed"), [frame[key] for key in ("off", "aimed") if frame[key]])
            for frame in option["keyframes"]
        ]
        figures = [*why, *_pairs(option["lines"], inner), *_with_more(rows, inner, 4)]
        lines += [*fold(option["head"], room, INDENT), *(INDENT + line for line in figures)]
    return lines


def _exposure(sheet: Mapping[str, Any], room: int) -> list[str]:
    """What is set at frame 1 and what is to be known of it, then a row a band."""
    exposure = sheet["exposure"]
    if exposure is None:
        return []
    keys = ("frames", "clock", "total", "does", "reads", "spare")
    names = ["frames", "from", "total", "turn", "then reads", "spare"]
    bands = [[band[key] for key in keys] for band in exposure["bands"]]
    rows = lined_up([names, *bands], room, 3)
    return [*_pairs(exposure["lines"], room), *(line for row in rows for line in row)]


def _defaults(defaults: Defaults, room: int) -> list[str]:
    """What each file leaves open, under the file's name."""
    return [
        line
        for file, taken in defaults.items()
        for line in (*fold(file, room), *(INDENT + row for row in table(taken, room - len(INDENT))))
    ]
