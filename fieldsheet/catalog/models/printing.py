"""[print] of catalog.toml as a checked model."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Annotated, Any

from pydantic import Field, model_validator

from .. import defaults
from ..names import CUT_CARDS, PRINT_CARDS, PRINT_HOLES, PRINT_SHEETS
from ..values import Number, name_in
from ..words import Wrong, one_of
from .table import Table

SIDES = "2 (front and back), or 1 (every side a card of its own)"
CLOCK_H = "24 (21:30), or 12 (9:30 pm)"
SEAL = "millimetres kept free along every edge, 3 to 10"
_CUT = one_of([f"'{name}'" for name in CUT_CARDS])
READ_AT = "centimetres from which codes are to be read, 15 to 100"
ON = f"'A4' or 'letter', which cards of {_CUT} are cut from"


class Printing(Table):
    """[print]: how cards and sheets are printed; the phone's pages know nothing of it."""

    card: Annotated[str, name_in(PRINT_CARDS)] = Field(
        default=defaults.PRINT_CARD, description="the size of a card"
    )
    sheet: Annotated[str, name_in(PRINT_SHEETS)] = Field(
        default=defaults.PRINT_SHEET, description="the size of a large sheet"
    )
    sides: int = Field(default=defaults.PRINT_SIDES, ge=1, le=2, description=SIDES)
    clock_h: int = Field(
        default=defaults.PRINT_CLOCK_H, description=CLOCK_H, json_schema_extra={"enum": [12, 24]}
    )
    seal_mm: Number = Field(default=defaults.PRINT_SEAL_MM, ge=3, le=10, description=SEAL)
    hole: Annotated[str, name_in(PRINT_HOLES)] = Field(
        default=defaults.PRINT_HOLE, description="the short edge of a front that a hole is punched at"
    )
    on: Annotated[str, name_in(PRINT_SHEETS)] | None = Field(default=None, description=ON)
    read_at_cm: Number = Field(default=defaults.PRINT_READ_AT_CM, ge=15, le=100, description=READ_AT)

    @model_validator(mode="after")
    def _whole(self) -> Printing:
        if self.clock_h not in (12, 24):
            raise Wrong(str(self.clock_h), CLOCK_H, "clock_h")
        if self.on is not None and self.card not in CUT_CARDS:
            raise Wrong(f"'{self.on}' for cards of '{self.card}'", uncut(), "on")
        return self


def uncut() -> str:
    """What is right where cards are too large to be cut from a sheet."""
    return f"cards of {_CUT}, or no sheet to cut from"


def asked_of(printing: Printing, typed: Mapping[str, Any]) -> dict[str, Any]:
    """The table's values by its keys, with what was typed (None where nothing was) before them.

    Raises ValueError, in words, where the two do not go together.
    """
    asked = {name: getattr(printing, name) for name in type(printing).model_fields}
    asked |= {name: value for name, value in typed.items() if value is not None}
    if asked["on"] is not None and asked["card"] not in CUT_CARDS:
        raise ValueError(f"'{asked['on']}' for cards of '{asked['card']}'; right: {uncut()}")
    return asked | {name: float(asked[name]) for name in ("seal_mm", "read_at_cm")}
