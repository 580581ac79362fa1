"""Rig + camera + place + shot -> the items to do, in sections, in the order of the hand.

Python only: the items travel with the page and the card, which fill in their values.  From published work on
checklists (Degani & Wiener 1990, NASA CR-177549, appendix A; Gawande, The Checklist Manifesto, 2009):
a long list is cut into parts tied to what they are about (rule 7), the critical ones as early as the hand's
order allows (rule 10), each at a natural pause, and whether it is read first or confirmed after is stated.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from itertools import pairwise
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
COMPLETED = {"rig", "ready", "swap", "wrap"}
"""Sections whose last item is the completion call, or the load: house items come before it."""


def checklist(brief: dict[str, Any], plan: dict[str, Any]) -> list[dict[str, Any]]:
    """Sections of items as message ids with arguments and value paths, JSON-able.

    A section has name, title, manner, role, part of parts, items; an item has id (of section, rule and
    subject), must, message, args, note, value (a dotted path into the Sheet), blank, role.  The same for
    every night of a brief, but for a swap that nobody asked for and that takes twice what its own night does.
    """
    shot = shot_of(brief, plan)
    return [part for name in SECTIONS for part in _parts(name, shot, _rows(name, shot))]


def _rows(name: str, shot: Shot) -> list[Row]:
    """The section's own rows and the house's, each once."""
    rows = list(SECTIONS[name](shot))
    if rows or name != "swap":
        written = [house(item) for item in shot.words["house"] if item["section"] == name]
        end = len(rows) - (name in COMPLETED)
        rows[end:end] = written
    return list({(row.rule, *row.subject): row for row in rows}.values())


def _parts(name: str, shot: Shot, rows: list[Row]) -> Iterator[dict[str, Any]]:
    """The section in parts, cut where a hand may rest."""
    edges = _edges([row.tied for row in rows])
    for part, (first, end) in enumerate(pairwise(edges), start=1):
        yield {
            "name": name,
            "title": _title(name, shot.kind),
            "manner": "manner.do-confirm" if name in CONFIRMED else "manner.read-do",
            "role": shot.words["roles"].get(name),
            "part": part,
            "parts": len(edges) - 1,
            "items": [row.item(name) for row in rows[first:end]],
        }


def _edges(tied: list[bool]) -> list[int]:
    """Where parts begin, and where the last one ends: as few as can be, of at most MOST_ITEMS, then as even.

    No part begins with a tied item, unless more than MOST_ITEMS are tied to each other.
    """
    best: list[tuple[int, int, int, list[int]]] = [(0, 0, 0, [0])]
    for end in range(1, len(tied) + 1):
        ways = []
        for first in range(max(0, end - MOST_ITEMS), end):
            torn, count, squares, edges = best[first]
            ways.append((torn + tied[first], count + 1, squares + (end - first) ** 2, [*edges, end]))
        best.append(min(ways))
    return best[-1][3]


def _title(name: str, kind: str) -> str:
    """A section may be called otherwise where there is no rail."""
    other = f"section.{name}.{kind}"
    return other if other in WORDS else "section." + name
