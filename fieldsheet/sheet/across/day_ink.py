"""Who is where through a date, drawn in black on white: hours across, light on top, people below. In mm."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from markupsafe import Markup

from fieldsheet.sheet import strip_ink, svg
from fieldsheet.sheet.strip_sides import CHIP, CHIP_PAD, FALL, PITCH, RISE, Measure, wrap
from fieldsheet.sheet.words import WORDS

from .day import DayView, Light, Span
from .lanes import FRAMES, SETUP, STAYS, WAY, Lane, Part, Stint

NAMES, NAME_AIR = 32.0, 1.5
"""The column of names, and what keeps a name from the hours."""
HOUR_ROW, TICK, HOUR_AIR = 4.6, 1.0, 2.5
BAND, SPAN_ROW, SPAN_WEIGHT = 4.6, 4.3, 1.3
BAR, ROW_AIR, LANE_AIR = 5.0, 1.2, 1.0
RULE, HAIR, WAY_WEIGHT, BOX_WEIGHT = 0.5, 0.12, 0.8, 0.4

Drawn = tuple[Markup, float]
"""A drawing and its height."""


@dataclass(frozen=True)
class Paper:
    """What the date is drawn on: its hours, how wide text is, how wide the whole."""

    view: DayView
    measure: Measure
    width: float

    @property
    def hours(self) -> float:
        """Width of the hours."""
        return self.width - NAMES

    def x(self, ms: float) -> float:
        """Where an instant stands."""
        view = self.view
        share = (ms - view.from_ms) / (view.until_ms - view.from_ms)
        return NAMES + min(1.0, max(0.0, share)) * self.hours


def draw_hours(paper: Paper) -> Drawn:
    """The hours alone, for the head of a further page."""
    said = f"{paper.view.hours[0][1]} to {paper.view.hours[-1][1]}"
    return svg.svg(paper.width, HOUR_ROW, said, _hours(paper)), HOUR_ROW


def draw_light(paper: Paper) -> Drawn:
    """The hours, and under them the light of each place: tones, when the moon is up, the core usable."""
    lights, view = paper.view.lights, paper.view
    top, marks = HOUR_ROW, list(_hours(paper))
    for light in lights:
        if len(lights) > 1:
            marks.append(svg.text(NAMES, top + RISE + 0.4, light.place, True))
            top += PITCH + 0.4
        marks += _light(paper, light, top)
        top += BAND + 2 * SPAN_ROW
    marks.append(svg.line([(0.0, top), (paper.width, top)], RULE))
    places = ", ".join(light.place for light in lights)
    said = f"{view.night.night.title}, {view.hours[0][1]} to {view.hours[-1][1]}: {places}"
    height = top + RULE
    return svg.svg(paper.width, height, said, marks), height


def draw_lane(paper: Paper, lane: Lane) -> Drawn:
    """A person's stints, over each bar its rig and place; what would touch stands in rows of its own."""
    placed = [_placed(paper, stint) for stint in lane.stints]
    rows = _in_rows(placed)
    top, marks = LANE_AIR, list[Markup]()
    for row in rows:
        high = max(len(one.lines) for one in row) * PITCH + 0.5
        for one in row:
            marks += _stint(paper, one, top, top + high)
        top += high + BAR + ROW_AIR
    names = list(_names(paper, lane))
    height = max(top, LANE_AIR + len(names) * PITCH + ROW_AIR) + HAIR
    marks += [
        svg.text(0.0, LANE_AIR + n * PITCH + RISE, words, bold) for n, (words, bold) in enumerate(names)
    ]
    rule = svg.line([(0.0, height - HAIR / 2), (paper.width, height - HAIR / 2)], HAIR)
    whole = [*_hairlines(paper, 0.0, height), *marks, rule]
    return svg.svg(paper.width, height, _said(lane), whole), height


def _said(lane: Lane) -> str:
    """The lane in words."""
    told = (
        f"{stint.shot.sheet['place']}, rig {stint.shot.sheet['letter']}, {stint.shot.sheet['span']}"
        for stint in lane.stints
    )
    return f"{lane.who or WORDS['day.nobody']}: {'; '.join(told)}"


def _names(paper: Paper, lane: Lane) -> Iterator[tuple[str, bool]]:
    """Who, and what they are there, each line with whether it is semibold."""
    room = NAMES - NAME_AIR
    for line in wrap(lane.who or WORDS["day.nobody"], True, paper.measure, room):
        yield line, True
    roles = dict.fromkeys(stint.roles for stint in lane.stints if stint.roles)
    for line in wrap(", ".join(roles), False, paper.measure, room):
        yield line, False


def _hours(paper: Paper) -> Iterator[Markup]:
    """Clock times, as many as there is room for, each with its tick; the last keeps within the paper."""
    hours, measure = paper.view.hours, paper.measure
    widest = max(measure(words, True) for _, words in hours) + HOUR_AIR
    every = next(n for n in range(1, len(hours) + 1) if paper.hours / max(1, len(hours) - 1) * n >= widest)
    reached = 0.0
    for n, (ms, words) in enumerate(hours):
        x = paper.x(ms)
        yield svg.line([(x, HOUR_ROW - TICK), (x, HOUR_ROW)], 0.3)
        if n % every == 0:
            wide = measure(words, True)
            left = min(max(x - wide / 2, 0.0), paper.width - wide)
            if left >= reached:
                yield svg.text(left, HOUR_ROW - TICK - FALL, words, True)
            reached = left + wide + HOUR_AIR / 2


def _hairlines(paper: Paper, top: float, foot: float) -> Iterator[Markup]:
    for ms, _ in paper.view.hours:
        yield svg.line([(paper.x(ms), top), (paper.x(ms), foot)], HAIR)


def _light(paper: Paper, light: Light, top: float) -> Iterator[Markup]:
    """The tones, and a heavy line for each span under them."""
    tones = strip_ink.tones(light.tones, 0.0, BAND, paper.hours)
    shift = f"translate({svg.number(NAMES)} {svg.number(top)})"
    yield Markup('<g transform="{}">{}</g>').format(shift, Markup("").join(tones))
    yield svg.frame(NAMES, top, paper.hours, BAND, 0.3)
    yield from _hairlines(paper, top + BAND, top + BAND + 2 * SPAN_ROW)
    yield svg.text(0.0, top + RISE + 0.6, WORDS["day.light"])
    yield from _spans(paper, WORDS["day.moon"], light.moon, top + BAND)
    yield from _spans(paper, WORDS["day.core"], light.core, top + BAND + SPAN_ROW)


def _spans(paper: Paper, name: str, spans: tuple[Span, ...], top: float) -> Iterator[Markup]:
    yield svg.text(0.0, top + RISE + 0.6, name)
    for first, last in spans:
        left, middle = paper.x(first), top + SPAN_ROW / 2
        yield svg.block(left, middle - SPAN_WEIGHT / 2, paper.x(last) - left, SPAN_WEIGHT, "#000")


@dataclass(frozen=True)
class _Placed:
    """A stint with the lines over its bar, where they begin, and how far it reaches with them."""

    stint: Stint
    lines: list[str]
    chip: float
    left: float
    reach: tuple[float, float]


def _placed(paper: Paper, stint: Stint) -> _Placed:
    """Over the bar the letter of the rig and the place, moved in from the right edge."""
    sheet, measure = stint.shot.sheet, paper.measure
    chip = measure(sheet["letter"], True) + 2 * CHIP_PAD
    lines = wrap(sheet["place"], True, measure, paper.hours - chip - CHIP_PAD)
    wide = chip + CHIP_PAD + max(measure(line, True) for line in lines)
    first, last = paper.x(stint.from_ms), paper.x(stint.until_ms)
    left = min(first, paper.width - wide)
    return _Placed(stint, lines, chip, left, (min(left, first), max(last, left + wide)))


def _in_rows(placed: list[_Placed]) -> list[list[_Placed]]:
    """Each in the first row in which it touches nothing."""
    rows: list[list[_Placed]] = []
    for one in placed:
        row = next((row for row in rows if row[-1].reach[1] + HOUR_AIR <= one.reach[0]), None)
        if row is None:
            rows.append(row := [])
        row.append(one)
    return rows


def _stint(paper: Paper, one: _Placed, top: float, bar: float) -> Iterator[Markup]:
    """The words over the bar on white, so that no hour is drawn through them, and the bar's parts."""
    sheet, measure = one.stint.shot.sheet, paper.measure
    words = one.left + one.chip + CHIP_PAD
    for n, line in enumerate(one.lines):
        base = top + n * PITCH + RISE + 0.3
        yield svg.block(words - CHIP_PAD, top + n * PITCH, measure(line, True) + 2 * CHIP_PAD, PITCH, "#fff")
        yield svg.text(words, base, line, True)
    yield svg.block(one.left, top - 0.35, one.chip, CHIP, "#000")
    yield svg.text(one.left + CHIP_PAD, top + RISE + 0.3, sheet["letter"], True, "#fff")
    for part in one.stint.parts:
        yield from _DRAWN[part.kind](paper, part, bar)
        if part.kind == FRAMES:
            yield from _inside(paper, part, bar, sheet["title"])


def _line(paper: Paper, part: Part, top: float) -> Iterator[Markup]:
    middle = top + BAR / 2
    yield svg.line([(paper.x(part.from_ms), middle), (paper.x(part.until_ms), middle)], WAY_WEIGHT)


def _dots(paper: Paper, part: Part, top: float) -> Iterator[Markup]:
    middle = top + BAR / 2
    points = f"{svg.number(paper.x(part.from_ms))},{svg.number(middle)} "
    points += f"{svg.number(paper.x(part.until_ms))},{svg.number(middle)}"
    dotted: dict[str, float | str] = {"stroke": "#000", "stroke_width": WAY_WEIGHT}
    dotted |= {"stroke_dasharray": "0.1 1.8", "stroke_linecap": "round", "fill": "none"}
    yield svg.tag("polyline", "", points=points, **dotted)


def _box(paper: Paper, part: Part, top: float) -> Iterator[Markup]:
    left, right = paper.x(part.from_ms), paper.x(part.until_ms)
    yield svg.block(left, top, right - left, BAR, "#fff")
    yield svg.frame(left, top, max(right - left, BOX_WEIGHT), BAR, BOX_WEIGHT)


def _block(paper: Paper, part: Part, top: float) -> Iterator[Markup]:
    left = paper.x(part.from_ms)
    yield svg.block(left, top, paper.x(part.until_ms) - left, BAR, "#000")


_DRAWN: dict[str, Callable[[Paper, Part, float], Iterator[Markup]]] = {
    SETUP: _box,
    FRAMES: _block,
    STAYS: _dots,
    WAY: _line,
}


def _inside(paper: Paper, part: Part, top: float, title: str) -> Iterator[Markup]:
    """The title in white where it has room; else it stands in the list of the shots alone."""
    left, right = paper.x(part.from_ms), paper.x(part.until_ms)
    if paper.measure(title, True) + 2 * CHIP_PAD <= right - left:
        yield svg.text(left + CHIP_PAD, top + (BAR - RISE - FALL) / 2 + RISE, title, True, "#fff")
