"""What the files of a catalog say against one another: letters of rigs, years of nights."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from string import ascii_uppercase

from ...problems import Problem
from ..document import Document
from ..words import show

# A sky must be worked out for every year from the first night to the last.
MOST_YEARS = 10


def check_across(documents: Iterable[Document]) -> Iterator[Problem]:
    """No two rigs have one letter, and no shot lies in another age than the others."""
    every = list(documents)
    yield from _check_letters([each for each in every if each.kind == "rig"])
    yield from _check_years([each for each in every if each.kind == "shot"])


def _check_letters(rigs: Sequence[Document]) -> Iterator[Problem]:
    letters = {rig.file: rig.get("letter") for rig in rigs}
    free = next((letter for letter in ascii_uppercase if letter not in letters.values()), None)
    right = f"another letter, such as {show(free)}" if free else "at most 26 rigs, each with its letter"
    first: dict[str, str] = {}
    for rig in rigs:
        letter = letters[rig.file]
        holder = rig.file if letter is None else first.setdefault(letter, rig.file)
        if holder == rig.file:
            continue
        found = show(letter) if rig.written(("letter",)) else f"no letter, which makes it {show(letter)}"
        why = "it tells rigs, packs and remotes apart at night"
        yield rig.problem(("letter",), f"{found}, the letter of {holder}", f"{right}: {why}")


def _check_years(shots: Sequence[Document]) -> Iterator[Problem]:
    nights = sorted(
        (
            (shot.get(key), shot.file, key, shot)
            for shot in shots
            for key in shot.written(("night", "day"))[:1]
            if shot.get(key) is not None
        ),
        key=lambda night: night[:2],
    )
    first, last = _together([date.year for date, *_ in nights])
    for index, (date, _, key, shot) in enumerate(nights):
        if first <= index < last:
            continue
        years = sorted({nights[first][0].year, nights[last - 1][0].year})
        others = " to ".join(map(str, years))
        found = f"{show(date)}, but the catalog's other nights are in {others}"
        yield shot.problem((key,), found, f"nights of one catalog at most {MOST_YEARS} years apart")


def _together(years: Sequence[int]) -> tuple[int, int]:
    """Which of ascending years lie together (first, last + 1): the farthest from their median are left out.

    Of two that are equally far the earlier one is left out.
    """
    first, last = 0, len(years)
    while last - first > 1 and years[last - 1] - years[first] > MOST_YEARS:
        middle = (years[(first + last - 1) // 2] + years[(first + last) // 2]) / 2
        if years[last - 1] - middle > middle - years[first]:
            last -= 1
        else:
            first += 1
    return first, last
