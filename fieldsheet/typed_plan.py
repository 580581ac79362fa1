"""The plan of one shot as it was typed: another night, another start, a stop."""

from __future__ import annotations

import argparse
from typing import Any

from fieldsheet.catalog.read import Catalog
from fieldsheet.locate import located
from fieldsheet.plan.problem import PlanProblem
from fieldsheet.plan.wrongs import by_the_clock
from fieldsheet.press import fit_packs, night_of, plan_shot, sky_of
from fieldsheet.problems import CatalogProblems
from fieldsheet.typed import WrongUse, check_reach, stop_of


def plan_typed(catalog: Catalog, typed: argparse.Namespace) -> dict[str, Any]:
    """The plan of the shot that was typed, on its own night or on the one typed.

    Raises CatalogProblems for what its files have no plan for, WrongUse for what was typed.
    """
    stop = stop_of(typed)
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
        if option:
            raise WrongUse(f"{option}: found {told.found}; right: {told.right}") from problem
        raise CatalogProblems([told]) from problem


def _option(problem: PlanProblem, typed: argparse.Namespace, other: bool) -> str:
    """The option that is at fault; "" where it is none."""
    if problem.id.startswith("problem.stopped"):
        return "--stopped" if problem.id.endswith("frame") else "--rolling"
    if typed.start is not None and problem.key == "start":
        return "--start"
    return "--night" if other and problem.key == "night" else ""
