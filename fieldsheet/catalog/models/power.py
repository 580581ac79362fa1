"""What rig, camera and heater live on, as checked models."""

from __future__ import annotations

from decimal import Decimal
from typing import Annotated, Any

from pydantic import BeforeValidator, Field, model_validator

from .. import defaults
from ..values import Number, Text, decimal, written
from ..words import Wrong, show
from .pairs import FEWEST, MOST, FromLevel, Pair, Rising, Span, pair_in
from .table import TITLE, YES_NO, Table

CAPACITY = "what is printed on it in mAh of its cells, above 0 to 1000000, such as 13400"
CELL = "the nominal voltage of a cell, above 0 to 60, such as 3.7"
EFFICIENCY = "the part of its energy that comes out, above 0 to 1, such as 0.85"
RESERVE = "the part that is left in it, 0 to below 1, such as 0.2"
OUTPUT = "the most that it can give in watts, above 0 to 10000"
COLD = "pairs of temperature in °C and what is left there of its capacity, such as [[-20, 0.5], [20, 1.0]]"
INCLINE = "pairs of incline in degrees and ratio to level, such as [[0, 1.0], [45, 1.5], [90, 3.0]]"
RATE = "Wh from 0 to 1000, or a table with an axis each, such as { slide = 0.9 }"
WATTS = "watts from 0 to 10000"

COLD_PAIR = pair_in(
    Span("a temperature of", Decimal(-60), Decimal(60)),
    Span("a part of", Decimal("0.01"), Decimal("1.2")),
    "[-10, 0.7]: °C, and what is left there",
)
INCLINE_PAIR = pair_in(
    Span("an incline of", Decimal(0), Decimal(90)),
    Span("a ratio of", Decimal("0.05"), Decimal(50)),
    "[45, 1.5]: incline in degrees, ratio to level",
)
Many = Field(min_length=FEWEST, max_length=MOST)
Cold = Annotated[list[Annotated[Pair, COLD_PAIR]], Many, Rising]
Incline = Annotated[list[Annotated[Pair, INCLINE_PAIR]], Many, Rising, FromLevel]
Watts = Annotated[Number, Field(ge=0, le=10_000)]

# By the unit of an axis: the key of what moving it takes, and how many of its units that is for.
RATES = {
    "mm": ("moving_wh_per_m", 1000),
    "deg": ("moving_wh_per_deg", 1),
    "turns": ("moving_wh_per_turn", 1),
    "percent": ("moving_wh_per_percent", 1),
}
# What says nothing of a pack whose capacity is not known.
OF_CAPACITY = ("cell_v", "efficiency", "reserve", "cold", "output_w")


def _rates(value: Any) -> Any:
    """One rate for every axis of its unit, under "", or one an axis."""
    rates = value if isinstance(value, dict) else {"": value}
    decimals = {name: decimal(rate) for name, rate in rates.items()}
    for rate in decimals.values():
        if not isinstance(rate, Decimal) or not 0 <= rate <= 1000:
            raise Wrong(show(rate), RATE)
    return decimals


_RATE = {"type": "number", "minimum": 0, "maximum": 1000}
_RATES = written({"anyOf": [_RATE, {"type": "object", "additionalProperties": _RATE}]})
Rates = Annotated[dict[str, Decimal], BeforeValidator(_rates, json_schema_input_type=_RATES)]


class Pack(Table):
    """[[power.pack]]: a battery pack, where it rides, and what it gives."""

    name: Text = Field(description=TITLE)
    seat: Text = Field(description="where it rides and what holds it, in words")
    capacity_mah: Number | None = Field(default=None, gt=0, le=1_000_000, description=CAPACITY)
    cell_v: Number | None = Field(default_factory=defaults.cell_v, gt=0, le=60, description=CELL)
    efficiency: Number | None = Field(
        default_factory=defaults.pack_efficiency, gt=0, le=1, description=EFFICIENCY
    )
    reserve: Number | None = Field(default_factory=defaults.pack_reserve, ge=0, lt=1, description=RESERVE)
    cold: Cold | None = Field(default=None, description=COLD)
    output_w: Number | None = Field(default=None, gt=0, le=10_000, description=OUTPUT)

    @model_validator(mode="after")
    def _whole(self) -> Pack:
        idle = [key for key in OF_CAPACITY if key in self.model_fields_set]
        if idle and self.capacity_mah is None:
            raise Wrong(f"{idle[0]} without capacity_mah", f"capacity_mah: {CAPACITY}", idle[0])
        return self


class Power(Table):
    """[power]: what the rig lives on, and what it takes of it."""

    supply: Text = Field(description="the plug and the voltage, in words")
    isolating_lead: bool = Field(default=defaults.ISOLATING_LEAD, description=YES_NO)
    sleeps: bool = Field(default=defaults.PACK_SLEEPS, description=YES_NO)
    electronics_w: Number | None = Field(
        default=None, gt=0, le=10_000, description="watts above 0 to 10000, whatever the rig does"
    )
    holding_w: Watts | None = Field(default=None, description=f"{WATTS}, for the motors to hold still")
    moving_wh_per_m: Rates | None = Field(default=None, description=RATE)
    moving_wh_per_deg: Rates | None = Field(default=None, description=RATE)
    moving_wh_per_turn: Rates | None = Field(default=None, description=RATE)
    moving_wh_per_percent: Rates | None = Field(default=None, description=RATE)
    incline_factor: Incline | None = Field(default=None, description=INCLINE)
    incline_factor_down: Incline | None = Field(default=None, description=INCLINE)
    holding_factor: Incline | None = Field(default=None, description=INCLINE)
    peak_w: Watts | None = Field(default=None, description=f"{WATTS}, the most that it draws when level")
    measured_payload_kg: Number | None = Field(
        default=None, gt=0, le=1000, description="kg on the carriage as it was measured, above 0 to 1000"
    )
    pack: Annotated[list[Pack], Field(max_length=10)] = Field(
        default_factory=list, description="at most 10 tables [[power.pack]]"
    )


class Battery(Table):
    """[battery] of a camera: its own battery, and what a frame takes of it."""

    capacity_wh: Number | None = Field(
        default=None, gt=0, le=1000, description="what is printed on it in Wh, above 0 to 1000, such as 14"
    )
    capacity_mah: Number | None = Field(default=None, gt=0, le=1_000_000, description=CAPACITY)
    nominal_v: Number | None = Field(
        default=None, gt=0, le=60, description="the voltage printed on it, above 0 to 60, such as 7.2"
    )
    frame_wh: Number = Field(ge=0, le=10, description="Wh that a frame takes, 0 to 10, such as 0.006")
    idle_w: Watts = Field(description=f"{WATTS}, between the frames, the screen off")
    reserve: Number = Field(default=defaults.PACK_RESERVE, ge=0, lt=1, description=RESERVE)
    cold: Cold | None = Field(default=None, description=COLD)

    @model_validator(mode="after")
    def _one_way(self) -> Battery:
        ways = "capacity_wh, or capacity_mah with nominal_v"
        here = [key for key in ("capacity_mah", "nominal_v") if getattr(self, key) is not None]
        if self.capacity_wh is not None and here:
            raise Wrong(f"both capacity_wh and {here[0]}", ways, here[0])
        if self.capacity_wh is None and len(here) < 2:
            raise Wrong(f"only {here[0]}" if here else "no capacity_wh", ways)
        return self


class Heater(Table):
    """[heater] of a shot: a dew strap with a pack of its own, on from frame 1 to the end."""

    heater_w: Number = Field(gt=0, le=1000, description="watts above 0 to 1000, such as 5")
    capacity_mah: Number = Field(gt=0, le=1_000_000, description=CAPACITY)
    cell_v: Number = Field(default=defaults.CELL_V, gt=0, le=60, description=CELL)
    efficiency: Number = Field(default=defaults.PACK_EFFICIENCY, gt=0, le=1, description=EFFICIENCY)
    reserve: Number = Field(default=defaults.PACK_RESERVE, ge=0, lt=1, description=RESERVE)
    cold: Cold | None = Field(default=None, description=COLD)
