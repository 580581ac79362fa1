"""A file of places/ as a checked model."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field, model_validator

from .. import defaults, values
from ..names import TIDES
from ..values import Number, Text, Texts
from ..words import Wrong, one_of
from .horizon import RIGHT as HORIZON
from .horizon import Horizon
from .table import ALTITUDE, BEARING, LINES, TITLE, Table

MOST_LANDMARKS = 20
MOST_TIDES = 40
CLOCKS = "a list of clock times in order, such as ['03:12', '15:40']"
LATITUDE = "degrees north from -90 to 90, such as 37.08"
LONGITUDE = "degrees east from -180 to 180, such as -8.67"
ELEVATION = "metres above the sea from -500 to 9000"
WAYS = "bearing_deg, or latitude_deg with longitude_deg and elevation_m"
SEA = "metres of the eye above the sea that is looked over, above 0 to 9000"
AIR = "{ pressure_hpa = 990, temperature_c = -5 }"
MOMENT = "a clock time or an event, such as '22:30' or 'exit closes - 30m'"


class Landmark(Table):
    """[[landmark]]: what one can sight by daylight, measured from where the rig stands or by position."""

    name: Text = Field(description=TITLE)
    bearing_deg: Number | None = Field(default=None, ge=0, lt=360, description=BEARING)
    latitude_deg: Number | None = Field(default=None, ge=-90, le=90, description=LATITUDE)
    longitude_deg: Number | None = Field(default=None, ge=-180, le=180, description=LONGITUDE)
    elevation_m: Number | None = Field(default=None, ge=-500, le=9000, description=ELEVATION)
    altitude_deg: Number | None = Field(
        default_factory=defaults.landmark_altitude, ge=-90, le=90, description=ALTITUDE
    )
    height_m: Number | None = Field(
        default_factory=defaults.landmark_height,
        ge=0,
        le=1000,
        description="metres of its top above the ground at its foot, 0 to 1000",
    )

    @model_validator(mode="after")
    def _one_way(self) -> Landmark:
        position = ("latitude_deg", "longitude_deg", "elevation_m")
        measured = self.model_fields_set & {"bearing_deg", "altitude_deg"}
        placed = [key for key in (*position, "height_m") if key in self.model_fields_set]
        if measured and placed:
            raise Wrong(f"both {min(measured, key=len)} and {placed[0]}", WAYS)
        lacking = [key for key in position if key not in placed]
        if placed and lacking:
            raise Wrong(f"{placed[0]} without {one_of(lacking, 'and')}", WAYS)
        if not placed and self.bearing_deg is None:
            raise Wrong("no bearing_deg", WAYS)
        return self


class Air(Table):
    """air: what bends the light near the horizon, as it is expected there."""

    pressure_hpa: Number = Field(
        ge=300, le=1100, description="the barometer's hPa there, not reduced to the sea, 300 to 1100"
    )
    temperature_c: Number = Field(ge=-60, le=60, description="degrees Celsius from -60 to 60")


class Tide(Table):
    """[[tide]]: one date of the official table, typed by hand; times by the place's clock."""

    date: values.Date = Field(description="a date without quotes, such as 2027-06-05")
    high: values.Clocks = Field(default_factory=list, description=CLOCKS)
    low: values.Clocks = Field(default_factory=list, description=CLOCKS)
    wet_line: values.Clocks = Field(default_factory=list, description=CLOCKS)
    exit_closes: values.Clocks = Field(default_factory=list, description=CLOCKS)

    @model_validator(mode="after")
    def _some(self) -> Tide:
        if not any(getattr(self, key) for key in TIDES.values()):
            raise Wrong("a tide without a time", f"at least one of {one_of(list(TIDES.values()))}")
        return self


class CheckIn(Table):
    """check_in: who expects to hear from the crew, and when."""

    with_: Text = Field(alias="with", description="who expects to hear from you, in words")
    at: values.Anchor = Field(description=MOMENT)


class Place(Table):
    """A file of places/: where it is, whose clocks count, how to come and go, what can go wrong there."""

    title: Text = Field(description=TITLE)
    latitude_deg: Number = Field(ge=-90, le=90, description=LATITUDE)
    longitude_deg: Number = Field(ge=-180, le=180, description=LONGITUDE)
    elevation_m: Number = Field(ge=-500, le=9000, description=ELEVATION)
    zone: values.Zone = Field(description="a time zone named by a place, such as 'Europe/Lisbon'")
    horizon: Horizon | None = Field(default=None, description=HORIZON)
    sea_horizon_m: Number | None = Field(default=None, gt=0, le=9000, description=SEA)
    air: Air | None = Field(default=None, description=AIR)
    landmark: Annotated[list[Landmark], Field(max_length=MOST_LANDMARKS)] = Field(
        default_factory=list, description=f"at most {MOST_LANDMARKS} tables [[landmark]]"
    )
    tide: Annotated[list[Tide], Field(max_length=MOST_TIDES)] = Field(
        default_factory=list, description=f"at most {MOST_TIDES} tables [[tide]], one a date"
    )
    hazards: Texts = Field(default_factory=list, description=LINES)
    abort: Texts = Field(default_factory=list, description=LINES)
    access: Texts = Field(default_factory=list, description=LINES)
    permit: Text | None = Field(default=None, description=TITLE)
    turn_back: values.Anchor | None = Field(default=None, description=MOMENT)
    gate_closes: values.Anchor | None = Field(default=None, description=MOMENT)
    check_in: CheckIn | None = Field(default=None, description="{ with = 'the boathouse', at = '23:00' }")
    approach_min: values.Minutes | None = Field(
        default=None, gt=0, le=1440, description="minutes from leaving to being on site, above 0 to 1440"
    )
