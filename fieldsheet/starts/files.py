"""The files of a catalog as they are first written: commented TOML, from what was answered."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from decimal import Decimal
from functools import cache
from importlib import resources
from typing import Any

from jinja2 import DictLoader, Environment, StrictUndefined

from fieldsheet.catalog.literal import literal
from fieldsheet.catalog.marks import SHUTTERS

from .length import Length
from .library import Lens, RigStart, Sensor, Subject, aligned, star_shutter_s

# Where comments begin in the templates; no value holds it, for texts are escaped.
_COMMENT = "\t# "
PROJECTIONS = {
    "rectilinear": "straight lines stay straight; of a fisheye it is another",
    "equisolid": 'assumed: or "equidistant"; the maker of a fisheye says which',
}
FIRST_LETTER = "A"  # of every rig in the library, and of its pack
# What an interval that is not short leaves besides the shutter, for moving and settling (common practice, no
# source).
REST_S = 4
SHORT_S = 8


class Bare(str):
    """A text that stands in a file as it is: a key, a comment."""


def head_file(title: str, id: str) -> bytes:
    """catalog.toml."""
    return _rendered("catalog", title=title, id=id, base_url=f"https://example.org/{id}/")


def place_file(answers: Mapping[str, Any]) -> bytes:
    """A file of places/, of title, latitude_deg, longitude_deg, elevation_m and zone."""
    return _rendered("place", **answers)


def rig_file(
    start: RigStart, title: str, letter: str, load_kg: Decimal | None, travel: Length | None = None
) -> bytes:
    """A file of rigs/: the kind's own, with its name and letter; load_kg is its maker's, upright.

    travel: of its carriage, where it is not the kind's own.
    """
    loads = {"load_kg": [[90, load_kg]]} if start.needs_load else {}
    # Its pack first: a title may read as the pack's name does.
    long = start.with_travel(travel) if travel else start
    lettered = replace(long, text=long.text.replace(literal(f"{FIRST_LETTER}1"), literal(f"{letter}1")))
    return lettered.with_values(title=title, letter=letter, **loads).encode()


def camera_file(title: str, sensor: Sensor, lens: Lens, focal_mm: Decimal) -> bytes:
    """A file of cameras/: a format of sensor behind a kind of lens."""
    return _rendered(
        "camera",
        title=title,
        focal_mm=focal_mm,
        sensor_mm=sensor.sensor_mm,
        assumed=sensor.assumed,
        source=Bare(sensor.source),
        pixels=sensor.pixels,
        file_mb=sensor.file_mb,
        projection=lens.projection,
        projection_said=Bare(PROJECTIONS[lens.projection]),
        apertures=lens.apertures,
    )


def shot_file(answers: Mapping[str, Any]) -> bytes:
    """A file of shots/; see shot.toml.j2 for what it takes."""
    return _rendered("shot", **answers)


def interval_s(subject: Subject, sensor_width_mm: Decimal, focal_mm: Decimal) -> Decimal:
    """What is proposed: of stars, a little more than the longest shutter that they allow."""
    if not subject.stars:
        return subject.interval_s
    return (
        Decimal(longest_mark(star_shutter_s(sensor_width_mm, focal_mm))).to_integral_value("ROUND_CEILING")
        + 5
    )


def longest_shutter_s(
    subject: Subject, sensor_width_mm: Decimal, focal_mm: Decimal, interval: Decimal
) -> Decimal:
    """What is proposed: as long as the subject asks for and the interval leaves, a mark of the dial."""
    left_s = interval - REST_S if interval >= SHORT_S else interval / 2
    stars_s = star_shutter_s(sensor_width_mm, focal_mm)
    wanted_s = stars_s if subject.stars else float(subject.longest_shutter_s)
    return Decimal(longest_mark(min(wanted_s, float(left_s))))


def longest_mark(seconds: float) -> str:
    """The longest shutter time on a dial that is not above so many seconds, in decimals; at least 0.3."""
    decimals = [mark for mark in SHUTTERS if "/" not in mark]
    return next((mark for mark in reversed(decimals) if float(mark) <= seconds), decimals[0])


def _rendered(name: str, **values: Any) -> bytes:
    lines = _templates().get_template(name).render(values).splitlines()
    return "".join(f"{_lined_up(line)}\n" for line in lines).encode()


def _lined_up(line: str) -> str:
    code, tab, comment = line.partition(_COMMENT)
    return aligned(code, f"# {comment}") if tab else line


@cache
def _templates() -> Environment:
    """Every value that a template puts out is written as TOML writes it."""
    folder = resources.files(__package__) / "written"
    texts = {
        name: (folder / f"{name}.toml.j2").read_text("utf-8")
        for name in ("catalog", "place", "camera", "shot")
    }
    made = Environment(
        loader=DictLoader(texts),
        finalize=lambda value: str(value) if isinstance(value, Bare) else literal(value),
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=True,
    )
    made.filters["bare"] = Bare
    return made
