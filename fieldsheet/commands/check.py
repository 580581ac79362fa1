"""fieldsheet check: every problem of a catalog and every warning of its plans."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from fieldsheet.commands.told import FINE, PROBLEMS, count, tell, tell_message, tell_problems
from fieldsheet.problems import CatalogProblems, Problem

if TYPE_CHECKING:
    from fieldsheet.catalog.read import Catalog
    from fieldsheet.commands.typed import Commands


def add(commands: Commands) -> None:
    """How it is typed."""
    one = commands.add_parser("check", help="list every problem of a catalog")
    one.add_argument("catalog", type=Path, metavar="CATALOG")
    why = "with what each warning is worked out from, by file and line, and what would keep it quiet"
    one.add_argument("--why", action="store_true", help=why)
    one.set_defaults(run=run)


def run(typed: argparse.Namespace) -> int:
    """Writes nothing; a no-go fails it, too."""
    from fieldsheet.commands.whole import (
        lines_behind,
        read_and_plan,
        tell_assumed_of_all,
        tell_undrawn,
        tell_warnings,
    )
    from fieldsheet.explain import explained_alone
    from fieldsheet.making import check_layout
    from fieldsheet.products import Job, products_of

    def behind(problem: Problem) -> list[str]:
        return lines_behind(explained_alone(problem.id)) if problem.id else []

    try:
        catalog, planned = read_and_plan(typed.catalog, why=typed.why)
    except CatalogProblems as found:
        return tell_problems(found, behind if typed.why else None)
    reaches = check_layout(products_of(Job(catalog, planned)), catalog)
    _tell_near(catalog, reaches)
    tell_undrawn(catalog, planned, sys.stdout)
    no_gos = tell_warnings(catalog, planned, sys.stdout, why=typed.why)
    minds = sum(len(plan["warnings"]) for plan in planned.plans.values()) - no_gos
    tell_assumed_of_all(catalog, sys.stdout)
    _tell_assumed(catalog)
    _sum_up(count(len(catalog.shots), "shot"), no_gos, minds, hint=not typed.why)
    return PROBLEMS if no_gos else FINE


def _tell_near(catalog: Catalog, reaches: Mapping[str, int]) -> None:
    """On which paper codes are not read from as far as is asked.  reaches: as of check_layout."""
    asked = catalog.head.print.read_at_cm
    near = [f"{paper} {cm} cm" for paper, cm in reaches.items() if cm < asked]
    if near:
        file, line = catalog.locate(next(iter(catalog.shots)), "catalog.print.read_at_cm")
        found = f"codes are to be read from {asked:g} cm, and paper has room for less: {', '.join(near)}"
        tell_message(f"{file}:{line}: {found}. Larger paper or a shorter base_url gives them more.")


def _tell_assumed(catalog: Catalog) -> None:
    """How many figures of each file are a guess as yet, on which lines they stand, and how that ends."""
    by_file, all_figures = catalog.marks(), 0
    for file, marks in by_file.items():
        found = [_at_lines(marks.read)] if marks.read else []
        found += [f"no shot reads: {_at_lines(marks.unread)}"] if marks.unread else []
        figures = len(marks.read) + len(marks.unread)
        if figures:
            tell_message(f"{file}: {count(figures, 'figure')} still assumed, {'; '.join(found)}")
        if marks.stray:
            alone = f'"assumed" alone on {_at_lines(marks.stray)} marks no value'
            tell_message(f"{file}: {alone}: put it behind the one that is meant, on its line")
        all_figures += figures
    if all_figures:
        tell_message('whichever you have measured: write it in, and delete "assumed" behind it')


def _at_lines(lines: Sequence[int]) -> str:
    from fieldsheet.catalog.words import one_of

    return f"line{'s' if lines[1:] else ''} {one_of([str(line) for line in lines], 'and')}"


def _sum_up(shots: str, no_gos: int, minds: int, *, hint: bool) -> None:
    if not (no_gos or minds):
        tell(f"{shots}, no problems")
        return
    found = [*([count(no_gos, "no-go")] if no_gos else []), *([f"{minds} to mind"] if minds else [])]
    tell(f"{shots} planned: {', '.join(found)}")
    if hint:
        tell_message("what is behind each, and what keeps it quiet: the same with --why")
