"""A shot along its frames, in letters: its light, a ruler in frames and one by the clock, and its moments.

What the sky does stands above, what hands do below; each moment has a label at the top of its leader.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

SHADES = "·░▒▓█"
LIGHT = f"{SHADES[0]} day  {SHADES[-1]} night"


@dataclass(frozen=True)
class Label:
    """What is said of a moment, and the column that it stands at."""

    column: int
    text: str


def run_strip(sheet: Mapping[str, Any], room: int) -> list[str]:
    """The `strip` of a sheet as lines of at most so many columns.

    Labels run to the right of their moments; the rulers stop short of the edge by the widest of them.
    """
    strip = sheet["strip"]
    sky, hand = (
        [(moment["frame"], _said(moment)) for moment in strip["moments"] if moment["side"] == side]
        for side in ("sky", "hand")
    )
    margin = max([len(LIGHT), *(len(text) for _, text in (*sky, *hand))]) + 3
    long = max(room - margin, 1)

    def column(frame: float) -> int:
        share = (frame - 1) / max(1, strip["frames"] - 1)
        return int(min(1.0, max(0.0, share)) * (long - 1) + 0.5)

    numbers = [(number, str(number)) for number in (1, strip["frames"], *strip["ruler"])]
    full = [row for row in sheet["rolling"] if ":00" in row["clock"]]
    halves = [row for row in sheet["rolling"] if ":00" not in row["clock"]]
    clocks = [(int(row["frame"]), row["clock"]) for row in (*full, *halves)]
    return [
        *reversed(list(_leaders(_labels(sky, column), "╷"))),
        f"{_light(strip['tones'], long)}  {LIGHT}",
        _line([column(number) for number, _ in numbers], long),
        f"{_ruler(numbers, column, long)}  frame",
        *([f"{_ruler(clocks, column, long)}  clock"] if clocks else []),
        *_leaders(_labels(hand, column), "╵"),
    ]


def _said(moment: Mapping[str, Any]) -> str:
    return " ".join(filter(None, (moment["label"], moment["detail"], moment["clock"])))


def _labels(moments: Iterable[tuple[float, str]], column: Callable[[float], int]) -> list[Label]:
    return [Label(column(frame), text) for frame, text in sorted(moments, key=lambda moment: moment[0])]


def _light(tones: Sequence[float], long: int) -> str:
    """How dark it is, in shades: a letter a column."""
    here = (tones[min(n * len(tones) // long, len(tones) - 1)] for n in range(long))
    return "".join(SHADES[min(int(tone * len(SHADES)), len(SHADES) - 1)] for tone in here)


def _line(columns: Iterable[int], long: int) -> str:
    ticks = set(columns)
    line = ["┬" if n in ticks else "─" for n in range(long)]
    line[0], line[-1] = "├", "┤"
    return "".join(line)


def _ruler(marks: Iterable[tuple[float, str]], column: Callable[[float], int], long: int) -> str:
    """Each text about its column, those first that come first; what would touch another is left out."""
    line = [" "] * long
    for at, text in marks:
        start = min(max(column(at) - len(text) // 2, 0), long - len(text))
        if start >= 0 and not "".join(line[max(start - 1, 0) : start + len(text) + 1]).strip():
            line[start : start + len(text)] = text
    return "".join(line)


def _leaders(labels: Sequence[Label], end: str) -> Iterator[str]:
    """The rows of labels, the one nearest to the strip first."""
    rows = _rows(labels)
    for row in range(max(rows, default=-1) + 1):
        line = ""
        for label, own in zip(labels, rows, strict=True):
            if own >= row and len(line) <= label.column:
                goes_on = any(
                    other > row and one.column == label.column
                    for one, other in zip(labels, rows, strict=True)
                )
                line = line.ljust(label.column) + ("│" if goes_on else end)
            if own == row:
                line += " " + label.text
        yield line


def _rows(labels: Sequence[Label]) -> list[int]:
    """A row for each label, from left to right, so that none meets another or its leader."""
    rows: list[int] = []
    later: list[tuple[int, int]] = []
    for label in reversed(labels):
        reach = label.column + len(label.text) + 3
        row = 0
        while any(column < reach and other >= row for column, other in later):
            row += 1
        later.append((label.column, row))
        rows.append(row)
    return rows[::-1]
