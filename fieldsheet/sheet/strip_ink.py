"""The ink of the run strip, as SVG with flat tones: light, ruler, leaders, brackets, words. In mm."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from markupsafe import Markup

from fieldsheet.sheet import strip_sides, svg
from fieldsheet.sheet.strip_sides import BRACKET, CHIP, FALL, PITCH, RISE, Box, Label, Measure, Side, Text

STROKE = 0.9
"""The short stroke of a moment that is named below."""
# A leader clears the short strokes beside it before it slants.
_STRAIGHT = STROKE + 0.2


def tones(steps: Sequence[float], top: float, height: float, width: float) -> list[Markup]:
    """The light in flat steps (some viewers drop gradients), from nearly white day to nearly black night."""
    step = width / len(steps)
    # Each step reaches under the ones after it, so that no viewer shows a seam between two.
    return [
        svg.block(n * step, top, width - n * step, height, _grey(tone))
        for n, tone in enumerate(steps)
        if not n or _grey(tone) != _grey(steps[n - 1])
    ]


def _grey(tone: float) -> str:
    level = int(246 - 236 * min(1.0, max(0.0, tone)) + 0.5)
    return f"#{level:02x}{level:02x}{level:02x}"


def _inside(x: float, width: float, margin: float) -> float:
    return min(max(x, margin), width - margin)


def ruler(
    numbers: Sequence[int],
    x_of: Callable[[float], float],
    between: tuple[float, float],
    width: float,
    measure: Measure,
) -> list[Markup]:
    """Frame numbers, black on white; where they would touch, only every second, third ... is printed."""
    line, foot = between
    out = [svg.line([(x_of(n), line), (x_of(n), line + 1.0)], 0.3) for n in numbers]
    room = x_of(numbers[1]) - x_of(numbers[0]) if len(numbers) > 1 else width
    widest = max((measure(str(n), True) for n in numbers), default=0.0) + strip_sides.GAP
    every = 1
    while room * every < widest and every < len(numbers):
        every += 1
    free = 0.0
    for n in numbers[every - 1 :: every]:
        half = measure(str(n), True) / 2
        middle = _inside(x_of(n), width, half + 0.8)
        # The last one, moved in from the edge, may come too near to the one before it.
        if middle - half >= free:
            out.append(svg.text(middle - half, foot - 0.75, str(n), bold=True))
            free = middle + half + strip_sides.GAP
    return out


def through(x: float, between: tuple[float, float], steps: Sequence[float], width: float) -> Markup:
    """A labelled sky moment's hairline through the tones, in what contrasts there."""
    top, foot = between
    tone = steps[min(len(steps) - 1, int(x / width * len(steps)))]
    x = _inside(x, width, 0.3)
    return svg.line([(x, top + 0.3), (x, foot)], 0.25, "#fff" if tone > 0.5 else "#000")


def strokes(ticks: Sequence[float], top: float, width: float) -> list[Markup]:
    """The short strokes of moments that are named below."""
    short = (_inside(x, width, 0.3) for x in ticks)
    return [svg.line([(x, top - STROKE), (x, top)], 0.3) for x in short]


def leaders(side: Side, edge: float, way: int, width: float) -> list[Markup]:
    """From the strip's edge (`way` -1 upwards, 1 downwards) to each label, past the rows that lie nearer.

    The leader of a span leaves from its bracket; the others cross brackets at a right angle only.
    """
    weight = 0.7 if way > 0 else 0.3
    out = []
    for label, spot in zip(side.labels, side.spots, strict=True):
        start = _inside(spot.passes[0], width, weight / 2)
        leaves = BRACKET if label.mark.spans else 0.0
        points = [(start, edge + way * leaves), (start, edge + way * (side.bracket + _STRAIGHT))]
        for row, x in enumerate(spot.passes[1:]):
            near = side.near(row)
            points += [(x, edge + way * near), (x, edge + way * (near + side.rows[row]))]
        touch = 0.0 if label.mark.words["kind"] == "keyframe" else 0.35
        points.append((spot.end, edge + way * (side.near(spot.row) - touch)))
        out.append(svg.line(points, weight))
    return out


def brackets(side: Side, edge: float, width: float) -> list[Markup]:
    """From one end of each span to the other, below the strip's edge."""
    out = []
    for label in side.labels:
        if label.mark.spans:
            first, last = (_inside(x, width, 0.35) for x in label.mark.ticks)
            low = edge + BRACKET
            out.append(svg.line([(first, edge), (first, low), (last, low), (last, edge)], 0.7))
    return out


def labels(side: Side, edge: float, way: int) -> list[Markup]:
    """The words of a side, each label in its box."""
    return [mark for n, label in enumerate(side.labels) for mark in _label(label, side.box(n, edge, way))]


def _label(label: Label, box: Box) -> list[Markup]:
    out = []
    top = box.top
    for line in label.lines:
        left = (box.left + box.right - strip_sides.line_width(line)) / 2
        height = strip_sides.line_height(line)
        for text in line:
            out += _run(text, left, top, top + (height - RISE - FALL) / 2 + RISE)
            left += text.width + strip_sides.GAP
        top += height + PITCH - RISE - FALL
    return out


def _run(text: Text, left: float, top: float, base: float) -> list[Markup]:
    if not text.chip:
        return [svg.text(left, base, text.text, text.bold)]
    return [
        svg.block(left, top, text.width, CHIP, "#000"),
        svg.text(left + strip_sides.CHIP_PAD, base, text.text, True, "#fff"),
    ]
