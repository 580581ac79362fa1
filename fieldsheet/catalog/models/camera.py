"""A file of cameras/ as a checked model."""

from __future__ import annotations

from fractions import Fraction
from typing import Annotated

from pydantic import Field, model_validator

from .. import defaults
from ..names import PROJECTIONS
from ..values import Number, Seconds, Text, Texts, name_in
from ..words import Wrong, show
from .exposure import Aperture, Iso, Shutter
from .power import Battery
from .table import LINES, TITLE, YES_NO, Table

Pixels = Annotated[int, Field(ge=100, le=50_000)]


Card = Annotated[Number, Field(gt=0, le=100_000)]


class Camera(Table):
    """A file of cameras/: sensor and focal length in mm, times in seconds, what its lens and its body are."""

    title: Text = Field(description=TITLE)
    sensor_mm: Annotated[list[Annotated[Number, Field(ge=1, le=200)]], Field(min_length=2, max_length=2)] = (
        Field(description="[width, height] in mm, such as [36, 24]")
    )
    focal_mm: Number = Field(ge=1, le=5000, description="the focal length in mm from 1 to 5000")
    release_lag_s: Seconds = Field(
        default=defaults.RELEASE_LAG_S, ge=0, le=10, description="seconds from 0 to 10"
    )
    ready_s: Seconds = Field(default=defaults.READY_S, ge=0, le=120, description="seconds from 0 to 120")
    noise_reduction: bool = Field(default=defaults.NOISE_REDUCTION, description=YES_NO)
    aperture_closes: bool = Field(default=defaults.APERTURE_CLOSES, description=YES_NO)
    projection: Annotated[str, name_in(PROJECTIONS)] = Field(
        default=defaults.PROJECTION,
        description="'rectilinear', or 'equidistant' or 'equisolid' for a fisheye",
    )
    viewfinder: Annotated[str, name_in(("optical", "electronic", "none"))] = Field(
        default=defaults.VIEWFINDER, description="'optical', 'electronic' or 'none'"
    )
    file_roll: int = Field(
        default=defaults.FILE_ROLL,
        ge=99,
        le=99_999_999,
        description="the last file number before the camera begins again, such as 9999",
    )
    pixels: Annotated[list[Pixels], Field(min_length=2, max_length=2)] | None = Field(
        default=None, description="[width, height] in pixels, such as [6000, 4000]"
    )
    apertures: Annotated[list[Aperture], Field(min_length=2, max_length=2)] | None = Field(
        default=None, description="the widest and the smallest f number, such as [2.8, 22]"
    )
    shutters: Annotated[list[Shutter], Field(min_length=2, max_length=2)] = Field(
        default=defaults.SHUTTER_RANGE,
        description="the shortest and the longest shutter time, such as ['1/4000', 30]",
    )
    iso: Annotated[list[Iso], Field(min_length=2, max_length=2)] = Field(
        default=defaults.ISO_RANGE, description="the lowest and the highest ISO, such as [100, 12800]"
    )
    file_mb: Number | None = Field(
        default=None, gt=0, le=10_000, description="MB of a raw file, above 0 to 10000, such as 34"
    )
    preview_mb: Number | None = Field(
        default_factory=defaults.preview_mb,
        ge=0,
        le=10_000,
        description="MB of the file beside it, 0 for none",
    )
    card_gb: Annotated[list[Card], Field(min_length=1, max_length=4)] | None = Field(
        default=None, description="cards in GB in the order in which they fill, such as [64, 64]"
    )
    battery: Battery | None = Field(default=None, description="a table [battery]")
    remote_plug: Text | None = Field(default=None, description=TITLE)
    switch_off: Texts = Field(default_factory=list, description=LINES)
    pack: Texts = Field(default_factory=list, description=LINES)

    @model_validator(mode="after")
    def _wide_side_first(self) -> Camera:
        width, height = self.sensor_mm
        if width < height:
            raise Wrong(f"{show(width)} x {show(height)} mm", "the wide side first: [36, 24]", "sensor_mm")
        return self

    @model_validator(mode="after")
    def _ranges(self) -> Camera:
        if self.pixels is not None and self.pixels[0] < self.pixels[1]:
            found = f"{self.pixels[0]} x {self.pixels[1]} pixels"
            raise Wrong(found, "the wide side first: [6000, 4000]", "pixels")
        for key in ("apertures", "shutters", "iso"):
            pair = getattr(self, key)
            if pair is not None and Fraction(pair[0]) > Fraction(pair[1]):
                raise Wrong(f"from {show(pair[0])} to {show(pair[1])}", "the smaller figure first", key)
        return self

    @model_validator(mode="after")
    def _closes(self) -> Camera:
        if self.aperture_closes and self.apertures is None:
            right = "apertures, the widest first: there nothing closes"
            raise Wrong("aperture_closes without apertures", right, "aperture_closes")
        return self

    @model_validator(mode="after")
    def _stores(self) -> Camera:
        given = [key for key in ("file_mb", "card_gb", "preview_mb") if key in self.model_fields_set]
        lacking = [key for key in ("file_mb", "card_gb") if key not in given]
        if given and lacking:
            raise Wrong(f"{given[0]} without {lacking[0]}", "both file_mb and card_gb, or neither", given[0])
        return self
