"""A keyframe's frame drawn in black on white, for paper.  The phone's drawer: app/shown/frame.js."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from math import cos, pi, sin
from typing import Any

from markupsafe import Markup

from . import svg
from .strip_sides import Measure

LEAST_MM, DOT_MM, MEANT_MM = 1.6, 0.6, 5.0
RAYS = 8
LARGE = ("sun", "moon", "galactic core")
THIRDS = (-1 / 3, 1 / 3)
SAFE = 0.9
"""What is farther out may be cut or hidden: 5 % on each side."""

WEIGHTS = {"horizon": 0.3, "skyline": 0.8, "plane": 0.6, "band": 0.3, "path": 0.2}
DOTS = {"plane": "0.1 1.2", "band": "0.1 1.2"}

Spot = tuple[float, float]
Box = tuple[float, float, float, float]
"""Left, top, right and bottom in mm."""


def draw_view(view: Mapping[str, Any], measure: Measure, width: float, title: str) -> tuple[Markup, float]:
    """The marks of sheet/view.py as SVG of a width in mm, and its height; `title` is read aloud.

    The type is as large as all on paper, whatever the width: a name that then meets another or a mark moves
    to the other side of its own or is left out.
    """
    height = width / view["aspect"]
    drawn = _Drawing(width, height)
    named = [body["name"] for body in view["bodies"] if body["name"]]
    marks = [
        *_grid(drawn),
        *_lines(drawn, view),
        *_bodies(drawn, view, measure),
        svg.frame(0, 0, width, height, 0.5),
    ]
    return svg.svg(width, height, ", ".join([title, *named]), marks), height


class _Drawing:
    """Where on the paper a place in the frame is."""

    def __init__(self, width: float, height: float) -> None:
        self.width, self.height = width, height

    def at(self, spot: Sequence[float]) -> Spot:
        """A place in mm from the upper left corner."""
        return (spot[0] + 1) / 2 * self.width, (1 - spot[1]) / 2 * self.height


def _grid(drawn: _Drawing) -> Iterator[Markup]:
    for third in THIRDS:
        yield svg.line([drawn.at((third, -1)), drawn.at((third, 1))], 0.1)
        yield svg.line([drawn.at((-1, third)), drawn.at((1, third))], 0.1)
    x, y = drawn.at((-SAFE, SAFE))
    sides = {"width": drawn.width * SAFE, "height": drawn.height * SAFE}
    yield svg.tag("rect", "", x=x, y=y, **sides, stroke_dasharray="1.5 1", **_outline(0.15))


def _lines(drawn: _Drawing, view: Mapping[str, Any]) -> Iterator[Markup]:
    """The horizon is heavy where no measured skyline stands over it."""
    weights = WEIGHTS if view["skyline"] else {**WEIGHTS, "horizon": WEIGHTS["skyline"]}
    for name, weight in weights.items():
        dots = {"stroke_dasharray": DOTS[name], "stroke_linecap": "round"} if name in DOTS else {}
        for line in view[name]:
            points = " ".join(f"{svg.number(x)},{svg.number(y)}" for x, y in map(drawn.at, line))
            yield svg.tag("polyline", "", points=points, **_outline(weight), **dots)
    if view["meant"]:
        x, y = drawn.at(view["meant"])
        corner = {"x": x - MEANT_MM / 2, "y": y - MEANT_MM / 2}
        yield svg.tag("rect", "", **corner, width=MEANT_MM, height=MEANT_MM, **_outline(0.3))


def _bodies(drawn: _Drawing, view: Mapping[str, Any], measure: Measure) -> Iterator[Markup]:
    marks: list[Markup] = []
    taken: list[Box] = []
    for body in view["bodies"]:
        x, y = drawn.at((body["x"], body["y"]))
        size = max(LEAST_MM, body["radius"] * drawn.width)
        marks += _shape(body["body"], x, y, size, view["moon"])
        reach = size if body["body"] in LARGE else DOT_MM
        taken.append((x - reach, y - reach, x + reach, y + reach))
    for body, mark in zip(view["bodies"], list(taken), strict=True):
        wide = measure(body["name"], False)
        box = _room(drawn, body, mark, wide, taken) if body["name"] else None
        if box is not None:
            taken.append(box)
            # Under the marks, whose own the name keeps clear of.
            yield svg.block(box[0], box[1], wide, svg.TYPE, "#fff")
            marks.append(svg.text(box[0], box[1] + svg.TYPE * 5 / 6, body["name"]))
    yield from marks


def _room(
    drawn: _Drawing, body: Mapping[str, Any], mark: Box, wide: float, taken: Sequence[Box]
) -> Box | None:
    """Where a name `wide` mm long stands beside its mark and meets nothing, None where nowhere."""
    x, y = (mark[0] + mark[2]) / 2, (mark[1] + mark[3]) / 2
    away = 1 + max(x - mark[0], MEANT_MM / 2 * body["aimed"])
    for side in (body["side"], -body["side"]):
        left = x + away if side > 0 else x - away - wide
        box = left, y - svg.TYPE / 2, left + wide, y + svg.TYPE / 2
        inside = min(box) >= 0 and box[2] <= drawn.width and box[3] <= drawn.height
        if inside and not any(_meet(box, other) for other in taken):
            return box
    return None


def _meet(one: Box, other: Box) -> bool:
    return one[0] < other[2] and other[0] < one[2] and one[1] < other[3] and other[1] < one[3]


def _shape(body: str, x: float, y: float, size: float, moon: Mapping[str, float] | None) -> Iterator[Markup]:
    """Shapes tell bodies apart: a sun has rays, the core a ring, the moon's lit part is filled."""
    if body == "moon":
        if moon is not None:
            yield _lit(x, y, size, moon)
        yield svg.tag("circle", "", cx=x, cy=y, r=size, **_outline(0.3))
        return
    if body == "sun":
        for ray in range(RAYS):
            across, down = cos(ray * 2 * pi / RAYS), sin(ray * 2 * pi / RAYS)
            ends = [(x + across * far, y + down * far) for far in (size + 0.4, size + 1.3)]
            yield svg.line(ends, 0.3)
    if body in LARGE:
        yield svg.tag("circle", "", cx=x, cy=y, r=size, **_outline(0.3))
    if body != "sun":
        yield svg.tag("circle", "", cx=x, cy=y, r=DOT_MM, fill="#000")


def _lit(x: float, y: float, size: float, moon: Mapping[str, float]) -> Markup:
    """The lit part of the moon, its bright limb turned to where the sun is."""
    within, back = size * abs(1 - 2 * moon["lit"]), 0 if moon["lit"] < 0.5 else 1
    top, foot = f"0 {svg.number(-size)}", f"0 {svg.number(size)}"
    outer = f"A{svg.number(size)} {svg.number(size)} 0 0 1 {foot}"
    inner = f"A{svg.number(within)} {svg.number(size)} 0 0 {back} {top}"
    turn = f"translate({svg.number(x)} {svg.number(y)}) rotate({svg.number(-moon['limb_deg'])})"
    return svg.tag("path", "", d=f"M{top}{outer}{inner}Z", transform=turn, fill="#000")


def _outline(weight: float) -> dict[str, float | str]:
    return {"fill": "none", "stroke": "#000", "stroke_width": weight}
