"""Imports go round nowhere: not among modules of Python, not among those of the phone, not among rooms."""

from __future__ import annotations

from graphlib import CycleError, TopologicalSorter
from pathlib import Path

import pytest

from tests.test_layers import APP, BELOW, PACKAGE, imports, modules, script_imports

Graph = dict[str, set[str]]


def in_order(graph: Graph) -> list[str]:
    """The nodes, each after all that it leads to. Raises CycleError where there is no such order."""
    return list(TopologicalSorter(graph).static_order())


def of_python() -> Graph:
    """Each module of the package by its full name, with those that it imports, anywhere in it."""
    paths = {(PACKAGE.name, *path.relative_to(PACKAGE).with_suffix("").parts): path for path in modules()}
    named = {name[:-1] if name[-1] == "__init__" else name: path for name, path in paths.items()}
    return {
        ".".join(name): {
            ".".join(part)
            for full in imports(path)
            for part in [full if full in named else full[:-1]]
            if part in named and part != name
        }
        for name, path in named.items()
    }


def of_the_phone() -> Graph:
    """Each module by its path, with those that it imports."""
    return {
        str(path): {str((path.parent / name).resolve()) for name in script_imports(path.read_text("utf-8"))}
        for path in (path.resolve() for path in APP.rglob("*.js"))
    }


@pytest.mark.parametrize(
    ("graph", "first", "later"),
    [
        (BELOW, "problems", "cli"),
        (of_python(), "fieldsheet.problems", "fieldsheet.cli"),
        (of_the_phone(), str((APP / "core" / "civil.js").resolve()), str((APP / "first.js").resolve())),
    ],
    ids=["rooms", "python", "phone"],
)
def test_each_can_come_after_what_it_imports(graph: Graph, first: str, later: str) -> None:
    order = in_order(graph)
    assert order.index(first) < order.index(later)


def test_a_way_round_is_found() -> None:
    with pytest.raises(CycleError):
        in_order({"a": {"b"}, "b": {"c"}, "c": {"a"}})


def test_the_modules_that_the_build_makes_are_the_only_ones_not_there() -> None:
    """They hold tables of Python's and the mark of this make, and import nothing."""
    graph = of_the_phone()
    made = {Path(name).name for names in graph.values() for name in names if name not in graph}
    assert made == {"words.js", "stars.js", "planfields.js", "mark.js"}
