"""One file of a catalog: where it is, what is good in it, and where each key stands."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from ..problems import Problem
from .draft import Draft
from .keylines import KeyLines
from .models.camera import Camera
from .models.head import CatalogFile
from .models.place import Place
from .models.rig import Rig
from .models.shot import Shot
from .models.table import Table
from .scan import Fault, scan
from .words import Loc, dotted

MODELS: dict[str, type[Table]] = {
    "catalog": CatalogFile,
    "place": Place,
    "rig": Rig,
    "camera": Camera,
    "shot": Shot,
}


@dataclass
class Document:
    """draft is None where the file could not be read at all."""

    kind: str
    stem: str
    file: str
    lines: KeyLines
    draft: Draft | None

    def problem(self, loc: Loc, found: str, right: str) -> Problem:
        """A problem at a path of this file."""
        return Problem(self.file, self.lines.of(loc), dotted(loc), found, right)

    def get(self, key: str) -> Any:
        """A good top-level value, else None."""
        return self.draft.get(key) if self.draft else None

    def given(self, keys: Iterable[str]) -> list[str]:
        """Those of the keys that the file means to give, good or not, misspelt or not."""
        return [key for key in keys if self.draft and key in self.draft.given]

    def written(self, keys: Iterable[str]) -> list[str]:
        """Those of the keys that stand in the file, good or not; only these have a line."""
        return [key for key in keys if self.draft and key in self.draft.raw]


def tables(document: Document, key: str, model: type[Table]) -> list[Draft]:
    """The tables of a list, each with what is good in it; none where the list itself is at fault."""
    raw = document.draft.raw.get(key) if document.draft else None
    if not isinstance(raw, list) or not all(isinstance(table, dict) for table in raw):
        return []
    return [Draft(model, table, document.lines, []) for table in raw]


def read_document(kind: str, stem: str, file: str, data: bytes) -> tuple[Document, list[Problem]]:
    """A file's bytes against the model of its kind."""
    scanned = scan(data)
    faults = list(scanned.faults)
    draft = None
    if scanned.values is not None:
        draft = Draft(MODELS[kind], scanned.values, scanned.lines, [fault.loc for fault in faults])
        faults += draft.faults
    document = Document(kind, stem, file, scanned.lines, draft)
    return document, [_problem(file, fault) for fault in faults]


def _problem(file: str, fault: Fault) -> Problem:
    return Problem(file, fault.line, dotted(fault.loc), fault.found, fault.right)
