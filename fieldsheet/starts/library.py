"""The library of kinds: rigs, sensors, lenses, and what a shot may follow. Kinds, never makes.

Each is TOML beside this file; what in it a person must measure is said to be assumed.
"""

from __future__ import annotations

import re
import tomllib
from dataclasses import dataclass, replace
from decimal import Decimal
from functools import cache
from importlib import resources
from math import hypot
from typing import Any

from fieldsheet.catalog.literal import literal
from fieldsheet.plan.trails import CLIP_PX, trail_mm

from .length import Length

# How long a star's trail may be in a clip of 3840, in pixels (common practice, no source).
TRAIL_PX = 1.5
SLIDE = "[axis.slide]\n"
# The comment behind a rail's length.
GUESSED_TRAVEL = "# assumed: mm of travel, not of rail. Drive it and read it"
MEASURED_TRAVEL = "# mm of travel, not of rail"


@dataclass(frozen=True)
class Sensor:
    """A format: width and height in mm, where that size comes from, and what a camera of it usually has."""

    title: str
    sensor_mm: list[Decimal]
    source: str
    assumed: bool
    pixels: list[int]
    file_mb: Decimal

    @property
    def diagonal_mm(self) -> float:
        """From corner to corner."""
        return hypot(*map(float, self.sensor_mm))


@dataclass(frozen=True)
class Lens:
    """A kind of lens; the focal length that is proposed is a part of the sensor's diagonal."""

    title: str
    projection: str
    focal_of_diagonal: Decimal
    apertures: list[Decimal]

    def focal_mm(self, sensor: Sensor) -> Decimal:
        """What is proposed: whole mm, below 10 mm halves."""
        focal_mm = float(self.focal_of_diagonal) * sensor.diagonal_mm
        return Decimal(round(focal_mm)) if focal_mm >= 10 else Decimal(round(focal_mm * 2)) / 2


@dataclass(frozen=True)
class Subject:
    """What a shot follows, and what is proposed for it, its title (called) too.

    starts are tried in their order, the last is for nights on which none of them comes. until is when it ends
    where the first one comes, if that leaves one to six hours; else it has its duration. target is a body of
    the sky, "pole" for that above the horizon, None for a view. Of stars the shutter is as long as they
    allow.
    """

    title: str
    called: str
    starts: list[str]
    duration: str
    until: str = ""
    target: str | None = None
    interval_s: Decimal = Decimal(0)
    longest_shutter_s: Decimal = Decimal(0)
    stars: bool = False


@dataclass(frozen=True)
class RigStart:
    """A rig's file as it is copied, and what it says."""

    text: str
    values: dict[str, Any]

    @property
    def title(self) -> str:
        """What it is called unless it is given another name."""
        return str(self.values["title"])

    @property
    def moves(self) -> str:
        """Its axes, as they are offered: "slide, pan, tilt"."""
        return ", ".join(self.values.get("axis", ())) or "nothing moves"

    @property
    def needs_load(self) -> bool:
        """Whether nobody but its maker can say what its carriage may bear."""
        return "load_kg" in self.values

    @property
    def travel(self) -> Length | None:
        """How far its carriage is guessed to travel; None where it has none."""
        slide = self.values.get("axis", {}).get("slide")
        return Length(Decimal(slide["max"]), guessed=True) if slide else None

    def with_travel(self, length: Length) -> RigStart:
        """With a rail of another length, which is marked as a guess where it is one."""
        head, axis, rest = self.text.partition(SLIDE)
        assert axis, "a rail's length is asked for where there is a rail"
        start = RigStart(rest, self.values).with_values(max=length.mm)
        rest = start if length.guessed else start.replace(GUESSED_TRAVEL, MEASURED_TRAVEL, 1)
        return replace(self, text=f"{head}{axis}{rest}")

    def with_values(self, **values: Any) -> str:
        """The file with other values of some keys that stand in it at the top, their comments kept."""
        text = self.text
        for key, value in values.items():
            line = re.compile(rf"^({key} = )(.*?)(\s+# .*)$", re.MULTILINE)
            was = line.search(text)
            assert was is not None, f"no line {key} = in the file of a kind of rig"
            said = was[3].strip()
            text = text[: was.start()] + aligned(f"{was[1]}{literal(value)}", said) + text[was.end() :]
        return text


def aligned(code: str, comment: str) -> str:
    """A line with its comment where those of all lines stand, or two spaces on."""
    return f"{code:<49}{comment}" if len(code) < 48 else f"{code}  {comment}"


@cache
def rigs() -> dict[str, RigStart]:
    """Every kind of rig, in the order in which they are offered."""
    folder = resources.files(__package__) / "rigs"
    names = ("rail-and-head", "head", "lift", "turntable", "static")
    texts = {name: (folder / f"{name}.toml").read_text("utf-8") for name in names}
    return {name: RigStart(text, _parsed(text)) for name, text in texts.items()}


@cache
def sensors() -> dict[str, Sensor]:
    """Every format of sensor."""
    return {name: Sensor(**table) for name, table in _tables("sensors").items()}


@cache
def lenses() -> dict[str, Lens]:
    """Every kind of lens."""
    return {name: Lens(**table) for name, table in _tables("lenses").items()}


@cache
def subjects() -> dict[str, Subject]:
    """What a shot may follow."""
    return {name: Subject(**table) for name, table in _tables("subjects").items()}


def star_shutter_s(sensor_width_mm: Decimal, focal_mm: Decimal) -> float:
    """Seconds in which a star of the celestial equator draws a trail of TRAIL_PX in mid-frame of the clip."""
    pixel_mm = float(sensor_width_mm) / CLIP_PX
    return TRAIL_PX * pixel_mm / trail_mm(0.0, 1.0, float(focal_mm))


def _tables(name: str) -> dict[str, Any]:
    return _parsed((resources.files(__package__) / f"{name}.toml").read_text("utf-8"))


def _parsed(text: str) -> dict[str, Any]:
    return tomllib.loads(text, parse_float=Decimal)
