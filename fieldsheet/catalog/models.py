"""The files of a catalog as checked models.

A field's description says what would be right; it is what a user reads when something else was found.
Only keys that the plan, the page or the card use are here: an accepted key that does nothing is a lie.
"""

from __future__ import annotations

from typing import Annotated

from pydantic import BaseModel, ConfigDict, Field, ValidationInfo, field_validator, model_validator

from . import defaults, values
from .values import AllDifferent, Number, Seconds, Text, Texts, both, name_in
from .words import Wrong, show

AXES = ("slide", "pan", "tilt")
UNITS = {"slide": "mm", "pan": "deg", "tilt": "deg"}
TARGETS = ("sun", "moon", "galactic core")
ORDERS = ("first-to-last", "last-to-first")
PROGRAM = ("interval", "dwell", "frames", "hold", "ease")

AIM = "{ target = 'sun', x = 0, y = 0 } or { bearing_deg = 235, altitude_deg = 4 }"
TITLE = "a text in quotes of 1 to 120 characters"
LINES = "a list of at most 20 texts, each of 1 to 120 characters"

OrderName = Annotated[str, name_in(ORDERS)]
ProgramName = Annotated[str, name_in(PROGRAM)]
EndName = Annotated[str, name_in(("left", "right"))]


class Table(BaseModel):
    """A TOML table: no key that it does not know, no text where a number belongs."""

    model_config = ConfigDict(extra="forbid", strict=True)


class CatalogFile(Table):
    """catalog.toml: what the whole site is called and where it will stand."""

    title: Text = Field(description=TITLE)
    id: values.Stem = Field(description=values.STEM_RIGHT)
    base_url: values.BaseUrl = Field(
        description="the address of the site, such as 'https://example.org/shots/'"
    )


class Place(Table):
    """A file of places/: degrees north and east, metres above the sea, and whose clocks count."""

    title: Text = Field(description=TITLE)
    latitude_deg: Number = Field(ge=-90, le=90, description="degrees north from -90 to 90, such as 37.08")
    longitude_deg: Number = Field(ge=-180, le=180, description="degrees east from -180 to 180, such as -8.67")
    elevation_m: Number = Field(ge=-500, le=9000, description="metres above the sea from -500 to 9000")
    zone: values.Zone = Field(description="a time zone named by a place, such as 'Europe/Lisbon'")
    hazards: Texts = Field(default_factory=list, description=LINES)
    abort: Texts = Field(default_factory=list, description=LINES)


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


class Cable(Table):
    """[[cable]]: a lead between two sockets, all in words."""

    name: Text = Field(description=TITLE)
    from_: Text = Field(alias="from", description="what it comes from, in words")
    to: Text = Field(description="what it goes to, in words")
    key: Text = Field(description="how the plug is turned, in words")


class Remote(Table):
    """[remote]: what drives the rig by hand."""

    kind: Text = Field(description="what it is, in words")
    pair: Text = Field(description="how it is paired, in words")
    steers_by_tilt: bool = Field(description="true or false")


class Rig(Table):
    """A file of rigs/: what moves the camera, and everything that a person plugs, turns or keys in."""

    title: Text = Field(description=TITLE)
    letter: str = Field(
        default=defaults.RIG_LETTER, pattern="^[A-Z]$", description="one capital letter, such as 'A'"
    )
    motion: Annotated[str, name_in(("shoot-move-shoot", "continuous"))] = Field(
        description="'shoot-move-shoot' or 'continuous'"
    )
    trigger: Annotated[str, name_in(("rig", "camera"))] = Field(
        default=defaults.TRIGGER, description="'rig' or 'camera'"
    )
    interval_step_s: Seconds = Field(
        default=defaults.INTERVAL_STEP_S, gt=0, le=60, description="seconds above 0 to 60, such as 0.5"
    )
    settle_s: Seconds = Field(default=defaults.SETTLE_S, ge=0, le=60, description="seconds from 0 to 60")
    keyframes: KeyframeLimits = Field(description="{ most = 3, middle = 'free' }")
    orders: Annotated[list[OrderName], Field(min_length=1), AllDifferent] = Field(
        default_factory=lambda: list(defaults.ORDERS),
        description="a list of 'first-to-last', 'last-to-first'",
    )
    program_order: Annotated[list[ProgramName], Field(min_length=1), AllDifferent] = Field(
        default_factory=defaults.program_order,
        description="a list of 'interval', 'dwell', 'frames', 'hold', 'ease' as the rig's menu asks",
    )
    axis: Axes = Field(description="tables [axis.slide], [axis.pan], [axis.tilt], as many as the rig has")
    joint: Annotated[list[Joint], Field(max_length=20)] = Field(
        default_factory=list, description="at most 20 tables [[joint]]"
    )
    cable: Annotated[list[Cable], Field(max_length=20)] = Field(
        default_factory=list, description="at most 20 tables [[cable]]"
    )
    remote: Remote | None = Field(default=None, description="a table [remote]")

    @field_validator("program_order")
    @classmethod
    def _no_dwell_in_motion(cls, order: list[str], info: ValidationInfo) -> list[str]:
        if info.data.get("motion") == "continuous" and "dwell" in order:
            right = "the list without it: a continuous rig has no dwell"
            raise Wrong("'dwell' for a continuous rig", right, order.index("dwell"))
        return order


class Camera(Table):
    """A file of cameras/: sensor and focal length in mm, times in seconds."""

    title: Text = Field(description=TITLE)
    sensor_mm: Annotated[list[Annotated[Number, Field(ge=1, le=200)]], Field(min_length=2, max_length=2)] = (
        Field(description="[width, height] in mm, such as [36, 24]")
    )
    focal_mm: Number = Field(ge=1, le=5000, description="the focal length in mm from 1 to 5000")
    release_lag_s: Seconds = Field(
        default=defaults.RELEASE_LAG_S, ge=0, le=10, description="seconds from 0 to 10"
    )
    ready_s: Seconds = Field(default=defaults.READY_S, ge=0, le=120, description="seconds from 0 to 120")
    remote_plug: Text | None = Field(default=None, description=TITLE)
    switch_off: Texts = Field(default_factory=list, description=LINES)

    @model_validator(mode="after")
    def _wide_side_first(self) -> Camera:
        width, height = self.sensor_mm
        if width < height:
            raise Wrong(f"{show(width)} x {show(height)} mm", "the wide side first: [36, 24]", "sensor_mm")
        return self


class Aim(Table):
    """Where a keyframe points: a body of the sky or a bearing, and its place in the delivered frame."""

    target: Annotated[str, name_in(TARGETS)] | None = Field(
        default=None, description="'sun', 'moon' or 'galactic core'"
    )
    bearing_deg: Number | None = Field(
        default=None, ge=0, lt=360, description="degrees clockwise from true north, 0 to below 360"
    )
    altitude_deg: Number | None = Field(
        default=None, ge=-90, le=90, description="degrees above the level horizon, -90 to 90"
    )
    x: Number = Field(default=defaults.AIM_X, ge=-1, le=1, description="-1 (left edge) to 1 (right edge)")
    y: Number = Field(default=defaults.AIM_Y, ge=-1, le=1, description="-1 (lower edge) to 1 (upper edge)")

    @model_validator(mode="after")
    def _one_thing(self) -> Aim:
        here = self.model_fields_set & {"bearing_deg", "altitude_deg"}
        if self.target is not None and here:
            raise Wrong(f"both target and {min(here)}", "target, or bearing_deg with altitude_deg")
        if self.target is None and len(here) < 2:
            found = f"only {min(here)}" if here else "neither target nor bearing_deg"
            raise Wrong(found, "target, or bearing_deg with altitude_deg")
        return self


class Keyframe(Table):
    """[[keyframe]]: a moment of the shot, and where every axis then stands."""

    at: values.Position = Field(description="'start', 'halfway', 'end', 'frame 376', '50%', or an anchor")
    slide_mm: Number | None = Field(default=None, description="a position of the slide in mm")
    pan_deg: Number | None = Field(default=None, description="a position of the pan in degrees")
    tilt_deg: Number | None = Field(default=None, description="a position of the tilt in degrees")
    aim: Aim | None = Field(default=None, description=AIM)
    turn: Annotated[str, name_in(("cw", "ccw"))] | None = Field(
        default=None, description="'cw' or 'ccw', seen from above"
    )
    sighting: Text | None = Field(default=None, description=TITLE)


class Rail(Table):
    """How the rail of this shot lies in the world, from its home end to its far end."""

    bearing_deg: Number = Field(
        ge=0, lt=360, description="the true bearing from the home end to the far end, 0 to below 360"
    )
    incline_deg: Number = Field(
        default=defaults.INCLINE_DEG,
        ge=-90,
        le=90,
        description="degrees by which the rail rises from the home end to the far end, -90 to 90",
    )
    home_end: EndName = Field(description="'left' or 'right', seen from behind the rail, facing the subject")


class Hold(Table):
    """Frames that stand still at the two ends."""

    start: int = Field(ge=0, le=values.MOST_STILL, description=values.STILL_RIGHT)
    end: int = Field(ge=0, le=values.MOST_STILL, description=values.STILL_RIGHT)


class Ease(Table):
    """Frames to come up to speed, and to slow down."""

    in_: int = Field(alias="in", ge=0, le=values.MOST_STILL, description=values.STILL_RIGHT)
    out: int = Field(ge=0, le=values.MOST_STILL, description=values.STILL_RIGHT)


class Shot(Table):
    """A file of shots/: one picture in motion, on one night."""

    title: Text = Field(description=TITLE)
    place: values.Stem = Field(description="the name of a file in places/, without .toml")
    rig: values.Stem = Field(description="the name of a file in rigs/, without .toml")
    camera: values.Stem = Field(description="the name of a file in cameras/, without .toml")
    notes: Texts = Field(default_factory=list, description=LINES)
    night: values.Date | None = Field(default=None, description="a date without quotes, such as 2027-06-05")
    day: values.Date | None = Field(default=None, description="a date without quotes, such as 2027-06-05")
    start: values.Anchor | None = Field(default=None, description="an anchor")
    end: values.Anchor | None = Field(default=None, description="an anchor")
    duration: values.DurationMs | None = Field(default=None, description="a duration")
    interval_s: Seconds | None = Field(
        default=None, gt=0, le=3600, description="seconds above 0 to 3600, such as 18"
    )
    frames: int | None = Field(default=None, ge=2, le=100_000, description="a whole number from 2 to 100000")
    clip_s: Number | None = Field(
        default=None, gt=0, le=3600, description="seconds of the clip above 0 to 3600"
    )
    fps: values.Rate = Field(default=defaults.FPS, validate_default=True, description="frames a second")
    longest_shutter_s: Seconds = Field(
        gt=0, le=3600, description="the longest shutter of the night in seconds, above 0 to 3600, such as 13"
    )
    hold_frames: Annotated[Hold, both("start", "end")] = Field(
        default=defaults.HOLD_FRAMES,
        validate_default=True,
        description="whole frames, or { start = 1, end = 25 }",
    )
    ease_frames: Annotated[Ease, both("in", "out")] = Field(
        default=defaults.EASE_FRAMES,
        validate_default=True,
        description="whole frames, or { in = 40, out = 60 }",
    )
    clip_aspect: values.Aspect | None = Field(default=None, description="such as '16:9'")
    orientation: Annotated[str, name_in(("landscape", "portrait"))] = Field(
        default=defaults.ORIENTATION, description="'landscape' or 'portrait'"
    )
    crop_margin: Number = Field(
        default=defaults.CROP_MARGIN, ge=0, le=0.5, description="a part from 0 to 0.5, such as 0.05"
    )
    zero_bearing_deg: Number = Field(
        ge=0, lt=360, description="where pan 0 looks, degrees clockwise from true north, 0 to below 360"
    )
    zero_sighting: Text | None = Field(default=None, description=TITLE)
    rail: Rail | None = Field(default=None, description="{ bearing_deg = 300, home_end = 'left' }")
    order: OrderName | None = Field(default=None, description="'first-to-last' or 'last-to-first'")
    keyframe: Annotated[list[Keyframe], Field(max_length=values.MOST_KEYFRAMES)] = Field(
        description="at most 50 tables [[keyframe]], from the start to the end"
    )
