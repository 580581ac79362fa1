"""catalog.toml as a checked model."""

from __future__ import annotations

from typing import Annotated

from pydantic import AfterValidator, Field

from .. import defaults, values
from ..names import SECTIONS
from ..values import AllDifferent, Text, is_blank, name_in
from ..words import Wrong, printable
from .table import TITLE, YES_NO, Table

MOST_HOUSE_ITEMS = 200
ROLE = "the name of a role of 1 to 40 characters"
ROLES = "roles and their sections, such as operator = ['camera', 'keyframes']"

SectionName = Annotated[str, name_in(SECTIONS)]
Sections = Annotated[list[SectionName], Field(min_length=1), AllDifferent]


def _role(name: str) -> str:
    if is_blank(name) or len(name) > 40 or not name.isprintable():
        raise Wrong(f"the role '{printable(name)}'", ROLE)
    return name


RoleName = Annotated[str, AfterValidator(_role)]


class HouseItem(Table):
    """[[house]]: a line that this crew adds to a section of the checklist, everywhere or for some files."""

    section: SectionName = Field(description="the section of the checklist that the line is added to")
    text: Text = Field(description=TITLE)
    note: Text | None = Field(default=None, description=TITLE)
    must: bool = Field(default=defaults.HOUSE_MUST, description=YES_NO)
    role: str | None = Field(default=None, description="a role of [roles]")
    place: values.Stem | None = Field(
        default=None, description="the name of a file in places/, without .toml"
    )
    rig: values.Stem | None = Field(default=None, description="the name of a file in rigs/, without .toml")
    camera: values.Stem | None = Field(
        default=None, description="the name of a file in cameras/, without .toml"
    )


class CatalogFile(Table):
    """catalog.toml: what the whole site is called, where it will stand, who does what, and house items."""

    title: Text = Field(description=TITLE)
    id: values.Stem = Field(description=values.STEM_RIGHT)
    base_url: values.BaseUrl = Field(
        description="the address of the site, such as 'https://example.org/shots/'"
    )
    roles: dict[RoleName, Sections] = Field(default_factory=dict, description=ROLES)
    house: Annotated[list[HouseItem], Field(max_length=MOST_HOUSE_ITEMS)] = Field(
        default_factory=list, description=f"at most {MOST_HOUSE_ITEMS} tables [[house]]"
    )
