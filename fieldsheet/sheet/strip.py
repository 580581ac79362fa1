"""The run strip of a card: a shot along its frame numbers, drawn as SVG with flat tones.

The sky's moments stand above the tones; the hand's stand below the ruler, heavier. Every moment is a tick,
and every tick has its label, except the sky's beyond four: those are short ticks on the strip's edge, named
by frame in lines under it. Two acts that are the ends of one span share a label, with the frames inside it,
at a bracket from one to the other.
Lengths are millimetres from the top left corner. The phone draws its own, vertical strip from the same
moments.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from markupsafe import Markup

from fieldsheet.sheet import strip_ink, strip_marks, strip_sides, svg
from fieldsheet.sheet.strip_ink import STROKE
from fieldsheet.sheet.strip_sides import PITCH, RISE, Box, Measure, Side

_UNDER = 0.8
_AIRY, _LOW = (3.4, 4.3), (2.8, 4.0)
"""Heights of the tones and of the ruler below them."""


@dataclass(frozen=True)
class Tick:
    """Where a moment meets the strip (mm from its left); its label's box, None where it is named below."""

    moment: Mapping[str, Any]
    x: float
    box: Box | None


@dataclass(frozen=True)
class Drawing:
    """A finished strip: its SVG, its size in mm, its ticks from left to right, the words below it."""

    markup: Markup
    width: float
    height: float
    ticks: tuple[Tick, ...]
    below: tuple[str, ...]


@dataclass(frozen=True)
class Manner:
    """How a strip is drawn.

    `first`: positions of the moments that have the first claim on a label, the weightiest at its head.
    `low`: as low as its labels allow, with leaders that run farther, and keys without their names.
    `framed`: the labels of the sky's moments tell their frames.
    """

    first: Sequence[int] = ()
    low: bool = False
    framed: bool = False


def draw_strip(
    strip: Mapping[str, Any], measure: Measure, width: float, title: str, manner: Manner
) -> Drawing:
    """Draw `strip` (the sheet's key of that name) `width` mm wide; `title` is what a screen reader says.

    Raises ValueError, in words, where the labels cannot be placed at this width.
    """
    x_of = _scale(strip["frames"], width)
    moments = sorted(strip["moments"], key=lambda moment: moment["frame"])
    named, rest = strip_marks.named(strip["moments"], manner.first)
    sky = strip_marks.sky_marks(named, x_of, manner.framed)
    above = strip_sides.side(sky, measure, width, manner.low)
    hand = strip_marks.hand_marks(moments, x_of, manner.low)
    below = strip_sides.side(hand, measure, width, manner.low)
    top = above.height or STROKE * bool(rest)
    light, ruler = _LOW if manner.low else _AIRY
    line = top + light
    foot = line + ruler
    under = strip_marks.below(rest, measure, width)
    first = foot + below.height + _UNDER
    strokes = [x_of(one["frame"]) for one in rest]
    marks = [
        *strip_ink.tones(strip["tones"], top, light, width),
        *strip_ink.ruler(strip["ruler"], x_of, (line, foot), width, measure),
        svg.frame(0, top, width, foot - top, 0.3),
        svg.line([(0, line), (width, line)], 0.3),
        *(strip_ink.through(x_of(one["frame"]), (top, line), strip["tones"], width) for one in named),
        *strip_ink.strokes(strokes, top, width),
        *strip_ink.leaders(above, top, -1, width),
        *strip_ink.leaders(below, foot, 1, width),
        *strip_ink.brackets(below, foot, width),
        *strip_ink.labels(above, top, -1),
        *strip_ink.labels(below, foot, 1),
        *(svg.text(0.0, first + PITCH * n + RISE, words) for n, words in enumerate(under)),
    ]
    height = first + PITCH * len(under) if under else foot + below.height
    ticks = [
        *_ticks(above, top, -1),
        *_ticks(below, foot, 1),
        *(Tick(one, x, None) for one, x in zip(rest, strokes, strict=True)),
    ]
    return Drawing(
        svg.svg(width, height, title, marks),
        width,
        height,
        tuple(sorted(ticks, key=lambda tick: tick.x)),
        tuple(under),
    )


def _scale(frames: int, width: float) -> Callable[[float], float]:
    """Frame number (from 1, not always whole) to mm; a moment outside the shot stands at its end."""
    return lambda frame: min(1.0, max(0.0, (frame - 1) / max(1, frames - 1))) * width


def _ticks(side: Side, edge: float, way: int) -> list[Tick]:
    return [
        Tick(moment, x, side.box(n, edge, way))
        for n, label in enumerate(side.labels)
        for moment, x in zip(label.mark.moments, label.mark.ticks, strict=True)
    ]
