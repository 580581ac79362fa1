"""catalog.toml as a checked model."""

from __future__ import annotations

from typing import Annotated

from pydantic import AfterValidator, Field, model_validator

from .. import defaults, values
from ..names import SECTIONS
from ..values import AllDifferent, Number, Text, is_blank, name_in
from ..words import Wrong, printable
from .printing import Printing
from .table import TITLE, YES_NO, Table

MOST_HOUSE_ITEMS = 200
CLOCK = "a clock time in quotes, such as '09:30'"
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


class Charging(Table):
    """[charging]: when mains or a car's socket are at hand, every day by the places' clocks."""

    from_: values.Clock = Field(alias="from", description=CLOCK)
    until: values.Clock = Field(description=CLOCK)
    charger_w: Number = Field(
        gt=0, le=1000, description="watts into one pack, above 0 to 1000; each rig has a charger"
    )
    efficiency: Number = Field(
        default=defaults.CHARGE_EFFICIENCY,
        gt=0,
        le=1,
        description="the part of its watts that stays in the pack, above 0 to 1, such as 0.9",
    )

    @model_validator(mode="after")
    def _lasts(self) -> Charging:
        if self.from_ == self.until:
            raise Wrong("the same time as from", "another, of the next day if it is earlier", "until")
        return self


class CatalogFile(Table):
    """catalog.toml: what the whole site is called, where it will stand, who does what, and house items."""

    title: Text = Field(description=TITLE)
    id: values.Stem = Field(description=values.STEM_RIGHT)
    base_url: values.BaseUrl = Field(
        description="the address of the site, such as 'https://example.org/shots/'"
    )
    roles: dict[RoleName, Sections] = Field(default_factory=dict, description=ROLES)
    charging: Charging | None = Field(default=None, description="a table [charging] with from and until")
    print: Printing = Field(default_factory=Printing, description="a table [print]")
    house: Annotated[list[HouseItem], Field(max_length=MOST_HOUSE_ITEMS)] = Field(
        default_factory=list, description=f"at most {MOST_HOUSE_ITEMS} tables [[house]]"
    )
