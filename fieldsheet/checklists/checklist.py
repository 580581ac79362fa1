"""Rig + camera + place + shot -> the items to do, in sections, in the order of the hand.

Python only: the items travel with the page and the card, which fill in their values.  From published work on
checklists (Degani & Wiener 1990, NASA CR-177549, appendix A; Gawande, The Checklist Manifesto, 2009):
a long list is cut into parts tied to what they are about (rule 7), the critical ones as early as the hand's
order allows (rule 10), each at a natural pause, and whether it is read first or confirmed after is stated.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Any

from .cables import cables
from .camera import camera
from .keyframes import keyframes, program
from .pack import pack
from .power import power, swap
from .remote import remote
from .rig import level, rig
from .row import Row, house
from .run import ready, rolling, wrap
from .shot import Shot, shot_of
from .words import WORDS

MOST_ITEMS = 7
"""Items at one pause: 5 to 9, and after 60 to 90 s people shortcut (Gawande 2009)."""

Section = Callable[[Shot], Iterator[Row]]
# Level comes before the remote because it is done by hand, under the load and with the power off, while the
# hands are on feet and carriage.  Power comes last, with the remote joined as its own words say; so whatever
# needs a drive - the level at both ends and in two pans, the zeros - follows the first drive in "remote".
SECTIONS: dict[str, Section] = {
    "pack": pack,
    "rig": rig,
    "power": power,
    "cables": cables,
    "level": level,
    "remote": remote,
    "camera": camera,
    "keyframes": keyframes,
    "program": program,
    "ready": ready,
    "rolling": rolling,
    "swap": swap,
    "wrap": wrap,
}
CONFIRMED = {"ready"}
"""Done from memory, then confirmed; everything else is read, then done (Gawande 2009: state which)."""
COMPLETED = {"ready", "swap", "wrap"}
"""Sections whose last item is the completion call: house items come before it."""


def checklist(brief: dict[str, Any], plan: dict[str, Any]) -> list[dict[str, Any]]:
    """Sections of items as message ids with arguments and value paths, JSON-able.

    A section has name, title, manner, role, part of parts, items; an item has id (of section, rule and
    subject), must, message, args, note, value (a dotted path into the Sheet), blank, role.  The same for
    every night of a brief.
    """
    shot = shot_of(brief, plan)
    return [part for name in SECTIONS for part in _parts(name, shot, _items(name, shot))]


def _items(name: str, shot: Shot) -> list[dict[str, Any]]:
    """The section's own rows and the house's, each once."""
    rows = list(SECTIONS[name](shot))
    if rows or name != "swap":
        written = [house(item) for item in shot.words["house"] if item["section"] == name]
        end = len(rows) - (name in COMPLETED)
        rows[end:end] = written
    items = {item["id"]: item for item in (row.item(name) for row in reversed(rows))}
    return list(items.values())[::-1]


def _parts(name: str, shot: Shot, items: list[dict[str, Any]]) -> Iterator[dict[str, Any]]:
    """The section in parts as even as can be, of at most MOST_ITEMS."""
    count = -(-len(items) // MOST_ITEMS)
    edges = [len(items) * part // count for part in range(count + 1)] if count else []
    for part, (first, end) in enumerate(zip(edges, edges[1:], strict=False), start=1):
        yield {
            "name": name,
            "title": _title(name, shot.kind),
            "manner": "manner.do-confirm" if name in CONFIRMED else "manner.read-do",
            "role": shot.words["roles"].get(name),
            "part": part,
            "parts": count,
            "items": items[first:end],
        }


def _title(name: str, kind: str) -> str:
    """A section may be called otherwise where there is no rail."""
    other = f"section.{name}.{kind}"
    return other if other in WORDS else "section." + name
