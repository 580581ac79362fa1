"""The files of a catalog's folder: which there are, and their bytes.  Nothing outside the folder is read."""

from __future__ import annotations

import os
import re
import stat
import unicodedata
from dataclasses import dataclass, field
from pathlib import Path

from ..problems import Problem
from .scan import MOST_BYTES, too_large
from .values import STEM, TAKEN_STEMS
from .words import Wrong, near, one_of, printable, show

CATALOG_FILE = "catalog.toml"
FOLDERS = {"places": "place", "rigs": "rig", "cameras": "camera", "shots": "shot"}
MOST_FILES = 2000
MOST_BYTES_IN_ALL = 16 * 2**20
_LIKE_A_FOLDER = 0.8
_MOST_LOOKS = 3
# Hidden files, editors' backups and what they save by themselves, and two that a desktop leaves in folders.
_NOBODYS = re.compile(r"\..*|.*~|#.*#|desktop\.ini|thumbs\.db", re.DOTALL | re.IGNORECASE)
# Names that one system keeps for its devices (from memory): no catalog, no site could be copied there.
DEVICE = re.compile(r"con|prn|aux|nul|(com|lpt)[0-9]")


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
        self.bytes = 0

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
        elif DEVICE.fullmatch(stem):
            right = f"another name, such as {show(f'{stem}-1.toml')}: a device is called so on some systems"
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
            if not self._is_within(path):
                raise Wrong("a link that leads out of the catalog's folder", "the file itself")
            data = _whole(path)
            self.bytes += len(data)
            if self.bytes > MOST_BYTES_IN_ALL:
                most = MOST_BYTES_IN_ALL // 2**20
                raise Wrong(f"more than {most} MB with this file", f"a catalog of at most {most} MB in all")
            self.found.data[kind, stem] = file, data
        except Wrong as wrong:
            self._refuse(file, wrong.found, wrong.right)
        except OSError as error:
            self._refuse(file, *_unreadable(error))

    def _names(self, folder: Path, file: str) -> list[str] | None:
        """Names in a folder, sorted, without those that are nobody's business."""
        try:
            names = os.listdir(folder)
        except OSError as error:
            self._refuse(file, *_unreadable(error))
            return None
        return sorted(name for name in names if not _NOBODYS.fullmatch(name))

    def _is_within(self, path: Path) -> bool:
        # realpath, for Path.resolve raises where links lead in a circle.
        return Path(os.path.realpath(path)).is_relative_to(os.path.realpath(self.folder))

    def _refuse(self, file: str, found: str, right: str) -> None:
        self.found.problems.append(Problem(file, None, "", found, right))


def _whole(path: Path) -> bytes:
    """A file as it stood at one moment: read again where it was being written; raises Wrong and OSError."""
    for _ in range(_MOST_LOOKS):
        _check_file(path.stat())  # before it is opened, for opening may stir a device
        with open(os.open(path, os.O_RDONLY | os.O_NONBLOCK), "rb") as file:  # a pipe would wait
            before = os.fstat(file.fileno())
            _check_file(before)
            data = file.read(MOST_BYTES + 1)
            if _state(before) == _state(os.fstat(file.fileno())):
                return data
    raise Wrong("a file that changes while it is read", "a file that nothing is writing: try again")


def _check_file(status: os.stat_result) -> None:
    if not stat.S_ISREG(status.st_mode):
        raise Wrong("something that is no file", "a file of text")
    if status.st_size > MOST_BYTES:
        fault = too_large(status.st_size)
        raise Wrong(fault.found, fault.right)


def _state(status: os.stat_result) -> tuple[int, int]:
    return status.st_size, status.st_mtime_ns


def _unreadable(error: OSError) -> tuple[str, str]:
    return f"something that cannot be opened ({error.strerror})", "what you may read"


def _fair(stem: str, kind: str) -> str:
    """A usable file name like the one that was found."""
    bare = (char for char in unicodedata.normalize("NFKD", stem.lower()) if not unicodedata.combining(char))
    letters = (char if char.isascii() and char.isalnum() else " " for char in bare)
    return ("-".join("".join(letters).split())[:41].rstrip("-") or f"my-{kind}") + ".toml"


def _shown(name: str) -> str:
    return printable(os.fsencode(name).decode("utf-8", "backslashreplace"))
