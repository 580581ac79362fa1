"""[exposure] of a shot as a checked model: two base exposures, and who turns from the one to the other."""

from __future__ import annotations

from decimal import Decimal
from typing import Annotated

from pydantic import AfterValidator, BeforeValidator, Field

from .. import defaults, marks, values
from ..values import Number, decimal, name_in
from .table import Table

POSITION = "'start', 'halfway', 'end', 'frame 376', '50%', or an anchor"
BASE = "{ f = 2.8, shutter = '1/1000', iso = 100 }"
# What cloud takes away of the light, by the divisors of US Naval Observatory Circular 171 (1987).
SKIES = {"clear": 1, "thin cloud": 2, "cloud": 3, "dark cloud": 10}

Aperture = Annotated[Decimal, BeforeValidator(decimal), AfterValidator(marks.aperture)]
Shutter = Annotated[str, BeforeValidator(marks.shutter)]
Iso = Annotated[int, AfterValidator(marks.iso)]


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
    trail_max_px: Number | None = Field(
        default=None, gt=0, le=100, description="pixels of a clip 3840 wide, above 0 to 100"
    )
