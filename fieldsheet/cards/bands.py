"""The numbers that are keyed in, between two heavy rules, and the picture of the shot along its frames."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from fieldsheet.cards import sizes
from fieldsheet.cards.flow import Piece
from fieldsheet.cards.metrics import in_rows, lines, measure, width
from fieldsheet.cards.sizes import Paper
from fieldsheet.sheet.strip import Manner, draw_strip

Sheet = Mapping[str, Any]

CLOCKS = ("first_frame", "latest_start", "last_closes")
"""Keyed in nowhere, watched all night: they follow the values of the menu."""


def program(sheet: Sheet, paper: Paper, more: Sequence[str]) -> Piece:
    """The values in the rig's own menu order, then the clocks; under them, smaller, the numbers `more`.

    A number that this shot does not have is left out. As many labels break as make it lower.
    """
    numbers, labels = sheet["numbers"], sheet["labels"]
    names = [*sheet["program"], *(name for name in CLOCKS if numbers[name])]
    large = [(labels[name], *_large(numbers[name], paper)) for name in names]
    cells = [(label, value) for label, value, _ in large]
    further = [(label, later) for label, _, later in large if later]
    further += [(labels[name], numbers[name]) for name in more if numbers[name]]
    rows = min(
        (_cells(cells, paper, broken, air) for air in sizes.PROGRAM_AIRS for broken in range(len(cells) + 1)),
        key=_rows_height,
    )
    below = _more(further, paper)
    height = 2 * sizes.PROGRAM_RULE + sizes.PROGRAM_GAP + _rows_height(rows)
    height += sum(float(cell["height"]) for cell in below) + sizes.MORE_FOOT * bool(below)
    return Piece("program", {"rows": rows, "more": below}, height)


def _large(value: str, paper: Paper) -> tuple[str, str]:
    """A value as it is set large, and what of it follows below: where it does not fit, its changes."""
    first, _, later = value.partition(", ")
    if not later or width(value, sizes.VALUE_PT, True) <= paper.width:
        return value, ""
    return f"{first} …", later


def beside_gap(sheet: Sheet) -> tuple[str, ...]:
    """A rig that keys the gap shows no interval in its menu; the hand should know it all the same."""
    return ("interval",) if "gap" in sheet["program"] else ()


Rows = list[list[dict[str, Any]]]


def _cells(cells: Sequence[tuple[str, str]], paper: Paper, broken: int, least: float) -> Rows:
    """Set out over the width, at least `least` mm apart, with that many labels in two lines."""
    set_labels = _labels(cells, broken)
    widths = [_width(label, value) for label, (_, value) in zip(set_labels, cells, strict=True)]
    rows = []
    for row in in_rows(widths, paper.width, least):
        air = (paper.width - sum(widths[n] for n in row)) / max(1, len(row) - 1)
        rows.append(
            [
                {"label": set_labels[n], "value": cells[n][1], "width": widths[n] + air * (n != row[-1])}
                for n in row
            ]
        )
    return rows


def _labels(cells: Sequence[tuple[str, str]], broken: int) -> list[list[str]]:
    """The labels' lines; those are broken first by which a cell loses most of its width."""

    def gain(n: int) -> float:
        label, value = cells[n]
        return _width([label], value) - _width(_halves(label), value)

    first = set(sorted(range(len(cells)), key=gain, reverse=True)[:broken])
    return [_halves(label) if n in first else [label] for n, (label, _) in enumerate(cells)]


def _width(label: Sequence[str], value: str) -> float:
    return max(width(value, sizes.VALUE_PT, True), *(width(line, sizes.SMALL_PT) for line in label))


def _rows_height(rows: Rows) -> float:
    return sum(
        (max(len(cell["label"]) for cell in row) - 1) * sizes.SMALL_LINE
        + sizes.PROGRAM_LABEL
        + sizes.PROGRAM_VALUE
        + 2 * sizes.PROGRAM_PAD
        for row in rows
    )


def _more(further: Sequence[tuple[str, str]], paper: Paper) -> list[dict[str, Any]]:
    """Label and value beside each other, as many pairs to a line as it takes."""
    widths = [
        width(label, sizes.SMALL_PT) + sizes.MORE_WORD + width(value, sizes.ITEM_PT, True)
        for label, value in further
    ]
    out = []
    for row in in_rows(widths, paper.width, sizes.MORE_AIR) if further else []:
        pairs = [{"label": further[n][0], "value": further[n][1]} for n in row]
        alone = " ".join(further[row[0]]) if len(row) == 1 else ""
        count = lines(alone, paper.width, sizes.ITEM_PT, True)
        out.append({"pairs": pairs, "height": count * sizes.MORE_LINE})
    return out


def _halves(label: str) -> list[str]:
    """A label in its two most even lines; a single word stays one."""
    words = label.split(" ")
    ways = [[" ".join(words[:n]), " ".join(words[n:])] for n in range(1, len(words))]
    return min(ways, key=lambda way: max(width(line, sizes.SMALL_PT) for line in way), default=[label])


def strip(sheet: Sheet, paper: Paper, low: bool) -> Piece:
    """The drawing of the shot; `low`: as low as its labels allow.

    On the large sheet the labels have their frames: so the columns below need not tell these moments again.
    """
    title = "The shot by frame number: " + "; ".join(
        f"{moment['label']} {moment['clock']}" for moment in sheet["strip"]["moments"]
    )
    manner = Manner(sheet["hangs_on"], low, not paper.is_card)
    drawing = draw_strip(sheet["strip"], measure(sizes.SMALL_PT, False), paper.width, title, manner)
    return Piece("strip", {"drawing": drawing.markup, "text": "the drawing of the shot"}, drawing.height)
