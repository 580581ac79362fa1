"""A file of cameras/ as a checked model."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field, model_validator

from .. import defaults
from ..names import PROJECTIONS
from ..values import Number, Seconds, Text, Texts, name_in
from ..words import Wrong, show
from .table import LINES, TITLE, Table


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
    remote_plug: Text | None = Field(default=None, description=TITLE)
    switch_off: Texts = Field(default_factory=list, description=LINES)
    pack: Texts = Field(default_factory=list, description=LINES)

    @model_validator(mode="after")
    def _wide_side_first(self) -> Camera:
        width, height = self.sensor_mm
        if width < height:
            raise Wrong(f"{show(width)} x {show(height)} mm", "the wide side first: [36, 24]", "sensor_mm")
        return self
