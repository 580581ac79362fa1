"""What was asked for: shots of a catalog, and the plan of one on another night, from another start."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import Any

from fieldsheet.catalog.files import CATALOG_FILE
from fieldsheet.catalog.read import Catalog, read_sound
from fieldsheet.commands.told import count, tell
from fieldsheet.commands.typed import WrongUse, check_reach
from fieldsheet.locate import located
from fieldsheet.plan.plan import late_from
from fieldsheet.plan.problem import PlanProblem
from fieldsheet.plan.wrongs import by_the_clock
from fieldsheet.press import fit_packs, night_of, plan_shot, sky_of
from fieldsheet.problems import CatalogProblems, Problem
from fieldsheet.sky.sky import Sky


class StartFails(WrongUse):
    """The start that was typed has no plan of its own; there are ways to go on from it all the same.

    told: the problem; whole: the plan without that start, `late` having the ways.
    """

    def __init__(self, told: Problem, whole: dict[str, Any]) -> None:
        super().__init__(f"--start: found {told.found}; right: {told.right}")
        self.told, self.whole = told, whole


def read_for(shot_ids: Sequence[str], folder: Path) -> Catalog:
    """The catalog, where the shots asked for (or any) are sound; raises WrongUse or CatalogProblems."""
    catalog, faults = read_sound(folder)
    headless = any(fault.file == CATALOG_FILE for fault in faults)
    missing = [shot_id for shot_id in shot_ids if catalog is None or shot_id not in catalog.shots]
    if catalog is None or headless or (faults and (missing or not shot_ids)):
        raise CatalogProblems(faults)
    if missing:
        raise WrongUse(f"no shot '{missing[0]}' in {folder}; there are: {', '.join(catalog.shots)}")
    if faults:
        tell(f"{count(len(faults), 'problem')} elsewhere: fieldsheet check {folder}", sys.stderr)
    return catalog


def plan_typed(catalog: Catalog, typed: argparse.Namespace) -> dict[str, Any]:
    """The plan of the shot that was typed, on its own night or on the one typed.

    Raises CatalogProblems for what its files have no plan for, WrongUse for what was typed, StartFails for a
    start that is late for the plan.
    """
    stop = _stop_of(typed)
    if typed.night:
        check_reach("--night", typed.night)
    brief = catalog.brief(typed.shot)
    other = typed.night and typed.night != night_of(brief)
    changes = {"night": typed.night.isoformat()} if other else {}
    sky = sky_of(fit_packs([typed.night or night_of(brief)]))
    try:
        return plan_shot(brief, sky, by_the_clock(brief, sky, changes, typed.start, stop))
    except PlanProblem as problem:
        told, option = located(catalog, brief, problem), _option(problem, typed, bool(other))
        whole = None if stop and option else _whole_without_start(brief, sky, changes, typed)
        if whole is not None:
            raise StartFails(told, whole) from problem
        if option:
            raise WrongUse(f"{option}: found {told.found}; right: {told.right}") from problem
        raise CatalogProblems([told]) from problem


def _whole_without_start(
    brief: dict[str, Any], sky: Sky, changes: dict[str, Any], typed: argparse.Namespace
) -> dict[str, Any] | None:
    """The plan without the start that was typed, with the ways to be so late; None where they are none."""
    if typed.start is None:
        return None
    try:
        start_ms = by_the_clock(brief, sky, changes, typed.start, None)["start_ms"]
        whole = plan_shot(brief, sky, changes)
        late = late_from(brief, sky, whole, start_ms)
    except PlanProblem:
        return None
    return late and {**whole, "late": late}


def _stop_of(typed: argparse.Namespace) -> tuple[int, int] | None:
    """(frame, clock [s after midnight] at which it rolls again) of a stop, or None.

    Raises WrongUse where one of the two is lacking.
    """
    if (typed.stopped is None) != (typed.rolling is None):
        given, lacking = ("--stopped", "--rolling") if typed.rolling is None else ("--rolling", "--stopped")
        right = "--stopped FRAME --rolling CLOCK, when it rolls again"
        raise WrongUse(f"{given} without {lacking}; right: {right}")
    return None if typed.stopped is None else (typed.stopped, typed.rolling)


def _option(problem: PlanProblem, typed: argparse.Namespace, other: bool) -> str:
    """The option that is at fault; "" where it is none."""
    if problem.id.startswith("problem.stopped"):
        return "--stopped" if problem.id.endswith("frame") else "--rolling"
    if typed.start is not None and problem.key == "start":
        return "--start"
    return "--night" if other and problem.key == "night" else ""
