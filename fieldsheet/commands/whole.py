"""A whole catalog, read and planned, and what is said of all of it: what `build` and `check` share."""

from __future__ import annotations

import sys
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, TextIO

from fieldsheet.catalog.read import Catalog, read_sound
from fieldsheet.commands.told import count, tell, tell_message
from fieldsheet.explain import explained
from fieldsheet.locate import warning_at
from fieldsheet.press import Planned, clash_texts, plan_sound
from fieldsheet.problems import CatalogProblems
from fieldsheet.site.kept import Keep, unkept
from fieldsheet.terminal.fold import INDENT, Part, labelled, message_room, width
from fieldsheet.terminal.page import warning_lines
from fieldsheet.undrawn import undrawn

MOST_NAMED = 3
# Why what is the whole catalog's must be settled, by its key.
_SETTLE = {
    "base_url": "Codes on paper lead there: settle it before any is printed",
    "id": "Phones keep their ticks under it: settle it before the first night",
}
_SETTLE_ELSE = "It is the whole catalog's: settle it before pages and paper are used"


@dataclass
class _Message:
    """A warning with its words and its shots; at: file and line, of_shot where the file is the shot's own."""

    at: str
    of_shot: bool
    warning: Mapping[str, Any]
    said: Mapping[str, str]
    shots: list[str] = field(default_factory=list)

    def lead(self) -> str:
        """Where it comes from, and of a file that shots may share whose it is."""
        if self.of_shot:
            return f"{self.at}: "
        more = len(self.shots) - MOST_NAMED
        named = ", ".join(self.shots[:MOST_NAMED]) + (f" and {more} more" if more > 0 else "")
        return f"{self.at}: {named}: "


def read_and_plan(folder: Path, kept: Keep = unkept, *, why: bool = False) -> tuple[Catalog, Planned]:
    """Reads and plans what can be read; where there are problems, tells the warnings of the sound shots.

    kept: has what was planned before; why: as of tell_warnings. Raises CatalogProblems with all of them.
    """
    catalog, faults = read_sound(folder)
    planned, problems = plan_sound(catalog, kept)
    if catalog is None or faults or problems:
        if catalog is not None:
            tell_warnings(catalog, planned, sys.stderr, why=why)
        raise CatalogProblems([*faults, *problems])
    return catalog, planned


def tell_warnings(catalog: Catalog, planned: Planned, stream: TextIO, *, why: bool = False) -> int:
    """Says every warning, where it comes from, and every clash; returns how many are no-go.

    why: with what is behind each.
    """
    no_gos, room = 0, message_room(stream)
    for message in _messages(catalog, planned):
        no_gos += len(message.shots) if message.warning["level"] == "no-go" else 0
        behind = lines_behind(explained(catalog, message.shots[0], message.warning)) if why else []
        tell("\n".join([*warning_lines(message.said, room, message.lead()), *behind]), stream)
    for night, texts in clash_texts(planned).items():
        for text in texts:
            tell_message(f"{night}: {text}", stream)
    return no_gos


def _messages(catalog: Catalog, planned: Planned) -> Iterable[_Message]:
    """The warnings of all shots in order; what several say of the same line in the same words is one."""
    found: dict[tuple[str, ...], _Message] = {}
    for shot_id, sheet in planned.sheets.items():
        for warning, said in zip(planned.plans[shot_id]["warnings"], sheet["warnings"], strict=True):
            at = warning_at(catalog, shot_id, warning)
            one = _Message(at, at.startswith(catalog.locate(shot_id, "title")[0]), warning, said)
            found.setdefault((at, *warning_lines(said, None)), one).shots.append(shot_id)
    return found.values()


def tell_assumed_of_all(catalog: Catalog, stream: TextIO) -> None:
    """Says, once for the whole catalog, what is assumed as yet and no shot's alone."""
    for one in catalog.assumed_of_all():
        value = f": {one.value}" if one.value else ""
        why = _SETTLE.get(one.own_key, _SETTLE_ELSE)
        tell_message(f"{one.file}:{one.line}: {one.own_key} still assumed{value}. {why}.", stream)


def lines_behind(parts: Sequence[Part]) -> list[str]:
    """What is behind a message, as the lines under it; a blank one ends them."""
    return [*(INDENT * 2 + line for line in labelled(parts, width() - len(INDENT) * 2)), ""]


def and_no_gos(no_gos: int) -> str:
    """How many there are, to end a sentence with; nothing where there are none."""
    return f", {count(no_gos, 'no-go')}" if no_gos else ""


def tell_undrawn(catalog: Catalog, planned: Planned, stream: TextIO) -> None:
    """Says which characters the typeface lacks."""
    for line in undrawn(catalog, planned):
        tell_message(line, stream)
