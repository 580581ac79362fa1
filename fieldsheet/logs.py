"""What `fieldsheet log` reads: the files of takes that phones saved, joined, each as a page of text."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from pathlib import Path

from .exchange.report import report
from .exchange.takefile import Take, read_take
from .exchange.takerules import MOST_BYTES
from .problems import CatalogProblems, Problem


def read_takes(paths: Sequence[Path]) -> list[Take]:
    """The takes of all files, in the order in which they are named; files of one take are joined.

    Raises CatalogProblems with everything that is wrong with any of them, and OSError.
    """
    takes: dict[str, Take] = {}
    problems: list[Problem] = []
    for path in paths:
        found = read_take(str(path), _bytes(path))
        if isinstance(found, list):
            problems += found
        elif found.take in takes and takes[found.take].shot != found.shot:
            problems.append(Problem(str(path), None, "shot", found.shot, takes[found.take].shot))
        else:
            takes[found.take] = takes[found.take].joined(found) if found.take in takes else found
    if problems:
        raise CatalogProblems(problems)
    return list(takes.values())


def pages(takes: Iterable[Take]) -> str:
    """The pages of takes, one after the other."""
    return "\n\n".join(map(report, takes)).rstrip("\n")


def _bytes(path: Path) -> bytes:
    """What is in a file, and no more of it than tells that it is too large."""
    with path.open("rb") as file:
        return file.read(MOST_BYTES + 1)
