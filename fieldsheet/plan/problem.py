"""Why a shot cannot be planned: a message id, its arguments, the key at fault.  Twin: app/core/problem.js."""

from __future__ import annotations

from typing import Any


class PlanProblem(Exception):
    """The brief is well formed, but this night gives no plan.

    id and args are a message of `fieldsheet/sheet/words.json`; key is the dotted catalog key to mend.
    """

    def __init__(self, id: str, args: dict[str, Any], key: str) -> None:
        super().__init__(f"{id} {args}")
        self.id = id
        self.args_ = args
        self.key = key
