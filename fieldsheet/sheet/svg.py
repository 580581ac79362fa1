"""The few marks that our drawings are made of, as SVG with presentation attributes only. Lengths in mm."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from markupsafe import Markup

TYPE = 10 * 25.4 / 72
"""10 pt: nothing that is read outside is smaller."""


def svg(width: float, height: float, title: str, marks: Iterable[Markup]) -> Markup:
    """A drawing of the given size, in mm; `title` is what a screen reader says of it."""
    return Markup(
        '<svg xmlns="http://www.w3.org/2000/svg" role="img" width="{w}mm" height="{h}mm"'
        ' viewBox="0 0 {w} {h}"><title>{title}</title>{marks}</svg>'
    ).format(w=number(width), h=number(height), title=title, marks=Markup("").join(marks))


def text(x: float, base: float, words: str, bold: bool = False, ink: str = "#000") -> Markup:
    """One line of 10 pt type, from `x`, on the baseline `base`."""
    return tag(
        "text",
        words,
        x=x,
        y=base,
        font_size=TYPE,
        font_family="Fira Sans",
        fill=ink,
        font_weight="600" if bold else "400",
    )


def line(points: Sequence[tuple[float, float]], weight: float, ink: str = "#000") -> Markup:
    """A line through `points`."""
    path = " ".join(f"{number(x)},{number(y)}" for x, y in points)
    return tag("polyline", points=path, fill="none", stroke=ink, stroke_width=weight, stroke_linejoin="round")


def block(x: float, y: float, width: float, height: float, ink: str) -> Markup:
    """A filled rectangle."""
    return tag("rect", x=x, y=y, width=width, height=height, fill=ink)


def frame(x: float, y: float, width: float, height: float, weight: float) -> Markup:
    """An empty rectangle whose line lies inside the given edges."""
    return tag(
        "rect",
        x=x + weight / 2,
        y=y + weight / 2,
        width=width - weight,
        height=height - weight,
        fill="none",
        stroke="#000",
        stroke_width=weight,
    )


def tag(name: str, words: str = "", **attributes: float | str) -> Markup:
    """An element; `stroke_width` becomes stroke-width, and everything given is escaped."""
    given = (
        (key.replace("_", "-"), value if isinstance(value, str) else number(value))
        for key, value in attributes.items()
    )
    inside = Markup("").join(Markup(' {}="{}"').format(key, value) for key, value in given)
    return Markup("<{name}{inside}>{words}</{name}>").format(name=name, inside=inside, words=words)


def number(value: float) -> str:
    """Hundredths of a millimetre: finer than any printer."""
    hundredths = int(abs(value) * 100 + 0.5)
    return f"{'-' if value < 0 and hundredths else ''}{hundredths // 100}.{hundredths % 100:02d}"
