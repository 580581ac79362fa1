"""A file of shots/ as a checked model."""

from __future__ import annotations

from typing import Annotated, Any

from pydantic import AfterValidator, Field, field_validator, model_validator

from .. import defaults, values
from ..anchors import EVENT_RIGHT
from ..names import BODY_RIGHT
from ..usual import SUBJECTS
from ..values import Number, Seconds, Text, Texts, both, name_in
from ..words import Wrong
from .exposure import Exposure
from .needs import Needs
from .power import Heater
from .rig import OrderName
from .table import ALTITUDE, BEARING, LINES, TITLE, YES_NO, Table

AIM = "{ target = 'sun', x = 0, y = 0 } or { bearing_deg = 235, altitude_deg = 4 }"
POSITION = "'start', 'halfway', 'end', 'frame 376', '50%', or an anchor"
PHASE_FROM = "an event with or without an offset, a clock time, or a frame, such as 'frame 376'"
AXES = "positions of the rig's other axes, such as { lift = 120 }"
RAIL_BEARING = "the true bearing from the home end to the far end, 0 to below 360"
END = "'left' or 'right', seen from behind the rail, facing the subject"
CREW = "roles of catalog.toml and who has them, such as { operator = 'Runa' }"


def _mains(value: int) -> int:
    if value not in (50, 60):
        raise Wrong(str(value), "50 or 60: no mains has another")
    return value


MainsHz = Annotated[int, AfterValidator(_mains), Field(json_schema_extra={"enum": [50, 60]})]
EndName = Annotated[str, name_in(("left", "right", "low", "high"))]


class Aim(Table):
    """Where a keyframe points: a body of the sky or a bearing, and its place in the delivered frame."""

    target: values.Body | None = Field(default=None, description=BODY_RIGHT)
    bearing_deg: Number | None = Field(default=None, ge=0, lt=360, description=BEARING)
    altitude_deg: Number | None = Field(default=None, ge=-90, le=90, description=ALTITUDE)
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

    at: values.Position = Field(description=POSITION)
    slide_mm: Number | None = Field(default=None, description="a position of the slide in mm")
    pan_deg: Number | None = Field(default=None, description="a position of the pan in degrees")
    tilt_deg: Number | None = Field(default=None, description="a position of the tilt in degrees")
    axes: dict[str, Number] = Field(default_factory=dict, description=AXES)
    aim: Aim | None = Field(default=None, description=AIM)
    turn: Annotated[str, name_in(("cw", "ccw"))] | None = Field(
        default=None, description="'cw' or 'ccw', seen from above"
    )
    meant_for: values.Event | None = Field(default=None, description=EVENT_RIGHT)
    sighting: Text | None = Field(default=None, description=TITLE)
    scene_ev: Number | None = Field(
        default=None, ge=-10, le=10, description="stops by which the picture is brighter there, -10 to 10"
    )


class Rail(Table):
    """How the rail of this shot lies in the world, from its home end to its far end."""

    bearing_deg: Number | None = Field(default=None, ge=0, lt=360, description=RAIL_BEARING)
    incline_deg: Number = Field(
        default=defaults.INCLINE_DEG,
        ge=-90,
        le=90,
        description="degrees by which the rail rises from the home end to the far end, -90 to 90",
    )
    home_end: EndName = Field(description=END)
    motor_end: EndName | None = Field(default=None, description=END)
    payload_kg: Number | None = Field(
        default=None, gt=0, le=1000, description="kg on the carriage with head and camera, above 0 to 1000"
    )


class Hold(Table):
    """Frames that stand still at the two ends."""

    start: int = Field(ge=0, le=values.MOST_STILL, description=values.STILL_RIGHT)
    end: int = Field(ge=0, le=values.MOST_STILL, description=values.STILL_RIGHT)


class Ease(Table):
    """Frames to come up to speed, and to slow down."""

    in_: int = Field(alias="in", ge=0, le=values.MOST_STILL, description=values.STILL_RIGHT)
    out: int = Field(ge=0, le=values.MOST_STILL, description=values.STILL_RIGHT)


class Phase(Table):
    """[[phase]]: from a moment on, another interval."""

    from_: values.Position = Field(alias="from", description=PHASE_FROM)
    interval_s: Seconds = Field(gt=0, le=3600, description="seconds above 0 to 3600, such as 25")

    @field_validator("from_")
    @classmethod
    def _of_its_own(cls, at: dict[str, Any]) -> dict[str, Any]:
        if "fraction" in at:
            raise Wrong("a part of the shot, whose frames hang on its phases", PHASE_FROM)
        if at.get("frame") == 1:
            raise Wrong("frame 1", "frame 2 or later: interval_s of the shot is the opening interval")
        return at


class Swap(Table):
    """swap: from and until where in the shot the power pack may be changed."""

    from_: values.Position = Field(alias="from", description=POSITION)
    until: values.Position = Field(description=POSITION)


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
    phase: Annotated[list[Phase], Field(max_length=values.MOST_PHASES)] = Field(
        default_factory=list, description="at most 3 tables [[phase]], in the order of time"
    )
    frames: int | None = Field(default=None, ge=2, le=100_000, description="a whole number from 2 to 100000")
    clip_s: Number | None = Field(
        default=None, gt=0, le=3600, description="seconds of the clip above 0 to 3600"
    )
    fps: values.Rate = Field(default=defaults.FPS, validate_default=True, description="frames a second")
    longest_shutter_s: Seconds = Field(
        gt=0, le=3600, description="the longest shutter of the night in seconds, above 0 to 3600, such as 13"
    )
    hold_frames: Annotated[Hold, both("start", "end", Hold)] = Field(
        default=defaults.HOLD_FRAMES,
        validate_default=True,
        description="whole frames, or { start = 1, end = 25 }",
    )
    ease_frames: Annotated[Ease, both("in", "out", Ease)] = Field(
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
    tilt_deg: Number | None = Field(
        default=None, ge=-90, le=90, description="how the lens is tilted, 0 level, positive up, -90 to 90"
    )
    rail: Rail | None = Field(default=None, description="{ bearing_deg = 300, home_end = 'left' }")
    head_base: Annotated[str, name_in(("levelled", "follows rail"))] = Field(
        default=defaults.HEAD_BASE, description="'levelled' or 'follows rail'"
    )
    base_pitch_deg: Number = Field(
        default=defaults.BASE_OFF_DEG,
        ge=-15,
        le=15,
        description="degrees by which the head's base rises towards pan zero, -15 to 15",
    )
    base_roll_deg: Number = Field(
        default=defaults.BASE_OFF_DEG,
        ge=-15,
        le=15,
        description="degrees by which the head's base falls to the right of pan zero, -15 to 15",
    )
    lens_height_m: Number = Field(
        default=defaults.LENS_HEIGHT_M,
        gt=0,
        le=100,
        description="metres from the ground to the lens, above 0 to 100",
    )
    foreground_m: Number | None = Field(
        default=None, gt=0, le=1000, description="metres to the nearest thing in the picture, above 0 to 1000"
    )
    reverse: bool = Field(default=defaults.REVERSE, description=YES_NO)
    order: OrderName | None = Field(default=None, description="'first-to-last' or 'last-to-first'")
    setup_min: values.Minutes | None = Field(
        default=None, gt=0, le=1440, description="minutes from being on site to frame 1, above 0 to 1440"
    )
    setup: Annotated[str, name_in(defaults.SETUPS_MIN)] | None = Field(
        default_factory=defaults.setup, description="'practised', 'alone in the dark' or 'class'"
    )
    exposure: Exposure | None = Field(
        default=None, description="a table [exposure] with bright and dark, an exposure each"
    )
    swap: Swap | None = Field(default=None, description="{ from = 'nautical dusk', until = 'frame 500' }")
    temperature_c: Number | None = Field(
        default=None, ge=-60, le=60, description="how cold it will be for the packs, °C from -60 to 60"
    )
    dew_point_c: Number | None = Field(
        default=None, ge=-45, le=40, description="the dew point in °C, -45 to 40"
    )
    humidity_pct: Number | None = Field(
        default=None, gt=0, le=100, description="the relative humidity in percent, above 0 to 100"
    )
    mains_hz: MainsHz | None = Field(default=None, description="50 or 60, where mains light falls on it")
    subject: Annotated[str, name_in(SUBJECTS)] | None = Field(
        default=None, description="what the clip is of, such as 'slow clouds' or 'stars'"
    )
    heater: Heater | None = Field(default=None, description="a table [heater] with a pack of its own")
    crew: dict[str, Text] = Field(default_factory=dict, description=CREW)
    stays: Text | None = Field(default=None, description="who stays with the rig, in words")
    pack: Texts = Field(default_factory=list, description=LINES)
    needs: Needs | None = Field(default=None, description="a table [needs] of what a night must have")
    keyframe: Annotated[list[Keyframe], Field(max_length=values.MOST_KEYFRAMES)] = Field(
        default_factory=list, description="at most 50 tables [[keyframe]], from the start to the end"
    )
