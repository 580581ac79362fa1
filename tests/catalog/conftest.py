"""A copy of the sample catalog that a test may spoil."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from fieldsheet.catalog.read import Catalog, read_catalog
from fieldsheet.problems import CatalogProblems, Problem

SAMPLE = Path(__file__).with_name("sample")
HARBOUR = Path(__file__).with_name("harbour")


class Folder:
    """A catalog's folder with a few ways to change it."""

    def __init__(self, path: Path) -> None:
        self.path = path

    def edit(self, file: str, old: str, new: str) -> None:
        """Replaces a text that must occur exactly once."""
        text = (self.path / file).read_text("utf-8")
        assert text.count(old) == 1, f"{old!r} occurs {text.count(old)} times in {file}"
        (self.path / file).write_text(text.replace(old, new), "utf-8")

    def write(self, file: str, data: str | bytes) -> None:
        path = self.path / file
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(data if isinstance(data, bytes) else data.encode("utf-8"))

    def read(self) -> Catalog:
        return read_catalog(self.path)

    def problems(self) -> list[Problem]:
        """What is wrong with it, in the order in which it is told."""
        try:
            read_catalog(self.path)
        except CatalogProblems as caught:
            return caught.problems
        return []

    def told(self) -> list[str]:
        return [str(problem) for problem in self.problems()]


@pytest.fixture
def sample(tmp_path: Path) -> Folder:
    return Folder(Path(shutil.copytree(SAMPLE, tmp_path / "catalog")))


@pytest.fixture
def harbour(tmp_path: Path) -> Folder:
    """Three shots and three rigs that use what the sample leaves open: tides, roles, a steep rail."""
    return Folder(Path(shutil.copytree(HARBOUR, tmp_path / "harbour")))
