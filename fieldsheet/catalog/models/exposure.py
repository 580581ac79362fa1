"""[exposure] of a shot as a checked model: two base exposures, and who turns from the one to the other."""

from __future__ import annotations

from decimal import Decimal
from typing import Annotated

from pydantic import AfterValidator, BeforeValidator, Field, model_validator

from .. import defaults, marks, values
from ..values import AllDifferent, Number, decimal, name_in
from ..words import Wrong, one_of, show, show_items
from .table import Table

POSITION = "'start', 'halfway', 'end', 'frame 376', '50%', or an anchor"
BASE = "{ f = 2.8, shutter = '1/1000', iso = 100 }"
# What cloud takes away of the light, by the divisors of US Naval Observatory Circular 171 (1987).
SKIES = {"clear": 1, "thin cloud": 2, "cloud": 3, "dark cloud": 10}

CONTROLS = ("shutter", "aperture", "iso")
IN_TURN = "what moves first towards the night, and what then, such as ['shutter', 'iso']"

Aperture = Annotated[
    Decimal, BeforeValidator(decimal), AfterValidator(marks.aperture), values.as_toml("aperture")
]
Shutter = Annotated[str, BeforeValidator(marks.shutter), values.as_toml("shutter")]
Iso = Annotated[int, AfterValidator(marks.iso), values.as_toml("iso")]


class Base(Table):
    """An exposure of the photographer's own, and the moment that it is for."""

    f: Aperture = Field(description=marks.APERTURE_RIGHT)
    shutter: Shutter = Field(description=marks.SHUTTER_RIGHT)
    iso: Iso = Field(description=marks.ISO_RIGHT)
    at: values.Position | None = Field(default=None, description=POSITION)


class Exposure(Table):
    """[exposure]: the day's and the night's exposure, with what turns the camera from one to the other."""

    bright: Base = Field(description=BASE)
    dark: Base = Field(description=BASE)
    turned_by: Annotated[str, name_in(("hand", "tether", "camera ramp", "automatic"))] = Field(
        default=defaults.TURNED_BY, description="'hand', 'tether', 'camera ramp' or 'automatic'"
    )
    sky: Annotated[str, name_in(SKIES)] = Field(
        default=defaults.SKY, description="'clear', 'thin cloud', 'cloud' or 'dark cloud'"
    )
    glow_ev: Number | None = Field(
        default=None,
        ge=-12,
        le=10,
        description="the EV at ISO 100 that a town's glow alone gives, -12 to 10",
    )
    aperture: Annotated[str, name_in(("fixed", "moves"))] = Field(
        default=defaults.APERTURE, description="'fixed' or 'moves'"
    )
    apertures: Annotated[list[Aperture], Field(min_length=2, max_length=2)] | None = Field(
        default=None, description="the widest and the narrowest that it may move to, such as [2.8, 11]"
    )
    in_turn: Annotated[list[Annotated[str, name_in(CONTROLS)]], AllDifferent] = Field(
        default_factory=defaults.in_turn, description=IN_TURN
    )
    iso_max: Iso | None = Field(default=None, description=marks.ISO_RIGHT)
    shutter_max: Shutter | None = Field(default=None, description=marks.SHUTTER_RIGHT)
    trail_max_px: Number | None = Field(
        default=None, gt=0, le=100, description="pixels of a clip of 3840, above 0 to 100"
    )

    @model_validator(mode="after")
    def _one_order(self) -> Exposure:
        """What moves is in turn, what is fixed is not."""
        moving = [name for name in CONTROLS if name != "aperture" or self.aperture == "moves"]
        if sorted(self.in_turn) != sorted(moving):
            each = one_of([f"'{name}'" for name in moving], "and")
            raise Wrong(show_items(list(self.in_turn)), f"{each}, each once, as they move", "in_turn")
        return self

    @model_validator(mode="after")
    def _range_of_apertures(self) -> Exposure:
        if self.apertures is None:
            return self
        if self.aperture != "moves":
            found = f"apertures with aperture = {show(self.aperture)}"
            raise Wrong(found, "aperture = 'moves', or no apertures", "apertures")
        if self.apertures[0] > self.apertures[1]:
            found = f"from {show(self.apertures[0])} to {show(self.apertures[1])}"
            raise Wrong(found, "the smaller figure first", "apertures")
        return self
