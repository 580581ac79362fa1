"""Large pages: first what takes the whole width, then two columns, on as few sides as it takes."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from fieldsheet.cards import sizes
from fieldsheet.cards.flow import Group, Piece, flow
from fieldsheet.cards.metrics import lines
from fieldsheet.cards.rows import heading
from fieldsheet.cards.sides import Code, Side, air_of, height_of, in_pairs, stacked
from fieldsheet.cards.sizes import Paper

_WHICH = 32.0
"""What "page 99 of 99" takes at the right of a title."""


def set_out(
    stack: Iterable[Group],
    columns: Iterable[Group],
    paper: Paper,
    running: Piece,
    code: Code | None = None,
    later: Sequence[Group] = (),
) -> list[Side]:
    """The sides; the code stands on the first one with columns that has room for it.

    later: more over the whole width; where it has to go on to the next side, the columns begin before it.
    Raises NoRoom, in words, where a single text is taller than a page.
    """
    over = list(stack)
    stacks = stacked([*over, *later], paper, running)
    whole = len(stacked(over, paper, running)) - 1
    heads = stacks[whole:]
    lefts = [max(0.0, paper.height - height_of(head) - sizes.SECTION_GAP) for head in heads]
    kept = code.height if code else 0.0
    coded = next((n for n, left in enumerate(lefts) if left >= kept), len(lefts))

    def high(side: int) -> float:
        return lefts[side] if side < len(lefts) else paper.height - running.height

    def room(column: int) -> float:
        return high(column // 2) - (kept if column == 2 * coded + 1 else 0.0)

    least = max(coded + 1, len(heads))
    flowed = flow(list(columns), room, 2, least)
    flowed += [[]] * (2 * least - len(flowed))
    sides = [
        Side(
            heads[n] if n < len(heads) else (running,),
            paper.height - high(n),
            pair,
            code if n == coded else None,
            air=air_of(pair, [room(2 * n), room(2 * n + 1)]),
        )
        for n, pair in enumerate(in_pairs(flowed))
    ]
    return [*(Side(one) for one in stacks[:whole]), *sides]


def title(text: str, under: Sequence[str], paper: Paper) -> Piece:
    """A page's title, with lines under it; it has a bookmark of its own."""
    room = paper.width - _WHICH
    high = lines(text, room, sizes.TITLE_PT, True) * sizes.TITLE_LINE
    high += sum(lines(line, room, sizes.SMALL_PT) for line in under) * sizes.SMALL_LINE
    return Piece("title", {"text": text, "lines": under, "room": room}, high + sizes.RUNNING_GAP)


def running(text: str, paper: Paper) -> Piece:
    """The line at the top of every further page."""
    room = paper.width - _WHICH
    high = lines(text, room, sizes.SMALL_PT) * sizes.SMALL_LINE + sizes.RUNNING_GAP
    return Piece("running_title", {"text": text, "room": room}, high)


def drawn(picture: tuple[object, float], text: str) -> Piece:
    """A drawing of a height in mm, as wide as the page."""
    return Piece("drawing", {"drawing": picture[0], "text": text}, picture[1])


def told(text: str, paper: Paper) -> Piece:
    """A line of words over the whole width."""
    return Piece("words", text, lines(text, paper.width, sizes.SMALL_PT) * sizes.SMALL_LINE + sizes.DUE_GAP)


def headed(text: str, pieces: Sequence[Piece], paper: Paper) -> list[Group]:
    """Pieces over the whole width under a heading; nothing where there are none."""
    return [Group(heading(text, "", paper.width), None, tuple(pieces))] if pieces else []
