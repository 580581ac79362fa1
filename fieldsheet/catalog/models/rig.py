"""A file of rigs/ as a checked model."""

from __future__ import annotations

from decimal import Decimal
from typing import Annotated, Any

from pydantic import BeforeValidator, Field, ValidationInfo, field_validator, model_validator

from .. import defaults
from ..values import AllDifferent, Number, Seconds, Text, Texts, decimal, name_in
from ..words import Wrong, show, show_items
from .table import LINES, TITLE, YES_NO, Table

AXES = ("slide", "pan", "tilt")
UNITS = {"slide": "mm", "pan": "deg", "tilt": "deg"}
ORDERS = ("first-to-last", "last-to-first")
PROGRAM = ("interval", "dwell", "frames", "hold", "ease")
MOTIONS = ("shoot-move-shoot", "continuous", "none")
KINDS = {"continuous": "a continuous rig", "none": "a rig without an axis"}
MOST_LOADS = 20
LOADS = "pairs of incline in degrees and load in kg, such as [[0, 6.0], [45, 4.0], [90, 2.5]]"

OrderName = Annotated[str, name_in(ORDERS)]
ProgramName = Annotated[str, name_in(PROGRAM)]


class Axis(Table):
    """What the axes have in common: limits in mm or degrees, speeds in units a second."""

    min: Number = Field(ge=-100_000, le=100_000, description="the lowest position of the axis, such as 0")
    max: Number = Field(ge=-100_000, le=100_000, description="the highest position of the axis, such as 1060")
    speed_max: Number = Field(gt=0, le=10_000, description="the top speed in units a second, above 0")
    acceleration_max: Number = Field(
        default_factory=defaults.acceleration_max,
        gt=0,
        le=100_000,
        description="the top acceleration in units a second squared, above 0",
    )

    @model_validator(mode="after")
    def _ordered(self) -> Axis:
        if self.min >= self.max:
            raise Wrong(show(self.max), f"more than min, which is {show(self.min)}", "max")
        return self


class SlideAxis(Axis):
    """[axis.slide], in mm from the home end."""

    unit: Annotated[str, name_in(("mm",))] = Field(description="'mm'")
    step: Number = Field(
        default=defaults.SLIDE_STEP_MM, gt=0, le=100, description="what a hand can set in mm, above 0 to 100"
    )


class TurnAxis(Axis):
    """[axis.pan] and [axis.tilt], in degrees."""

    unit: Annotated[str, name_in(("deg",))] = Field(description="'deg'")
    step: Number = Field(
        default=defaults.TURN_STEP_DEG,
        gt=0,
        le=45,
        description="what a hand can set in degrees, above 0 to 45",
    )


class Axes(Table):
    """The axes of a rig: any of them, at least one."""

    slide: SlideAxis | None = Field(default=None, description="a table [axis.slide]")
    pan: TurnAxis | None = Field(default=None, description="a table [axis.pan]")
    tilt: TurnAxis | None = Field(default=None, description="a table [axis.tilt]")

    @model_validator(mode="after")
    def _some(self) -> Axes:
        if not self.model_fields_set:
            raise Wrong("no axis", "at least one of [axis.slide], [axis.pan], [axis.tilt]")
        return self


class KeyframeLimits(Table):
    """How many keyframes a rig takes, and whether the middle one is free."""

    most: int = Field(
        ge=2, le=50, description="how many keyframes the rig takes, a whole number from 2 to 50"
    )
    middle: Annotated[str, name_in(("free", "halfway"))] = Field(
        default=defaults.MIDDLE, description="'free' or 'halfway'"
    )

    @model_validator(mode="after")
    def _one_middle(self) -> KeyframeLimits:
        if self.middle == "halfway" and self.most > 3:
            raise Wrong(f"'halfway' with {self.most} keyframes", "most = 3, or middle = 'free'", "middle")
        return self


class Joint(Table):
    """[[joint]]: a mechanical seat, all in words."""

    name: Text = Field(description=TITLE)
    seat: Text = Field(description="where it goes, in words")
    key: Text = Field(description="how it is turned, in words")
    lock: Text = Field(description="what holds it, in words")
    release: Text | None = Field(default=None, description="what happens when it is let go, in words")


class Cable(Table):
    """[[cable]]: a lead between two sockets, all in words."""

    name: Text = Field(description=TITLE)
    from_: Text = Field(alias="from", description="what it comes from, in words")
    to: Text = Field(description="what it goes to, in words")
    key: Text = Field(description="how the plug is turned, in words")
    fits: Annotated[str, name_in(("camera",))] | None = Field(
        default=None, description="'camera', for a lead whose plug is that of the camera's file"
    )


class Remote(Table):
    """[remote]: what drives the rig by hand."""

    kind: Text = Field(description="what it is, in words")
    pair: Text | None = Field(default=None, description="how it is paired, in words")
    steers_by_tilt: bool = Field(description=YES_NO)


class Pack(Table):
    """[[power.pack]]: a battery pack, and where it rides."""

    name: Text = Field(description=TITLE)
    seat: Text = Field(description="where it rides and what holds it, in words")


class Power(Table):
    """[power]: what the rig lives on."""

    supply: Text = Field(description="the plug and the voltage, in words")
    isolating_lead: bool = Field(default=defaults.ISOLATING_LEAD, description=YES_NO)
    sleeps: bool = Field(default=defaults.PACK_SLEEPS, description=YES_NO)
    pack: Annotated[list[Pack], Field(max_length=10)] = Field(
        default_factory=list, description="at most 10 tables [[power.pack]]"
    )


def _load(value: Any) -> tuple[Decimal, Decimal]:
    """One pair of the maker's table: incline in degrees, what the carriage may carry there in kg."""
    numbers = [decimal(part) for part in value] if isinstance(value, list) else []
    if len(numbers) != 2 or not all(isinstance(number, Decimal) for number in numbers):
        found = show_items(value) if isinstance(value, list) else show(value)
        raise Wrong(found, "a pair such as [45, 4.0]: incline in degrees, load in kg")
    incline_deg, load_kg = numbers
    if not 0 <= incline_deg <= 90:
        raise Wrong(f"an incline of {show(incline_deg)}°", "0 to 90")
    if not 0 < load_kg <= 1000:
        raise Wrong(f"a load of {show(load_kg)} kg", "above 0 to 1000")
    return incline_deg, load_kg


def load_incline(pair: Any) -> Decimal | None:
    """The incline in degrees of a pair that can be used, else None."""
    try:
        return _load(pair)[0]
    except Wrong:
        return None


LoadPair = Annotated[tuple[Decimal, Decimal], BeforeValidator(_load)]


class Rig(Table):
    """A file of rigs/: what moves the camera, and everything that a person plugs, turns or keys in."""

    title: Text = Field(description=TITLE)
    letter: str = Field(
        default=defaults.RIG_LETTER, pattern="^[A-Z]$", description="one capital letter, such as 'A'"
    )
    motion: Annotated[str, name_in(MOTIONS)] = Field(description="'shoot-move-shoot', 'continuous' or 'none'")
    trigger: Annotated[str, name_in(("rig", "camera"))] = Field(
        default=defaults.TRIGGER, description="'rig' or 'camera'"
    )
    shutter_by: Annotated[str, name_in(("camera", "rig"))] = Field(
        default=defaults.SHUTTER_BY, description="'camera' or 'rig'"
    )
    interval_means: Annotated[str, name_in(("start to start", "gap"))] = Field(
        default=defaults.INTERVAL_MEANS, description="'start to start' or 'gap'"
    )
    interval_step_s: Seconds = Field(
        default=defaults.INTERVAL_STEP_S, gt=0, le=60, description="seconds above 0 to 60, such as 0.5"
    )
    settle_s: Seconds = Field(default=defaults.SETTLE_S, ge=0, le=60, description="seconds from 0 to 60")
    keyframes: KeyframeLimits | None = Field(default=None, description="{ most = 3, middle = 'free' }")
    orders: Annotated[list[OrderName], Field(min_length=1), AllDifferent] = Field(
        default_factory=lambda: list(defaults.ORDERS),
        description="a list of 'first-to-last', 'last-to-first'",
    )
    program_order: Annotated[list[ProgramName], Field(min_length=1), AllDifferent] = Field(
        default_factory=defaults.program_order,
        description="a list of 'interval', 'dwell', 'frames', 'hold', 'ease' as the rig's menu asks",
    )
    position_after_power_loss: Annotated[str, name_in(("kept", "lost"))] | None = Field(
        default=None, description="'kept' or 'lost'"
    )
    back_to_start: Text | None = Field(default=None, description="how the rig gets back to frame 1, in words")
    load_kg: Annotated[list[LoadPair], Field(min_length=1, max_length=MOST_LOADS)] | None = Field(
        default=None, description=LOADS
    )
    axis: Axes | None = Field(
        default=None, description="tables [axis.slide], [axis.pan], [axis.tilt], as many as the rig has"
    )
    joint: Annotated[list[Joint], Field(max_length=20)] = Field(
        default_factory=list, description="at most 20 tables [[joint]]"
    )
    cable: Annotated[list[Cable], Field(max_length=20)] = Field(
        default_factory=list, description="at most 20 tables [[cable]]"
    )
    remote: Remote | None = Field(default=None, description="a table [remote]")
    power: Power | None = Field(default=None, description="a table [power]")
    pack: Texts = Field(default_factory=list, description=LINES)

    @field_validator("program_order")
    @classmethod
    def _only_what_a_menu_asks(cls, order: list[str], info: ValidationInfo) -> list[str]:
        motion = info.data.get("motion", "")
        for index, name in enumerate(order):
            if name in defaults.UNASKED.get(motion, ()):
                right = f"the list without it: {KINDS[motion]} has no {name}"
                raise Wrong(f"'{name}' for {KINDS[motion]}", right, index)
        return order
