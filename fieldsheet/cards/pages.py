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
    stack: Iterable[Group], columns: Iterable[Group], paper: Paper, running: Piece, code: Code | None = None
) -> list[Side]:
    """The sides; the code stands on the first one with columns that has room for it.

    Raises ValueError, in words, where a single text is taller than a page.
    """
    stacks = stacked(list(stack), paper, running)
    kept = code.height if code else 0.0
    left = max(0.0, paper.height - height_of(stacks[-1]) - sizes.SECTION_GAP)
    further = paper.height - running.height
    coded = 0 if left >= kept else 1

    def room(column: int) -> float:
        high = further if column > 1 else left
        return high - (kept if column == 2 * coded + 1 else 0.0)

    flowed = flow(list(columns), room, 2, coded + 1)
    flowed += [[]] * (2 * coded + 2 - len(flowed))
    pairs = in_pairs(flowed)
    airs = [air_of(pair, [room(2 * n), room(2 * n + 1)]) for n, pair in enumerate(pairs)]
    first = Side(stacks[-1], paper.height - left, pairs[0], None if coded else code, air=airs[0])
    rest = [
        Side((running,), running.height, pair, code if n == coded else None, air=airs[n])
        for n, pair in enumerate(pairs[1:], start=1)
    ]
    return [*(Side(one) for one in stacks[:-1]), first, *rest]


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
