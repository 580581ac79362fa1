"""The curves of a move drawn in black on white, one lane below the other, along the frames of the strip."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from typing import Any

from markupsafe import Markup

from fieldsheet.sheet import strip_ink, svg
from fieldsheet.sheet.strip_sides import CHIP, CHIP_PAD, FALL, RISE, Measure

STANDS, GOES, APART = 8.0, 3.6, 1.6
"""Heights of the two fields of a lane; between a lane and the words over the next."""
AIR, RULER = 0.9, 4.3
HEAVY, THIN, DOT = 0.7, 0.3, 1.0

Lane = Mapping[str, Any]
Place = Callable[[float], float]


def lane_height() -> float:
    """What a lane takes with the words over it, in mm."""
    return CHIP + AIR + STANDS + AIR + GOES + APART


def draw_curves(
    lanes: Sequence[Lane], ruler: Sequence[int], measure: Measure, width: float, title: str
) -> tuple[Markup, float]:
    """The lanes of sheet/curves.py as SVG of a width in mm, and its height; `title` is read aloud.

    `ruler`: frames that are named under the last lane; first and last frame stand where the strip has them.
    """
    frames: int = lanes[0]["frames"]

    def x_of(frame: float) -> float:
        return (frame - 1) / max(1, frames - 1) * width

    foot = len(lanes) * lane_height()
    marks = [
        mark for n, lane in enumerate(lanes) for mark in _lane(lane, n * lane_height(), x_of, measure, width)
    ]
    marks += strip_ink.ruler(ruler, x_of, (foot - APART, foot - APART + RULER), width, measure)
    said = "; ".join([title, *(f"{lane['letter']} {lane['text']}" for lane in lanes)])
    height = foot - APART + RULER
    return svg.svg(width, height, said, marks), height


def _lane(lane: Lane, top: float, x_of: Place, measure: Measure, width: float) -> Iterator[Markup]:
    """The words, under them where the axis stands, under that how far it goes."""
    chip = measure(lane["letter"], True) + 2 * CHIP_PAD
    base = top + (CHIP - RISE - FALL) / 2 + RISE
    yield svg.block(0.0, top, chip, CHIP, "#000")
    yield svg.text(CHIP_PAD, base, lane["letter"], True, "#fff")
    yield svg.text(chip + CHIP_PAD, base, lane["text"])
    upper = top + CHIP + AIR
    lower = upper + STANDS + AIR
    for frame, _ in lane["keys"]:
        x = min(max(x_of(frame), THIN / 2), width - THIN / 2)
        yield svg.line([(x, upper), (x, lower + GOES)], 0.15)
    yield from _field(lane["stands"], (upper, STANDS), x_of, HEAVY, width)
    yield from _field(lane["goes"], (lower, GOES), x_of, THIN, width)
    yield svg.line([(0.0, lower + GOES), (width, lower + GOES)], 0.15)
    for frame, share in lane["keys"]:
        middle = min(max(x_of(frame), DOT), width - DOT)
        yield svg.tag("circle", cx=middle, cy=_y(share, (upper, STANDS), HEAVY), r=DOT, fill="#000")


def _field(
    spots: Sequence[tuple[float, float]],
    field: tuple[float, float],
    x_of: Place,
    weight: float,
    width: float,
) -> Iterator[Markup]:
    """A curve inside the field (its top, its height), none of its ink outside."""
    half = weight / 2
    points = [(min(max(x_of(at), half), width - half), _y(share, field, weight)) for at, share in spots]
    yield svg.line(points, weight)


def _y(share: float, field: tuple[float, float], weight: float) -> float:
    top, height = field
    return top + weight / 2 + (1 - share) * (height - weight)
