"""The sides of a card. The first card alone runs the shot; those behind it serve the work before and after.

Front: what is set and keyed in, in the hand's order, and the picture of the shot. First back: what stops the
shot (on the front where that has room), its notes, what is still open, and the sections that are read from
frame 1 on, as far as they fit; in its lower right corner the code. Further sides: the way in, the sections in
their order, before the last of them sky and figures, and the log at the end.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import product
from typing import Any

from fieldsheet.cards import bands, groups, head, sizes
from fieldsheet.cards.card_front import Front, Strips, front, whole_front
from fieldsheet.cards.flow import Group, Piece, Room, flow
from fieldsheet.cards.sides import BESIDE, Code, Side, air_of, height_of, in_pairs, link, symbol_of
from fieldsheet.cards.sizes import Paper
from fieldsheet.problems import NoRoom

Sheet = Mapping[str, Any]

FIGURES = ("lost", "aim_error")
"""Numbers of the shot that stand on a back where the front has no room for them."""

_STOPPING = "stopping"
_ESSENTIAL = (_STOPPING, "rolling", "swap")
_WANTED = (*_ESSENTIAL, "ready", "minding", "sky", "supplies", "figures", "way in")
"""What a first back is to hold, the most wanted first; essential ones go before deadlines and strip."""
_WELCOME = ("exposure", "log", "wrap", "program")
"""What it holds besides where that costs no side, the most welcome first."""

Units = dict[str, list[Group]]


def card_sides(sheet: Sheet, address: str | None, paper: Paper) -> list[Side]:
    """Every side of a shot's cards, in the order of print: front, back, front, back ...

    address: what the code opens; None leaves the code out. Raises NoRoom, in words, where it is too long or a
    single text taller than a side.
    """
    strips = bands.strip(sheet, paper, False), bands.strip(sheet, paper, True)
    first, ways = _furnished(sheet, address, strips, paper)
    units = _units(sheet, first, paper)

    def liked(way: _Way) -> tuple[bool, bool, int]:
        held = _chosen(units, way.room, _ESSENTIAL)
        return _STOPPING in held, way.coded == 0, len(held)

    best = max(ways, key=liked)
    backs = _backs(units, best, 1)
    # An empty back costs no card more: the sides may as well use it to tear less.
    spare = (len(first.sides) + len(backs)) % 2
    return [*first.sides, *(_backs(units, best, len(backs) + 1) if spare else backs)]


def _furnished(sheet: Sheet, address: str | None, strips: Strips, paper: Paper) -> tuple[Front, list[_Way]]:
    """The front and the ways to furnish the backs; the code is smaller rather than the front torn."""
    for made in (front, whole_front):
        first = made(sheet, strips, paper)
        beside = [name for name in BESIDE if name not in first.further]
        for near in _nearer(paper, address):
            code = None if address is None else link(sheet, address, near, beside)
            ways = _ways(paper, sheet, first, strips, code)
            if ways:
                return first, ways
    raise NoRoom("a limit of this place does not fit on one side of the paper")


def _nearer(paper: Paper, address: str | None) -> list[Paper]:
    """The paper, then to be read from ever nearer: by each cm, so that who asks for more is given no less.

    From what a column allows down to where the code's modules get no smaller.
    """
    if address is None:
        return [paper]
    least = replace(paper, read_cm=0)
    farthest, nearest = (symbol_of(address, one).read_cm for one in (paper, least))
    return [replace(paper, read_cm=cm) for cm in range(farthest, nearest - 1, -1)]


def _ways(paper: Paper, sheet: Sheet, first: Front, strips: Strips, code: Code | None) -> list[_Way]:
    """How the backs may be furnished, the best liked first.

    On the first back: the deadlines, if the front has no room for them, the code, and the strip airy.
    """
    pictures = (None,) if first.pictured else strips
    dates = (0,) if first.dated else (0, 1)
    due = [] if first.dated else head.deadlines(sheet, paper)
    ways = [
        _Way(paper, _heads(paper, sheet, first, due, dated), picture, code, coded)
        for dated, coded, picture in product(dates, (0, 1), pictures)
    ]
    return [way for way in ways if min(way.room(column) for column in range(4)) >= 0]


def _heads(paper: Paper, sheet: Sheet, first: Front, due: Sequence[Piece], dated: int) -> list[list[Piece]]:
    """What stands at the top of each back over its whole width, the last of all further ones alike.

    The limits go on from side to side as far as they reach; the deadlines stand on side `dated`.
    """
    running = head.running(sheet, paper)
    boxes = [*head.limits(sheet, paper)[first.limited :], [], []]
    heads = [[*([running] if n else []), *box] for n, box in enumerate(boxes)]
    heads[dated] += due
    return heads


@dataclass(frozen=True)
class _Way:
    """How the sides behind the front are furnished: heads, the first one's strip, which one has the code."""

    paper: Paper
    heads: list[list[Piece]]
    strip: Piece | None
    code: Code | None
    coded: int

    @property
    def least(self) -> int:
        """How many sides there are whatever stands in their columns."""
        headed = max((n for n, pieces in enumerate(self.heads) if len(pieces) > 1), default=0)
        return max(headed, self.coded) + 1

    def head(self, side: int) -> tuple[Piece, ...]:
        """What stands at the top of a side; the last head is that of all further ones."""
        return tuple(self.heads[min(side, len(self.heads) - 1)])

    def room(self, column: int) -> float:
        """Height of a column, two to a side."""
        side, right = divmod(column, 2)
        taken = self.strip.height + sizes.SECTION_GAP if self.strip and not side else 0.0
        taken += self.code.height if self.code and right and side == self.coded else 0.0
        return self.paper.height - height_of(self.head(side)) - taken


def _backs(units: Units, way: _Way, least: int) -> list[Side]:
    """The sides behind the front, `least` or more; the first holds what is wanted there most."""
    wanted = ((*_WANTED, *_WELCOME[:count]) for count in range(len(_WELCOME), -1, -1))
    chosen = dict.fromkeys(tuple(_chosen(units, way.room, some)) for some in wanted)
    return min((_set(units, way, least, names) for names in chosen), key=len)


def _set(units: Units, way: _Way, least: int, chosen: Sequence[str]) -> list[Side]:
    """The sides behind the front, the first of which holds the units `chosen`."""
    least = max(least, way.least)
    rest = [group for name, unit in units.items() if name not in chosen for group in unit]
    if chosen:
        columns = flow(_in_order(units, chosen), way.room, 2, 1)
        columns += [[]] * (2 - len(columns))
        columns += flow(rest, lambda column: way.room(column + 2), 2, least - 1)
    else:
        columns = flow(rest, way.room, 2, least)
    pairs = in_pairs(columns)
    pairs += [((), ())] * (way.least - len(pairs))
    return [
        Side(
            way.head(n),
            height_of(way.head(n)),
            pair,
            way.code if n == way.coded else None,
            None if n else way.strip,
            air_of(pair, [way.room(2 * n), way.room(2 * n + 1)]),
        )
        for n, pair in enumerate(pairs)
    ]


def _chosen(units: Units, room: Room, wanted: Sequence[str]) -> list[str]:
    """The units that stand on one side together, by what is wanted there most; only essential ones are torn.

    None where not even what stops the shot fits: then everything follows on, from the first back.
    """
    chosen: list[str] = []
    torn = 0
    for name in filter(units.__contains__, wanted):
        tears = _one_side(_in_order(units, [*chosen, name]), room)
        if tears is not None and (tears <= torn or name in _ESSENTIAL):
            chosen.append(name)
            torn = tears
        elif name == _STOPPING:
            break
    return chosen


def _in_order(units: Units, names: Sequence[str]) -> list[Group]:
    return [group for name, unit in units.items() if name in names for group in unit]


def _one_side(some: Sequence[Group], room: Room) -> int | None:
    """How many groups go on in the second of two columns; None where they do not fit there."""
    try:
        columns = flow(some, lambda column: room(column) if column < 2 else 0.0, 2, 1)
    except NoRoom:
        return None
    if len(columns) > 2:
        return None
    seconds = [group.again for group in some if group.again]
    return sum(piece is again for column in columns for piece in column[:1] for again in seconds)


def _units(sheet: Sheet, first: Front, paper: Paper) -> Units:
    """Everything that stands in columns, by name, in the order of the evening; what is empty is left out.

    What the front has no room for stands here: numbers, and where targets stand when keyframes are set.
    """
    wide = paper.column
    named = dict.fromkeys(section["name"] for section in sheet["checklist"])
    untold = ("approach",) if first.waits else ("approach", "waits")
    listed = {name: groups.sections(sheet, wide, name, untold) for name in named}
    wrap = listed.pop("wrap", [])
    units = {
        _STOPPING: groups.warnings(sheet, wide, True),
        "minding": groups.warnings(sheet, wide, False),
        "exposure": groups.exposure(sheet, wide),
        "way in": groups.way_in(sheet, wide, head.unboxed(sheet, paper)),
        **listed,
        "sky": groups.sky(sheet, wide),
        "supplies": groups.power(sheet, wide, False),
        "figures": groups.figures(sheet, wide, [name for name in FIGURES if name not in first.further]),
        "wrap": wrap,
        "log": groups.log(sheet, wide),
    }
    return {name: unit for name, unit in units.items() if unit}
