"""The front of a card: what is set and keyed in, in the hand's order, and the picture of the shot."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import product
from typing import Any

from fieldsheet.cards import bands, head, sizes
from fieldsheet.cards.flow import Group, Piece
from fieldsheet.cards.keys import keys
from fieldsheet.cards.sides import Side, height_of, single, stacked, whole
from fieldsheet.cards.sizes import Paper

Sheet = Mapping[str, Any]
Strips = tuple[Piece, Piece]
"""The drawing of the shot, airy and as low as can be."""

FURTHER = ("lost", "shutter", "aim_error", "view")
"""Numbers that stand under the program where the front has room for them: all, the first two, none."""

# What it costs to do without something on the front, in mm of height of a blank.
_NO_STRIP, _LOW_STRIP, _NO_DEADLINES, _NO_WAITS, _NO_SIGHTING = 1000.0, 6.0, 30.0, 35.0, 20.0
_NO_LIMITS = 0.5
_FURTHER = {4: 0.0, 2: 2.0, 0: 12.0}
_TIGHT, _TIGHTER, _SPARE = 40.0, 20.0, 0.001


@dataclass(frozen=True)
class Front:
    """Its sides; whether strip, deadlines, first box of limits and what is waited for stand on them; which of
    FURTHER do.
    """

    sides: list[Side]
    pictured: bool
    dated: bool
    limited: bool
    waits: bool
    further: Sequence[str]


@dataclass(frozen=True)
class _Part:
    """A way to set a part of the front, and what it costs to do without the better ones."""

    said: Any
    groups: list[Group]
    cost: float

    @cached_property
    def height(self) -> float:
        return height_of([piece for group in self.groups for piece in whole(group)])


def front(sheet: Sheet, strips: Strips, paper: Paper) -> Front:
    """One side, if it can be, with as much on it as fits.

    The strip stands on it where the lowest drawing of it fits, rather than the deadlines, rather than where
    the targets stand when they are set, rather than high blanks; where there is room left for what stops the
    shot, as on A4, nobody has to turn the card for that; what is still free goes to the blanks.
    """
    best, least = None, 0.0
    for top, rows, program, strip in product(
        _tops(sheet, paper), _rows(sheet, paper), _programs(sheet, paper), _strips(strips)
    ):
        if bool(strip.groups) != program.said[0]:
            continue
        parts = (top, rows, program, strip)
        cost = sum(part.cost for part in parts)
        # Less a hair: the flow adds the same heights up in another order.
        fits = sum(part.height for part in parts) <= paper.height - 0.001
        if fits and (best is None or cost < least):
            best, least = parts, cost
    if best is None:
        return whole_front(sheet, strips, paper)
    groups = [group for part in best for group in part.groups]
    top, rows, program, strip = best
    dated, limited = top.said
    return Front(_set(sheet, groups, paper), bool(strip.groups), dated, limited, rows.said, program.said[1])


def whole_front(sheet: Sheet, strips: Strips, paper: Paper) -> Front:
    """With the strip and the deadlines, on as many sides as that takes."""
    # Alone on a side behind the first, under the running line; as low as can be only where it has to be.
    high = paper.height - head.running(sheet, paper).height
    strip = next((strip for strip in strips if strip.height <= high), strips[-1])
    top = _top(sheet, [], head.deadlines(sheet, paper), False, paper)
    program = bands.program(sheet, paper, bands.beside_gap(sheet))
    groups = [top, *keys(sheet, paper, sizes.BLANKS[-1]), single(program), single(strip)]
    return Front(_set(sheet, groups, paper), True, True, False, True, ())


def _tops(sheet: Sheet, paper: Paper) -> Iterator[_Part]:
    """Said of each: whether the deadlines, and the first box of limits, stand on it."""
    due, box = head.deadlines(sheet, paper), head.limits(sheet, paper)[0]
    for dated, sighted, limited in product((True, False), (True, False), (True, False) if box else (False,)):
        cost = _NO_DEADLINES * (not dated) + _NO_SIGHTING * (not sighted) + _NO_LIMITS * (not limited)
        top = _top(sheet, box if limited else [], due if dated else [], sighted, paper)
        yield _Part((dated, limited), [top], cost)


def _top(sheet: Sheet, box: Sequence[Piece], due: Sequence[Piece], sighted: bool, paper: Paper) -> Group:
    # The header and what belongs to it stay on one side.
    return Group(None, None, (head.header(sheet, paper, sighted), *head.stop_bar(sheet), *box, *due))


def _rows(sheet: Sheet, paper: Paper) -> Iterator[_Part]:
    ways = (True, False) if _told_elsewhere(sheet) else (True,)
    for waits, blank in product(ways, sizes.BLANKS):
        short = sizes.BLANK_ROOMY - blank
        cost = max(0.0, sizes.BLANK_WANTED - blank) + _SPARE * (sizes.BLANKS[0] - blank)
        cost += _TIGHT + _TIGHTER * short if short > 0 else 0.0
        yield _Part(waits, keys(sheet, paper, blank, waits), cost + _NO_WAITS * (not waits))


def _told_elsewhere(sheet: Sheet) -> bool:
    """Whether every keyframe has an item by which it is stored: it can tell where the target stands then."""
    items = [one for part in sheet["checklist"] if part["name"] == "keyframes" for one in part["items"]]
    stored = {one["path"] for one in items}
    return all(f"keyframes.{n}.line" in stored for n, key in enumerate(sheet["keyframes"]) if key["waits"])


def _programs(sheet: Sheet, paper: Paper) -> Iterator[_Part]:
    """Said of each: whether a strip stands below it, which then tells the swap; the further numbers."""
    for pictured, (count, cost) in product((True, False), _FURTHER.items()):
        more = (*bands.beside_gap(sheet), *(() if pictured else ("swap",)), *FURTHER[:count])
        yield _Part((pictured, FURTHER[:count]), [single(bands.program(sheet, paper, more))], cost)


def _strips(strips: Strips) -> Iterator[_Part]:
    airy, low = strips
    yield _Part(True, [single(airy)], 0.0)
    yield _Part(True, [single(low)], _LOW_STRIP)
    yield _Part(False, [], _NO_STRIP)


def _set(sheet: Sheet, groups: Sequence[Group], paper: Paper) -> list[Side]:
    return [Side(stack) for stack in stacked(groups, paper, head.running(sheet, paper))]
