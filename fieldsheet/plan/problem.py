"""Why a shot cannot be planned: a message id, its arguments, the key at fault.  Twin: app/core/problem.js."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import Any, TypeVar

Given = TypeVar("Given")


class PlanProblem(Exception):
    """The brief is well formed, but this night gives no plan.

    id and args are a message of `fieldsheet/sheet/words.json`; key is the dotted catalog key to mend.  others
    are problems that came to light beside it; the phone shows the first alone, so the twin has none.
    """

    def __init__(self, id: str, args: dict[str, Any], key: str) -> None:
        super().__init__(f"{id} {args}")
        self.id = id
        self.args_ = args
        self.key = key
        self.others: tuple[PlanProblem, ...] = ()


def each(tasks: Iterable[Callable[[], Given]]) -> list[Given]:
    """What every task gives; raises the first PlanProblem of all, with the rest as its others."""
    given, problems = [], []
    for task in tasks:
        try:
            given.append(task())
        except PlanProblem as problem:
            problems.append(problem)
    if problems:
        problems[0].others = tuple(problems[1:])
        raise problems[0]
    return given
