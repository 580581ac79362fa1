"""A file of rigs/ as a checked model."""

from __future__ import annotations

import re
from collections.abc import Iterable
from decimal import Decimal
from typing import Annotated, Any, ClassVar

from pydantic import BeforeValidator, ConfigDict, Field, ValidationInfo, field_validator, model_validator

from .. import defaults
from ..values import AllDifferent, Number, Seconds, Text, Texts, decimal, name_in, pair_of, written
from ..words import Wrong, near, show, show_items
from .power import Power
from .table import LINES, TITLE, YES_NO, Table

AXES = ("slide", "pan", "tilt")
LEG = ("at_mm", "height_mm", "spread_mm")
UNITS = {"slide": "mm", "pan": "deg", "tilt": "deg"}
ORDERS = ("first-to-last", "last-to-first")
PROGRAM = ("interval", "dwell", "frames", "hold", "ease")
MOTIONS = ("shoot-move-shoot", "continuous", "none")
KINDS = {"continuous": "a continuous rig", "none": "a rig without an axis"}
MOST_LOADS = 20
# What an axis of the user's own may be measured in.
NAMED_UNITS = ("mm", "deg", "turns", "percent")
MOST_AXES = 6
# Of the letters that tell axes apart on page and card, those of the three that most rigs have.
LETTERS = {"slide": "S", "pan": "P", "tilt": "T"}
_AXIS_NAME = re.compile(r"[a-z][a-z0-9_]{0,15}")
# How much a name must be like one of the three to be taken for it.
_SURELY = 0.75
LOADS = "pairs of incline in degrees and load in kg, such as [[0, 6.0], [45, 4.0], [90, 2.5]]"

OrderName = Annotated[str, name_in(ORDERS)]
ProgramName = Annotated[str, name_in(PROGRAM)]


class Axis(Table):
    """What the axes have in common: limits in a unit, speeds in units a second."""

    unit: str = Field(description="what its positions are measured in")
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


class PanAxis(TurnAxis):
    """[axis.pan]: its cables may hold it before its own limits do."""

    wrap_deg: Number | None = Field(
        default=None,
        gt=0,
        le=3600,
        description="degrees that it may turn from 0, either way, before its cables pull: above 0 to 3600",
    )

    def reach(self) -> tuple[Decimal, Decimal]:
        """The lowest and the highest position that limits and cables allow."""
        if self.wrap_deg is None:
            return self.min, self.max
        return max(self.min, -self.wrap_deg), min(self.max, self.wrap_deg)

    @model_validator(mode="after")
    def _cables_leave_some(self) -> PanAxis:
        if self.wrap_deg is not None and self.min < self.max and self.reach()[0] >= self.reach()[1]:
            right = f"more, or limits nearer 0 than {show(self.min)} to {show(self.max)}"
            raise Wrong(show(self.wrap_deg), right, "wrap_deg")
        return self


class NamedAxis(Axis):
    """[axis.NAME]: any other axis, such as lift, focus or zoom, in a unit of its own."""

    unit: Annotated[str, name_in(NAMED_UNITS)] = Field(description=f"one of {', '.join(NAMED_UNITS)}")
    step: Number = Field(
        default_factory=defaults.named_step, gt=0, le=100, description="what a hand can set, above 0 to 100"
    )


class Axes(Table):
    """The axes of a rig: slide, pan, tilt and any of the user's own; at least one."""

    model_config = ConfigDict(
        extra="allow",
        json_schema_extra={
            "minProperties": 1,
            "maxProperties": MOST_AXES,
            "propertyNames": {"pattern": f"^{_AXIS_NAME.pattern}$"},
        },
    )
    __pydantic_extra__: dict[str, NamedAxis] = Field(init=False)
    others: ClassVar[type[Table] | None] = NamedAxis

    slide: SlideAxis | None = Field(default=None, description="a table [axis.slide]")
    pan: PanAxis | None = Field(default=None, description="a table [axis.pan]")
    tilt: TurnAxis | None = Field(default=None, description="a table [axis.tilt]")

    @property
    def named(self) -> dict[str, NamedAxis]:
        """The axes besides slide, pan and tilt, in the order of the file."""
        return dict(self.__pydantic_extra__ or {})

    def all(self) -> dict[str, Axis]:
        """Every axis that the rig has: slide, pan, tilt, then the others in the order of the file."""
        usual = {name: getattr(self, name) for name in AXES}
        return {**{name: axis for name, axis in usual.items() if axis is not None}, **self.named}

    @model_validator(mode="after")
    def _well_named(self) -> Axes:
        for name in self.named:
            meant = near(name, AXES, _SURELY)
            if meant is not None:
                raise Wrong(f"an axis named {show(name)}", f"[axis.{meant}] (did you mean that?)", name)
            if not _AXIS_NAME.fullmatch(name):
                right = "a name of small letters, digits and _, at most 16, such as 'lift'"
                raise Wrong(f"an axis named {show(name)}", right, name)
        if len(self.all()) > MOST_AXES:
            raise Wrong(f"{len(self.all())} axes", f"at most {MOST_AXES}", list(self.named)[-1])
        letters_of(self.all())
        return self

    @model_validator(mode="after")
    def _some(self) -> Axes:
        if not self.model_fields_set:
            raise Wrong("no axis", "at least one of [axis.slide], [axis.pan], [axis.tilt]")
        return self


def letters_of(names: Iterable[str]) -> dict[str, str]:
    """A letter for each axis, all different: the first of its name that is free; raises Wrong without one."""
    letters: dict[str, str] = {}
    for name in names:
        taken = {*LETTERS.values(), *letters.values()}
        free = (letter for letter in name.upper() if letter.isalpha() and letter not in taken)
        letter = LETTERS.get(name) or next(free, None)
        if letter is None:
            right = f"a name with a letter besides {', '.join(sorted(taken))}: it is told by it"
            raise Wrong(f"an axis named {show(name)}", right, name)
        letters[name] = letter
    return letters


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


class Leg(Table):
    """[[leg]]: what holds the rail up, as its lens may see it."""

    at_mm: Number = Field(
        ge=-100_000, le=100_000, description="where along the rail it stands, as the slide's mm count"
    )
    height_mm: Number = Field(gt=0, le=5000, description="mm from its foot up to the rail, above 0 to 5000")
    spread_mm: Number = Field(
        default=defaults.LEG_SPREAD_MM,
        ge=0,
        le=5000,
        description="mm from under the rail out to its feet, either side, 0 to 5000",
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


_LOAD = written(pair_of({"minimum": 0, "maximum": 90}, {"exclusiveMinimum": 0, "maximum": 1000}))
LoadPair = Annotated[tuple[Decimal, Decimal], BeforeValidator(_load, json_schema_input_type=_LOAD)]


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
    interval_changes: bool = Field(default=defaults.INTERVAL_CHANGES, description=YES_NO)
    settle_s: Seconds = Field(default=defaults.SETTLE_S, ge=0, le=60, description="seconds from 0 to 60")
    joins: Annotated[str, name_in(("straight", "smooth"))] = Field(
        default=defaults.JOINS, description="'straight' or 'smooth'"
    )
    waits_for_camera: bool = Field(default=defaults.WAITS_FOR_CAMERA, description=YES_NO)
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
    lens_over_rail_mm: Number | None = Field(
        default=None, gt=0, le=5000, description="mm from the rail up to the lens, above 0 to 5000"
    )
    leg: Annotated[list[Leg], Field(max_length=10)] = Field(
        default_factory=list, description="at most 10 tables [[leg]]"
    )
    axis: Axes | None = Field(
        default=None,
        description="tables [axis.slide], [axis.pan], [axis.tilt] and [axis.NAME], as many as the rig has",
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
