"""The files of a catalog's folder: which there are, and their bytes.  Nothing outside the folder is read."""

from __future__ import annotations

import os
import stat
from dataclasses import dataclass, field
from pathlib import Path

from ..problems import Problem
from .scan import MOST_BYTES, too_large
from .values import STEM, TAKEN_STEMS
from .words import near, one_of, printable, show

CATALOG_FILE = "catalog.toml"
FOLDERS = {"places": "place", "rigs": "rig", "cameras": "camera", "shots": "shot"}
MOST_FILES = 2000
_LIKE_A_FOLDER = 0.8


@dataclass
class Found:
    """data: (kind, stem) -> (file, bytes); listed: every usable name of a kind, readable or not."""

    data: dict[tuple[str, str], tuple[str, bytes]] = field(default_factory=dict)
    listed: dict[str, list[str]] = field(default_factory=lambda: {kind: [] for kind in FOLDERS.values()})
    problems: list[Problem] = field(default_factory=list)


def find_files(folder: Path) -> Found:
    """Reads every file of a catalog; kind is "catalog", "place", "rig", "camera" or "shot"."""
    walk = _Walk(folder)
    walk.whole()
    return walk.found


class _Walk:
    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.found = Found()

    def whole(self) -> None:
        name = printable(self.folder.name) or "."
        if not self.folder.is_dir():
            what = "a file" if os.path.lexists(self.folder) else "no such folder"
            return self._refuse(name, what, "the folder of a catalog")
        names = self._names(self.folder, name)
        if names == []:
            right = f"a catalog: {CATALOG_FILE} and the folders {one_of(list(FOLDERS), 'and')}"
            return self._refuse(name, "an empty folder", right)
        if names is not None:
            self._catalog_file(names)
            self._strays(names)
            for each, kind in FOLDERS.items():
                self._kind(each, kind)

    def _catalog_file(self, names: list[str]) -> None:
        if CATALOG_FILE in names:
            self._read("catalog", "catalog", CATALOG_FILE)
        else:
            self._refuse(CATALOG_FILE, "no such file", "a file that gives title, id and base_url")

    def _strays(self, names: list[str]) -> None:
        for name in names:
            if name == CATALOG_FILE or name in FOLDERS:
                continue
            meant = near(name, FOLDERS, _LIKE_A_FOLDER)
            if name.lower().endswith(".toml"):
                right = f"{CATALOG_FILE}, or a file in {one_of([f'{each}/' for each in FOLDERS])}"
                self._refuse(_shown(name), "a file that nothing reads", right)
            elif meant and (self.folder / name).is_dir():
                self._refuse(_shown(name), "a folder that nothing reads", f"{meant}/ (did you mean that?)")

    def _kind(self, name: str, kind: str) -> None:
        """Every file of one of the four folders."""
        inside = self.folder / name
        right = f"a folder with a file such as {name}/my-{kind}.toml"
        if not os.path.lexists(inside):
            return self._refuse(name, "no such folder", right)
        if not self._is_within(inside):
            return self._refuse(name, "a link that leads out of the catalog's folder", right)
        if not inside.is_dir():
            return self._refuse(name, "something that is no folder", right)
        names = self._names(inside, name)
        if names == []:
            self._refuse(name, "an empty folder", right)
        elif names and len(names) > MOST_FILES:
            self._refuse(name, f"{len(names)} files", f"at most {MOST_FILES}")
        else:
            for file_name in names or []:
                self._one(name, kind, file_name, names or [])

    def _one(self, name: str, kind: str, file_name: str, beside: list[str]) -> None:
        stem, dot, ending = file_name.rpartition(".")
        file = f"{name}/{_shown(file_name)}"
        if not dot or ending != "toml":
            self._refuse(file, "a file that nothing reads", f"a name such as {_fair(stem or ending, kind)}")
        elif kind == "shot" and stem in TAKEN_STEMS:
            right = (
                f"another name, such as {show(f'{stem}-1.toml')}: files of the whole catalog are called so"
            )
            self._refuse(file, f"the name {show(stem)}", right)
        elif STEM.fullmatch(stem):
            self.found.listed[kind].append(stem)
            self._read(kind, stem, f"{name}/{file_name}")
        elif stem != stem.lower() and f"{stem.lower()}.toml" in beside:
            twin = f"{stem.lower()}.toml"
            self._refuse(
                file, f"the name of {twin} but for capitals", "a name that is another in any spelling"
            )
        else:
            right = f"small letters, digits and hyphens, at most 41, such as {_fair(stem, kind)}"
            self._refuse(file, f"the name {show(_shown(stem))}", right)

    def _read(self, kind: str, stem: str, file: str) -> None:
        path = self.folder / file
        try:
            refusal = self._refusal(path)
            if refusal is None:
                self.found.data[kind, stem] = file, path.read_bytes()
        except OSError as error:
            refusal = _unreadable(error)
        if refusal is not None:
            self._refuse(file, *refusal)

    def _refusal(self, path: Path) -> tuple[str, str] | None:
        """Why a file is not even opened: a pipe would never end, and a link may lead anywhere."""
        if not self._is_within(path):
            return "a link that leads out of the catalog's folder", "the file itself"
        status = path.stat()
        if not stat.S_ISREG(status.st_mode):
            return "something that is no file", "a file of text"
        if status.st_size > MOST_BYTES:
            fault = too_large(status.st_size)
            return fault.found, fault.right
        return None

    def _names(self, folder: Path, file: str) -> list[str] | None:
        """Names in a folder, sorted; hidden files and editors' backups are nobody's business."""
        try:
            names = os.listdir(folder)
        except OSError as error:
            self._refuse(file, *_unreadable(error))
            return None
        return sorted(name for name in names if not name.startswith(".") and not name.endswith("~"))

    def _is_within(self, path: Path) -> bool:
        # realpath, for Path.resolve raises where links lead in a circle.
        return Path(os.path.realpath(path)).is_relative_to(os.path.realpath(self.folder))

    def _refuse(self, file: str, found: str, right: str) -> None:
        self.found.problems.append(Problem(file, None, "", found, right))


def _unreadable(error: OSError) -> tuple[str, str]:
    return f"something that cannot be opened ({error.strerror})", "what you may read"


def _fair(stem: str, kind: str) -> str:
    """A usable file name like the one that was found."""
    letters = (char if char.isascii() and char.isalnum() else " " for char in stem.lower())
    return ("-".join("".join(letters).split())[:41].rstrip("-") or f"my-{kind}") + ".toml"


def _shown(name: str) -> str:
    return printable(os.fsencode(name).decode("utf-8", "backslashreplace"))
