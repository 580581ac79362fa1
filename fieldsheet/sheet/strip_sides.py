"""The words on one side of the run strip: what each label says, in how many lines, in which row. In mm."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from fieldsheet.problems import NoRoom
from fieldsheet.sheet.labels import Spot, Tag, place

Measure = Callable[[str, bool], float]
"""Width in mm of a text at 10 pt, semibold or not, in the figures that the font has by default."""

GAP = 1.0
"""Between labels, at least; _AIR where there is room."""
PITCH, RISE, FALL = 4.41, 2.62, 0.78
"""Line to line, as `cards/sizes.py` has it of text; from the baseline up to the top of the letters, and down
to their foot (10 pt)."""
CHIP, CHIP_PAD = 4.4, 1.2
"""Height of the black block that carries a keyframe's key, and the room beside its letters."""

BRACKET = 1.1
"""How far from the strip's edge the bracket of a span runs."""

_GUTTER, _STEP = 2.2, 1.6
_AIR, _SLANT = 3.0, 6.0
_WIDEST, _WIDEST_SPAN = 46.0, 66.0
"""The longest line of a label; that of a span, which has more to say, stands under a bracket."""


@dataclass(frozen=True)
class Box:
    """The place of a label: its edges in mm."""

    left: float
    top: float
    right: float
    bottom: float


@dataclass(frozen=True)
class Text:
    """A run of text; `chip`: white on a black block."""

    text: str
    bold: bool
    chip: bool
    width: float


@dataclass(frozen=True)
class Mark:
    """What one label stands for: a moment, or the two ends of a span; its words; its ticks on the strip."""

    words: Mapping[str, Any]
    moments: tuple[Mapping[str, Any], ...]
    ticks: tuple[float, ...]

    @property
    def tick(self) -> float:
        """Where its label belongs: at the moment, or in the middle of the span."""
        return sum(self.ticks) / len(self.ticks)

    @property
    def spans(self) -> bool:
        """Whether it has two ends."""
        return len(self.ticks) > 1


@dataclass(frozen=True)
class Label:
    """A mark's label: its lines of runs, top to bottom, and the stretch of it that its leader meets."""

    mark: Mark
    lines: tuple[tuple[Text, ...], ...]
    width: float
    height: float
    hook: tuple[float, float]


@dataclass(frozen=True)
class Side:
    """All labels of a side with their spots, and the heights of its rows, nearest to the strip first."""

    labels: tuple[Label, ...]
    spots: tuple[Spot, ...]
    rows: tuple[float, ...]

    @property
    def bracket(self) -> float:
        """What the brackets of spans take beside the strip's edge."""
        return BRACKET if any(label.mark.spans for label in self.labels) else 0.0

    @property
    def height(self) -> float:
        """From the strip's edge to the far edge of the last row."""
        return self.near(len(self.rows) - 1) + self.rows[-1] if self.rows else 0.0

    def near(self, row: int) -> float:
        """From the strip's edge to the near edge of `row`."""
        return _GUTTER + self.bracket + sum(self.rows[:row]) + _STEP * row

    def box(self, n: int, edge: float, way: int) -> Box:
        """Where the n-th label stands, beside the strip's edge (`way` -1 above it, 1 below)."""
        label, spot = self.labels[n], self.spots[n]
        near = edge + way * self.near(spot.row)
        top, bottom = sorted((near, near + way * label.height))
        return Box(spot.left, top, spot.left + label.width, bottom)


def line_width(line: Sequence[Text]) -> float:
    """A line's width with the gaps between its runs."""
    return sum(text.width for text in line) + GAP * (len(line) - 1)


def line_height(line: Sequence[Text]) -> float:
    """A line's height: letters, or the block of a key."""
    return CHIP if any(text.chip for text in line) else RISE + FALL


def side(marks: Sequence[Mark], measure: Measure, width: float, low: bool) -> Side:
    """The first arrangement in which no leader slants far; failing that, or if `low`, the lowest that fits.

    The marks' ticks ascend. Raises NoRoom where nothing fits.
    """
    fallback: Side | None = None
    for rows, stacked, gap in _arrangements(len(marks)):
        labels = tuple(_label(mark, stacked, measure, width) for mark in marks)
        tags = [Tag(label.mark.tick, label.width, label.hook) for label in labels]
        spots = place(tags, 0.0, width, gap, rows)
        if spots is None:
            continue
        heights = tuple(max(label.height for label in labels[row::rows]) for row in range(rows))
        found = Side(labels, tuple(spots), heights)
        if not low and max(spot.slant for spot in spots) <= _SLANT:
            return found
        fallback = fallback if fallback and fallback.height <= found.height else found
    if marks and fallback is None:
        raise NoRoom(f"{len(marks)} moments do not fit on one side of a strip {width:.0f} mm wide")
    return fallback or Side((), (), ())


def _arrangements(count: int) -> list[tuple[int, bool, float]]:
    """(rows, stacked, gap): clocks beside names, then under; two rows at most; then closer; then more."""
    airy = [(rows, stacked, _AIR) for rows in range(1, min(count, 2) + 1) for stacked in (False, True)]
    return airy + [(rows, stacked, GAP) for rows in range(1, count + 1) for stacked in (False, True)]


def _label(mark: Mark, stacked: bool, measure: Measure, width: float) -> Label:
    words = mark.words
    if words["kind"] == "keyframe":
        return _key_label(mark, stacked, measure, width)
    hand, room = words["side"] == "hand", min(_WIDEST_SPAN if mark.spans else _WIDEST, width)
    names = [_run(line, hand, measure) for line in wrap(words["label"], hand, measure, room)]
    clock = [_run(words["clock"], hand, measure)] if words["clock"] else []
    details = [_run(line, False, measure) for line in wrap(words["detail"], False, measure, room)]
    inline = (*names, *clock, *details)
    if not stacked and len(names) == 1 and len(details) < 2 and line_width(inline) <= room:
        return _made(mark, (inline,))
    second = (*clock, *details)
    if len(details) < 2 and line_width(second) <= room:
        return _made(mark, (*((name,) for name in names), second) if second else tuple((n,) for n in names))
    return _made(mark, tuple((run,) for run in (*names, *clock, *details)))


def _key_label(mark: Mark, stacked: bool, measure: Measure, width: float) -> Label:
    """A key's block with its clock beside it (before it, where the strip ends), or under it."""
    said, half = mark.words, min(_WIDEST, width) / 2
    key = Text(said["label"], True, True, measure(said["label"], True) + 2 * CHIP_PAD)
    words = [_run(said["clock"], True, measure)] if said["clock"] else []
    words += [_run(line, False, measure) for line in wrap(said["detail"], False, measure, half)]
    inline = (key, *words)
    if stacked or len(words) > 2 or line_width(inline) > min(_WIDEST, width):
        label = _made(mark, ((key,), *((run,) for run in words)))
        left = (label.width - key.width) / 2
        return Label(mark, label.lines, label.width, label.height, (left, left + key.width))
    before = mark.tick + line_width(inline) > width
    label = _made(mark, ((*words, key) if before else inline,))
    hook = (label.width - key.width, label.width) if before else (0.0, key.width)
    return Label(mark, label.lines, label.width, label.height, hook)


def _made(mark: Mark, lines: tuple[tuple[Text, ...], ...]) -> Label:
    width = max(line_width(line) for line in lines)
    height = sum(line_height(line) for line in lines) + (PITCH - RISE - FALL) * (len(lines) - 1)
    return Label(mark, lines, width, height, (0.0, width))


def _run(text: str, bold: bool, measure: Measure) -> Text:
    return Text(text, bold, False, measure(text, bold))


def wrap(text: str, bold: bool, measure: Measure, width: float) -> list[str]:
    """The lines of `text` within `width`; a word that is longer is cut."""
    lines: list[str] = []
    for word in filter(None, text.split(" ")):
        joined = f"{lines[-1]} {word}" if lines else word
        if measure(joined, bold) <= width:
            lines[-1:] = [joined]
            continue
        while len(word) > 1 and measure(word, bold) > width:
            fits = next(n for n in range(len(word) - 1, 0, -1) if n == 1 or measure(word[:n], bold) <= width)
            lines.append(word[:fits])
            word = word[fits:]
        lines.append(word)
    return lines
