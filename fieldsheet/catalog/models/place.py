"""A file of places/ as a checked model."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field, model_validator

from .. import defaults, values
from ..names import TIDES
from ..values import Number, Text, Texts
from ..words import Wrong, one_of
from .table import ALTITUDE, BEARING, LINES, TITLE, Table

MOST_LANDMARKS = 20
MOST_TIDES = 40
CLOCKS = "a list of clock times in order, such as ['03:12', '15:40']"
MOMENT = "a clock time or an event, such as '22:30' or 'exit closes - 30m'"


class Landmark(Table):
    """[[landmark]]: what one can sight by daylight, measured once from where the rig stands."""

    name: Text = Field(description=TITLE)
    bearing_deg: Number = Field(ge=0, lt=360, description=BEARING)
    altitude_deg: Number = Field(default=defaults.LANDMARK_ALTITUDE_DEG, ge=-90, le=90, description=ALTITUDE)


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
    latitude_deg: Number = Field(ge=-90, le=90, description="degrees north from -90 to 90, such as 37.08")
    longitude_deg: Number = Field(ge=-180, le=180, description="degrees east from -180 to 180, such as -8.67")
    elevation_m: Number = Field(ge=-500, le=9000, description="metres above the sea from -500 to 9000")
    zone: values.Zone = Field(description="a time zone named by a place, such as 'Europe/Lisbon'")
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
