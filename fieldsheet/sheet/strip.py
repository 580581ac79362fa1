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
from math import ceil, floor
from typing import Any

from markupsafe import Markup

from fieldsheet.sheet import strip_sides, svg
from fieldsheet.sheet.strip_sides import BRACKET, CHIP, FALL, PITCH, RISE, Label, Mark, Measure, Side, Text

SKY_LABELS = 4
"""Labels on the sky's side (common practice, no source)."""
_RANK = ("exit", "wet", "sunset", "sunrise", "tide", "usable", "astron", "core", "moon", "nautical", "civil")
"""Who keeps a label when there are more: first the water, which cuts off the way, and what a shot hangs on,
last what only names a shade of dusk."""
_FROM, _UNTIL = " from", " until"
"""How the labels of a span's two ends close."""

_STROKE, _UNDER = 0.9, 0.8
_AIRY, _LOW = (3.4, 4.3), (2.8, 4.0)
"""Heights of the tones and of the ruler below them."""
# A leader clears the short strokes beside it before it slants.
_STRAIGHT = _STROKE + 0.2


@dataclass(frozen=True)
class Box:
    """The place of a label: its edges in mm."""

    left: float
    top: float
    right: float
    bottom: float


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


def draw_strip(
    strip: Mapping[str, Any], measure: Measure, width: float, title: str, low: bool = False
) -> Drawing:
    """Draw `strip` (the sheet's key of that name) `width` mm wide; `title` is what a screen reader says.

    `low`: as low as its labels allow, with leaders that run farther, and keys without their names.

    Raises ValueError, in words, where the labels cannot be placed at this width.
    """
    x_of = _scale(strip["frames"], width)
    moments = sorted(strip["moments"], key=lambda moment: moment["frame"])
    named, rest = _named([moment for moment in moments if moment["side"] == "sky"])
    hand = _spanned([_mark(moment, x_of, low) for moment in moments if moment["side"] == "hand"])
    above = strip_sides.side([_mark(one, x_of) for one in named], measure, width, low)
    below = strip_sides.side(hand, measure, width, low)
    top = above.height or _STROKE * bool(rest)
    light, ruler = _LOW if low else _AIRY
    line = top + light
    foot = line + ruler
    under = _under(rest, measure, width)
    first = foot + below.height + _UNDER
    strokes = [x_of(one["frame"]) for one in rest]
    short = [_inside(x, width, 0.3) for x in strokes]
    marks = [
        *_tones(strip["tones"], top, light, width),
        *_ruler(strip["ruler"], x_of, (line, foot), width, measure),
        svg.frame(0, top, width, foot - top, 0.3),
        svg.line([(0, line), (width, line)], 0.3),
        *(_through(x_of(one["frame"]), (top, line), strip["tones"], width) for one in named),
        *(svg.line([(x, top - _STROKE), (x, top)], 0.3) for x in short),
        *_leaders(above, top, -1, width),
        *_leaders(below, foot, 1, width),
        *_brackets(below, foot, width),
        *_labels(above, top, -1),
        *_labels(below, foot, 1),
        *(svg.text(0.0, first + PITCH * n + RISE, line) for n, line in enumerate(under)),
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


def _named(sky: Sequence[Mapping[str, Any]]) -> tuple[list[Mapping[str, Any]], list[Mapping[str, Any]]]:
    """The sky moments that keep a label (by rank, then by time), and the others; both in order of time."""

    def rank(n: int) -> tuple[int, int]:
        words = f"{sky[n]['kind']} {sky[n]['label']}"
        return next((r for r, word in enumerate(_RANK) if word in words), len(_RANK)), n

    kept = set(sorted(range(len(sky)), key=rank)[:SKY_LABELS])
    return [sky[n] for n in sorted(kept)], [one for n, one in enumerate(sky) if n not in kept]


def _mark(moment: Mapping[str, Any], x_of: Callable[[float], float], bare: bool = False) -> Mark:
    words = {**moment, "detail": ""} if bare and moment["kind"] == "keyframe" else moment
    return Mark(words, (moment,), (x_of(moment["frame"]),))


def _spanned(marks: Sequence[Mark]) -> list[Mark]:
    """The marks in order of their ticks; "x from" and "x until", where each is there once, are one."""
    acts = [mark for mark in marks if mark.words["kind"] == "act"]
    joined, spent = [], set()
    for start in acts:
        name = start.words["label"].removesuffix(_FROM)
        ends = [end for end in acts if end.words["label"] == name + _UNTIL]
        starts = [one for one in acts if one.words["label"] == name + _FROM]
        if len(starts) == len(ends) == 1 and starts[0] is start and start.tick <= ends[0].tick:
            joined.append(_span(name, start, ends[0]))
            spent |= {id(start), id(ends[0])}
    return sorted([mark for mark in marks if id(mark) not in spent] + joined, key=lambda mark: mark.tick)


def _span(name: str, start: Mark, end: Mark) -> Mark:
    clocks = "–".join(filter(None, (start.words["clock"], end.words["clock"])))
    first, last = ceil(start.words["frame"]), floor(end.words["frame"])
    inside = f"frames {first}–{last}" if first <= last else ""
    details = dict.fromkeys(filter(None, (inside, start.words["detail"], end.words["detail"])))
    words = {**start.words, "label": name, "clock": clocks, "detail": " ".join(details)}
    return Mark(words, start.moments + end.moments, start.ticks + end.ticks)


def _scale(frames: int, width: float) -> Callable[[float], float]:
    """Frame number (from 1, not always whole) to mm; a moment outside the shot stands at its end."""
    return lambda frame: min(1.0, max(0.0, (frame - 1) / max(1, frames - 1))) * width


def _under(rest: Sequence[Mapping[str, Any]], measure: Measure, width: float) -> list[str]:
    """The lines under the strip; a moment's words stay together on a line."""
    if not rest:
        return []
    named = (f"{int(one['frame'])} {one['label']} {one['clock']}" for one in rest)
    words = "frame " + " · ".join(words.replace(" ", "\u00a0") for words in named)
    return strip_sides.wrap(words, False, measure, width)


def _tones(tones: Sequence[float], top: float, height: float, width: float) -> list[Markup]:
    """The light in flat steps (some viewers drop gradients), from nearly white day to nearly black night."""
    step = width / len(tones)
    # Each step reaches under the ones after it, so that no viewer shows a seam between two.
    return [
        svg.block(n * step, top, width - n * step, height, _grey(tone))
        for n, tone in enumerate(tones)
        if not n or _grey(tone) != _grey(tones[n - 1])
    ]


def _grey(tone: float) -> str:
    level = int(246 - 236 * min(1.0, max(0.0, tone)) + 0.5)
    return f"#{level:02x}{level:02x}{level:02x}"


def _inside(x: float, width: float, margin: float) -> float:
    return min(max(x, margin), width - margin)


def _ruler(
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


def _through(x: float, between: tuple[float, float], tones: Sequence[float], width: float) -> Markup:
    """A labelled sky moment's hairline through the tones, in what contrasts there."""
    top, foot = between
    tone = tones[min(len(tones) - 1, int(x / width * len(tones)))]
    x = _inside(x, width, 0.3)
    return svg.line([(x, top + 0.3), (x, foot)], 0.25, "#fff" if tone > 0.5 else "#000")


def _leaders(side: Side, edge: float, way: int, width: float) -> list[Markup]:
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


def _brackets(side: Side, edge: float, width: float) -> list[Markup]:
    """From one end of each span to the other, below the strip's edge."""
    out = []
    for label in side.labels:
        if label.mark.spans:
            first, last = (_inside(x, width, 0.35) for x in label.mark.ticks)
            low = edge + BRACKET
            out.append(svg.line([(first, edge), (first, low), (last, low), (last, edge)], 0.7))
    return out


def _labels(side: Side, edge: float, way: int) -> list[Markup]:
    return [mark for n, label in enumerate(side.labels) for mark in _label(label, _box(side, n, edge, way))]


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


def _box(side: Side, n: int, edge: float, way: int) -> Box:
    label, spot = side.labels[n], side.spots[n]
    near = edge + way * side.near(spot.row)
    top, bottom = sorted((near, near + way * label.height))
    return Box(spot.left, top, spot.left + label.width, bottom)


def _ticks(side: Side, edge: float, way: int) -> list[Tick]:
    return [
        Tick(moment, x, _box(side, n, edge, way))
        for n, label in enumerate(side.labels)
        for moment, x in zip(label.mark.moments, label.mark.ticks, strict=True)
    ]
