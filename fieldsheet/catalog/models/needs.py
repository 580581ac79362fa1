"""[needs] of a shot as a checked model: what makes a night good for it."""

from __future__ import annotations

from decimal import Decimal
from typing import Annotated, Any

from pydantic import AfterValidator, BeforeValidator, ConfigDict, Field, model_validator

from .. import anchors, values
from ..names import BODY_RIGHT, EVENTS_RIGHT, WEEKDAYS
from ..values import Number, name_in
from ..words import Wrong, one_of, show
from .table import Table

MOST_NEEDS = 8
AT = "'start', 'halfway', 'end', 'frame 376', '50%', or an anchor of the night"
LIT = "two whole numbers of percent from 0 to 100, such as [0, 40]"
ALTITUDES = "two numbers of degrees from -90 to 90, tenths at the finest, such as [15, 40]"
AZIMUTHS = "two true bearings in whole degrees from 0 to 359, clockwise, such as [150, 210] or [350, 20]"
HOURS = "hours above 0 to 24 in steps of 0.05, which is three minutes, such as 2.5"
BETWEEN = "two clock times, such as ['18:00', '21:30']"
WEEKDAYS_RIGHT = f"a list of {one_of([show(day) for day in WEEKDAYS])}"
NOTHING = "a need that asks nothing"


def _weekday(value: Any) -> Any:
    if value in WEEKDAYS:
        return value
    meant = value.strip()[:3].title() if isinstance(value, str) else ""
    raise Wrong(show(value), f"'{meant}' (did you mean that?)" if meant in WEEKDAYS else WEEKDAYS_RIGHT)


def _some_days(days: list[str]) -> list[str]:
    if not days:
        raise Wrong("an empty list", WEEKDAYS_RIGHT)
    if len(set(days)) == len(WEEKDAYS):
        raise Wrong(f"every day of the week, {NOTHING}", "fewer days, or no weekdays")
    return sorted(days, key=WEEKDAYS.index)


def _event(value: Any) -> Any:
    right = f"an event alone, such as 'low tide' or 'moonrise'; the events are {EVENTS_RIGHT}"
    if not isinstance(value, str) or any(sign in value for sign in ":+-\u2212"):
        raise Wrong(show(value), right)
    return anchors.anchor(value)["event"]


def _in_steps_of(step: str, right: str) -> AfterValidator:
    """Nothing finer than a need is judged and printed."""

    def check(value: Decimal) -> Decimal:
        if value % Decimal(step):
            raise Wrong(show(value), right)
        return value

    return AfterValidator(check)


def _minutes(value: int) -> int:
    if value % 60_000:
        raise Wrong(f"{show(Decimal(value) / 1000)} seconds", "whole minutes, such as '1h30m'")
    return value


def _from_low_to_high(pair: list[Decimal]) -> list[Decimal]:
    if pair[0] > pair[1]:
        raise Wrong(_shown(pair), f"the lower number first, such as {_shown(pair[::-1])}")
    return pair


def _wide(pair: list[Any]) -> list[Any]:
    if pair[0] == pair[1]:
        raise Wrong("a range of nothing", "two values that differ")
    return pair


def _shown(pair: list[Decimal]) -> str:
    return f"[{show(pair[0])}, {show(pair[1])}]"


_TWO = Field(min_length=2, max_length=2)
_WEEKDAY = values.written({"enum": list(WEEKDAYS)})
Percents = Annotated[
    list[Annotated[Number, Field(ge=0, le=100), _in_steps_of("1", LIT)]],
    _TWO,
    AfterValidator(_from_low_to_high),
]
Altitudes = Annotated[
    list[Annotated[Number, Field(ge=-90, le=90), _in_steps_of("0.1", ALTITUDES)]],
    _TWO,
    AfterValidator(_from_low_to_high),
    AfterValidator(_wide),
]
Azimuths = Annotated[
    list[Annotated[Number, Field(ge=0, lt=360), _in_steps_of("1", AZIMUTHS)]], _TWO, AfterValidator(_wide)
]
Hours = Annotated[Number, Field(gt=0, le=24), _in_steps_of("0.05", HOURS)]
Weekdays = Annotated[
    list[Annotated[str, BeforeValidator(_weekday, json_schema_input_type=_WEEKDAY)]],
    values.AllDifferent,
    AfterValidator(_some_days),
]


class MoonNeed(Table):
    """[[needs.moon]]: the moon at a moment, up or down, and how much of it is lit."""

    at: values.Position = Field(description=AT)
    is_: Annotated[str, name_in(("up", "down"))] | None = Field(
        default=None, alias="is", description="'up' or 'down'"
    )
    lit_pct: Percents | None = Field(default=None, description=LIT)

    @model_validator(mode="after")
    def _something(self) -> MoonNeed:
        if self.lit_pct == [Decimal(0), Decimal(100)]:
            raise Wrong(f"[0, 100], {NOTHING}", "a narrower range, or no lit_pct", "lit_pct")
        if self.is_ is None and self.lit_pct is None:
            raise Wrong(NOTHING, "is = 'down', lit_pct = [0, 40], or both")
        return self


class TargetNeed(Table):
    """[[needs.target]]: where a body of the sky stands at a moment."""

    target: values.Body = Field(description=BODY_RIGHT)
    at: values.Position = Field(description=AT)
    altitude_deg: Altitudes | None = Field(default=None, description=ALTITUDES)
    azimuth_deg: Azimuths | None = Field(default=None, description=AZIMUTHS)

    @model_validator(mode="after")
    def _something(self) -> TargetNeed:
        if self.altitude_deg == [Decimal(-90), Decimal(90)]:
            raise Wrong(f"[-90, 90], {NOTHING}", "a narrower range, or no altitude_deg", "altitude_deg")
        if self.altitude_deg is None and self.azimuth_deg is None:
            raise Wrong(NOTHING, "altitude_deg = [15, 40], azimuth_deg = [150, 210], or both")
        if self.target.endswith(" pole"):
            right = "a target that moves, or no such need"
            raise Wrong(f"the {self.target} of the sky, which stands there every night", right, "target")
        return self


class EventNeed(Table):
    """[[needs.event]]: an event by the clock, or near a moment of the shot."""

    event: Annotated[str, BeforeValidator(_event), values.as_toml("event")] = Field(description=EVENTS_RIGHT)
    between: Annotated[list[values.Clock], _TWO, AfterValidator(_wide)] | None = Field(
        default=None, description=BETWEEN
    )
    within: Annotated[values.DurationMs, AfterValidator(_minutes)] | None = Field(
        default=None, description="a duration such as '1h30m'"
    )
    of: values.Position | None = Field(default=None, description=AT)

    @model_validator(mode="after")
    def _one_way(self) -> EventNeed:
        right = "between = ['18:00', '21:30'], or within = '1h30m' with of = 'start'"
        if self.between is not None and (self.within is not None or self.of is not None):
            raise Wrong("between beside within or of", right)
        if self.between is None and (self.within is None or self.of is None):
            found = NOTHING if self.within is None and self.of is None else "only one of within and of"
            raise Wrong(found, right)
        return self


class Needs(Table):
    """[needs]: what a night must have; all of it."""

    model_config = ConfigDict(json_schema_extra={"minProperties": 1})

    weekdays: Weekdays | None = Field(default=None, description=WEEKDAYS_RIGHT)
    darkness_h_min: Hours | None = Field(default=None, description=HOURS)
    core_usable_h_min: Hours | None = Field(default=None, description=HOURS)
    moon: Annotated[list[MoonNeed], Field(max_length=MOST_NEEDS)] = Field(
        default_factory=list, description=f"at most {MOST_NEEDS} tables [[needs.moon]]"
    )
    target: Annotated[list[TargetNeed], Field(max_length=MOST_NEEDS)] = Field(
        default_factory=list, description=f"at most {MOST_NEEDS} tables [[needs.target]]"
    )
    event: Annotated[list[EventNeed], Field(max_length=MOST_NEEDS)] = Field(
        default_factory=list, description=f"at most {MOST_NEEDS} tables [[needs.event]]"
    )

    @model_validator(mode="after")
    def _some(self) -> Needs:
        if not any(getattr(self, name) for name in type(self).model_fields):
            raise Wrong(NOTHING, "a need such as weekdays = ['Fri', 'Sat'], or no [needs]")
        return self
