"""What the models of all files share.

A field's description says what would be right; it is what a user reads when something else was found.
Only keys that the plan, the page or the card use are here: an accepted key that does nothing is a lie.
"""

from __future__ import annotations

from typing import ClassVar

from pydantic import BaseModel, ConfigDict

TITLE = "a text in quotes of 1 to 120 characters"
LINES = "a list of at most 20 texts, each of 1 to 120 characters"
BEARING = "degrees clockwise from true north, 0 to below 360"
ALTITUDE = "degrees above the level horizon, -90 to 90"
YES_NO = "true or false"


class Table(BaseModel):
    """A TOML table: no key that it does not know, no text where a number belongs."""

    model_config = ConfigDict(extra="forbid", strict=True)
    # Of a table that also takes names of the user's own: what stands under these.
    others: ClassVar[type[BaseModel] | None] = None
