"""A file that stands beside the pages of a site: paper, and files for other programs."""

from __future__ import annotations

from dataclasses import dataclass

from .content import Content

CARDS, SHEETS = "cards/", "sheets/"  # paper of single shots, which a phone may keep beside its version
FILES = "files/"  # what is fetched at the desk
COMBINED = f"{FILES}all-cards.pdf"


@dataclass(frozen=True)
class Beside:
    """A file at `path` of the site; `text` is what a link to it says ("Cards, A6").

    shot: the id of the one shot that it is of, night: the date of the one night ("2027-06-05"), each None
    where it is of several.
    """

    path: str
    text: str
    shot: str | None
    night: str | None
    data: Content


def card_of(shot_id: str) -> str:
    """The path of a shot's cards."""
    return f"{CARDS}{shot_id}.pdf"


def sheet_of(shot_id: str) -> str:
    """The path of a shot's large sheet."""
    return f"{SHEETS}{shot_id}.pdf"
