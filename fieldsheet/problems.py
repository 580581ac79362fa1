"""What is wrong with a catalog, in the words its author needs: file, line, key, found, right."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, field

_INDEX = re.compile(r"\.(\d+)(?=\.|$)")


@dataclass(frozen=True)
class Problem:
    """One fault in the user's files.

    file is relative to the catalog's folder; line counts from 1 and is None where the fault is a whole
    file or folder; key is the dotted TOML key, list positions counting from 0 ("keyframe.0.at"); found and
    right are short phrases.  str() counts list positions from 1, as people do ("keyframe 1 at").  id is that
    of the message, where it is one of the planning's.
    """

    file: str
    line: int | None
    key: str
    found: str
    right: str
    id: str = field(default="", compare=False)

    def __str__(self) -> str:
        place = f"{self.file}:{self.line}" if self.line else self.file
        key = f"{spoken_key(self.key)}: " if self.key else ""
        return f"{place}: {key}found {self.found}; right: {self.right}"


class CatalogProblems(Exception):
    """Every problem of a catalog at once, in the order of file and line."""

    def __init__(self, problems: Sequence[Problem]) -> None:
        super().__init__("\n".join(str(problem) for problem in problems))
        self.problems = list(problems)


class NoRoom(ValueError):
    """What somebody wrote takes more room than paper has; says so in words."""


def spoken_key(key: str) -> str:
    """A dotted key with its list positions counted from 1: "keyframe.0.at" is "keyframe 1 at"."""
    numbered = _INDEX.sub(lambda match: f" {int(match[1]) + 1}", key)
    return re.sub(r"( \d+)\.", r"\1 ", numbered)
