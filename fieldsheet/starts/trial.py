"""Files that are not on the disk yet, read and planned as the catalog that they would be."""

from __future__ import annotations

import tempfile
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

from fieldsheet.catalog.read import read_sound
from fieldsheet.locate import located
from fieldsheet.plan.plan import plan
from fieldsheet.plan.problem import PlanProblem
from fieldsheet.problems import CatalogProblems, Problem
from fieldsheet.sky.sky import Sky

from .landing import write_files

Files = Mapping[str, bytes]
Planner = Callable[[dict[str, Any], Sky, dict[str, Any]], dict[str, Any]]


def faults_in(more: Files, files: Files) -> list[Problem]:
    """What is wrong with more files beside those of a catalog, and what they bring upon the others."""
    faults = _faults({**files, **more})
    told = [fault for fault in faults if fault.file in more]
    others = [fault for fault in faults if fault.file not in more]
    known = {(fault.file, fault.key) for fault in _faults(files)} if others else set()
    return [*told, *(fault for fault in others if (fault.file, fault.key) not in known)]


def _faults(files: Files) -> list[Problem]:
    with tempfile.TemporaryDirectory(prefix="fieldsheet-") as folder:
        write_files(Path(folder), files)
        return read_sound(Path(folder))[1]


def plan_tried(files: Files, shot: str, sky: Sky, planner: Planner = plan) -> dict[str, Any]:
    """The plan of a shot among these files, no changes; raises CatalogProblems with what is in its way."""
    with tempfile.TemporaryDirectory(prefix="fieldsheet-") as folder:
        write_files(Path(folder), files)
        catalog, faults = read_sound(Path(folder))
    if catalog is None or shot not in catalog.shots:
        raise CatalogProblems(faults)
    brief = catalog.brief(shot)
    try:
        return planner(brief, sky, {})
    except PlanProblem as problem:
        every = (problem, *problem.others)
        raise CatalogProblems([located(catalog, brief, one) for one in every]) from problem
