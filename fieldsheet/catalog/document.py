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
from .words import Loc, dotted, show, show_items

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

    def written_at(self, loc: Loc) -> Any:
        """What stands at a path, good or not; None where nothing does."""
        value: Any = self.draft.raw if self.draft else None
        for part in loc:
            if isinstance(value, list):
                value = value[part] if isinstance(part, int) and part < len(value) else None
            else:
                value = value.get(part) if isinstance(value, dict) else None
        return value

    def said(self, loc: Loc) -> str | None:
        """The same in words, "" for a table or a list of them."""
        value = self.written_at(loc)
        if isinstance(value, list) and not any(isinstance(item, dict) for item in value):
            return show_items(value)
        return None if value is None else "" if isinstance(value, dict | list) else show(value)

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
