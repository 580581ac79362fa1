"""A folder of TOML files -> a checked catalog, or every problem in it at once."""

from __future__ import annotations

import copy
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any, TypeVar

from ..isolated import isolated
from ..problems import CatalogProblems, Problem
from .assumed import Assumed, Marks, assumed_in, assumed_of_all, briefly, marks_of
from .brief import make_brief
from .checks.across import check_across
from .checks.head import check_head
from .checks.place import check_place
from .checks.rig import check_rig
from .checks.shot import check_shot
from .document import Document, read_document
from .draft import MOST_FAULTS, more_faults
from .files import find_files
from .models.camera import Camera
from .models.head import CatalogFile
from .models.place import Place
from .models.rig import Rig
from .models.shot import Shot
from .words import Loc

Documents = dict[tuple[str, str], Document]
NAMED = ("place", "rig", "camera")
# What of a keyframe belongs to its moment, and stays there when a shot is reversed.
OF_MOMENT = ("at", "meant_for")
Model = TypeVar("Model", Shot, Place, Rig, Camera, CatalogFile)


@dataclass(frozen=True)
class Catalog:
    """A catalog without a problem; shots and places by id, sorted; rigs and cameras through a shot."""

    id: str
    title: str
    base_url: str
    shots: dict[str, Shot]
    head: CatalogFile
    places: dict[str, Place]
    _rigs: dict[str, Rig]
    _cameras: dict[str, Camera]
    _documents: Documents

    def brief(self, shot_id: str) -> dict[str, Any]:
        """Everything that a plan of this shot needs, as JSON values; raises KeyError for another id."""
        shot, place, rig, camera = self.files(shot_id)
        others = [other.letter for stem, other in self._rigs.items() if stem != shot.rig]
        brief = isolated(make_brief(shot_id, shot, place, rig, camera, self.head, others))
        assumed = briefly(self.assumed(shot_id))
        return copy.deepcopy({**brief, "assumed": assumed} if assumed else brief)

    def files(self, shot_id: str) -> tuple[Shot, Place, Rig, Camera]:
        """The models of a shot and of the files that it names; raises KeyError for another id."""
        shot = self.shots[shot_id]
        return shot, self.places[shot.place], self._rigs[shot.rig], self._cameras[shot.camera]

    def as_written(self, shot_id: str, key: str) -> str:
        """A dotted key of a brief as its file has it: those of a reversed shot stand the other way round."""
        shot, parts = self.shots[shot_id], key.split(".")
        if shot.reverse and parts[0] == "keyframe" and len(parts) > 1 and parts[-1] not in OF_MOMENT:
            parts[1] = str(len(shot.keyframe) - 1 - int(parts[1]))
        return ".".join(parts)

    def locate(self, shot_id: str, key: str) -> tuple[str, int]:
        """File and line of a dotted key such as "keyframe.1.at", or of its nearest parent (lists from 0).

        Keys that begin with "place.", "rig." or "camera." stand in the file that the shot names, those with
        "catalog." in the catalog's own.
        """
        document, loc = self._at(shot_id, key)
        return document.file, document.lines.of(loc)

    def written(self, shot_id: str) -> dict[str, Any]:
        """The values of a shot's file as TOML gives them; not to be altered.  KeyError as of files."""
        draft = self._documents["shot", shot_id].draft
        assert draft is not None, "a sound shot was read"
        return draft.raw

    def said(self, shot_id: str, key: str) -> str | None:
        """What the file says at such a key, "" for a table or a list of them, None where it says nothing."""
        document, loc = self._at(shot_id, key)
        return document.said(loc)

    def assumed(self, shot_id: str) -> list[Assumed]:
        """What its files still assume of what a shot reads, that first which can cost its night."""
        shot, _, rig, camera = self.files(shot_id)
        named = {kind: self._documents[kind, getattr(shot, kind)] for kind in ("rig", "camera", "place")}
        named |= {"shot": self._documents["shot", shot_id]}
        # Whose own file is at fault still has its shots.
        head = {kind: each for (kind, _), each in self._documents.items() if kind == "catalog"}
        return assumed_in({**named, **head}, shot, rig, camera, self.head)

    def assumed_of_all(self) -> list[Assumed]:
        """What its own file still assumes that is no shot's alone, by line."""
        head = self._documents.get(("catalog", "catalog"))
        return assumed_of_all(head) if head else []

    def marks(self) -> dict[str, Marks]:
        """By file, where it has any: its marked lines, without those of assumed_of_all."""
        read = {(one.file, one.line) for shot_id in self.shots for one in self.assumed(shot_id)}
        documents = sorted(self._documents.values(), key=lambda document: document.file)
        by_file = {document.file: marks_of(document, read) for document in documents}
        return {file: marks for file, marks in by_file.items() if marks.read or marks.unread or marks.stray}

    def _at(self, shot_id: str, key: str) -> tuple[Document, Loc]:
        """The document that a dotted key stands in, and its place there."""
        loc: Loc = tuple(int(part) if part.isdecimal() else part for part in key.split("."))
        if loc[0] in NAMED and len(loc) > 1:
            return self._documents[loc[0], getattr(self.shots[shot_id], loc[0])], loc[1:]
        if loc[0] == "catalog" and len(loc) > 1:
            return self._documents["catalog", "catalog"], loc[1:]
        return self._documents["shot", shot_id], loc


def read_catalog(folder: Path) -> Catalog:
    """Reads a catalog's folder and nothing else; raises CatalogProblems with all, by file and line."""
    catalog, problems = read_sound(folder)
    if problems or catalog is None:
        raise CatalogProblems(problems)
    return catalog


def read_sound(folder: Path) -> tuple[Catalog | None, list[Problem]]:
    """The shots that can be read, with what they name, and every problem of the others, by file and line.

    None instead of a catalog where no shot is left, and then there is at least one problem.  Where the fault
    is in catalog.toml itself, the shots come without roles and house items: good to find more faults with.
    """
    found = find_files(folder)
    problems = list(found.problems)
    documents: Documents = {}
    for (kind, stem), (file, data) in found.data.items():
        documents[kind, stem], faults = read_document(kind, stem, file, data)
        problems += faults
    for document in documents.values():
        if document.draft is not None:
            problems += _in_a_page(document.file, list(_checked(document, documents, found.listed)))
    problems += check_across(documents.values())
    return _catalog(_sound(documents, problems)), sorted(problems, key=_order)


def _checked(document: Document, documents: Documents, listed: dict[str, list[str]]) -> Iterator[Problem]:
    """What a file says against itself, and against the others."""
    if document.kind == "catalog":
        yield from check_head(document, listed)
    elif document.kind == "place":
        yield from check_place(document)
    elif document.kind == "rig":
        yield from check_rig(document)
    elif document.kind == "shot":
        yield from check_shot(document, documents, listed)


def _in_a_page(file: str, told: list[Problem]) -> list[Problem]:
    """The first problems of a file, and how many more there are."""
    more = len(told) - MOST_FAULTS
    return [*told[:MOST_FAULTS], Problem(file, None, "", *more_faults(more))] if more > 0 else told


def _sound(documents: Documents, problems: list[Problem]) -> Documents:
    """The documents without a problem; of the shots only those whose place, rig and camera have none."""
    faulty = {problem.file for problem in problems}
    sound = {key: document for key, document in documents.items() if document.file not in faulty}

    def whole(document: Document) -> bool:
        named = ((kind, document.get(kind) or "") for kind in NAMED)
        return document.kind != "shot" or all(key in sound for key in named)

    return {key: document for key, document in sound.items() if whole(document)}


def _order(problem: Problem) -> tuple[str, float, str]:
    """By file and line; what concerns a whole file comes after its lines."""
    return problem.file, problem.line or float("inf"), problem.key


def _catalog(documents: Documents) -> Catalog | None:
    if not any(kind == "shot" for kind, _ in documents):
        return None
    bare = CatalogFile.model_construct(title="", id="", base_url="", roles={}, house=[])
    head = _whole(documents, "catalog", CatalogFile).get("catalog", bare)
    return Catalog(
        head.id,
        head.title,
        head.base_url,
        _whole(documents, "shot", Shot),
        head,
        _whole(documents, "place", Place),
        _whole(documents, "rig", Rig),
        _whole(documents, "camera", Camera),
        documents,
    )


def _whole(documents: Documents, kind: str, model: type[Model]) -> dict[str, Model]:
    """The models of one kind by name, sorted."""
    of_kind = (documents[key] for key in sorted(documents) if key[0] == kind)
    wholes = ((document.stem, document.draft.whole) for document in of_kind if document.draft)
    return {stem: whole for stem, whole in wholes if isinstance(whole, model)}
